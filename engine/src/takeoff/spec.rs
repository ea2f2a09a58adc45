//! What a takeoff is asked for: inputs of rooms, of tables below rooms, and of the job.

use super::job::title_and_unit;
use crate::diag::{Diagnostic, Findings, Place};
use crate::grid::{Wanted, plain_heading};
use crate::quantity::{Dimension, Quantity, System, Unit};
use crate::trail::Choice;

/// What an input holds.
#[derive(Clone, Debug, PartialEq)]
pub enum InputKind {
    /// A quantity.
    Quantity(Dimension),
    /// A text: free, one of a list, or a product.
    Text(Choice),
}

/// A value given for an input.
#[derive(Clone, Debug, PartialEq)]
pub enum InputValue {
    /// A quantity.
    Quantity(Quantity),
    /// A text.
    Text(String),
}

/// One input.
#[derive(Clone, Debug, PartialEq)]
pub struct InputSpec {
    /// Name in scripts.
    pub name: String,
    /// Heading for people.
    pub title: String,
    /// Other headings it goes under.
    pub headings: Vec<String>,
    /// What it holds.
    pub kind: InputKind,
    /// Unit of bare numbers in US customary takeoffs.
    pub us: Unit,
    /// Unit of bare numbers in SI takeoffs.
    pub si: Unit,
    /// What stands in for a blank cell.
    pub default: Option<InputValue>,
    /// Whether a blank cell is a mistake.
    pub required: bool,
    /// Another input that may be filled in instead of a required one.
    pub unless: Option<String>,
    /// For a text that names a sheet: the kind of survey on it.
    pub survey: Option<String>,
    /// Smallest number allowed, in base units.
    pub least: f64,
    /// Largest number allowed, in base units.
    pub most: f64,
    /// Why it is asked for.
    pub why: String,
    /// Which recipes ask for it; none for what the program itself knows what to do with, which
    /// may be left out altogether.
    pub asked_by: Vec<String>,
    /// Where it is declared.
    pub place: Place,
}

impl InputSpec {
    /// The unit of bare numbers in a family of units.
    pub fn unit(&self, system: System) -> &Unit {
        match system {
            System::Us => &self.us,
            System::Si => &self.si,
        }
    }

    /// Who asks for it.
    fn asker(&self) -> String {
        match self.asked_by.as_slice() {
            [] => "the program".to_owned(),
            recipes => format!("recipe {}", recipes.join(", ")),
        }
    }

    fn wanted(&self) -> Wanted {
        let others = self.headings.iter().map(String::as_str);
        let own = [self.title.as_str(), self.name.as_str()];
        Wanted::new(&self.name, own.into_iter().chain(others))
    }

    /// Whether a heading or job key means this input.
    pub fn goes_under(&self, heading: &str) -> bool {
        self.wanted().headings.contains(&plain_heading(heading))
    }
}

/// A table of the takeoff.
#[derive(Clone, Debug, PartialEq)]
pub struct TableSpec {
    /// Name of one row in scripts, such as `opening`.
    pub row: String,
    /// Name of all rows in scripts, such as `openings`.
    pub rows: String,
    /// Name of its sheet.
    pub title: String,
    /// The kind of survey whose parts are rows of it, where none are typed for a room.
    pub survey: Option<String>,
    /// Its inputs.
    pub inputs: Vec<InputSpec>,
}

impl TableSpec {
    /// The input that a heading means, with or without a unit in it; and its number.
    pub(super) fn input_under(&self, heading: &str) -> Option<(usize, &InputSpec)> {
        let (title, _) = title_and_unit(heading);
        let mut numbered = self.inputs.iter().enumerate();
        numbered.find(|(_, input)| input.goes_under(heading) || input.goes_under(title))
    }

    /// The columns looked for; the first is the room's name.
    pub fn wanted(&self) -> Vec<Wanted> {
        std::iter::once(Wanted::new(
            "room",
            ["Room", "Room name", "Name of room", "Space"],
        ))
        .chain(self.inputs.iter().map(InputSpec::wanted))
        .collect()
    }

    /// The headings for people, such as `Room, Area, Average depth`.
    pub fn heading_list(&self) -> String {
        std::iter::once("Room")
            .chain(
                self.inputs
                    .iter()
                    .filter(|input| input.required)
                    .map(|input| input.title.as_str()),
            )
            .collect::<Vec<_>>()
            .join(", ")
    }

    /// Adds an input, or joins it with the same one that another recipe asks for.
    pub fn join(&mut self, input: InputSpec, findings: &mut Findings) {
        match self
            .inputs
            .iter_mut()
            .find(|known| known.name == input.name)
        {
            None => self.inputs.push(input),
            Some(known) => join_inputs(known, input, findings),
        }
    }
}

/// Joins what two recipes say of one input.
pub(super) fn join_inputs(known: &mut InputSpec, other: InputSpec, findings: &mut Findings) {
    if known.kind != other.kind || known.survey != other.survey {
        findings.push(
            Diagnostic::error(format!(
                "{} asks for {} in another way than {}",
                other.asker(),
                other.name,
                known.asker()
            ))
            .at(other.place)
            .related(known.place.clone(), "it is asked for here too"),
        );
        return;
    }
    known.headings.extend(other.headings);
    known.required |= other.required;
    known.unless = known.unless.take().or(other.unless);
    known.least = known.least.max(other.least);
    known.most = known.most.min(other.most);
    known.default = known.default.take().or(other.default);
    known.asked_by.extend(other.asked_by);
}

/// Everything that a takeoff is asked for.
#[derive(Clone, Debug, PartialEq)]
pub struct TakeoffSpec {
    /// The Rooms table.
    pub rooms: TableSpec,
    /// Tables below rooms.
    pub children: Vec<TableSpec>,
    /// Inputs of the job as a whole.
    pub job: Vec<InputSpec>,
    /// Factors that the Job sheet may set: recipe, factor, its dimension and unit.
    pub factors: Vec<(String, String, Dimension, Unit)>,
}

impl TakeoffSpec {
    /// A specification that asks for nothing but room names.
    pub fn new() -> Self {
        Self {
            rooms: TableSpec {
                row: "room".to_owned(),
                rows: "rooms".to_owned(),
                title: "Rooms".to_owned(),
                survey: None,
                inputs: Vec::new(),
            },
            children: Vec::new(),
            job: Vec::new(),
            factors: Vec::new(),
        }
    }

    /// Adds a table below rooms, or joins it with the same one of another recipe.
    pub fn join_child(&mut self, child: TableSpec, findings: &mut Findings) {
        match self
            .children
            .iter_mut()
            .find(|known| known.row == child.row)
        {
            None => self.children.push(child),
            Some(known) => {
                known.survey = known.survey.take().or(child.survey);
                for input in child.inputs {
                    known.join(input, findings);
                }
            }
        }
    }

    /// Adds an input of the job.
    pub fn join_job(&mut self, input: InputSpec, findings: &mut Findings) {
        match self.job.iter_mut().find(|known| known.name == input.name) {
            None => self.job.push(input),
            Some(known) => join_inputs(known, input, findings),
        }
    }
}

impl Default for TakeoffSpec {
    fn default() -> Self {
        Self::new()
    }
}
