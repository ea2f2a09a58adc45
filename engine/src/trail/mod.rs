//! The trail: how every number came about.
//!
//! A [`Ledger`] holds everything that has a place in the bid workbook: tables
//! with rows and columns (rooms, products, item lines, …) and single values
//! (factors, rates, settings). A [`Shape`] is a graph of operations that
//! computes some columns of one row; rows that took the same path share one
//! shape. A [`Tracer`] builds a shape while a script runs, checking dimensions
//! and computing values with the very function that later replays the shape,
//! so a replay equals its script to the bit.
//!
//! Where a script branched, the shape keeps a [`Fork`]: a condition and the
//! outcome the priced numbers took. A row for which a fork comes out the other
//! way does not belong to the shape.

mod blank;
pub mod builtin;
mod function;
mod ledger;
mod lookup;
mod node;
mod rows;
mod shape;
mod table;
mod texts;
mod tracer;

pub use function::{
    Accepts, Argument, ArgumentError, Body, Form, Function, Gives, Parameter, Signature,
};
pub(crate) use function::{describe_kind, read_unit_or_plain};
pub use ledger::{Ledger, Single, SingleId, SingleRole};
pub use node::{Failure, Kind, Node, NodeId, Op, Ref, ScriptPlace};
pub use rows::Same;
pub use shape::{Block, Fork, Frozen, Output, Shape};
pub use table::{Choice, Column, ColumnId, InputFacts, Origin, Role, Table, TableId};
pub(crate) use texts::fold;
pub use texts::{TextId, Texts};
pub use tracer::{Tracer, Trail, TrailError};
