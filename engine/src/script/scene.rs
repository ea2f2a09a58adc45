//! The scene of a script: which names it sees, and what stands behind each.

use std::sync::Arc;

use super::worked::Worked;
use crate::plugin::{Registry, Surveyed};
use crate::trail::{Function, Ref, TableId, Texts};

/// The sets of names that scripts see: how they are written, and what they hold.
pub const NAME_SETS: [(&str, &str); 8] = [
    (
        "room.NAME",
        "An input of the room: a cell of its row in the takeoff.",
    ),
    (
        "opening.NAME",
        "In the script of a table below rooms (here: openings), an input of its row; room.NAME is its room's.",
    ),
    (
        "factor.NAME",
        "An adjustable number that the recipe declares in recipe.toml.",
    ),
    ("rate.NAME", "A rate of the price book."),
    (
        "job.NAME",
        "An entry of the Job sheet that the recipe asks for.",
    ),
    (
        "book.KIND(name)",
        "The product of a kind with a name; its fields follow after a point, as in underlayment.price, and its name does as underlayment.name.",
    ),
    (
        "RECIPE.NAME",
        "A cell of another recipe, which recipe.toml names under uses.",
    ),
    (
        "rooms.NAME",
        "In job.rhai, a whole column of rooms, to be summed with total.",
    ),
];

/// What a name stands for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Entry {
    /// A value of the ledger.
    Value(Ref),
    /// A step table.
    Steps(TableId),
    /// A column to be summed with `total`.
    Column(Ref),
    /// Another set of names, by its number in the scene.
    Names(usize),
}

/// A set of names reached with a point, such as `room.area`.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct NameSet {
    /// The name of the set; a set reached only through another has none.
    pub name: String,
    /// What people call it in messages, such as "the room".
    pub called: String,
    /// Its names.
    pub entries: Vec<(String, Entry)>,
    /// Advice when a name is not there.
    pub hint: String,
}

/// A question that a set of names answers, such as `floor.volume(level)`.
#[derive(Clone, Debug, PartialEq)]
pub struct SceneQuestion {
    /// The number of the set in the scene.
    pub set: usize,
    /// The function; its first parameters are what the answer rests on.
    pub function: Arc<Function>,
    /// What the answer rests on beside the arguments.
    pub rests_on: [Ref; 2],
}

/// Figures that can be asked for, such as `layout(…)` or `floor.layout(…)`.
#[derive(Clone, Debug, PartialEq)]
pub struct SceneFigures {
    /// The set of names that is asked, by its number in the scene; none where arguments say all.
    pub set: Option<usize>,
    /// What scripts call.
    pub name: &'static str,
    /// One function for each figure; their first parameters are what the answers rest on.
    pub functions: Vec<Arc<Function>>,
    /// What the answers rest on beside the arguments.
    pub rests_on: Vec<Ref>,
}

impl SceneFigures {
    /// The figures of a job that are asked for by arguments alone.
    pub fn plain(registry: &Registry, texts: &mut Texts) -> Vec<Self> {
        let plain = registry.figures().filter(|(_, f)| f.survey.is_none());
        plain
            .map(|(_, figures)| Self {
                set: None,
                name: figures.name,
                functions: figures.functions(&Surveyed::default(), texts),
                rests_on: Vec::new(),
            })
            .collect()
    }
}

/// Everything a script sees.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Scene {
    /// The recipe that the script belongs to.
    pub recipe: String,
    /// Sets of names.
    pub names: Vec<NameSet>,
    /// Kinds of product with their tables.
    pub products: Vec<(String, TableId)>,
    /// Questions that sets of names answer.
    pub questions: Vec<SceneQuestion>,
    /// What rooms are charged by rates, once all of them are evaluated.
    pub worked: Option<Vec<Worked>>,
    /// Figures that can be asked for.
    pub figures: Vec<SceneFigures>,
}

impl Scene {
    /// The entry of a name in a set.
    pub(super) fn entry(&self, set: usize, name: &str) -> Option<Entry> {
        let (_, entry) = self
            .names
            .get(set)?
            .entries
            .iter()
            .find(|(known, _)| known == name)?;
        Some(*entry)
    }
}
