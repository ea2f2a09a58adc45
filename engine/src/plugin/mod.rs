//! The plugin door: how a crate adds functions and stock recipes. The engine's own
//! functions come in through it too.

mod figures;
mod reference;
mod registry;
mod standard;

// What those who read surveys need of the layers below.
pub use crate::diag::{Diagnostic, Findings, Place, quoted};
pub use crate::grid::{Cell, HeaderRow, HeaderTrouble, UnitSources, Value, Wanted, find_header};
pub use crate::measure::{read_unit, write};
pub use crate::quantity::rounding::whole_up;
pub use crate::quantity::{Currency, Dimension, System, Unit, Units};
pub use crate::takeoff::{
    Fact, Outline, Part, Question, Reading, Stretch, Survey, SurveySheet, Surveyor,
};
pub use crate::trail::{Accepts, Body, Form, Function, Gives, Parameter};
pub use figures::{Figure, Figures, FiguresBody};
pub(crate) use figures::{NO_READINGS, OWN_PARAMETERS, Surveyed, short_name};
pub use reference::{WordEntry, word_entries};
pub use registry::{Registry, RegistryError};
pub use standard::Standard;

/// A crate that adds functions and stock recipes.
pub trait Plugin {
    /// Its name, shown beside its functions and recipes.
    fn name(&self) -> &'static str;

    /// One sentence on what it is for.
    fn sentence(&self) -> &'static str;

    /// The functions it adds.
    fn functions(&self) -> Vec<Function> {
        Vec::new()
    }

    /// The figures it adds: several answers to one question, of arguments alone or of a survey
    /// that any plugin reads.
    fn figures(&self) -> Vec<Figures> {
        Vec::new()
    }

    /// The readers of surveys it brings.
    fn surveyors(&self) -> Vec<&'static dyn Surveyor> {
        Vec::new()
    }

    /// The recipes it brings.
    fn recipes(&self) -> Vec<StockRecipe> {
        Vec::new()
    }
}

/// A recipe that comes with a plugin.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StockRecipe {
    /// Its name.
    pub name: &'static str,
    /// Its files: name and text.
    pub files: &'static [(&'static str, &'static str)],
}

/// A parameter, for signatures written as a list.
pub const fn parameter(name: &'static str, accepts: Accepts) -> Parameter {
    Parameter { name, accepts }
}
