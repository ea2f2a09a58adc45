//! The engine of pourwright: quantities with units, the trail of how each number
//! came about, and the live bid workbook written from it.
//!
//! The layers, each knowing only those above it in this list:
//!
//! * [`diag`] what went wrong, where, and what to do about it
//! * [`quantity`] value and dimension, units, rounding
//! * [`cutting`] pieces laid out over stock lengths
//! * [`measure`] reading and writing what people write
//! * [`grid`] xlsx and csv files as plain sheets, read behind a guard
//! * [`settings`] TOML files read with their places
//! * [`trail`] how every number came about
//! * [`pricebook`] products, yields, prices and rates, from TOML or from a sheet
//! * [`takeoff`] the measured sheet as typed columns
//! * [`plugin`] how a crate adds functions and stock recipes
//! * [`recipe`] manifests, scripts and checks, and where they come from
//! * [`script`] recipes as plain arithmetic, run in a sandbox
//! * [`shop`] a shop's settings, price book, recipes and factors, found and read
//! * [`bid`] rooms evaluated, items gathered, ordered, priced, and shared back to rooms
//! * [`explain`] any number, step by step, back to what was measured or priced
//! * [`prove`] the checks of recipes, run
//! * [`workbook`] the live bid workbook

pub mod bid;
pub mod cutting;
pub mod diag;
pub mod explain;
pub mod grid;
pub mod measure;
pub mod plugin;
pub mod pricebook;
pub mod prove;
pub mod quantity;
pub mod recipe;
pub mod script;
pub mod settings;
pub mod shop;
pub mod takeoff;
pub mod trail;
pub mod workbook;
