//! The script host: recipes as plain arithmetic, run in a sandbox. The only place that names rhai.
//!
//! A script sees names ([`Scene`]) and computes with values of the trail. It has
//! no files, no network, no clock and no chance; its operations, memory and
//! depth are bounded alike in debug and release builds.

mod convert;
mod figures;
mod form_words;
mod forms;
mod functions;
mod host;
mod items;
mod lookups;
mod mistake;
mod names;
mod operators;
mod questions;
mod run;
mod scene;
mod session;
mod statements;
mod values;
mod worked;

pub use form_words::{FORMS, FormWord};
pub use host::{Host, Script};
pub use run::{CellSaid, ScriptRun};
pub use scene::{Entry, NAME_SETS, NameSet, Scene, SceneFigures, SceneQuestion};
pub use session::{CautionSaid, ItemKind, ItemSaid};
pub use worked::Worked;

#[cfg(test)]
mod tests;
