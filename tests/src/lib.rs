//! What the tests of the whole program share: a story of a job, a generator of
//! jobs, and an independent spreadsheet engine as oracle.

#![expect(
    clippy::unwrap_used,
    clippy::missing_panics_doc,
    reason = "a test that cannot be set up must stop"
)]

pub mod books;
pub mod chance;
pub mod cuttings;
pub mod edits;
pub mod estimates;
pub mod floors;
pub mod heated;
pub mod jobs;
pub mod measured;
pub mod offers;
pub mod only_cells;
pub mod oracle;
pub mod paths;
pub mod priced;
mod rooms;
pub mod story;
pub mod terms;
pub mod trial;
