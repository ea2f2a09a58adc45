//! A folder of wrong inputs, one for each mistake; the whole message of each is a snapshot.
//!
//! A case is a folder in `tests/wrong`; what it does not have is taken from `tests/wrong/right`.

use std::fs;
use std::path::Path;

use pourwright_tests::story::{Story, names_in};

/// Puts the files of a folder into a story, with the folders in it.
fn copy(mut story: Story, from: &Path, prefix: &str) -> Story {
    for name in names_in(from) {
        let path = from.join(&name);
        let inner = format!("{prefix}{name}");
        story = if path.is_dir() {
            copy(story, &path, &format!("{inner}/"))
        } else {
            story.bytes(&inner, &fs::read(&path).unwrap())
        };
    }
    story
}

fn wrong() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("wrong")
}

#[test]
fn the_right_job_is_right() {
    let story = copy(Story::new(), &wrong().join("right"), "");
    let told = story.run(&["bid", "{}/takeoff.csv"]);
    assert_eq!(told.code, 0, "{}", told.err);
    assert!(story.has("takeoff-bid.xlsx"));
}

#[test]
fn every_mistake_is_told_whole() {
    let cases = names_in(&wrong());
    for case in cases.iter().filter(|case| *case != "right") {
        let story = copy(Story::new(), &wrong().join("right"), "");
        let story = copy(story, &wrong().join(case), "").bytes("takeoff-bid.xlsx", b"earlier");
        let told = story.run(&["bid", "{}/takeoff.csv"]);
        assert_eq!(
            told.code, 1,
            "{case} must fail, but:\n{}{}",
            told.out, told.err
        );
        assert_eq!(told.out, "", "{case} prints a result");
        assert_eq!(
            story.read("takeoff-bid.xlsx"),
            b"earlier",
            "{case} touches the earlier workbook"
        );
        insta::assert_snapshot!(case.as_str(), told.err);
    }
}
