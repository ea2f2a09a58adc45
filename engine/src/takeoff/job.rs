//! The Job sheet: keys and values about the job as a whole.

use super::fee::{Fee, fee_key, read_fee};
use super::spec::{InputKind, InputSpec, InputValue, TakeoffSpec};
use crate::diag::{CellAddress, Diagnostic, Findings, Place, near_name, quoted};
use crate::grid::{Cell, Grid, Row, Sheet, UnitSources, cell_in, find_header, plain_heading};
use crate::measure::read_unit;
use crate::quantity::System;
use crate::trail::{Choice, Kind, Ledger, Single, SingleId, SingleRole, fold};

/// Keys of the Job sheet that every job has: the key, what it is for, other spellings.
pub const JOB_KEYS: [(&str, &str, &[&str]); 7] = [
    ("Job", "what the bid is called", &["job name", "project"]),
    ("Customer", "who the bid is for", &["client", "owner"]),
    (
        "Site",
        "where the work is",
        &["address", "site address", "location"],
    ),
    ("Date", "date of the bid", &["bid date"]),
    (
        "Valid until",
        "how long the price holds",
        &["valid", "valid to"],
    ),
    ("Prepared by", "who prepared it", &["estimator", "by"]),
    (
        "Units",
        "US or SI: the unit of numbers that have none beside them",
        &["unit system"],
    ),
];

/// What the Job sheet says about the job.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct JobFacts {
    /// What the bid is called.
    pub name: String,
    /// Who it is for.
    pub customer: String,
    /// Where the work is.
    pub site: String,
    /// Date of the bid, as written.
    pub date: String,
    /// How long the price holds, as written.
    pub valid_until: String,
    /// Who prepared it.
    pub prepared_by: String,
    /// The stated family of units.
    pub units: Option<System>,
}

/// A factor set for this job.
#[derive(Clone, Debug, PartialEq)]
pub struct Override {
    /// Recipe that declares the factor.
    pub recipe: String,
    /// The factor.
    pub factor: String,
    /// Its value in base units.
    pub value: f64,
    /// Where it was set.
    pub place: Place,
}

/// A job value for an input.
pub(super) struct JobInput {
    name: String,
    entry: Entry,
    pub(super) single: Option<SingleId>,
}

#[derive(Clone)]
struct Entry {
    key: String,
    cell: Cell,
    place: Place,
}

/// What was read of the job.
pub(super) struct Job {
    pub(super) facts: JobFacts,
    pub(super) overrides: Vec<Override>,
    pub(super) fees: Vec<Fee>,
    inputs: Vec<JobInput>,
    stated_fees: Vec<Entry>,
}

pub(super) fn is_job_sheet(name: &str) -> bool {
    fold(name) == "job"
}

/// Reads the Job sheet, or, where there is none, the rows above the headings of rooms.
pub(super) fn read(
    grid: &Grid,
    rooms: &Sheet,
    spec: &TakeoffSpec,
    remarks: &mut Findings,
    findings: &mut Findings,
) -> Job {
    let own = grid
        .sheets
        .iter()
        .find(|sheet| sheet.visible && sheet.name.as_deref().is_some_and(is_job_sheet));
    let (sheet, end) = match own {
        Some(sheet) => (sheet, u32::MAX),
        None => (
            rooms,
            find_header(rooms, &spec.rooms.wanted()).map_or(0, |header| header.row),
        ),
    };
    let mut job = Job {
        facts: JobFacts::default(),
        overrides: Vec::new(),
        fees: Vec::new(),
        inputs: Vec::new(),
        stated_fees: Vec::new(),
    };
    for (number, row) in sheet.rows.iter().take_while(|(row, _)| *row < end) {
        let Some(entry) = key_and_value(grid, sheet, *number, row) else {
            continue;
        };
        // Text above the headings is most often a title; only a Job sheet has keys alone.
        let known = job.take(&entry, spec, findings);
        if !known && own.is_some() {
            job.say_unknown(&entry, spec, remarks);
        }
    }
    job
}

/// The first cell of a row as key, and the cell right of it as value.
fn key_and_value(grid: &Grid, sheet: &Sheet, number: u32, row: &Row) -> Option<Entry> {
    let (key_column, key) = row.first()?;
    let here = CellAddress {
        row: number,
        column: *key_column,
    };
    // A key may be merged over several cells.
    let merged = sheet.merged.iter().find(|(first, _)| *first == here);
    let column = merged.map_or(*key_column, |(_, last)| last.column) + 1;
    let cell = cell_in(row, column)?;
    Some(Entry {
        key: key.shown().trim().trim_end_matches(':').to_owned(),
        cell: cell.clone(),
        place: grid.place(sheet, number, column),
    })
}

impl Job {
    fn take(&mut self, entry: &Entry, spec: &TakeoffSpec, findings: &mut Findings) -> bool {
        let plain = plain_heading(&entry.key);
        let known = JOB_KEYS
            .iter()
            .find(|(key, _, also)| plain_heading(key) == plain || also.contains(&plain.as_str()));
        if let Some((key, ..)) = known {
            self.take_fact(key, entry, findings);
            return true;
        }
        let inputs = spec.job.iter().chain(&spec.rooms.inputs);
        let (title, _) = title_and_unit(&entry.key);
        if let Some(input) = inputs
            .into_iter()
            .find(|input| input.goes_under(&entry.key) || input.goes_under(title))
        {
            self.inputs.push(JobInput {
                name: input.name.clone(),
                entry: entry.clone(),
                single: None,
            });
            return true;
        }
        let factor = spec
            .factors
            .iter()
            .find(|(recipe, factor, ..)| plain_heading(&format!("{recipe} {factor}")) == plain);
        if let Some((recipe, factor, ..)) = factor {
            self.overrides.push(Override {
                recipe: recipe.clone(),
                factor: factor.clone(),
                value: f64::NAN,
                place: entry.place.clone(),
            });
            self.inputs.push(JobInput {
                name: format!("{recipe}.{factor}"),
                entry: entry.clone(),
                single: None,
            });
            return true;
        }
        let is_fee = fee_key(&entry.key).is_some();
        if is_fee {
            self.stated_fees.push(entry.clone());
        }
        is_fee
    }

    fn take_fact(&mut self, key: &str, entry: &Entry, findings: &mut Findings) {
        let text = entry.cell.shown().trim().to_owned();
        let slot = match key {
            "Job" => &mut self.facts.name,
            "Customer" => &mut self.facts.customer,
            "Site" => &mut self.facts.site,
            "Date" => &mut self.facts.date,
            "Valid until" => &mut self.facts.valid_until,
            "Prepared by" => &mut self.facts.prepared_by,
            _ => {
                self.facts.units = read_system(&text);
                if self.facts.units.is_none() {
                    findings.push(
                        Diagnostic::error(format!("Units is {}, expected US or SI", quoted(&text)))
                            .at(entry.place.clone()),
                    );
                }
                return;
            }
        };
        *slot = text;
    }

    fn say_unknown(&self, entry: &Entry, spec: &TakeoffSpec, remarks: &mut Findings) {
        let names = JOB_KEYS.iter().map(|(key, ..)| *key).chain(
            spec.job
                .iter()
                .chain(&spec.rooms.inputs)
                .map(|input| input.title.as_str()),
        );
        let near = near_name(&entry.key, names);
        remarks.push(
            Diagnostic::warning(format!(
                "{} on the Job sheet is not used",
                quoted(&entry.key)
            ))
            .at(entry.place.clone())
            .maybe_hint(near.map(|near| format!("Did you mean {near}?"))),
        );
    }

    /// Enters what the Job sheet gives for inputs and factors, and reads its fees.
    pub(super) fn enter_inputs(
        &mut self,
        spec: &TakeoffSpec,
        system: Option<System>,
        ledger: &mut Ledger,
        findings: &mut Findings,
    ) {
        for input in &mut self.inputs {
            let declared = spec
                .job
                .iter()
                .chain(&spec.rooms.inputs)
                .find(|declared| declared.name == input.name);
            match declared {
                Some(declared) => {
                    input.single = enter(declared, Some(&input.entry), system, ledger, findings);
                }
                None => set_override(&mut self.overrides, input, spec, ledger, findings),
            }
        }
        for entry in &self.stated_fees {
            if let Some(key) = fee_key(&entry.key) {
                let cell = (&entry.cell, &entry.place);
                read_fee(key, cell, &ledger.units, &mut self.fees, findings);
            }
        }
        for declared in &spec.job {
            if !self.inputs.iter().any(|input| input.name == declared.name) {
                enter(declared, None, system, ledger, findings);
            }
        }
    }

    /// The single value that the job gives for an input.
    pub(super) fn value_for(&self, input: &str) -> Option<SingleId> {
        self.inputs.iter().find(|given| given.name == input)?.single
    }
}

fn set_override(
    overrides: &mut [Override],
    input: &JobInput,
    spec: &TakeoffSpec,
    ledger: &Ledger,
    findings: &mut Findings,
) {
    let full = |recipe: &str, factor: &str| format!("{recipe}.{factor}");
    let declared = spec
        .factors
        .iter()
        .find(|(recipe, factor, ..)| full(recipe, factor) == input.name);
    let Some((_, _, dimension, _)) = declared else {
        return;
    };
    match input
        .entry
        .cell
        .quantity(&ledger.units, *dimension, UnitSources::default())
    {
        Ok(reading) => {
            for set in overrides
                .iter_mut()
                .filter(|set| full(&set.recipe, &set.factor) == input.name)
            {
                set.value = reading.quantity.value;
            }
        }
        Err(trouble) => findings.push(
            Diagnostic::error(format!("{} cannot be used: {}", input.name, trouble.found))
                .at(input.entry.place.clone())
                .maybe_hint(trouble.hint),
        ),
    }
}

/// Enters one job value, from the sheet or from the input's default.
fn enter(
    spec: &InputSpec,
    entry: Option<&Entry>,
    system: Option<System>,
    ledger: &mut Ledger,
    findings: &mut Findings,
) -> Option<SingleId> {
    let (value, unit, place) = match (entry, &spec.default) {
        (Some(entry), _) => {
            let unit = title_and_unit(&entry.key)
                .1
                .and_then(|unit| read_unit(unit, &ledger.units).ok());
            match spec.read(&entry.cell, unit.as_ref(), system, "the job", ledger) {
                Ok(read) => (read.value, read.unit, entry.place.clone()),
                Err(diagnostic) => {
                    findings.push(diagnostic.at(entry.place.clone()));
                    return None;
                }
            }
        }
        (None, Some(InputValue::Quantity(quantity))) => (quantity.value, None, spec.place.clone()),
        (None, Some(InputValue::Text(text))) => (
            ledger.texts.intern(text).to_value(),
            None,
            spec.place.clone(),
        ),
        (None, None) if spec.required => {
            findings.push(
                Diagnostic::error(format!("the Job sheet does not say {}", spec.title))
                    .label(format!("recipe {} asks for it", spec.asked_by.join(", ")))
                    .at(spec.place.clone()),
            );
            return None;
        }
        (None, None) => (f64::NAN, None, spec.place.clone()),
    };
    let (kind, choice) = match &spec.kind {
        InputKind::Quantity(dimension) => (Kind::Number(*dimension), Choice::Free),
        InputKind::Text(choice) => (Kind::Text, choice.clone()),
    };
    let unit = unit.unwrap_or_else(|| spec.unit(ledger.system).clone());
    Some(ledger.add_single(Single {
        name: format!("job_{}", spec.name),
        title: spec.title.clone(),
        kind,
        unit: std::sync::Arc::new(unit),
        value,
        role: SingleRole::Job,
        group: "job".to_owned(),
        why: spec.why.clone(),
        source: String::new(),
        least: spec.least,
        most: spec.most,
        may_be_blank: !spec.required && spec.default.is_none(),
        choice,
        place,
    }))
}

/// `Distance (mi)` into key and unit.
pub(super) fn title_and_unit(key: &str) -> (&str, Option<&str>) {
    match key.strip_suffix(')').and_then(|key| key.rsplit_once('(')) {
        Some((title, unit)) => (title.trim(), Some(unit.trim())),
        None => (key, None),
    }
}

fn read_system(text: &str) -> Option<System> {
    match fold(text).as_str() {
        "us" | "us customary" | "inch" | "inches" | "feet" | "imperial" => Some(System::Us),
        "si" | "metric" | "mm" => Some(System::Si),
        _ => None,
    }
}
