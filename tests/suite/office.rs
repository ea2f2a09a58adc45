//! The demo workbook in LibreOffice, where it is installed: recalculated by force it gives the
//! same numbers, and no page of it shows an error.

use std::fs;
use std::process::Command;

use engine::grid::{self, Value};
use pourwright_tests::story::Story;

/// Makes LibreOffice recalculate on loading instead of trusting stored results.
const ALWAYS_RECALCULATE: &str = r#"<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item>
</oor:items>
"#;

/// Converts a file of the story; false when LibreOffice is not installed.
fn convert(story: &Story, name: &str, format: &str) -> bool {
    let profile = story.path("profile");
    fs::create_dir_all(profile.join("user")).unwrap();
    fs::write(
        profile.join("user/registrymodifications.xcu"),
        ALWAYS_RECALCULATE,
    )
    .unwrap();
    let status = Command::new("soffice")
        .arg(format!(
            "-env:UserInstallation=file://{}",
            profile.display()
        ))
        .args(["--headless", "--convert-to", format, "--outdir"])
        .arg(story.path("converted"))
        .arg(story.path(name))
        .output();
    status.is_ok_and(|output| output.status.success())
}

#[test]
fn the_demo_recalculates_the_same_in_another_office() {
    let story = Story::new();
    assert_eq!(story.run(&["tryout", "{}/demo"]).code, 0);
    match recalculates_the_same(&story, "demo/bid.xlsx") {
        Some(compared) => println!("{compared} numbers are the same in LibreOffice"),
        None => println!("LibreOffice is not installed here: nothing was compared with it"),
    }
}

/// A workbook of the story gives the same numbers in LibreOffice, and no error. Gives how many
/// were compared; nothing where it is not installed.
pub(super) fn recalculates_the_same(story: &Story, name: &str) -> Option<usize> {
    if !convert(story, name, "xlsx") {
        return None;
    }
    let read = |name: &str| grid::read("bid.xlsx", &story.read(name)).unwrap();
    let file = name.rsplit('/').next().unwrap_or(name);
    let (ours, theirs) = (read(name), read(&format!("converted/{file}")));
    let mut compared = 0;
    for sheet in &ours.sheets {
        let other = theirs
            .sheets
            .iter()
            .find(|other| other.name == sheet.name)
            .unwrap();
        for (row, cells) in &sheet.rows {
            for (column, cell) in cells {
                let Value::Number(number) = cell.value else {
                    continue;
                };
                let place = ours.place(sheet, *row, *column);
                let found = other.cell(*row, *column).map(|cell| cell.value.clone());
                let Some(Value::Number(recalculated)) = found else {
                    panic!("{place}: {number} became {found:?}");
                };
                let off = (number - recalculated).abs();
                assert!(
                    off <= 1e-9 * number.abs().max(1.0),
                    "{place}: {number} became {recalculated}"
                );
                compared += 1;
            }
        }
        for (row, cells) in &other.rows {
            for (column, cell) in cells {
                let place = theirs.place(other, *row, *column);
                assert!(
                    !matches!(cell.value, Value::Error(_)),
                    "{place} shows {}",
                    cell.shown()
                );
            }
        }
    }
    assert!(compared > 200);
    Some(compared)
}
