//! Tests of the whole program, by what they hold it to:
//!
//! * `recalculation`: every workbook against an independent spreadsheet engine

mod recalculation;
