//! The demo workbook as text: every cell with its formula, so that a change of any is seen in review.

use pourwright_tests::oracle::Recalculated;
use pourwright_tests::story::Story;

#[test]
fn the_demo_workbook_reads_as_before() {
    let story = Story::new();
    assert_eq!(story.run(&["tryout", "{}/demo"]).code, 0);
    let text = Recalculated::new(&story.read("demo/bid.xlsx")).as_text();
    // The first alternate shows how the sheets of all are written.
    let is_further = |line: &str| {
        let sheet = line.split('!').next().unwrap_or_default();
        sheet.ends_with(" alt 2") || sheet.ends_with(" alt 3")
    };
    let lines: Vec<&str> = text.lines().filter(|line| !is_further(line)).collect();
    insta::assert_snapshot!(lines.join("\n"));
}
