//! Workbooks of such jobs against an independent spreadsheet engine.

use pourwright_tests::oracle::{HEADINGS, Recalculated, close};

use super::job::{Priced, Room, SHOP, price, room, write};

/// Edits that the workbook follows: room, column, what is typed.
const LIVE: [(usize, &str, &str); 16] = [
    (0, "Area", "1200"),
    (0, "Average depth", "2.5"),
    (0, "Porosity", "dense"),
    (0, "Porosity", ""),
    (0, "Below", "living space"),
    (0, "Slab humidity", "80"),
    (0, "Slab age", "10"),
    (0, "Cracks", "0"),
    (0, "Contraction joints", "31.5"),
    (1, "Reinforcement", "Check lath"),
    (1, "Substrate", "metal"),
    (1, "Joist clear span", "200"),
    (1, "Joist moment", "150"),
    (1, "Stiff for", "natural stone"),
    (1, "Live load", "60"),
    (2, "Moisture test", "in-situ RH"),
];

/// Edits after which the recipe would take another way: the workbook must say "price again".
const FLAGGED: [(usize, &str, &str); 8] = [
    (0, "Substrate", "gypsum"),
    (0, "Moisture test", "calcium chloride"),
    (0, "Moisture test", "none"),
    (0, "Slab humidity", ""),
    (0, "Cracks", ""),
    (1, "Reinforcement", ""),
    (1, "Joist section", ""),
    (2, "Joist clear span", "150"),
];

/// Live edits made one after the other between two pricings from scratch.
const AT_ONCE: usize = 4;

fn rooms_to_edit() -> [Room; 3] {
    [
        room(&[
            ("Area", "900"),
            ("Porosity", "porous"),
            ("Below", "slab on ground"),
            ("Slab age", "60"),
            ("Slab humidity", "70"),
            ("Moisture test", "in-situ RH"),
            ("Cracks", "12"),
            ("Contraction joints", "20"),
        ]),
        room(&[
            ("Area", "300"),
            ("Substrate", "plywood"),
            ("Reinforcement", "Check mesh"),
            ("Live load", "40"),
            ("Joist clear span", "180"),
            ("Joist spacing", "16"),
            ("Joist modulus", "1400000"),
            ("Joist moment", "98.93"),
            ("Joist section", "21.39"),
            ("Joist allowed", "1106"),
        ]),
        room(&[("Area", "450")]),
    ]
}

/// Types an edit into the workbook.
fn type_in(sheet: &mut Recalculated, (index, column, text): (usize, &str, &str)) {
    let heading = sheet.column_headed("Rooms", HEADINGS, column);
    let at = (sheet.sheet("Rooms"), HEADINGS + 1 + index as i32, heading);
    match text.parse::<f64>() {
        // A percentage is a share of one in its cell.
        Ok(number) if column == "Slab humidity" => sheet.type_number(at, number / 100.0),
        Ok(number) => sheet.type_number(at, number),
        Err(_) if text.is_empty() => sheet.clear(at),
        Err(_) => sheet.type_text(at, text),
    }
    sheet.recalculate();
}

#[test]
fn the_workbook_recalculates_as_written_and_follows_edits() {
    let mut rooms = rooms_to_edit();
    let written = price(SHOP, &rooms);
    let mut sheet = Recalculated::new(&written.workbook);
    assert_eq!(sheet.differences(), [] as [String; 0]);
    assert_cautions(&sheet, &written, "as written");
    for edits in LIVE.chunks(AT_ONCE) {
        for edit in edits {
            type_in(&mut sheet, *edit);
            assert_ne!(sheet.shown_total(), "price again", "{edit:?}");
            write(&mut rooms[edit.0], edit.1, edit.2);
        }
        let scratch = price(SHOP, &rooms);
        let total = sheet.number(sheet.named("bid_total"));
        assert!(close(total, scratch.total()), "{edits:?}: {total}");
        assert_cautions(&sheet, &scratch, &format!("{edits:?}"));
    }
}

#[test]
fn a_metric_workbook_recalculates_to_the_same_bid() {
    let rooms = rooms_to_edit();
    let metric = price(&SHOP.replace("\"US\"", "\"SI\""), &rooms);
    assert!(close(metric.total(), price(SHOP, &rooms).total()));
    let sheet = Recalculated::new(&metric.workbook);
    assert_eq!(sheet.differences(), [] as [String; 0]);
}

#[test]
fn the_workbook_says_price_again_where_the_recipe_would_take_another_way() {
    let workbook = price(SHOP, &rooms_to_edit()).workbook;
    for edit in FLAGGED {
        let mut sheet = Recalculated::new(&workbook);
        type_in(&mut sheet, edit);
        assert_eq!(sheet.shown_total(), "price again", "{edit:?}");
    }
}

/// The Cautions sheet counts for each caution the rooms that a bid names under it.
fn assert_cautions(sheet: &Recalculated, priced: &Priced, told: &str) {
    let cautions = priced.bid["cautions"].as_array().unwrap();
    let index = sheet.sheet("Cautions");
    let mut all = 0.0;
    for row in HEADINGS + 1.. {
        let text = sheet.text((index, row, 2));
        if text.is_empty() {
            break;
        }
        let holds = sheet.number((index, row, 4));
        let said = cautions
            .iter()
            .find(|caution| caution["text"] == text.as_str());
        let expected = said.map_or(0, |caution| caution["rooms"].as_array().unwrap().len());
        assert_eq!(holds, expected as f64, "{told}: {text}");
        all += holds;
    }
    assert!(all > 0.0, "{told}: some caution holds");
}
