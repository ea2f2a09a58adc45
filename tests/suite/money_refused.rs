//! Money that cannot be meant is refused: in shop.toml, on the Job sheet, among allowances.

use super::money::{ROOMS, Rows, SHOP, story};

#[test]
fn money_that_cannot_be_meant_is_refused_with_its_place() {
    let wrong = |from: &str, to: &str| {
        assert!(SHOP.contains(from), "{from}");
        let told = story(&SHOP.replacen(from, to, 1), ROOMS).run(&["bid", "{}/shop/job.xlsx"]);
        assert_ne!(told.code, 0, "{to}");
        told.err
    };
    for (from, to, said) in [
        ("33.4 %", "23.4 %", "the payments add up to 90 %"),
        (
            "\"33.4 %\"",
            "\"133.4 %\"",
            "payments.part is out of bounds",
        ),
        ("\"$180\"", "\"-$180\"", "a fee must not be negative"),
        ("\"$180\"", "\"180 ft\"", "a fee is an amount of money"),
        (
            "\"2 %\"",
            "{ amount = \"2 %\", markup = true }",
            "a percentage of the price has the markup in it already",
        ),
        (
            "overhead = \"12 %\"",
            "overhead = \"120 %\"",
            "pricing.overhead is out of bounds",
        ),
        (
            "margin = \"20 %\"",
            "margin = \"20 %\"\nmarkup = \"25 %\"",
            "names both a markup and a margin",
        ),
    ] {
        let err = wrong(from, to);
        assert!(
            err.contains(said) && err.contains("shop.toml"),
            "{to}:\n{err}"
        );
    }
}

#[test]
fn all_mistakes_of_the_takeoff_are_shown_at_once() {
    let story = story(SHOP, ROOMS);
    let sheets: [(&str, Rows<'_>); 3] = [
        (
            "Job",
            &[
                &["Fee: Crane", "5 ft"],
                &["Fee: Parking", "-3"],
                &["Fee: parking", "3"],
            ],
        ),
        (
            "Rooms",
            &[
                &["Room", "Area (sq ft)", "Board", "Phase"],
                &["Attic", "100", "Thin", "a*"],
            ],
        ),
        (
            "Allowances",
            &[
                &["Allowance", "Room", "Amount"],
                &["Tile", "Atic", "$6/sq ft"],
                &["Trim", "", ""],
                &["", "", "$7"],
                &["Lamps", "", "3 ft"],
                &["Doors", "", "-$3"],
            ],
        ),
    ];
    let told = story
        .sheets("shop/wrong.xlsx", &sheets)
        .run(&["bid", "{}/shop/wrong.xlsx"]);
    assert_ne!(told.code, 0);
    for said in [
        "fee \"Crane\" cannot be used",
        "a fee must not be negative",
        "Phase of \"Attic\" is \"a*\"",
        "no room called \"Atic\"",
        "Did you mean Attic?",
        "the amount of \"Trim\" is blank",
        "row 4 says no allowance",
        "the amount of \"Lamps\" cannot be used",
        "the amount of \"Doors\" cannot be used: it must not be negative",
        "Allowances!",
        "Rooms!D2",
    ] {
        assert!(
            told.err.contains(said),
            "{said} is missing in:\n{}",
            told.err
        );
    }
}
