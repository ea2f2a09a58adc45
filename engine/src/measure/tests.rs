//! Tables of what is read and written, and a round trip on generated lengths.

use proptest::prelude::*;

use super::*;
use crate::quantity::{Currency, Dimension, System, Unit, Units};

fn units() -> Units {
    let mut units = Units::new(Currency::default()).unwrap();
    units.declare_package("bag").unwrap();
    units
}

fn in_inches(text: &str) -> f64 {
    let units = units();
    let inch = units.find("in").cloned();
    let reading =
        read_quantity(text, &units, inch.as_ref()).unwrap_or_else(|e| panic!("{text}: {e}"));
    assert_eq!(reading.quantity.dimension, Dimension::LENGTH, "{text}");
    reading.quantity.value
}

#[test]
fn lengths_are_read_as_people_write_them() {
    let cases = [
        ("12' 6-1/2\"", 150.5),
        ("12'-6 1/2\"", 150.5),
        ("12 ft 6 1/2 in", 150.5),
        ("12′ 6½″", 150.5),
        ("12’ 6”", 150.0),
        ("12ft 6in", 150.0),
        ("6-1/2", 6.5),
        ("6 1/2", 6.5),
        ("6½", 6.5),
        ("6-½", 6.5),
        ("3/8 in", 0.375),
        ("⅜\"", 0.375),
        ("3''", 3.0),
        ("-12' 6\"", -150.0),
        ("\u{2212}2 in", -2.0),
        (".5", 0.5),
        ("25.4 mm", 1.0),
        ("1 m", 1000.0 / 25.4),
        ("1,234 ft", 1234.0 * 12.0),
        ("10 lin ft", 120.0),
        ("10 LF", 120.0),
        ("\u{a0}12\u{a0}in ", 12.0),
        ("1e2", 100.0),
        ("3 in.", 3.0),
    ];
    for (text, expected) in cases {
        assert!(
            (in_inches(text) - expected).abs() < 1e-12,
            "{text}: {}",
            in_inches(text)
        );
    }
}

#[test]
fn rates_areas_and_money_are_read() {
    let units = units();
    let read =
        |text: &str| read_quantity(text, &units, None).unwrap_or_else(|e| panic!("{text}: {e}"));
    let bag = units.find("bag").unwrap().dimension;
    let yields = Dimension::VOLUME.per(bag).unwrap();
    for text in [
        "0.45 ft3/bag",
        "0.45 cu ft per bag",
        "0.45 cubic feet / bag",
        "0.45 ft³/bags",
        "0.45 ft^3/bag",
    ] {
        assert_eq!(read(text).quantity.dimension, yields, "{text}");
        assert!((read(text).quantity.value - 777.6).abs() < 1e-9, "{text}");
    }
    for text in [
        "120 sq ft",
        "120 sqft",
        "120 SF",
        "120 ft2",
        "120 ft²",
        "120 square feet",
        "120 sq. ft.",
    ] {
        assert_eq!(read(text).quantity.value, 120.0 * 144.0, "{text}");
        assert_eq!(read(text).unit.label, "sq ft", "{text}");
    }
    for text in [
        "$38.50/bag",
        "$38.50 / bag",
        "38.50 $/bag",
        "$38.50 per bag",
    ] {
        assert_eq!(read(text).quantity.value, 38.5, "{text}");
        assert_eq!(
            read(text).quantity.dimension,
            Dimension::MONEY.per(bag).unwrap()
        );
    }
    assert_eq!(read("$1,234.50").quantity.value, 1234.5);
    assert_eq!(read("-$5").quantity.value, -5.0);
    assert!((read("10 %").quantity.value - 0.1).abs() < 1e-15);
    let conductivity = read("1.4 W/(m K)").quantity.dimension;
    assert_eq!(
        conductivity,
        read("1 W")
            .quantity
            .dimension
            .per(Dimension::LENGTH)
            .unwrap()
            .per(Dimension::TEMPERATURE_DIFFERENCE)
            .unwrap()
    );
    assert!((read("20 °C").quantity.value - 68.0).abs() < 1e-12);
    assert_eq!(read("1 h 30 min").quantity.value, 5400.0);
    assert_eq!(read("5 lb 8 oz").quantity.value, 5.5);
}

#[test]
fn ranges_share_a_unit() {
    let units = units();
    for text in [
        "1/8 in .. 1-1/2 in",
        "1/8 .. 1-1/2 in",
        "1/8 to 1-1/2 in",
        "1/8 – 1 1/2 in",
        "1/8..1.5in",
        "0.125in..1.5in",
    ] {
        let (low, high) = read_range(text, &units, None).unwrap_or_else(|e| panic!("{text}: {e}"));
        assert_eq!(
            (low.quantity.value, high.quantity.value),
            (0.125, 1.5),
            "{text}"
        );
    }
    let backwards = read_range("2 in .. 1 in", &units, None).unwrap_err();
    assert_eq!(backwards.trouble, Trouble::Backwards);
    assert!(read_range("1 in .. 2 lb", &units, None).is_err());
}

#[test]
fn what_could_be_guessed_is_refused() {
    let units = units();
    let fails = |text: &str| read_quantity(text, &units, None).unwrap_err();
    assert_eq!(fails("6-1/2").trouble, Trouble::NoUnit);
    assert_eq!(fails("12' 6").trouble, Trouble::NoUnit);
    assert_eq!(fails("12' 6").at, 4);
    assert_eq!(fails("").trouble, Trouble::Empty);
    assert_eq!(fails("1/0 in").trouble, Trouble::ZeroBelow);
    assert_eq!(fails("12,5 mm").trouble, Trouble::Comma("12,5".into()));
    assert_eq!(fails("1,234 mm").trouble, Trouble::Comma("1,234".into()));
    assert_eq!(fails("1e999 in").trouble, Trouble::NotFinite);
    assert!(
        matches!(fails("12 feat").trouble, Trouble::UnknownUnit(_, Some(near)) if near == "feet")
    );
    assert!(matches!(fails("about 12 in").trouble, Trouble::NoNumber(_)));
    assert!(matches!(
        fails("12 in or so").trouble,
        Trouble::UnknownUnit(..)
    ));
    assert!(matches!(
        fails("6 in 2 ft").trouble,
        Trouble::TermsDiffer(..)
    ));
    assert!(matches!(
        fails("6 ft 2 lb").trouble,
        Trouble::TermsDiffer(..)
    ));
    assert!(matches!(fails("5 W/(m K").trouble, Trouble::Bracket));
    assert!(matches!(fails("5 °C/m").trouble, Trouble::Dimension(_)));
    assert_eq!(fails("1/2/3 in").trouble, Trouble::NoUnit);
}

#[test]
fn quantities_are_written_as_the_trade_does() {
    let units = units();
    let written = |value: f64, unit: &str| {
        let unit = read_unit(unit, &units).unwrap();
        write(unit.to_base(value), &unit, &units)
    };
    assert_eq!(written(12.0 + 6.5 / 12.0, "ft"), "12' 6 1/2\"");
    assert_eq!(written(12.0, "ft"), "12'");
    assert_eq!(written(-0.5, "ft"), "-0' 6\"");
    assert_eq!(written(0.375, "in"), "3/8 in");
    assert_eq!(written(0.3, "in"), "0.3 in");
    assert_eq!(written(13.0, "bag"), "13 bags");
    assert_eq!(written(1.0, "bag"), "1 bag");
    assert_eq!(written(0.45, "cu ft/bag"), "0.45 cu ft/bag");
    assert_eq!(written(1234.5, "$"), "$1,234.50");
    assert_eq!(written(-1234567.891, "$"), "-$1,234,567.89");
    assert_eq!(written(38.5, "$/bag"), "$38.50/bag");
    assert_eq!(written(0.125, "$/sq ft"), "$0.125/sq ft");
    assert_eq!(written(10.0, "%"), "10 %");
    assert_eq!(written(9.5, "mm"), "9.5 mm");
    assert_eq!(write_number(66.666_666_6), "66.6667");
    assert_eq!(write_number(123_456.78), "123457");
    assert_eq!(write_number(0.000_012), "1.2000e-5");
    assert_eq!(write_number(0.012_345), "0.01235");
}

#[test]
fn every_unit_in_the_table_reads_back() {
    let units = units();
    for (unit, _) in units.all() {
        let text = format!("2 {}", unit.label);
        let reading = read_quantity(&text, &units, None).unwrap_or_else(|e| panic!("{text}: {e}"));
        assert_eq!(reading.quantity.dimension, unit.dimension, "{text}");
        let expected = unit.to_base(2.0);
        assert!(
            (reading.quantity.value - expected).abs() <= 1e-12 * expected.abs(),
            "{text}"
        );
    }
}

#[test]
fn default_units_read_back_under_their_own_label() {
    let units = units();
    let bag = units.find("bag").unwrap().dimension;
    let dims = [
        Dimension::VOLUME.per(bag).unwrap(),
        Dimension::MONEY.per(Dimension::TIME).unwrap(),
        Dimension::AREA.per(Dimension::TIME).unwrap(),
        Dimension::PRESSURE,
        Dimension::POWER
            .per(Dimension::LENGTH)
            .unwrap()
            .per(Dimension::TEMPERATURE_DIFFERENCE)
            .unwrap(),
    ];
    for dimension in dims {
        for system in [System::Us, System::Si] {
            let unit = units.shown_in(dimension, system);
            let read =
                read_unit(&unit.label, &units).unwrap_or_else(|e| panic!("{}: {e}", unit.label));
            assert_eq!(read.dimension, dimension, "{}", unit.label);
            assert!(
                (read.size / unit.size - 1.0).abs() < 1e-12,
                "{}",
                unit.label
            );
        }
    }
}

proptest! {
    #[test]
    fn sixty_fourths_survive_writing_and_reading(parts in -100_000i32..100_000) {
        let units = units();
        let value = f64::from(parts) / 64.0;
        for name in ["in", "ft"] {
            let unit: Unit = units.find(name).unwrap().clone();
            let text = write(value, &unit, &units);
            let read = read_quantity(&text, &units, None);
            prop_assert_eq!(read.map(|r| r.quantity.value), Ok(value), "{}", text);
        }
    }

    #[test]
    fn no_text_makes_the_reader_panic(text in "\\PC{0,40}") {
        let units = units();
        let _ = read_quantity(&text, &units, None);
        let _ = read_range(&text, &units, None);
        let _ = read_unit(&text, &units);
    }

    #[test]
    fn nothing_near_a_quantity_makes_the_reader_panic(text in "[-0-9/ .,'\"ftinm²³½$%()*a-e]{0,16}") {
        let units = units();
        let _ = read_range(&text, &units, units.find("in"));
    }
}

#[test]
fn money_is_the_shops_own() {
    let units = Units::new(Currency {
        symbol: "€".into()
    })
    .unwrap();
    for text in ["€20", "20 €", "20 money"] {
        let reading = read_quantity(text, &units, None).unwrap();
        assert_eq!(reading.quantity.value, 20.0, "{text}");
        assert_eq!(reading.quantity.dimension, Dimension::MONEY, "{text}");
    }
    let error = read_quantity("$20", &units, None).unwrap_err().to_string();
    assert!(
        error.contains("$ is not this shop's currency, which is €"),
        "{error}"
    );
}
