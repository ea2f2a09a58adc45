//! Near names for typing slips, and quoting of text from outside.

/// Characters of a foreign text that a message shows at most.
const SHOWN: usize = 60;

/// The candidate that a mistyped name most likely meant, if any is near.
pub fn near_name<'a>(name: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let wanted = name.to_lowercase();
    candidates
        .into_iter()
        .map(|candidate| {
            let likeness = strsim::jaro_winkler(&wanted, &candidate.to_lowercase());
            (likeness, candidate)
        })
        .filter(|(likeness, _)| *likeness > 0.8)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, candidate)| candidate)
}

/// A foreign text in quotes, shortened, with control characters made visible.
pub fn quoted(text: &str) -> String {
    let mut shown: String = text
        .chars()
        .take(SHOWN)
        .map(|c| if c.is_control() { '\u{fffd}' } else { c })
        .collect();
    if text.chars().nth(SHOWN).is_some() {
        shown.push('…');
    }
    format!("\"{shown}\"")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_finds_its_neighbour_and_a_stranger_does_not() {
        let names = ["average_depth", "area", "substrate"];
        assert_eq!(near_name("averge_depth", names), Some("average_depth"));
        assert_eq!(near_name("subtrate", names), Some("substrate"));
        assert_eq!(near_name("xyz", names), None);
    }

    #[test]
    fn quoting_hides_control_characters_and_length() {
        assert_eq!(quoted("a\u{1b}[31m"), "\"a\u{fffd}[31m\"");
        assert_eq!(quoted(&"x".repeat(500)).chars().count(), SHOWN + 3);
    }
}
