//! What scripts can do, and what they are told when they cannot.

mod lookups;
mod stage;

use super::*;
use crate::diag::render::to_text;
use crate::diag::{Outcome, Place, SourceText};
use crate::plugin::Registry;
use crate::quantity::{Currency, Dimension, System, Unit, Units};
use crate::trail::{
    Choice, Column, Form, InputFacts, Kind, Ledger, Origin, Ref, Role, Single, SingleRole, Table,
    TableId,
};
use stage::{error, last, stage};

#[test]
fn arithmetic_reads_as_written() {
    assert_eq!(last("let half = 1/2;"), 0.5);
    assert_eq!(last("let x = 7/100;"), 0.07);
    assert_eq!(last("let x = (room.average_depth + 0.25.inch) * 2;"), 3.0);
    assert_eq!(last("let x = -room.average_depth + 2.inch;"), 0.75);
    assert_eq!(last("let x = room.area / 10.foot;"), 144.0);
    assert_eq!(last("let x = 2.foot ** 2;"), 576.0);
    assert_eq!(last("let n = 2; let x = n * 3;"), 6.0);
    assert_eq!(last("const n = 2; let x = n * 1.inch;"), 2.0);
    assert_eq!(
        last("let d = 0.inch; for i in count(3) { d += 1.inch; } let x = d;"),
        3.0
    );
    assert_eq!(
        last("fn twice(x) { x * 2 } let x = twice(room.average_depth);"),
        2.5
    );
    assert_eq!(
        last("let x = step_table(room.average_depth, factor.rates) * 1.h;"),
        0.96 * 3600.0
    );
    assert_eq!(last("let x = total(rooms.area);"), 120.0 * 144.0);
    assert_eq!(last("let x = room.average_depth; x = x + 1.inch;"), 2.25);
}

#[test]
fn volume_labour_and_bags_are_what_they_should_be() {
    let text = "let underlayment = book.leveler(room.leveler);\nlet volume = room.area * room.average_depth * (1 + factor.waste);\nmaterial(\"Underlayment\", underlayment, volume);\nlabour(\"Pour\", volume / factor.pour_rate, rate.crew);\ncharge(\"Trip\", 5.money);\ncaution(room.average_depth.above(underlayment.depth_to), \"too deep\");";
    let mut stage = stage();
    let run = stage.run(text).unwrap();
    let value = |node: crate::trail::NodeId| run.trail.values[node.index()];
    let bags = run.items[0].quantity;
    assert!((value(bags) - 120.0 * 1.25 / 12.0 * 1.1 / 0.45).abs() < 1e-9);
    let bag = stage.ledger.units.find("bag").unwrap().dimension;
    assert_eq!(run.trail.nodes[bags.index()].kind, Kind::Number(bag));
    assert_eq!(&*run.trail.nodes[bags.index()].unit.label, "bag");
    let hours = run.items[1].quantity;
    assert_eq!(
        run.trail.nodes[hours.index()].kind,
        Kind::Number(Dimension::TIME)
    );
    assert_eq!(run.items[2].kind, ItemKind::Charge);
    assert_eq!(value(run.cautions[0].when), 0.0);
    let forks = run.trail.forks.len();
    assert_eq!(
        forks, 1,
        "only that the leveler has a greatest depth: Fast has none"
    );
    let names: Vec<_> = run.cells.iter().map(|cell| cell.name.as_str()).collect();
    assert_eq!(names, ["underlayment", "volume"]);
}

#[test]
fn branches_are_forks_and_live_choices_are_not() {
    let forks = |text: &str| {
        let mut stage = stage();
        let run = stage
            .run(text)
            .unwrap_or_else(|f| panic!("{text}\n{}", to_text(&f, false)));
        let list: Vec<bool> = run.trail.forks.iter().map(|fork| fork.expected).collect();
        list
    };
    assert_eq!(
        forks("let x = if room.average_depth > 1.inch { 1 } else { 2 };"),
        [true]
    );
    assert_eq!(
        forks("let x = if room.average_depth != 1.25.inch { 1 } else { 2 };"),
        [true]
    );
    assert_eq!(
        forks("let x = if room.substrate == \"PLYWOOD\" { 1 } else { 2 };"),
        [true]
    );
    assert_eq!(
        forks("let x = if is_blank(room.edge) { 1 } else { 2 };"),
        [false]
    );
    assert_eq!(
        forks("let x = if holds(given(room.edge)) { 1 } else { 2 };"),
        [false]
    );
    assert_eq!(
        forks("let n = round_up(2.5); for i in count(n) { }"),
        [true]
    );
    assert_eq!(
        forks("let x = choose(room.average_depth.above(1.inch), 1.inch, 2.inch);"),
        [] as [bool; 0]
    );
    assert_eq!(
        forks("let x = if_blank(room.edge, 3.foot);"),
        [] as [bool; 0]
    );
    assert_eq!(
        forks("let x = choose(!room.substrate.same_as(\"tile\"), 1, 2);"),
        [] as [bool; 0]
    );
}

#[test]
fn numbers_written_in_a_script_have_a_place() {
    let mut stage = stage();
    stage.run("let a = room.average_depth * 2;\nlet b = 1.5.inch + 0.inch;\nlet c = 1.5.inch + 2.5.inch;").unwrap();
    let written: Vec<_> = stage
        .ledger
        .singles()
        .filter(|(_, single)| single.role == SingleRole::Written)
        .map(|(_, single)| (single.name.as_str(), single.value))
        .collect();
    assert_eq!(
        written,
        [
            ("test_line_1", 2.0),
            ("test_line_2", 1.5),
            ("test_line_3", 1.5),
            ("test_line_3_2", 2.5)
        ]
    );
}

#[test]
fn mistakes_say_what_each_side_is_and_where() {
    let cases = [
        (
            "let x = room.area + room.average_depth;",
            "cannot add length (in) to area (sq ft)",
        ),
        (
            "let x = room.area > 5;",
            "cannot compare area (sq ft) with a plain number",
        ),
        (
            "let x = 5 > room.average_depth;",
            "Write the number with its unit, such as 1.5.inch.",
        ),
        ("let x = room.aera;", "Did you mean area?"),
        ("let x = rom.area;", "Did you mean room?"),
        ("let x = maxx(1, 2);", "Did you mean max?"),
        ("let x = max(1.inch);", "Write max(a, b, …)"),
        (
            "let x = max(1.inch, 2.h);",
            "argument 2 of max is time (h), expected length (in)",
        ),
        ("let x = 1.5.inhc;", "Did you mean inch?"),
        ("let x = 1\nlet y = 2;", "a ; is missing"),
        ("let x = (1;", "is missing"),
        ("let match = 1;", "keeps this word for itself"),
        ("switch room.area { _ => 1 }", "Use if … else …"),
        (
            "let x = 1; let x = 2;",
            "to change a cell, write x = … without let",
        ),
        ("let room = 1;", "room is defined already"),
        ("let x = room.edge + 1.foot;", "edge is blank in this row"),
        ("let x = room.substrate + 1;", "a text is not a number"),
        (
            "let x = room.substrate > \"a\";",
            "can only be compared with == and !=",
        ),
        ("let x = 1.inch / 0.inch;", "this divides by zero"),
        ("let x = 1.0 / 0.0;", "divides by zero or is too large"),
        ("while true { }", "does not come to an end"),
        (
            "fn f(x) { f(x) } f(1);",
            "functions call each other too deep",
        ),
        ("let s = \"a\"; while true { s += s; }", "grows too large"),
        ("if room.area { }", "need a comparison"),
        (
            "if room.area.above(1.sqft) && true { }",
            "need a comparison",
        ),
        ("let s = `a ${room.area}`;", "cannot be put into a text"),
        ("let s = \"a\" + room.area;", "a text is not a number"),
        (
            "let x = book.grout(\"x\");",
            "no recipe asks for products of kind \"grout\"",
        ),
        ("let x = book.leveler(\"Gray\");", "Did you mean Grey?"),
        (
            "let x = book.leveler(\"Fast\").depth_to;",
            "Fast has no depth_to in the price book",
        ),
        (
            "let x = book.leveler(room.leveler).yeilds;",
            "Did you mean yields?",
        ),
        (
            "let x = book.leveler(room.leveler).yield;",
            "The yield of a product is called yields.",
        ),
        (
            "material(\"U\", book.leveler(room.leveler), 3.h);",
            "time (h) cannot be turned into bags of leveler",
        ),
        ("material(\"U\", room.area, 3.bag);", "expected a product"),
        (
            "labour(\"L\", room.area, rate.crew);",
            "area (sq ft) times money per time ($/h) is not money",
        ),
        (
            "labour(\"L\", 3.h, factor.waste);",
            "must be a rate of the price book",
        ),
        ("charge(\"C\", 3.h);", "a charge is money, this is time (h)"),
        ("caution(room.area, \"x\");", "expected a condition"),
        (
            "caution(room.area.above(1.sqft), \"\");",
            "a caution needs a text",
        ),
        ("let x = total(room.area);", "total sums a whole column"),
        ("let x = rooms.area + 1;", "this is a whole column"),
        ("for i in 3 { }", "a loop needs a count"),
        ("for i in count(2.5) { }", "a loop cannot run 2.5 times"),
        ("for i in count(1e9) { }", "at most 1000 turns"),
        ("let x;", "cell x has no value"),
        (
            "let x = step_table(room.area, factor.rates);",
            "cannot compare area (sq ft) with length (in)",
        ),
        ("eval(\"1\");", "keeps this word for itself"),
        ("room.area = 1;", "cannot be changed"),
        ("let x = round_to(5.inch, 0.inch);", "must not be zero"),
    ];
    for (text, part) in cases {
        let message = error(text);
        assert!(
            message.contains(part),
            "{text}\n{part} is missing in:\n{message}"
        );
        assert!(
            message.contains("room.rhai:"),
            "{text} has no place:\n{message}"
        );
    }
}

#[test]
fn a_mistake_shows_its_line_and_points_at_its_token() {
    let message = error(
        "// the volume\nlet volume = room.area * room.average_depth;\nlet sum = volume + room.area;\n",
    );
    assert!(message.contains("room.rhai:3:18"), "{message}");
    assert!(
        message.contains("let sum = volume + room.area;"),
        "{message}"
    );
    let message = error("let a = 1\nlet b = 2;");
    assert!(message.contains("room.rhai:1:9"), "{message}");
    let message = error("fn half(x) {\n  x / 0\n}\nlet a = half(room.area);");
    assert!(
        message.contains("room.rhai:2:5") && message.contains("called from here"),
        "{message}"
    );
}

#[test]
fn all_mistakes_of_a_script_are_shown_and_none_that_only_follows() {
    let message = error(
        "let a = room.aera;\nlet b = a * 2;\nlet c = room.area + 1.inch;\nlet d = ;\nlet e = c + d;\nlet f = zz;\n",
    );
    assert!(message.contains("4 mistakes found"), "{message}");
}

#[test]
fn hostile_scripts_end_with_an_error() {
    let deep = format!("let x = {}1{};", "(".repeat(5000), ")".repeat(5000));
    let long = format!("let x = \"{}\";", "a".repeat(60_000));
    let too_long = "// x\n".repeat(20_000);
    let many: String = (0..400).map(|n| format!("let a{n} = {n};\n")).collect();
    let grow = "let a = [1]; for i in count(1000) { a = [a, a]; }".to_owned();
    let nodes =
        "let d = 1.inch; for i in count(1000) { for j in count(1000) { d = d + d; } }".to_owned();
    let written = "let d = 1.inch; for i in count(1000) { d = d + i.inch; }".to_owned();
    let strings = "let s = \"x\"; for i in count(1000) { s = s + s; }".to_owned();
    for text in [deep, long, too_long, many, grow, nodes, written, strings] {
        let message = error(&text);
        assert!(message.contains("mistake"), "{message}");
    }
}

#[test]
fn a_replay_equals_the_script_to_the_bit() {
    let mut stage = stage();
    let run = stage
        .run("let u = book.leveler(room.leveler);\nlet v = room.area * max(room.average_depth, 0.3.inch) * (1 + factor.waste) / u.yields;\nlet w = choose(v.above(10.bag), v / 3, v * 7);\nif room.average_depth > 1.inch { charge(\"x\", 5.money); }")
        .unwrap();
    let shape = crate::trail::Shape {
        nodes: run.trail.nodes,
        forks: run.trail.forks,
        ..crate::trail::Shape::default()
    };
    let mut values = Vec::new();
    assert!(shape.replay(&stage.ledger, stage.room, 0, &mut values));
    assert_eq!(values, run.trail.values);
    let depth = stage
        .ledger
        .table(stage.room)
        .column_named("average_depth")
        .unwrap();
    stage.ledger.table_mut(stage.room).column_mut(depth).values[0] = 0.5;
    assert!(
        !shape.replay(&stage.ledger, stage.room, 0, &mut values),
        "the fork comes out the other way"
    );
}

#[test]
fn every_example_of_the_standard_functions_is_true() {
    let registry = Registry::new(&[]).unwrap();
    for (_, function) in registry.functions() {
        let text = format!("let yes = if {} {{ 1 }} else {{ 0 }};", function.example);
        assert_eq!(last(&text), 1.0, "{}", function.example);
        assert!(function.form != Form::Fixed);
    }
}
