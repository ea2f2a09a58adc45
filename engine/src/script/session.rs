//! The state of one run of a script: the tracer, and the items and cautions it has said.

use std::cell::RefCell;
use std::rc::Rc;

use rhai::Position;

use super::mistake::Mistake;
use super::scene::Scene;
use crate::trail::{Kind, NodeId, ScriptPlace, Tracer, TrailError};

/// What kind of line an item is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ItemKind {
    /// Products, ordered in whole packages.
    Material,
    /// Hours of work.
    Labour,
    /// Tools and machines.
    Equipment,
    /// Work done by others.
    Subcontract,
    /// A sum of money.
    Charge,
}

impl ItemKind {
    /// All kinds in the order in which they are listed.
    pub const ALL: [Self; 5] = [
        Self::Material,
        Self::Labour,
        Self::Equipment,
        Self::Subcontract,
        Self::Charge,
    ];

    /// Name in scripts and settings.
    pub fn name(self) -> &'static str {
        match self {
            Self::Material => "material",
            Self::Labour => "labour",
            Self::Equipment => "equipment",
            Self::Subcontract => "subcontract",
            Self::Charge => "charge",
        }
    }
}

/// An item that a script said.
#[derive(Clone, Debug, PartialEq)]
pub struct ItemSaid {
    /// What kind of line.
    pub kind: ItemKind,
    /// What it is called.
    pub label: String,
    /// The product, for material.
    pub product: Option<NodeId>,
    /// How much: packages, hours, …, or money for a charge.
    pub quantity: NodeId,
    /// For pieces cut from a product: the length cut, which rests on product, length of a piece,
    /// number of pieces and length of the stock.
    pub cut: Option<NodeId>,
    /// The rate, for labour, equipment and subcontract.
    pub rate: Option<NodeId>,
    /// Where it was said.
    pub place: Option<ScriptPlace>,
}

/// A caution that a script said.
#[derive(Clone, Debug, PartialEq)]
pub struct CautionSaid {
    /// The condition under which it holds.
    pub when: NodeId,
    /// Its text.
    pub text: String,
    /// Where it was said.
    pub place: Option<ScriptPlace>,
}

/// The running script.
#[derive(Debug)]
pub(super) struct Session {
    pub(super) tracer: Tracer,
    pub(super) scene: Scene,
    pub(super) script: u16,
    pub(super) items: Vec<ItemSaid>,
    pub(super) cautions: Vec<CautionSaid>,
    /// Whether a quantity was put into a text; the script engine drops the error of that.
    pub(super) put_in_text: bool,
    /// Whether the script has nothing more to say of this row.
    pub(super) done: bool,
}

/// The session as the functions of the script engine share it.
pub(super) type Shared = Rc<RefCell<Option<Session>>>;

impl Session {
    /// Takes a step of the trail at a position in the script.
    pub(super) fn step(
        &mut self,
        at: Position,
        step: impl FnOnce(&mut Tracer) -> Result<NodeId, TrailError>,
    ) -> Result<NodeId, Mistake> {
        self.stand_at(at);
        step(&mut self.tracer).map_err(|error| Mistake::of_trail(&error, &self.tracer))
    }

    /// Makes what is built from now on stand at a position.
    pub(super) fn stand_at(&mut self, at: Position) {
        let place = self.place(at);
        self.tracer.stand_at(place);
    }

    /// The place of a position.
    pub(super) fn place(&self, at: Position) -> Option<ScriptPlace> {
        Some(ScriptPlace {
            script: self.script,
            line: u16::try_from(at.line()?).ok()?,
            column: u16::try_from(at.position().unwrap_or(1)).ok()?,
        })
    }

    /// What a value is, in words, for messages.
    pub(super) fn describe(&self, id: NodeId) -> String {
        crate::trail::describe_kind(self.tracer.kind(id), &self.tracer.ledger.units)
    }

    /// The kind of a value.
    pub(super) fn kind(&self, id: NodeId) -> Kind {
        self.tracer.kind(id)
    }
}
