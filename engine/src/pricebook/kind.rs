//! What recipes ask of a kind of product.

use crate::diag::{Diagnostic, Findings};
use crate::measure::read_unit;
use crate::quantity::{Dimension, System, Unit, Units};
use crate::settings::{Item, Section};

/// A kind of product, such as leveler or primer, and the fields asked for.
#[derive(Clone, Debug, PartialEq)]
pub struct KindSpec {
    /// Name in scripts.
    pub name: String,
    /// Name for people.
    pub title: String,
    /// Fields beyond price, weight and pallet size.
    pub fields: Vec<FieldSpec>,
}

/// A field of a product.
#[derive(Clone, Debug, PartialEq)]
pub struct FieldSpec {
    /// Name in scripts.
    pub name: String,
    /// Heading for people and in price sheets.
    pub title: String,
    /// Unit it is shown in; `package` stands for whatever the product comes in.
    pub unit: Unit,
    /// Unit it is shown in by shops that work in SI units.
    pub metric: Unit,
    /// Whether it is a range, and so two columns: `…_from` and `…_to`.
    pub range: bool,
    /// The recipes for which every product must have it; none where it may be left out.
    pub required_by: Vec<String>,
    /// Why it is asked for.
    pub why: String,
}

/// One column of a product table.
#[derive(Clone, Debug, PartialEq)]
pub struct FieldColumn {
    /// Name in scripts.
    pub name: String,
    /// Heading.
    pub title: String,
    /// Unit.
    pub unit: Unit,
    /// Why it is there.
    pub why: String,
}

impl KindSpec {
    /// All fields: price, weight and pallet size first.
    pub fn all_fields(&self, units: &Units) -> Vec<FieldSpec> {
        let read = |unit: &str| read_unit(unit, units).unwrap_or_else(|_| Unit::plain());
        let standard = |name: &str, title: &str, unit: &str, required, why: &str| FieldSpec {
            name: name.to_owned(),
            title: title.to_owned(),
            unit: read(unit),
            metric: read(if name == "weight" { "kg/package" } else { unit }),
            range: false,
            required_by: if required {
                vec!["every recipe".to_owned()]
            } else {
                Vec::new()
            },
            why: why.to_owned(),
        };
        let price = format!("{}/package", units.currency().symbol);
        let mut fields = vec![
            standard(
                "price",
                "Price",
                &price,
                true,
                "What one package costs the shop, before tax.",
            ),
            standard(
                "weight",
                "Weight",
                "lb/package",
                false,
                "Weight of one package, for delivery.",
            ),
            standard(
                "pallet",
                "Pallet",
                "package",
                false,
                "Packages on one pallet.",
            ),
        ];
        fields.extend(self.fields.iter().cloned());
        fields
    }

    /// All columns, ranges as two.
    pub fn columns(&self, units: &Units, system: System) -> Vec<FieldColumn> {
        self.all_fields(units)
            .into_iter()
            .flat_map(|field| {
                let column = |suffix: &str, ending: &str| FieldColumn {
                    name: format!("{}{suffix}", field.name),
                    title: format!("{}{ending}", field.title),
                    unit: match system {
                        System::Us => field.unit.clone(),
                        System::Si => field.metric.clone(),
                    },
                    why: field.why.clone(),
                };
                if field.range {
                    vec![column("_from", ", from"), column("_to", ", to")]
                } else {
                    vec![column("", "")]
                }
            })
            .collect()
    }

    /// Joins what two recipes ask of one kind; contradictions are findings.
    pub fn join(&mut self, other: KindSpec, asking: &str, findings: &mut Findings) {
        for field in other.fields {
            match self
                .fields
                .iter_mut()
                .find(|known| known.name == field.name)
            {
                None => self.fields.push(field),
                Some(known)
                    if known.unit.dimension == field.unit.dimension
                        && known.range == field.range =>
                {
                    known.required_by.extend(field.required_by);
                }
                Some(_) => findings.push(Diagnostic::error(format!(
                    "recipe {asking} asks for {}.{} in another unit than the recipe before it",
                    self.name, field.name
                ))),
            }
        }
    }

    /// What no recipe in use requires may be left out.
    pub fn relax(&mut self, in_use: &[String]) {
        for field in &mut self.fields {
            field.required_by.retain(|recipe| in_use.contains(recipe));
        }
    }

    /// Reads `[products.NAME]` of a recipe's manifest.
    pub fn read(
        (name, recipe): (&str, &str),
        section: &Section<'_>,
        units: &Units,
        findings: &mut Findings,
    ) -> Self {
        let title = section
            .text("title", findings)
            .unwrap_or_else(|| name.to_owned());
        let fields = section
            .sections("fields", findings)
            .into_iter()
            .filter_map(|(name, _, section)| read_field((&name, recipe), &section, units, findings))
            .collect();
        section.close(findings);
        Self {
            name: name.to_owned(),
            title,
            fields,
        }
    }
}

fn read_field(
    (name, recipe): (&str, &str),
    section: &Section<'_>,
    units: &Units,
    findings: &mut Findings,
) -> Option<FieldSpec> {
    let unit = section.require("unit", "\"cu ft/package\"", findings);
    let unit = unit.and_then(|item| read_unit_item(&item, units, findings))?;
    let metric = section.get("metric").and_then(|item| {
        let metric = read_unit_item(&item, units, findings)?;
        if metric.dimension != unit.dimension {
            item.wrong_dimension(units, metric.dimension, unit.dimension, findings);
        }
        Some(metric)
    });
    let field = FieldSpec {
        name: name.to_owned(),
        title: section
            .text("title", findings)
            .unwrap_or_else(|| name.replace('_', " ")),
        metric: metric.unwrap_or_else(|| unit.clone()),
        unit,
        range: section.flag("range", findings),
        required_by: if section.flag("required", findings) {
            vec![recipe.to_owned()]
        } else {
            Vec::new()
        },
        why: section.text("why", findings).unwrap_or_default(),
    };
    section.close(findings);
    Some(field)
}

/// Reads an item that is a unit.
pub(crate) fn read_unit_item(
    item: &Item<'_>,
    units: &Units,
    findings: &mut Findings,
) -> Option<Unit> {
    let text = item.text(findings)?;
    if text.is_empty() {
        return Some(Unit::plain());
    }
    match read_unit(&text, units) {
        Ok(unit) => Some(unit),
        Err(error) => {
            findings.push(
                Diagnostic::error(format!("{} is not a unit", item.key))
                    .at(item.place())
                    .label(error.to_string()),
            );
            None
        }
    }
}

/// Whether a dimension is money per package.
pub(super) fn is_price(dimension: Dimension) -> bool {
    dimension.times(Dimension::package(crate::quantity::PackageId::ANY)) == Ok(Dimension::MONEY)
}
