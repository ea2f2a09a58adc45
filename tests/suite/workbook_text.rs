//! The demo workbook as text: every cell with its formula, so that a change of any is seen in review.

use pourwright_tests::oracle::Recalculated;
use pourwright_tests::story::Story;

#[test]
fn the_demo_workbook_reads_as_before() {
    let story = Story::new();
    assert_eq!(story.run(&["tryout", "{}/demo"]).code, 0);
    insta::assert_snapshot!(Recalculated::new(&story.read("demo/bid.xlsx")).as_text());
}
