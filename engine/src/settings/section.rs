//! A section of a TOML file: keys are asked for by name, and what nobody asked for is a mistake.

use std::cell::RefCell;
use std::ops::Range;
use std::sync::Arc;

use toml::de::DeTable;

use super::Item;
use crate::diag::{Diagnostic, Findings, Place, SourceText, near_name, quoted};

/// A section with its keys.
#[derive(Debug)]
pub struct Section<'d> {
    source: &'d Arc<SourceText>,
    table: &'d DeTable<'d>,
    range: Range<usize>,
    path: String,
    asked: RefCell<Vec<String>>,
}

impl<'d> Section<'d> {
    pub(super) fn new(
        source: &'d Arc<SourceText>,
        table: &'d DeTable<'d>,
        range: Range<usize>,
        path: String,
    ) -> Self {
        Self {
            source,
            table,
            range,
            path,
            asked: RefCell::default(),
        }
    }

    /// Where the section stands.
    pub fn place(&self) -> Place {
        Place::Text {
            source: self.source.clone(),
            range: self.range.clone(),
        }
    }

    fn dotted(&self, key: &str) -> String {
        if self.path.is_empty() {
            key.to_owned()
        } else {
            format!("{}.{key}", self.path)
        }
    }

    /// The item under a key, if there is one.
    pub fn get(&self, key: &str) -> Option<Item<'d>> {
        self.asked.borrow_mut().push(key.to_owned());
        let value = self.table.get(key)?;
        Some(Item {
            source: self.source,
            value: value.get_ref(),
            range: value.span(),
            key: self.dotted(key),
        })
    }

    /// The item under a key that must be there.
    pub fn require(&self, key: &str, expected: &str, findings: &mut Findings) -> Option<Item<'d>> {
        let item = self.get(key);
        if item.is_none() {
            let whose = if self.path.is_empty() {
                self.source.name.clone()
            } else {
                self.path.clone()
            };
            findings.push(
                Diagnostic::error(format!("{whose} lacks {key}"))
                    .at(self.place())
                    .label(format!("expected {key} = {expected}")),
            );
        }
        item
    }

    /// The text under a key, if there is one.
    pub fn text(&self, key: &str, findings: &mut Findings) -> Option<String> {
        self.get(key)?.text(findings)
    }

    /// The texts under a key; none when the key is not there.
    pub fn texts(&self, key: &str, findings: &mut Findings) -> Vec<String> {
        self.get(key)
            .and_then(|item| item.texts(findings))
            .unwrap_or_default()
    }

    /// Whether a key says true.
    pub fn flag(&self, key: &str, findings: &mut Findings) -> bool {
        self.get(key)
            .and_then(|item| item.flag(findings))
            .unwrap_or(false)
    }

    /// The section under a key, if there is one.
    pub fn section(&self, key: &str, findings: &mut Findings) -> Option<Section<'d>> {
        self.get(key)?.section(findings)
    }

    /// All items of this section with their keys and the keys' places, in file order.
    pub fn items(&self) -> Vec<(String, Place, Item<'d>)> {
        self.table
            .iter()
            .map(|(key, value)| {
                let name = key.get_ref().to_string();
                self.asked.borrow_mut().push(name.clone());
                let item = Item {
                    source: self.source,
                    value: value.get_ref(),
                    range: value.span(),
                    key: self.dotted(&name),
                };
                let place = Place::Text {
                    source: self.source.clone(),
                    range: key.span(),
                };
                (name, place, item)
            })
            .collect()
    }

    /// All sections within the section under a key, with their names, in file order.
    pub fn sections(
        &self,
        key: &str,
        findings: &mut Findings,
    ) -> Vec<(String, Place, Section<'d>)> {
        let Some(outer) = self.section(key, findings) else {
            return Vec::new();
        };
        outer
            .items()
            .into_iter()
            .filter_map(|(name, place, item)| Some((name, place, item.section(findings)?)))
            .collect()
    }

    /// Says of every key that nobody asked for that it is unknown.
    pub fn close(&self, findings: &mut Findings) {
        let asked = self.asked.borrow();
        for (key, _) in self.table {
            let name = key.get_ref().as_ref();
            if asked.iter().any(|known| known == name) {
                continue;
            }
            let near = near_name(name, asked.iter().map(String::as_str));
            findings.push(
                Diagnostic::error(format!("{} is not a known key", quoted(&self.dotted(name))))
                    .at(Place::Text {
                        source: self.source.clone(),
                        range: key.span(),
                    })
                    .maybe_hint(near.map(|near| format!("Did you mean {near}?"))),
            );
        }
    }
}
