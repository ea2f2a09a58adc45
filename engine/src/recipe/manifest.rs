//! The manifest of a recipe: what it asks for and what it declares.

use std::sync::Arc;

use super::Recipe;
use super::factor::FactorSpec;
use super::files::RecipeFiles;
use super::stand_in::{StandIn, read_stand_ins};
use super::texts::BidTexts;
use crate::diag::{Diagnostic, Findings, Place, SourceText, near_name, quoted};
use crate::pricebook::{KindSpec, is_script_name, read_unit_item};
use crate::quantity::{Dimension, Unit, Units};
use crate::settings::{Document, Section};
use crate::takeoff::{InputKind, InputSpec, InputValue, TableSpec};
use crate::trail::{Choice, TableId};

/// How a cell is shown.
#[derive(Clone, Debug, PartialEq)]
pub struct CellSpec {
    /// The cell.
    pub name: String,
    /// Heading for people.
    pub title: String,
    /// Unit in US customary bids.
    pub us: Option<Unit>,
    /// Unit in SI bids.
    pub si: Option<Unit>,
}

/// What a recipe declares.
#[derive(Clone, Debug)]
pub struct Manifest {
    /// Its name.
    pub name: String,
    /// Its name for people.
    pub title: String,
    /// Its version.
    pub version: String,
    /// Its licence.
    pub licence: String,
    /// What it does, in one sentence.
    pub summary: String,
    /// Whether only shops that name it use it; others get every recipe where they name none.
    pub only_if_named: bool,
    /// Recipes whose cells it reads and that must be there.
    pub uses: Vec<String>,
    /// Cells of recipes that it reads where the job has them, and what stands in otherwise.
    pub without: Vec<StandIn>,
    /// Inputs of a room.
    pub inputs: Vec<InputSpec>,
    /// Tables below rooms.
    pub tables: Vec<TableSpec>,
    /// Inputs of the job.
    pub job: Vec<InputSpec>,
    /// Factors.
    pub factors: Vec<FactorSpec>,
    /// How its cells are shown.
    pub cells: Vec<CellSpec>,
    /// Texts for the bid.
    pub texts: BidTexts,
    /// The manifest file as a whole.
    pub place: Place,
}

/// What reading a manifest needs beyond the file.
struct ManifestContext<'a> {
    units: &'a Units,
    /// Kinds of product with their tables.
    products: &'a [(String, TableId)],
}

/// Reads the kinds of product that a recipe asks for; the rest of its manifest comes
/// after the price book has declared its packages.
pub fn read_kinds(files: &RecipeFiles, units: &Units, findings: &mut Findings) -> Vec<KindSpec> {
    let Some(source) = files.get("recipe.toml") else {
        return Vec::new();
    };
    // Mistakes of syntax are said when the manifest is read as a whole.
    let document = Document::parse(source, &mut Findings::new());
    document
        .root()
        .sections("products", findings)
        .into_iter()
        .map(|(name, _, section)| KindSpec::read((&name, &files.name), &section, units, findings))
        .collect()
}

impl Recipe {
    /// Reads a recipe from its files.
    pub fn read(
        files: &RecipeFiles,
        units: &Units,
        products: &[(String, TableId)],
        findings: &mut Findings,
    ) -> Option<Self> {
        let Some(source) = files.get("recipe.toml") else {
            findings.push(Diagnostic::error(format!(
                "recipe {} has no recipe.toml",
                files.name
            )));
            return None;
        };
        let context = ManifestContext { units, products };
        let manifest = Manifest::read(source, &files.name, &context, findings)?;
        let room = files.get("room.rhai").cloned();
        let children: Vec<_> = files
            .child_scripts()
            .map(|(row, text)| (row.to_owned(), text.clone()))
            .collect();
        for (row, text) in &children {
            if !manifest.tables.iter().any(|table| table.row == *row) {
                findings.push(
                    Diagnostic::error(format!("{row}.rhai belongs to no table of the recipe"))
                        .at(Place::File(text.name.as_str().into()))
                        .hint(format!("Declare [tables.{row}] in recipe.toml, or name the script room.rhai or job.rhai.")),
                );
            }
        }
        Some(Self {
            manifest,
            room,
            children,
            job: files.get("job.rhai").cloned(),
            files: files.clone(),
        })
    }
}

impl Manifest {
    fn read(
        source: &Arc<SourceText>,
        name: &str,
        context: &ManifestContext<'_>,
        findings: &mut Findings,
    ) -> Option<Self> {
        let document = Document::parse(source, findings);
        let root = document.root();
        let stated = root.require("name", "\"leveling\"", findings)?;
        if stated.text(findings)? != name || !is_script_name(name) {
            findings.push(
                Diagnostic::error(format!("the recipe in folder {name} must have that name"))
                    .at(stated.place())
                    .hint("Use small letters, digits and _."),
            );
        }
        let text =
            |key: &str, findings: &mut Findings| root.text(key, findings).unwrap_or_default();
        let inputs = |key: &str, findings: &mut Findings| -> Vec<InputSpec> {
            root.sections(key, findings)
                .into_iter()
                .filter_map(|(input, place, section)| {
                    let input = read_input(&input, place, &section, name, context, findings);
                    section.close(findings);
                    input
                })
                .collect()
        };
        let manifest = Self {
            name: name.to_owned(),
            title: root
                .text("title", findings)
                .unwrap_or_else(|| name.to_owned()),
            version: text("version", findings),
            licence: text("licence", findings),
            summary: text("summary", findings),
            only_if_named: root.flag("only_if_named", findings),
            uses: root.texts("uses", findings),
            without: read_stand_ins(&root, context.units, findings),
            inputs: inputs("inputs", findings),
            tables: read_tables(&root, name, context, findings),
            job: inputs("job", findings),
            factors: root
                .sections("factors", findings)
                .into_iter()
                .filter_map(|(name, place, section)| {
                    FactorSpec::read(&name, place, &section, context.units, findings)
                })
                .collect(),
            cells: read_cells(&root, context.units, findings),
            texts: BidTexts::read(&root, findings),
            place: Place::File(source.name.as_str().into()),
        };
        // Kinds of product were read before the price book; here they are only known keys.
        root.get("products");
        root.close(findings);
        Some(manifest)
    }
}

fn read_cells(root: &Section<'_>, units: &Units, findings: &mut Findings) -> Vec<CellSpec> {
    let mut cells = Vec::new();
    for (name, _, section) in root.sections("cells", findings) {
        let mut unit = |key: &str| {
            section
                .get(key)
                .and_then(|item| read_unit_item(&item, units, findings))
        };
        let (us, si) = (unit("unit"), unit("metric"));
        cells.push(CellSpec {
            title: section
                .text("title", findings)
                .unwrap_or_else(|| name.replace('_', " ")),
            name,
            us,
            si,
        });
        section.close(findings);
    }
    cells
}

fn read_tables(
    root: &Section<'_>,
    recipe: &str,
    context: &ManifestContext<'_>,
    findings: &mut Findings,
) -> Vec<TableSpec> {
    let mut tables = Vec::new();
    for (row, _, section) in root.sections("tables", findings) {
        let inputs = section
            .sections("inputs", findings)
            .into_iter()
            .filter_map(|(input, place, inner)| {
                let input = read_input(&input, place, &inner, recipe, context, findings);
                inner.close(findings);
                input
            })
            .collect();
        tables.push(TableSpec {
            rows: section
                .text("rows", findings)
                .unwrap_or_else(|| format!("{row}s")),
            title: section
                .text("title", findings)
                .unwrap_or_else(|| format!("{row}s")),
            survey: section.text("survey", findings),
            row,
            inputs,
        });
        section.close(findings);
    }
    tables
}

/// Reads one input; the caller closes the section.
fn read_input(
    name: &str,
    place: Place,
    section: &Section<'_>,
    recipe: &str,
    context: &ManifestContext<'_>,
    findings: &mut Findings,
) -> Option<InputSpec> {
    if !is_script_name(name) {
        findings.push(
            Diagnostic::error(format!("{} cannot name an input", quoted(name))).at(place.clone()),
        );
    }
    let units = context.units;
    let choice = read_choice(section, context, findings);
    let mut unit = |key: &str| {
        section
            .get(key)
            .and_then(|item| read_unit_item(&item, units, findings))
    };
    let (us, si) = (unit("unit"), unit("metric"));
    let dimension = us.as_ref().map(|unit| unit.dimension);
    let kind = match (&choice, dimension) {
        (Some(choice), _) => InputKind::Text(choice.clone()),
        (None, Some(dimension)) => InputKind::Quantity(dimension),
        // What is wrong with them was said when they were read.
        (None, None) if section.get("product").is_some() || section.get("choices").is_some() => {
            return None;
        }
        (None, None) => {
            findings.push(
                Diagnostic::error(format!("input {name} says neither unit nor choices nor product nor survey nor text"))
                    .at(place)
                    .hint("Write unit = \"sq ft\", choices = [\"a\", \"b\"], product = \"leveler\", or text = true."),
            );
            return None;
        }
    };
    let us = us.unwrap_or_else(Unit::plain);
    let si = si.unwrap_or_else(|| us.clone());
    if si.dimension != us.dimension {
        findings.push(
            Diagnostic::error(format!(
                "unit and metric of input {name} measure different things"
            ))
            .at(place.clone()),
        );
    }
    let mut bound = |key: &str, open: f64| match section.get(key) {
        Some(item) => item
            .quantity(units, us.dimension, Some(&us), findings)
            .map_or(open, |reading| reading.quantity.value),
        None => open,
    };
    let (least, most) = (bound("least", 0.0), bound("most", f64::INFINITY));
    let default = read_default(section, &kind, &us, units, findings);
    Some(InputSpec {
        name: name.to_owned(),
        title: section
            .text("title", findings)
            .unwrap_or_else(|| name.replace('_', " ")),
        headings: section.texts("headings", findings),
        kind,
        us,
        si,
        default,
        required: section.flag("required", findings),
        unless: section.text("unless", findings),
        survey: section.text("survey", findings),
        least,
        most,
        why: section.text("why", findings).unwrap_or_default(),
        asked_by: vec![recipe.to_owned()],
        place,
    })
}

fn read_choice(
    section: &Section<'_>,
    context: &ManifestContext<'_>,
    findings: &mut Findings,
) -> Option<Choice> {
    if let Some(item) = section.get("choices") {
        return item.texts(findings).map(Choice::OneOf);
    }
    if let Some(item) = section.get("product") {
        let kind = item.text(findings)?;
        let found = context.products.iter().find(|(known, _)| *known == kind);
        if found.is_none() {
            let near = near_name(
                &kind,
                context.products.iter().map(|(known, _)| known.as_str()),
            );
            findings.push(
                Diagnostic::error(format!("{} is no kind of product", quoted(&kind)))
                    .at(item.place())
                    .hint(match near {
                        Some(near) => format!("Did you mean {near}?"),
                        None => format!("Declare [products.{kind}] in this manifest."),
                    }),
            );
        }
        return found.map(|(_, table)| Choice::ProductOf(*table));
    }
    let names_a_sheet = section.get("survey").is_some();
    (section.flag("text", findings) || names_a_sheet).then_some(Choice::Free)
}

fn read_default(
    section: &Section<'_>,
    kind: &InputKind,
    unit: &Unit,
    units: &Units,
    findings: &mut Findings,
) -> Option<InputValue> {
    let item = section.get("default")?;
    match kind {
        InputKind::Quantity(dimension) => {
            let plain = *dimension == Dimension::NONE;
            let reading = item.quantity(units, *dimension, plain.then_some(unit), findings)?;
            Some(InputValue::Quantity(reading.quantity))
        }
        InputKind::Text(Choice::OneOf(list)) => {
            let text = item.text(findings)?;
            if !list.contains(&text) {
                findings.push(
                    Diagnostic::error(format!("{} is not one of the choices", quoted(&text)))
                        .at(item.place()),
                );
            }
            Some(InputValue::Text(text))
        }
        InputKind::Text(_) => item.text(findings).map(InputValue::Text),
    }
}
