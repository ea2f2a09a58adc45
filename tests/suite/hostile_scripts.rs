//! Recipes that mean harm, through the whole program: each ends with a pointing error.

use pourwright_tests::story::Story;

const SHOP: &str = "name = \"Wary\"\nrecipes = [\"leveling\", \"evil\"]\n";
const TAKEOFF: &str = "Room,Area (sq ft),Average depth (in),Leveler,Primer\nA,10,1,Demo Level Standard,Demo Prime Porous\n";
const PRICES: &str = include_str!("../../cli/demo/prices.toml");

#[track_caller]
fn stopped(script: &str) {
    let story = Story::new()
        .file("shop.toml", SHOP)
        .file("prices.toml", PRICES)
        .file("takeoff.csv", TAKEOFF)
        .file("takeoff-bid.xlsx", "earlier")
        .file(
            "recipes/evil/recipe.toml",
            "name = \"evil\"\n[inputs.area]\nunit = \"sq ft\"\n",
        )
        .file("recipes/evil/room.rhai", script);
    let told = story.run(&["bid", "{}/takeoff.csv"]);
    let start: String = script.chars().take(80).collect();
    assert_eq!(told.code, 1, "{start} is let through:\n{}", told.out);
    assert!(
        told.err.contains("room.rhai"),
        "{start} has no place:\n{}",
        told.err
    );
    assert_eq!(
        story.read("takeoff-bid.xlsx"),
        b"earlier",
        "{start} touches the earlier workbook"
    );
}

#[test]
fn scripts_cannot_run_for_ever() {
    for script in [
        "loop { }",
        "while true { let x = 1; }",
        "let n = 0; loop { n += 1; }",
        "for i in count(1000) { for j in count(1000) { for k in count(1000) { } } }",
        "let n = 0.0; while n < 1e18 { n += 1; }",
        "let x = room.area; while x > 0.sqft { x = x + 1.sqft; }",
        "fn f(x) { f(x + 1) + f(x + 2) } f(1);",
        "fn a(x) { b(x) } fn b(x) { a(x) } a(1);",
        "do { } while true;",
        "let i = 0; until_done(i);",
    ] {
        stopped(script);
    }
}

#[test]
fn scripts_cannot_fill_the_memory() {
    let long = format!("let s = \"{}\";", "x".repeat(1_000_000));
    stopped(&long);
    for script in [
        "let s = \"x\"; loop { s += s; }",
        "let a = []; loop { a += [a]; }",
        "let a = [1]; for i in count(1000) { a = [a, a, a]; }",
        "let m = #{}; loop { m = #{a: m, b: m}; }",
        "let d = room.area; for i in count(500) { d = d + d; } let e = d;",
        "let d = room.area; for i in count(1000) { for j in count(100) { d = d * 1; } }",
    ] {
        stopped(script);
    }
}

#[test]
fn scripts_cannot_break_the_reader() {
    let nested = |open: &str, close: &str| {
        format!("let x = {}1{};", open.repeat(20_000), close.repeat(20_000))
    };
    for script in [
        nested("(", ")"),
        nested("[", "]"),
        nested("-", ""),
        nested("!", ""),
        nested("if true { ", " } else { 2 }"),
        "{".repeat(20_000),
        "\"".repeat(20_001),
        format!("{}let x = ;", "/*".repeat(20_000)),
        format!("let x = 1{};", " + 1".repeat(20_000)),
        "let \u{e9} = 1;".to_owned(),
        "let x = '\u{0}\u{1};".to_owned(),
        "`${`${`${".to_owned(),
    ] {
        stopped(&script);
    }
}

#[test]
fn scripts_reach_nothing_outside() {
    for script in [
        "import \"/etc/passwd\" as p;",
        "let t = timestamp();",
        "sleep(10);",
        "eval(\"1\");",
        "print(\"x\");",
        "debug(\"x\");",
        "let f = Fn(\"f\");",
        "let r = rand();",
        "open(\"/etc/passwd\");",
        "let x = room.area.to_int();",
        "let x = parse_float(\"1\");",
        "let x = type_of(room.area);",
        "try { let x = 1.inch + 1.h; } catch { }",
        "throw 1;",
        "export const x = 1;",
    ] {
        stopped(script);
    }
}
