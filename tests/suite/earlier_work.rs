//! A bid that fails or is killed leaves the earlier workbook as it was.

use std::process::{Command, Stdio};
use std::time::Duration;

use pourwright_tests::story::Story;

const PROGRAM: &str = env!("CARGO_BIN_EXE_pourwright-under-test");

fn many_rooms() -> String {
    let mut text = "Room,Area (sq ft),Average depth (in),Leveler,Primer\n".to_owned();
    for index in 0..4000 {
        text.push_str(&format!(
            "Room {index},{},1,Demo Level Standard,Demo Prime Porous\n",
            20 + index % 90
        ));
    }
    text
}

#[test]
fn a_killed_bid_leaves_the_earlier_workbook() {
    let story = Story::new()
        .file("rooms.csv", &many_rooms())
        .file("rooms-bid.xlsx", "earlier");
    let mut killed = 0;
    for delay in [1, 20, 60, 120, 200, 300, 400, 500, 700] {
        let mut child = Command::new(PROGRAM)
            .arg("bid")
            .arg(story.path("rooms.csv"))
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(Duration::from_millis(delay));
        child.kill().unwrap();
        let status = child.wait().unwrap();
        let now = story.read("rooms-bid.xlsx");
        if status.success() {
            assert!(
                now.starts_with(b"PK"),
                "a bid that ended well wrote a workbook"
            );
            break;
        }
        killed += 1;
        let whole = now.ends_with(b"earlier") || now.starts_with(b"PK") && now.len() > 100_000;
        assert!(
            whole,
            "killed after {delay} ms, the workbook is neither the earlier one nor a new one"
        );
    }
    assert!(killed > 0, "no run was killed in time");
}

#[test]
fn a_bid_that_cannot_be_written_says_so() {
    let story = Story::new().file("rooms.csv", "Room,Area (sq ft),Average depth (in),Leveler,Primer\nA,10,1,Demo Level Standard,Demo Prime Porous\n");
    let told = story.run(&["bid", "{}/rooms.csv", "--out", "{}/nowhere/bid.xlsx"]);
    assert_eq!(told.code, 1);
    assert!(
        told.err
            .contains("cannot be written: there is no such file"),
        "{}",
        told.err
    );
    let told = story.run(&["bid", "{}/rooms.csv", "--out", "{}/rooms.csv"]);
    assert_eq!(told.code, 1);
    assert!(
        told.err.contains("would overwrite its own takeoff"),
        "{}",
        told.err
    );
    let told = story.run(&["bid", "{}/none.csv"]);
    assert!(
        told.err.contains("cannot be read: there is no such file"),
        "{}",
        told.err
    );
    assert_eq!(story.names(), ["rooms.csv"]);
}

#[test]
fn no_temporary_file_is_left_behind() {
    let story = Story::new();
    assert_eq!(story.run(&["tryout", "{}/demo"]).code, 0);
    let names = pourwright_tests::story::names_in(&story.path("demo"));
    assert_eq!(
        names,
        ["bid.xlsx", "prices.toml", "shop.toml", "takeoff.xlsx"]
    );
}

#[test]
fn nothing_is_laid_over_a_folder_in_use() {
    let story = Story::new().file("demo/mine.txt", "mine");
    for command in ["tryout", "begin"] {
        let told = story.run(&[command, "{}/demo"]);
        assert_eq!(told.code, 1);
        assert!(
            told.err.contains("exists already and is not empty"),
            "{}",
            told.err
        );
    }
    assert_eq!(
        pourwright_tests::story::names_in(&story.path("demo")),
        ["mine.txt"]
    );
}
