use super::*;
use crate::diag::render::to_text;
use crate::quantity::{Currency, Dimension, Units};

#[test]
fn all_mistakes_of_a_file_are_shown_at_once() {
    let source = SourceText::new(
        "shop.toml",
        "name = 5\nwast = \"10 %\"\ndepth = \"3 lb\"\nrange = \"1 in .. 2 im\"\n[inner]\nflag = \"yes\"\n",
    );
    let mut findings = Findings::new();
    let units = Units::new(Currency::default()).unwrap();
    let document = Document::parse(&source, &mut findings);
    let root = document.root();
    assert_eq!(root.text("name", &mut findings), None);
    assert!(root.get("waste").is_none());
    let depth = root.get("depth").unwrap();
    assert!(
        depth
            .quantity(&units, Dimension::LENGTH, None, &mut findings)
            .is_none()
    );
    let range = root.get("range").unwrap();
    assert!(range.range(&units, None, &mut findings).is_none());
    let inner = root.section("inner", &mut findings).unwrap();
    assert!(!inner.flag("flag", &mut findings));
    inner.require("rate", "\"$65/h\"", &mut findings);
    inner.close(&mut findings);
    root.close(&mut findings);
    assert_eq!(findings.error_count(), 6);
    let text = to_text(&findings, false);
    for part in [
        "name must be a text in quotes",
        "shop.toml:3",
        "this is weight (lb)",
        "\"im\" is not a unit",
        "inner.flag must be true or false",
        "inner lacks rate",
        "Did you mean waste?",
        "6 mistakes found",
    ] {
        assert!(text.contains(part), "{part} is missing in:\n{text}");
    }
}

#[test]
fn broken_toml_points_at_every_break() {
    let source = SourceText::new("shop.toml", "a = \nb = 2\nc = = 3\n");
    let mut findings = Findings::new();
    let document = Document::parse(&source, &mut findings);
    assert!(findings.error_count() >= 2);
    assert_eq!(
        document.root().get("b").and_then(|item| item.written()),
        Some("2".into())
    );
}
