//! A job that was priced: its workbook, and the way its rows took.

use engine::bid::Bid;
use engine::shop::Workshop;
use engine::workbook::{Pictures, write_bid};

/// A priced job.
pub struct Priced {
    pub(crate) workshop: Workshop,
    /// The bid.
    pub bid: Bid,
    pub(crate) takeoff: Vec<u8>,
}

impl Priced {
    /// Its workbook.
    pub fn workbook(&self) -> Vec<u8> {
        write_bid(
            &self.bid,
            &self.workshop,
            ("takeoff.xlsx", &self.takeoff),
            Pictures::LeftOut,
        )
        .unwrap()
    }

    /// The way every row took through every recipe: forks with their outcomes, and what
    /// fixed answers rest on.
    pub fn paths(&self) -> Vec<String> {
        let ledger = &self.bid.ledger;
        let mut paths = Vec::new();
        for (_, table) in ledger.tables() {
            for block in &table.blocks {
                for row in 0..table.rows() {
                    let Some(shape) = block.shape_of(row) else {
                        continue;
                    };
                    let forks: Vec<_> = shape
                        .forks
                        .iter()
                        .map(|fork| (fork.place, fork.expected))
                        .collect();
                    let rests_on: Vec<String> = shape
                        .frozen
                        .iter()
                        .map(|frozen| format!("{:.6}", table.value(frozen.as_priced, row)))
                        .collect();
                    paths.push(format!("{} {row} {forks:?} {rests_on:?}", table.name));
                }
            }
        }
        paths
    }
}
