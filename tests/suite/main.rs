//! Tests of the whole program, by what they hold it to:
//!
//! * `recalculation`: every workbook against an independent spreadsheet engine
//! * `published_units`, `published_coverage`: published definitions and worked examples
//! * `laws`: what must hold for every job
//! * `messages`: a folder of wrong inputs, each with its whole message

#![expect(clippy::unwrap_used, reason = "a test that cannot be set up must stop")]

mod laws;
mod messages;
mod published_coverage;
mod published_units;
mod recalculation;
