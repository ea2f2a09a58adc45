//! Looking up: the largest product that fits, the next step, fields that may be blank.

use super::stage::{error, last, stage};
use super::*;

fn forks(text: &str) -> Vec<bool> {
    let run = stage().run(text);
    let run = run.unwrap_or_else(|f| panic!("{text}\n{}", to_text(&f, false)));
    run.trail.forks.iter().map(|fork| fork.expected).collect()
}

#[test]
fn the_largest_product_not_over_an_amount_is_chosen() {
    // Grey yields 0.45 cu ft a bag, Fast 0.5.
    let chosen = |most: &str| {
        last(&format!(
            "let x = largest(\"leveler\", \"yields\", {most} / 1.bag);"
        ))
    };
    assert_eq!(chosen("0.49.cuft"), 1.0);
    assert_eq!(chosen("0.5.cuft"), 2.0, "as large as allowed is allowed");
    assert_eq!(chosen("9.cuft"), 2.0);
    let priced =
        "let x = largest(\"leveler\", \"yields\", 9.cuft / 1.bag, \"price\", 38.5.money / 1.bag);";
    assert_eq!(last(priced), 1.0);
    // That it fits, and that its price is the one asked for, are forks; both fields are always given.
    assert_eq!(forks(priced), [true, true]);
    // A product without the field is none to choose, and that the chosen one has it is a fork.
    let deep = "let x = largest(\"leveler\", \"depth_to\", 9.inch);";
    assert_eq!(last(deep), 1.0);
    assert_eq!(forks(deep), [true, true]);
    assert_eq!(
        last("let x = largest(\"leveler\", \"depth_to\", room.average_depth * 2).price;"),
        38.5
    );
}

#[test]
fn what_does_not_fit_is_refused_with_the_nearest_two() {
    let message = error("let x = largest(\"leveler\", \"yields\", 0.3.cuft / 1.bag);");
    assert!(
        message.contains("the price book has no leveler with yields up to 0.3 cu ft/bag")
            && message.contains("The nearest are Grey (0.45 cu ft/bag) and Fast (0.5 cu ft/bag)."),
        "{message}"
    );
    let message = error("let x = largest(\"leveler\", \"depth_to\", 0.inch);");
    assert!(
        message.contains("The nearest is Grey (1 1/2 in)."),
        "{message}"
    );
    let message = error(
        "let x = largest(\"leveler\", \"yields\", 9.cuft / 1.bag, \"price\", 1.money / 1.bag);",
    );
    assert!(
        message.contains("There is none with price $1.00/bag at all."),
        "{message}"
    );
    for (text, part) in [
        (
            "largest(\"leveler\", \"yeilds\", 1.bag)",
            "Did you mean yields?",
        ),
        (
            "largest(\"levler\", \"yields\", 1.bag)",
            "no recipe asks for products of kind",
        ),
        (
            "largest(\"leveler\", \"yields\", 1.inch)",
            "cannot compare length (in) with volume per bag",
        ),
        (
            "largest(\"leveler\", \"depth_to\", room.edge)",
            "edge is blank in this row",
        ),
        (
            "largest(\"leveler\", \"depth_to\", \"deep\")",
            "a text is not a number",
        ),
        (
            "largest(\"leveler\", 3, 1.inch)",
            "a field needs a text in quotes",
        ),
        (
            "largest(\"leveler\", \"yields\")",
            "Write largest(kind, field, most)",
        ),
    ] {
        let message = error(&format!("let x = {text};"));
        assert!(
            message.contains(part),
            "{text}\n{part} is missing in:\n{message}"
        );
    }
}

#[test]
fn the_next_step_starts_at_or_above() {
    let next = |x: &str| last(&format!("let x = next_step({x}, factor.rates);"));
    assert_eq!((next("0.inch"), next("1.inch")), (0.48, 0.96));
    assert_eq!((next("-1.inch"), next("0.001.inch")), (0.48, 0.96));
    assert_eq!(forks("let x = next_step(1.inch, factor.rates);"), [true]);
    let message = error("let x = next_step(1.001.inch, factor.rates);");
    assert!(message.contains("above the last step"), "{message}");
    let message = error("let x = next_step(1.h, factor.rates);");
    assert!(
        message.contains("cannot compare time (h) with length (in)"),
        "{message}"
    );
}

#[test]
fn a_field_that_may_be_blank_is_asked_for() {
    assert_eq!(
        last("let x = if_blank(book.leveler(\"Fast\").depth_to, 7.inch);"),
        7.0
    );
    assert_eq!(
        last("let x = if_blank(book.leveler(\"Grey\").depth_to, 7.inch);"),
        1.5
    );
    let asked = "let x = if is_blank(book.leveler(\"Fast\").depth_to) { 3 } else { 4 };";
    assert_eq!((last(asked), forks(asked)), (3.0, vec![false]));
    assert_eq!(
        forks("let x = if_blank(book.leveler(\"Fast\").depth_to, 7.inch);"),
        [] as [bool; 0]
    );
    assert_eq!(forks("let x = book.leveler(\"Grey\").depth_to;"), [true]);
    assert_eq!(
        forks("let x = book.leveler(\"Grey\").yields;"),
        [] as [bool; 0]
    );
    let message = error("labour(\"L\", book.leveler(\"Fast\").depth_to, rate.crew);");
    assert!(
        message.contains("Fast has no depth_to in the price book"),
        "{message}"
    );
    let message = error("labour(\"L\", room.edge, rate.crew);");
    assert!(message.contains("edge is blank in this row"), "{message}");
}

#[test]
fn a_product_has_its_name_and_a_plain_number_counts_packages() {
    let mut stage = stage();
    let run = stage
        .run("let u = book.leveler(room.leveler);\nlet called = u.name;\nmaterial(\"U\", u, 2);")
        .unwrap();
    let value = |node: crate::trail::NodeId| run.trail.values[node.index()];
    let called = value(run.cells[1].node);
    assert_eq!(stage.ledger.texts.of_value(called), "Grey");
    let bags = run.items[0].quantity;
    assert_eq!(value(bags), 2.0);
    assert_eq!(&*run.trail.nodes[bags.index()].unit.label, "bag");
}

#[test]
fn a_script_that_is_done_says_nothing_more() {
    let mut stage = stage();
    let run = stage
        .run("let a = 1;\nif room.substrate == \"plywood\" { done(); }\nlet b = 2;\ncharge(\"C\", 5.money);")
        .unwrap();
    let names: Vec<_> = run.cells.iter().map(|cell| cell.name.as_str()).collect();
    assert_eq!(names, ["a"]);
    assert!(run.items.is_empty() && run.trail.forks.len() == 1);
}

#[test]
fn powers_have_a_value_or_are_refused() {
    assert_eq!(last("let x = power(9, 0.5);"), 3.0);
    assert_eq!(last("let x = power(-2, 3);"), -8.0);
    assert_eq!(last("let x = power(2, -1);"), 0.5);
    for text in ["power(0, 0)", "power(0, -1)", "power(-2, 0.5)"] {
        let message = error(&format!("let x = {text};"));
        assert!(message.contains("this power has no value"), "{message}");
    }
    let message = error("let x = power(2.inch, 2);");
    assert!(message.contains("expected a plain number"), "{message}");
}

#[test]
fn what_rooms_are_charged_is_summed_by_rate_and_recipe() {
    let hours = |text: &str| {
        let mut stage = stage();
        let table = Table::new("room", "Rooms", vec!["A".to_owned(), "B".to_owned()]);
        let rooms = stage.ledger.add_table(table);
        let unit = std::sync::Arc::new(stage.ledger.units.find("h").unwrap().clone());
        let mut worked = Vec::new();
        let rate = stage.ledger.single_named("rate_crew").unwrap();
        for (recipe, values) in [("one", [3600.0, 7200.0]), ("other", [f64::NAN, 1800.0])] {
            let column = stage.ledger.table_mut(rooms).add(Column {
                name: recipe.to_owned(),
                title: recipe.to_owned(),
                note: String::new(),
                kind: Kind::Number(Dimension::TIME),
                unit: unit.clone(),
                role: Role::Item,
                group: recipe.to_owned(),
                input: None,
                values: values.to_vec(),
            });
            worked.push(Worked {
                recipe: recipe.to_owned(),
                rate,
                amounts: Ref::All(rooms, column),
            });
        }
        stage.scene.worked = Some(worked);
        let run = stage
            .run(text)
            .unwrap_or_else(|findings| panic!("{}", to_text(&findings, false)));
        run.trail.values[run.cells[0].node.index()] / 3600.0
    };
    assert_eq!(hours("let x = worked(rate.crew);"), 3.5);
    assert_eq!(hours("let x = worked(rate.crew, \"other\");"), 0.5);
    assert_eq!(hours("let x = worked(rate.crew, \"third\") + 1.h;"), 1.0);
    assert!(error("let x = worked(rate.crew);").contains("job.rhai"));
    assert!(error("let x = worked(room.area);").contains("a rate of the price book"));
}
