use super::*;
use crate::diag::render::to_text;
use crate::diag::{CellAddress, Place};
use crate::grid::{Cell, Formula, Value};
use crate::measure::read_unit;
use crate::quantity::{Currency, Dimension, Units};
use crate::trail::{Choice, Origin};
use std::sync::Arc;

fn spec(units: &Units) -> TakeoffSpec {
    let unit = |text: &str| read_unit(text, units).unwrap();
    let input = |name: &str, title: &str, kind, us: &str, si: &str| InputSpec {
        name: name.into(),
        title: title.into(),
        headings: Vec::new(),
        kind,
        us: unit(us),
        si: unit(si),
        default: None,
        required: true,
        least: 0.0,
        most: f64::INFINITY,
        why: String::new(),
        unless: None,
        survey: None,
        asked_by: vec!["test".into()],
        place: Place::Nowhere,
    };
    let mut spec = TakeoffSpec::new();
    spec.rooms.inputs = vec![
        input(
            "area",
            "Area",
            InputKind::Quantity(Dimension::AREA),
            "sq ft",
            "m2",
        ),
        input(
            "depth",
            "Depth",
            InputKind::Quantity(Dimension::LENGTH),
            "in",
            "mm",
        ),
        InputSpec {
            required: false,
            default: Some(InputValue::Text("concrete".into())),
            ..input(
                "substrate",
                "Substrate",
                InputKind::Text(Choice::OneOf(vec!["concrete".into(), "plywood".into()])),
                "in",
                "mm",
            )
        },
        InputSpec {
            required: false,
            ..input(
                "edge",
                "Edge",
                InputKind::Quantity(Dimension::LENGTH),
                "ft",
                "m",
            )
        },
    ];
    spec.factors = vec![(
        "leveling".into(),
        "waste".into(),
        Dimension::NONE,
        Unit::plain(),
    )];
    spec
}

use crate::quantity::Unit;

fn sheet(name: &str, rows: &[&[&str]]) -> Sheet {
    let cell = |text: &str| match text {
        "#N/A" => Cell::plain(Value::Error("#N/A".into())),
        "DATE" => Cell::plain(Value::Date("2026-03-08".into())),
        "NORESULT" => Cell::plain(Value::NoResult),
        _ if text.starts_with("=SUM") => Cell {
            formula: Formula::Sum,
            ..Cell::plain(Value::Number(1.0))
        },
        _ => match text.parse() {
            Ok(number) => Cell::plain(Value::Number(number)),
            Err(_) => Cell::plain(Value::Text(text.into())),
        },
    };
    Sheet {
        name: Some(name.into()),
        visible: true,
        rows: (0u32..)
            .zip(rows)
            .map(|(row, texts)| {
                let cells = (0u32..)
                    .zip(texts.iter())
                    .filter(|(_, text)| !text.is_empty())
                    .map(|(column, text)| (column, cell(text)))
                    .collect::<Vec<_>>();
                (row, cells)
            })
            .filter(|(_, cells)| !cells.is_empty())
            .collect(),
        merged: Vec::new(),
    }
}

struct Got {
    takeoff: Option<Takeoff>,
    ledger: Ledger,
    findings: Findings,
}

fn read_sheets(sheets: Vec<Sheet>) -> Got {
    let units = Arc::new(Units::new(Currency::default()).unwrap());
    let mut ledger = Ledger::new(units.clone(), System::Us);
    let grid = Grid {
        file: "takeoff.xlsx".into(),
        sheets,
    };
    let mut findings = Findings::new();
    let takeoff = read(
        &grid,
        (&spec(&units), &[]),
        None,
        &mut ledger,
        &mut findings,
    );
    Got {
        takeoff,
        ledger,
        findings,
    }
}

impl Got {
    fn values(&self, column: &str) -> Vec<f64> {
        assert!(
            self.findings.is_empty(),
            "{}",
            to_text(&self.findings, false)
        );
        let table = self
            .ledger
            .table(self.takeoff.as_ref().unwrap().rooms.table);
        table.values(table.column_named(column).unwrap()).to_vec()
    }

    fn errors(&self) -> String {
        to_text(&self.findings, false)
    }

    fn remarks(&self) -> String {
        to_text(&self.takeoff.as_ref().unwrap().remarks, false)
    }
}

#[test]
fn a_sheet_as_people_keep_it_is_read() {
    let got = read_sheets(vec![
        sheet(
            "Job",
            &[
                &["Job", "Attic"],
                &["Leveling waste", "12 %"],
                &["Colour", "red"],
                &["Substrate:", "Plywood"],
            ],
        ),
        sheet(
            "Rooms",
            &[
                &["Second floor, as measured"],
                &[],
                &[
                    "Finish",
                    "Room",
                    "Area (sq ft)",
                    "Depth",
                    "Edge",
                    "Substrate",
                ],
                &["oak", "Bath", "40", "3/8 in", "12' 6\"", ""],
                &["", "101", "60.5 sq ft", "9.525 mm", "", "CONCRETE"],
                &["", "Room", "Area", "Depth", "Edge", ""],
                &["", "Hall", "1,000", "1\"", "", ""],
                &["", "", "=SUM", "", "", ""],
                &[],
                &["", "All measured by two people"],
                &["Prices to follow"],
            ],
        ),
        sheet(
            "Old",
            &[&["Room", "Area", "Depth"], &["x", "1 sq ft", "1 in"]],
        ),
    ]);
    assert_eq!(got.values("area"), [40.0 * 144.0, 60.5 * 144.0, 144_000.0]);
    let depth = got.values("depth");
    assert!((depth[1] - 0.375).abs() < 1e-12 && depth[0] == 0.375 && depth[2] == 1.0);
    let edge = got.values("edge");
    assert!(edge[0] == 150.0 && edge[1].is_nan() && edge[2].is_nan());
    let texts = &got.ledger.texts;
    let substrate: Vec<_> = got
        .values("substrate")
        .iter()
        .map(|v| texts.of_value(*v))
        .collect();
    assert_eq!(substrate, ["plywood", "concrete", "plywood"]);
    let takeoff = got.takeoff.as_ref().unwrap();
    assert_eq!(takeoff.facts.name, "Attic");
    assert_eq!(takeoff.overrides[0].value, 0.12);
    assert_eq!(takeoff.rooms.carried[0].texts, ["oak", "", ""]);
    let table = got.ledger.table(takeoff.rooms.table);
    assert_eq!(table.row_names, ["Bath", "101", "Hall"]);
    let facts = table
        .column(table.column_named("substrate").unwrap())
        .input
        .as_ref()
        .unwrap();
    assert_eq!(facts.origins, [Origin::Job, Origin::Typed, Origin::Job]);
    let remarks = got.remarks();
    for part in [
        "\"Colour\" on the Job sheet is not used",
        "row 6 was read as a repeated heading",
        "row 8 was read as a row of totals",
        "row 10 was read as a note",
        "row 11 was read as a note",
        "column \"Finish\" is not asked for",
        "sheet Old is not part of a takeoff",
    ] {
        assert!(remarks.contains(part), "{part} is missing in:\n{remarks}");
    }
}

#[test]
fn all_mistakes_are_shown_at_once_with_their_addresses() {
    let got = read_sheets(vec![sheet(
        "Rooms",
        &[
            &["Room", "Area", "Depth (in)", "Substrate", "Edge"],
            &["A", "40", "1", "", ""],
            &["B", "#N/A", "DATE", "plywod", ""],
            &["a", "-5 sq ft", "NORESULT", "", "12"],
            &["C", "40 in", "", "", ""],
            &["", "30 sq ft", "", "", ""],
            &["D"],
        ],
    )]);
    let errors = got.errors();
    for part in [
        "Area of A cannot be used: \"40\" has no unit",
        "takeoff.xlsx [Rooms!B2]",
        "Area of B cannot be used: it holds the error value #N/A",
        "takeoff.xlsx [Rooms!C3]",
        "it holds a date (2026-03-08)",
        "Substrate of B is \"plywod\", which is not one of the choices",
        "Did you mean plywood?",
        "there are two rooms called \"a\"",
        "Area of a is -5 sq ft, expected at least 0 sq ft",
        "a formula whose result is not stored",
        "Edge of a cannot be used: \"12\" has no unit",
        "is length (in), expected area (sq ft)",
        "Depth of \"C\" is blank",
        "row 6 has values but names no room",
        "Area of \"D\" is blank",
    ] {
        assert!(errors.contains(part), "{part} is missing in:\n{errors}");
    }
}

#[test]
fn stated_units_count_for_bare_numbers() {
    for (units, area, depth) in [
        ("US", 40.0 * 144.0, 1.5),
        ("SI", 40.0 * 1e6 / 645.16, 1.5 / 25.4),
    ] {
        let got = read_sheets(vec![
            sheet("Job", &[&["Units", units]]),
            sheet("Rooms", &[&["Room", "Area", "Depth"], &["A", "40", "1.5"]]),
        ]);
        assert!((got.values("area")[0] / area - 1.0).abs() < 1e-12);
        assert!((got.values("depth")[0] / depth - 1.0).abs() < 1e-12);
    }
    let got = read_sheets(vec![
        sheet("Job", &[&["Units", "cubits"]]),
        sheet(
            "Rooms",
            &[&["Room", "Area", "Depth"], &["A", "40 sq ft", "1 in"]],
        ),
    ]);
    assert!(
        got.errors()
            .contains("Units is \"cubits\", expected US or SI")
    );
}

#[test]
fn a_merged_number_is_refused_and_a_merged_text_counts_for_all() {
    let mut rooms = sheet(
        "Rooms",
        &[
            &["Room", "Area", "Depth", "Substrate"],
            &["A", "40 sq ft", "1 in", "plywood"],
            &["B", "", "1 in", ""],
        ],
    );
    let cell = |row, column| CellAddress { row, column };
    rooms.merged = vec![(cell(1, 3), cell(2, 3)), (cell(1, 1), cell(2, 1))];
    let got = read_sheets(vec![rooms.clone()]);
    assert!(
        got.errors()
            .contains("is 40 sq ft meant for each room or for all together?")
    );
    rooms.merged.pop();
    rooms.rows[2]
        .1
        .insert(1, (1, Cell::plain(Value::Text("30 sq ft".into()))));
    let got = read_sheets(vec![rooms]);
    let plywood = got.values("substrate");
    assert_eq!(plywood[0], plywood[1]);
}

#[test]
fn a_missing_hidden_or_doubled_rooms_sheet_is_named() {
    let good: &[&[&str]] = &[&["Room", "Area", "Depth"], &["A", "1 sq ft", "1 in"]];
    let hidden = Sheet {
        visible: false,
        ..sheet("Rooms", good)
    };
    let got = read_sheets(vec![hidden, sheet("Notes", &[&["hello"]])]);
    assert!(
        got.errors()
            .contains("There is a hidden sheet called Rooms")
    );
    let got = read_sheets(vec![sheet("First", good), sheet("Second", good)]);
    assert!(got.errors().contains("more than one sheet looks like"));
    let got = read_sheets(vec![sheet("First", good)]);
    assert_eq!(got.values("area"), [144.0]);
    let got = read_sheets(vec![sheet("Rooms", &[&["Room", "Area", "Depth"]])]);
    assert!(got.errors().contains("there is no room below the headings"));
    let got = read_sheets(vec![sheet(
        "Rooms",
        &[&["Room", "Area"], &["A", "1 sq ft"]],
    )]);
    assert!(got.errors().contains("there is no column Depth"));
}
