//! The README holds: its files are laid out, its commands are run, and what they print is what it shows.
//!
//! With `UPDATE_README=1` the README is written anew with what the commands print now.

use std::process::Command;

use pourwright_tests::story::Story;

const README: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../README.md");
const PROGRAM: &str = env!("CARGO_BIN_EXE_pourwright-under-test");

/// What a line of the README belongs to.
enum Part {
    Text,
    File { name: String, text: String },
    Console,
}

#[test]
fn the_readme_shows_what_is_printed() {
    let shown = std::fs::read_to_string(README).unwrap();
    let mut story = Story::new();
    let mut now = String::new();
    let mut part = Part::Text;
    let mut next_file = None;
    let mut commands = 0;
    for line in shown.lines() {
        match &mut part {
            Part::Text => {
                if let Some(name) = line.strip_prefix("<!-- file: ") {
                    next_file = Some(name.trim_end_matches(" -->").to_owned());
                } else if line == "```console" {
                    part = Part::Console;
                } else if line.starts_with("```")
                    && let Some(name) = next_file.take()
                {
                    let text = String::new();
                    part = Part::File { name, text };
                }
            }
            Part::File { name, text } => {
                if line == "```" {
                    story = story.file(name, text);
                    part = Part::Text;
                } else {
                    text.push_str(line);
                    text.push('\n');
                }
            }
            Part::Console => {
                if line == "```" {
                    part = Part::Text;
                } else if let Some(command) = line.strip_prefix("$ ") {
                    commands += 1;
                    now.push_str(&format!("{line}\n{}", printed(&story, command)));
                    continue;
                } else {
                    // What was printed when the README was written.
                    continue;
                }
            }
        }
        now.push_str(line);
        now.push('\n');
    }
    assert!(commands >= 5, "the README shows commands");
    if std::env::var_os("UPDATE_README").is_some() {
        std::fs::write(README, &now).unwrap();
        return;
    }
    let first = shown.lines().zip(now.lines()).find(|(a, b)| a != b);
    assert!(
        shown == now,
        "the README shows what is no longer printed (UPDATE_README=1 writes it anew), first: {first:?}"
    );
}

fn printed(story: &Story, command: &str) -> String {
    let mut words = command.split_whitespace();
    assert_eq!(words.next(), Some("pourwright"), "{command}");
    let output = Command::new(PROGRAM)
        .args(words)
        .current_dir(story.path(""))
        .env("NO_COLOR", "1")
        .output()
        .unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    let all = [text(output.stdout), text(output.stderr)];
    let lines = all.iter().flat_map(|text| text.lines());
    lines.map(|line| format!("{}\n", line.trim_end())).collect()
}
