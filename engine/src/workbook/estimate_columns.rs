//! The columns of the Estimate sheet, which its lines and the tables below them share.

pub(super) const NUMBER: u16 = 0;
pub(super) const KIND: u16 = 1;
pub(super) const LABEL: u16 = 2;
pub(super) const DETAIL: u16 = 3;
pub(super) const NEEDED: u16 = 4;
pub(super) const UNIT: u16 = 5;
pub(super) const QUANTITY: u16 = 6;
pub(super) const UNIT_PRICE: u16 = 7;
pub(super) const COST: u16 = 8;
pub(super) const TAX: u16 = 9;
pub(super) const CONTINGENCY: u16 = 10;
pub(super) const PROFIT: u16 = 11;
pub(super) const WORKED_OUT: u16 = 12;
pub(super) const SHARE_RATE: u16 = 13;
pub(super) const STATUS: u16 = 14;
pub(super) const PRICE: u16 = 15;
/// Only where a line is cut by a plan.
pub(super) const BY_PLAN: u16 = 16;

/// Titles of the columns in which a table of one row lies.
pub(super) const DOWN_TITLE: u16 = LABEL;
/// Column of its units.
pub(super) const DOWN_UNIT: u16 = UNIT;
/// Column of its values.
pub(super) const DOWN_VALUE: u16 = COST;
/// Column of its notes.
pub(super) const DOWN_NOTE: u16 = TAX;
