//! Units against published definitions.

use engine::measure::read_quantity;
use engine::quantity::{Currency, Units};

/// A quantity in the base units of another: how many of `unit` it is.
fn in_unit(text: &str, unit: &str) -> f64 {
    let units = Units::new(Currency::default()).unwrap();
    let read =
        |text: &str| read_quantity(text, &units, None).unwrap_or_else(|e| panic!("{text}: {e}"));
    let (quantity, one) = (read(text), read(&format!("1 {unit}")));
    assert_eq!(
        quantity.quantity.dimension, one.quantity.dimension,
        "{text} in {unit}"
    );
    one.unit.from_base(quantity.quantity.value)
}

#[track_caller]
fn is(text: &str, expected: f64, unit: &str) {
    let found = in_unit(text, unit);
    let off = (found / expected - 1.0).abs();
    assert!(
        off < 1e-13,
        "{text} = {found} {unit}, published: {expected}"
    );
}

/// NIST Special Publication 811 (2008), Appendix B.6 and B.8: exact factors.
#[test]
fn lengths_areas_and_volumes_are_those_of_nist_sp_811() {
    is("1 in", 25.4, "mm");
    is("1 ft", 0.3048, "m");
    is("1 yd", 0.9144, "m");
    is("1 mi", 1609.344, "m");
    is("1 mi", 5280.0, "ft");
    is("1 km", 1000.0, "m");
    is("1 sq ft", 0.092_903_04, "m2");
    is("1 cu ft", 0.028_316_846_592, "m3");
    is("1 cu yd", 0.764_554_857_984, "m3");
}

/// NIST Handbook 44, Appendix C: the gallon is 231 cubic inches, the pound 0.45359237 kg.
#[test]
fn gallon_and_pound_are_those_of_nist_handbook_44() {
    is("1 gal", 231.0, "cu in");
    is("1 gal", 3.785_411_784, "L");
    is("1 gal", 4.0, "qt");
    is("1 qt", 2.0, "pt");
    is("1 gal", 128.0, "fl oz");
    is("1 cu ft", 1728.0 / 231.0, "gal");
    is("1 lb", 0.453_592_37, "kg");
    is("1 lb", 16.0, "oz");
    is("1 ton", 2000.0, "lb");
    is("1 board ft", 144.0, "cu in");
}

/// Computed from the exact definitions of pound, inch and standard gravity (NIST SP 811):
/// 0.45359237 x 9.80665 / 0.0254^2 Pa. The printed value in SP 811 is 6.894757 kPa.
#[test]
fn pressures_follow_from_their_definitions() {
    is("1 psi", 0.453_592_37 * 9.806_65 / (0.0254 * 0.0254), "Pa");
    is("1 psf", 0.453_592_37 * 9.806_65 / (0.3048 * 0.3048), "Pa");
    is("1 psi", 144.0, "psf");
    let printed: f64 = in_unit("1 psi", "kPa");
    assert_eq!(format!("{printed:.6}"), "6.894757");
}

/// NIST SP 811, B.8: 1 Btu (IT) = 1.055056 E+03 J (1055.05585262 J, from memory: exact by definition).
#[test]
fn energy_and_power_are_those_of_nist_sp_811() {
    is("1 Btu", 1_055.055_852_62, "J");
    is("1 kWh", 3.6e6, "J");
    is("1 W", 3600.0 / 1_055.055_852_62, "Btu/h");
    is("1 W/sq ft", 1.0 / 0.092_903_04, "W/m2");
}

/// NIST SP 811, B.8: t/°C = (t/°F - 32)/1.8; a kelvin is 1.8 degrees Fahrenheit.
#[test]
fn temperatures_are_those_of_nist_sp_811() {
    is("212 °F", 100.0, "°C");
    is("68 °F", 20.0, "°C");
    is("-40 °F", -40.0, "°C");
    is("1 K", 1.8, "F deg");
}

/// NIST SP 811, B.8 prints 1.730735 W/(m K) for 1 Btu ft/(h ft2 °F).
#[test]
fn thermal_conductivity_is_that_of_nist_sp_811() {
    let found = in_unit("1 Btu/(h ft (F deg))", "W/(m K)");
    assert_eq!(format!("{found:.6}"), "1.730735");
}
