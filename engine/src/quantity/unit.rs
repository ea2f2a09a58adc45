//! A unit: what a number is written in.

use super::Dimension;

/// The two families of units.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum System {
    /// US customary.
    Us,
    /// SI and the metric units used with it.
    Si,
}

/// A unit, simple (`in`) or compound (`cu ft/bag`), as written and as it converts.
#[derive(Clone, Debug, PartialEq)]
pub struct Unit {
    /// How it is written after a number; empty for a plain number.
    pub label: String,
    /// What it measures.
    pub dimension: Dimension,
    /// Base units in one of it.
    pub size: f64,
    /// Base value of its zero; differs from 0 only on temperature scales.
    pub zero: f64,
}

impl Unit {
    /// The unit of plain numbers.
    pub fn plain() -> Self {
        Self {
            label: String::new(),
            dimension: Dimension::NONE,
            size: 1.0,
            zero: 0.0,
        }
    }

    /// Base value of so many of this unit.
    pub fn to_base(&self, number: f64) -> f64 {
        number * self.size + self.zero
    }

    /// How many of this unit a base value is.
    pub fn from_base(&self, value: f64) -> f64 {
        (value - self.zero) / self.size
    }
}
