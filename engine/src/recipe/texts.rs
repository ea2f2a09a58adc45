//! Texts that a recipe puts on the bid: scope, exclusions, cautions.

use crate::diag::Findings;
use crate::settings::{Item, Section};

/// Texts that a recipe puts on the bid.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct BidTexts {
    /// What the work is.
    pub scope: Vec<String>,
    /// What is not part of it.
    pub exclusions: Vec<Exclusion>,
    /// What everybody should know beforehand.
    pub cautions: Vec<String>,
}

/// What is not part of the work, unless another recipe of the job makes it part.
#[derive(Clone, Debug, PartialEq)]
pub struct Exclusion {
    /// What is not included.
    pub text: String,
    /// Recipes that include it: the exclusion falls away where the job has one of them.
    pub unless: Vec<String>,
}

impl Exclusion {
    /// Whether it stands on the bid of a job with certain recipes.
    pub fn stands<'r>(&self, mut recipes: impl Iterator<Item = &'r str>) -> bool {
        !recipes.any(|recipe| self.unless.iter().any(|other| other == recipe))
    }

    /// A text in quotes, or `{ text = "…", unless = "recipe" }`.
    fn read(item: &Item<'_>, findings: &mut Findings) -> Option<Self> {
        if !item.is_section() {
            let text = item.text(findings)?;
            return Some(Self {
                text,
                unless: Vec::new(),
            });
        }
        let section = item.section(findings)?;
        let text = section.require("text", "\"what is not included\"", findings);
        let exclusion = Self {
            text: text?.text(findings)?,
            unless: section.texts("unless", findings),
        };
        section.close(findings);
        Some(exclusion)
    }
}

impl BidTexts {
    /// Reads `[bid]` of a manifest.
    pub(super) fn read(root: &Section<'_>, findings: &mut Findings) -> Self {
        let Some(section) = root.section("bid", findings) else {
            return Self::default();
        };
        let exclusions = match section.get("exclusions") {
            // One text alone is a list of one, as for all texts.
            Some(item) if item.written().is_some() => vec![item],
            Some(item) => item.list(findings).unwrap_or_default(),
            None => Vec::new(),
        };
        let texts = Self {
            scope: section.texts("scope", findings),
            exclusions: exclusions
                .iter()
                .filter_map(|item| Exclusion::read(item, findings))
                .collect(),
            cautions: section.texts("cautions", findings),
        };
        section.close(findings);
        texts
    }
}
