//! Building and checking one product, whatever file it came from.

use super::entry::Entry;
use super::kind::{FieldSpec, is_price};
use super::{PriceBook, Product};
use crate::diag::{Diagnostic, Findings, Place, near_name, quoted};
use crate::quantity::{Dimension, PackageId, Unit, Units};
use crate::trail::fold;

/// A product before it is checked.
pub(super) struct RawProduct<'a> {
    pub(super) kind: (String, Place),
    pub(super) name: String,
    pub(super) place: Place,
    pub(super) entries: Vec<(String, Entry<'a>)>,
}

/// Longest product name: longer ones do not fit a drop-down.
const LONGEST_NAME: usize = 120;

impl RawProduct<'_> {
    fn entry(&self, name: &str) -> Option<&Entry<'_>> {
        self.entries
            .iter()
            .find(|(known, _)| known == name)
            .map(|(_, entry)| entry)
    }

    /// Makes the product's package a unit. Must be done for all products before any is checked.
    pub(super) fn declare_package(&self, units: &mut Units, findings: &mut Findings) {
        let Some(entry) = self.entry("package") else {
            return;
        };
        let Some(word) = entry.text(findings) else {
            return;
        };
        if let Err(error) = units.declare_package(&word) {
            findings.push(
                Diagnostic::error(format!("{} has no usable package", quoted(&self.name)))
                    .at(entry.place())
                    .label(error.to_string()),
            );
        }
    }

    /// Checks the product against its kind and adds it to the book.
    pub(super) fn add_to(&self, book: &mut PriceBook, units: &Units, findings: &mut Findings) {
        let (kind_name, kind_place) = &self.kind;
        let wanted = fold(kind_name);
        let names: Vec<String> = book
            .kinds
            .iter()
            .map(|kind| kind.spec.name.clone())
            .collect();
        let Some(kind) = book
            .kinds
            .iter_mut()
            .find(|kind| fold(&kind.spec.name) == wanted || fold(&kind.spec.title) == wanted)
        else {
            let near = near_name(kind_name, names.iter().map(String::as_str));
            findings.push(
                Diagnostic::error(format!(
                    "no recipe asks for products of kind {}",
                    quoted(kind_name)
                ))
                .at(kind_place.clone())
                .hint(match near {
                    Some(near) => format!("Did you mean {near}?"),
                    None => format!("The recipes ask for: {}.", names.join(", ")),
                }),
            );
            return;
        };
        if let Some(why) = unusable_name(&self.name) {
            findings.push(
                Diagnostic::error(format!(
                    "{} cannot be a product name: {why}",
                    quoted(&self.name)
                ))
                .at(self.place.clone()),
            );
            return;
        }
        let same = kind
            .products
            .iter()
            .find(|p| fold(&p.name) == fold(&self.name));
        if let Some(other) = same {
            findings.push(
                Diagnostic::error(format!(
                    "{} stands twice in the price book",
                    quoted(&self.name)
                ))
                .at(self.place.clone())
                .related(other.place.clone(), "it stands here too"),
            );
            return;
        }
        let Some(package) = self.package(units, findings) else {
            return;
        };
        let mut values = Vec::new();
        for field in kind.spec.all_fields(units) {
            self.read_field(&field, package, units, &mut values, findings);
        }
        let supplier = self
            .entry("supplier")
            .and_then(|entry| entry.text(findings));
        kind.products.push(Product {
            name: self.name.clone(),
            package,
            values,
            supplier: supplier.unwrap_or_default(),
            place: self.place.clone(),
        });
    }

    fn package(&self, units: &Units, findings: &mut Findings) -> Option<PackageId> {
        let Some(entry) = self.entry("package") else {
            self.lacks("package", "such as bag or pail", findings);
            return None;
        };
        // What is no word was said when packages were declared.
        let word = entry.text(findings)?.trim().to_lowercase();
        units.package(&word)
    }

    fn lacks(&self, what: &str, expected: &str, findings: &mut Findings) {
        findings.push(
            Diagnostic::error(format!("{} has no {what}", quoted(&self.name)))
                .at(self.place.clone())
                .label(format!("expected {what}, {expected}")),
        );
    }

    fn read_field(
        &self,
        field: &FieldSpec,
        package: PackageId,
        units: &Units,
        values: &mut Vec<f64>,
        findings: &mut Findings,
    ) {
        let blanks = if field.range { 2 } else { 1 };
        let Some(entry) = self.entry(&field.name) else {
            if !field.required_by.is_empty() {
                let expected = format!("in {}", field.unit.label);
                self.lacks(&field.title.to_lowercase(), &expected, findings);
            }
            values.extend(std::iter::repeat_n(f64::NAN, blanks));
            return;
        };
        let allowed = allowed_dimensions(field.unit.dimension, package);
        // Three need no unit: 40 on a pallet are packages, a price is in the shop's currency,
        // and 8 pieces are a plain number.
        let free = is_price(field.unit.dimension);
        let counts = field.unit.dimension.is_package_count() || field.unit == Unit::plain();
        let unit = (free || counts).then_some(&field.unit);
        let read = if field.range {
            entry.range(units, &allowed, unit, findings)
        } else {
            entry
                .quantity(units, &allowed, unit, findings)
                .map(|quantity| (quantity, quantity))
        };
        let Some((low, high)) = read else {
            values.extend(std::iter::repeat_n(f64::NAN, blanks));
            return;
        };
        if low.value < 0.0 || low.value == 0.0 && !free {
            let least = if free {
                "must not be negative"
            } else {
                "must be more than zero"
            };
            findings.push(
                Diagnostic::error(format!("{} of {} {least}", field.title, quoted(&self.name)))
                    .at(entry.place()),
            );
        }
        values.push(low.value);
        if field.range {
            values.push(high.value);
        }
    }
}

/// What a field may be written in: its own dimension with the product's package, with
/// "package" itself, or without naming the package at all.
fn allowed_dimensions(asked: Dimension, package: PackageId) -> Vec<Dimension> {
    let mut allowed: Vec<Dimension> = asked.with_package(package).into_iter().collect();
    allowed.push(asked);
    let per_package = asked
        .packages()
        .any(|(id, power)| id == PackageId::ANY && power == -1);
    if per_package {
        allowed.extend(asked.times(Dimension::package(PackageId::ANY)));
    }
    allowed
}

/// Why a text cannot name a product, if it cannot.
fn unusable_name(name: &str) -> Option<&'static str> {
    if name.trim().is_empty() {
        Some("it is blank")
    } else if name.chars().count() > LONGEST_NAME {
        Some("it is too long")
    } else if name.contains(['*', '?', '~']) {
        Some("a spreadsheet takes *, ? and ~ in a look-up for wild cards")
    } else if name.starts_with(['=', '<', '>', '+', '-', '@']) {
        Some("a spreadsheet takes a text that starts like this for a formula")
    } else if name.chars().any(char::is_control) {
        Some("it holds a control character")
    } else {
        None
    }
}
