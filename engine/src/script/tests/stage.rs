//! A room, its products and its factors, for scripts to run on.

use std::sync::Arc;

use super::*;

/// One room with area 120 sq ft, depth 1.25 in, substrate plywood, and a blank edge;
/// two levelers; factors, a step table, a rate.
pub(super) struct Stage {
    pub(super) host: Host,
    pub(super) scene: Scene,
    pub(super) ledger: Ledger,
    pub(super) room: TableId,
}

fn column(name: &str, kind: Kind, unit: &Unit, values: Vec<f64>, blank: bool) -> Column {
    Column {
        name: name.into(),
        title: name.into(),
        note: String::new(),
        kind,
        unit: Arc::new(unit.clone()),
        role: Role::Input,
        group: String::new(),
        input: Some(InputFacts {
            may_be_blank: blank,
            least: 0.0,
            most: f64::INFINITY,
            choice: Choice::Free,
            job_value: None,
            origins: vec![Origin::Typed],
            sheet_column: None,
        }),
        values,
    }
}

pub(super) fn stage() -> Stage {
    let mut units = Units::new(Currency::default()).unwrap();
    let bag = units.declare_package("bag").unwrap();
    let units = Arc::new(units);
    let mut ledger = Ledger::new(units.clone(), System::Us);
    let unit = |text: &str| crate::measure::read_unit(text, &units).unwrap();
    let number = |text: &str| Kind::Number(unit(text).dimension);

    let mut leveler = Table::new("leveler", "Leveler", vec!["Grey".into(), "Fast".into()]);
    leveler.package = Some(bag);
    leveler.row_packages = vec![bag, bag];
    for (name, text, values) in [
        ("price", "$/bag", vec![38.5, 52.0]),
        ("yields", "cu ft/bag", vec![777.6, 864.0]),
        ("depth_to", "in", vec![1.5, f64::NAN]),
    ] {
        leveler.add(column(name, number(text), &unit(text), values, false));
    }
    let leveler = ledger.add_table(leveler);

    let mut steps = Table::new("steps", "Steps", vec!["1".into(), "2".into()]);
    steps.add(column(
        "from",
        number("in"),
        &unit("in"),
        vec![0.0, 1.0],
        false,
    ));
    steps.add(column(
        "value",
        number("cu ft/h"),
        &unit("cu ft/h"),
        vec![0.48, 0.96],
        false,
    ));
    let steps = ledger.add_table(steps);

    let mut room = Table::new("room", "Rooms", vec!["Bath".into()]);
    let plywood = ledger.texts.intern("plywood").to_value();
    let grey = ledger.texts.intern("grey").to_value();
    let area = room.add(column(
        "area",
        number("sq ft"),
        &unit("sq ft"),
        vec![120.0 * 144.0],
        false,
    ));
    let depth = room.add(column(
        "average_depth",
        number("in"),
        &unit("in"),
        vec![1.25],
        false,
    ));
    let edge = room.add(column(
        "edge",
        number("ft"),
        &unit("ft"),
        vec![f64::NAN],
        true,
    ));
    let substrate = room.add(column(
        "substrate",
        Kind::Text,
        &Unit::plain(),
        vec![plywood],
        false,
    ));
    let product = room.add(column(
        "leveler",
        Kind::Text,
        &Unit::plain(),
        vec![grey],
        false,
    ));
    let room = ledger.add_table(room);

    let mut single = |name: &str, text: &str, value: f64, role| {
        ledger.add_single(Single {
            name: name.into(),
            title: name.into(),
            kind: number(text),
            unit: Arc::new(unit(text)),
            value: unit(text).to_base(value),
            role,
            group: "test".into(),
            why: String::new(),
            source: String::new(),
            least: 0.0,
            most: f64::INFINITY,
            choice: Choice::Free,
            may_be_blank: false,
            place: Place::Nowhere,
        })
    };
    let waste = single("waste", "%", 10.0, SingleRole::Factor);
    let rate = single("pour_rate", "cu ft/h", 12.0, SingleRole::Factor);
    let crew = single("rate_crew", "$/h", 65.0, SingleRole::Rate);
    let set = |name: &str, entries: Vec<(&str, Entry)>| NameSet {
        name: name.into(),
        called: format!("the {name}"),
        entries: entries
            .into_iter()
            .map(|(n, e)| (n.to_owned(), e))
            .collect(),
        hint: "No such thing.".into(),
    };
    let value = |r| Entry::Value(r);
    let scene = Scene {
        recipe: "test".into(),
        names: vec![
            set(
                "room",
                vec![
                    ("area", value(Ref::Column(area))),
                    ("average_depth", value(Ref::Column(depth))),
                    ("edge", value(Ref::Column(edge))),
                    ("substrate", value(Ref::Column(substrate))),
                    ("leveler", value(Ref::Column(product))),
                ],
            ),
            set(
                "factor",
                vec![
                    ("waste", value(Ref::Single(waste))),
                    ("pour_rate", value(Ref::Single(rate))),
                    ("rates", Entry::Steps(steps)),
                ],
            ),
            set("rate", vec![("crew", value(Ref::Single(crew)))]),
            set("rooms", vec![("area", Entry::Column(Ref::All(room, area)))]),
        ],
        products: vec![("leveler".into(), leveler)],
        questions: Vec::new(),
        figures: Vec::new(),
        worked: None,
    };
    let registry = Registry::new(&[]).unwrap();
    let host = Host::new(&registry, &units, &["leveler".into()]);
    Stage {
        host,
        scene,
        ledger,
        room,
    }
}

impl Stage {
    pub(super) fn run(&mut self, text: &str) -> Outcome<ScriptRun> {
        let source = SourceText::new("room.rhai", text);
        let script = self.host.load(&source, &mut self.ledger)?;
        self.host
            .run(&script, &self.scene, &mut self.ledger, self.room, 0)
    }
}

/// The value of the last cell in base units.
pub(super) fn last(text: &str) -> f64 {
    let mut stage = stage();
    let run = stage
        .run(text)
        .unwrap_or_else(|f| panic!("{text}\n{}", to_text(&f, false)));
    let cell = run.cells.last().unwrap();
    run.trail.values[cell.node.index()]
}

pub(super) fn error(text: &str) -> String {
    let mut stage = stage();
    match stage.run(text) {
        Ok(_) => panic!("no mistake was found in:\n{text}"),
        Err(findings) => to_text(&findings, false),
    }
}
