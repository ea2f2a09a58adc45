//! What a person sees: every command on the demo job.

use pourwright_tests::story::Story;
use serde_json::Value;

fn demo() -> Story {
    let story = Story::new();
    let told = story.run(&["tryout", "{}/demo"]);
    assert_eq!(told.code, 0, "{}", told.err);
    story
}

#[test]
fn tryout_lays_out_and_prices_the_demo() {
    let told = Story::new().run(&["tryout", "{}/demo"]);
    insta::assert_snapshot!("tryout", format!("{}----\n{}", told.out, told.err));
}

#[test]
fn help_is_written_for_contractors() {
    let story = Story::new();
    let mut all = story.run(&["--help"]).out;
    for command in [
        "tryout", "bid", "explain", "survey", "heat", "begin", "words", "prove",
    ] {
        let told = story.run(&[command, "--help"]);
        assert_eq!(told.code, 0);
        all.push_str(&format!("\n==== {command}\n{}", told.out));
    }
    insta::assert_snapshot!("help", all);
    assert_eq!(
        story.run(&["bids"]).code,
        2,
        "an unknown command is a mistake of usage"
    );
    assert_eq!(story.run(&["explain", "x.xlsx"]).code, 2);
}

#[test]
fn explain_goes_back_to_what_was_measured_and_priced() {
    let story = demo();
    let mut all = String::new();
    for what in [
        vec!["Kitchen", "volume"],
        vec!["Family room", "Primer"],
        vec!["closet", "price"],
        vec!["Self-leveling underlayment"],
        vec!["days"],
        vec!["total"],
    ] {
        let mut arguments = vec!["explain", "{}/demo/takeoff.xlsx"];
        arguments.extend(&what);
        let told = story.run(&arguments);
        assert_eq!(told.code, 0, "{what:?}: {}", told.err);
        all.push_str(&format!("==== {}\n{}", what.join(", "), told.out));
    }
    insta::assert_snapshot!("explain", all);
    for (wrong, near) in [
        (vec!["Kitchn", "volume"], "Did you mean Kitchen?"),
        (vec!["Kitchen", "volum"], "Did you mean volume?"),
        (vec!["totl"], "Did you mean total?"),
    ] {
        let mut arguments = vec!["explain", "{}/demo/takeoff.xlsx"];
        arguments.extend(&wrong);
        let told = story.run(&arguments);
        assert_eq!(told.code, 1);
        assert!(told.err.contains(near), "{wrong:?}: {}", told.err);
    }
}

#[test]
fn words_lists_the_vocabulary_and_explains_each() {
    let story = Story::new();
    insta::assert_snapshot!("words", story.run(&["words"]).out);
    for word in ["max", "round_up", "material", "caution", "inch"] {
        let told = story.run(&["words", word]);
        assert_eq!(told.code, 0, "{word}");
        assert!(told.out.contains(word), "{}", told.out);
    }
    let told = story.run(&["words", "materail"]);
    assert_eq!(told.code, 1);
    assert!(told.err.contains("Did you mean material?"), "{}", told.err);
    let json: Value = serde_json::from_str(&story.run(&["words", "--json"]).out).unwrap();
    assert!(json.as_array().unwrap().len() > 25);
}

#[test]
fn prove_runs_the_checks_of_recipes() {
    let story = demo();
    let told = story.run(&["prove", "--shop", "{}/demo"]);
    assert_eq!(told.code, 0, "{}", told.err);
    insta::assert_snapshot!("prove", told.out);
    let json: Value = serde_json::from_str(
        &story
            .run(&["prove", "leveling", "--json", "--shop", "{}/demo"])
            .out,
    )
    .unwrap();
    assert!(
        json.as_array()
            .unwrap()
            .iter()
            .all(|check| check["holds"] == true && check["source"] != "")
    );
    let told = story.run(&["prove", "levelling", "--shop", "{}/demo"]);
    assert!(
        told.code == 1 && told.err.contains("Did you mean leveling?"),
        "{}",
        told.err
    );
}

#[test]
fn json_is_for_other_programs() {
    let story = demo();
    let told = story.run(&["bid", "{}/demo/takeoff.xlsx", "--json"]);
    let json: Value = serde_json::from_str(&told.out).unwrap();
    assert_eq!(json["rooms"].as_array().unwrap().len(), 9);
    assert!(json["total"].as_f64().unwrap() > 1000.0);
    let told = story.run(&[
        "explain",
        "{}/demo/takeoff.xlsx",
        "Pantry",
        "depth",
        "--json",
    ]);
    let json: Value = serde_json::from_str(&told.out).unwrap();
    // Joints have a depth too.
    let depths = json.as_array().unwrap().iter();
    let depths: Vec<&Value> = depths.map(|found| &found["value"]).collect();
    assert!(depths.contains(&&Value::from("5/8 in")), "{depths:?}");
}

#[test]
fn the_nearest_shop_above_the_takeoff_counts() {
    let prices = include_str!("../../cli/demo/prices.toml");
    let takeoff = "Room,Area (sq ft),Average depth (in),Leveler,Primer\nA,10,1,Demo Level Standard,Demo Prime Porous\n";
    let story = Story::new()
        .file("shop.toml", "name = \"Outer\"\n")
        .file("prices.toml", prices)
        .file("jobs/inner/shop.toml", "name = \"Inner\"\n")
        .file("jobs/inner/prices.toml", prices)
        .file("jobs/inner/deep/takeoff.csv", takeoff)
        .file("jobs/other/takeoff.csv", takeoff);
    assert!(
        story
            .run(&["bid", "{}/jobs/inner/deep/takeoff.csv"])
            .out
            .contains("by Inner")
    );
    assert!(
        story
            .run(&["bid", "{}/jobs/other/takeoff.csv"])
            .out
            .contains("by Outer")
    );
    assert!(
        story
            .run(&[
                "bid",
                "{}/jobs/other/takeoff.csv",
                "--shop",
                "{}/jobs/inner"
            ])
            .out
            .contains("by Inner")
    );
    let told = story.run(&["bid", "{}/jobs/other/takeoff.csv", "--shop", "{}/jobs"]);
    assert!(
        told.code == 1 && told.err.contains("is no shop folder"),
        "{}",
        told.err
    );
}

#[test]
fn without_a_shop_the_invented_one_says_so() {
    let story = Story::new().file(
        "takeoff.csv",
        "Room,Area (sq ft),Average depth (in),Leveler,Primer\nA,10,1,Demo Level Standard,Demo Prime Porous\n",
    );
    let told = story.run(&["bid", "{}/takeoff.csv"]);
    assert!(
        told.out.contains("whose prices are invented"),
        "{}",
        told.out
    );
}
