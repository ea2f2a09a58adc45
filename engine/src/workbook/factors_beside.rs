//! What an alternate adds to the Factors sheet; all else there it shares with the bid.

use super::factors::{FactorsPlan, ROLES, SHEET, all_choices, at};
use super::layout::{Layout, absolute, range};
use super::model::Model;
use crate::bid::Bid;
use crate::trail::{SingleRole, TableId};

impl FactorsPlan {
    /// Plans what an alternate adds to the sheet: numbers written in a recipe where only the
    /// alternate comes by. All else it shares with the bid.
    pub(super) fn of_alternate(
        bid: &Bid,
        step_tables: &[TableId],
        (base, above): (&Model<'_>, u32),
        layout: &mut Layout,
    ) -> Self {
        let (own, known) = (&bid.ledger, &base.bid.ledger);
        let mut row = above + 2;
        let mut singles = Vec::new();
        for role in ROLES {
            for (id, single) in own.singles().filter(|(_, single)| single.role == role) {
                let same = known.single_named(&single.name).filter(|known_id| {
                    let known = known.single(*known_id);
                    known.role == role && known.value.to_bits() == single.value.to_bits()
                        || role != SingleRole::Written
                });
                match same {
                    Some(same) => layout.share_single(id, base.layout.single(same)),
                    None => {
                        let cell = absolute(SHEET, row, u32::from(at::VALUE));
                        layout.name_single(id, own, cell);
                        singles.push((id, row));
                        row += 1;
                    }
                }
            }
        }
        for table in step_tables {
            layout.share_table(*table, &base.layout);
        }
        let mut choices = Vec::new();
        for (input, list) in all_choices(bid) {
            if let Some(name) = base.layout.choices(&input) {
                layout.share_choices(&input, name);
                continue;
            }
            row += 2;
            let last = row + list.len() as u32 - 1;
            let column = u32::from(at::TITLE);
            layout.name_choices(&input, range(SHEET, (row, column), (last, column)));
            choices.push((input, list, row));
            row = last + 1;
        }
        Self {
            singles,
            steps: Vec::new(),
            choices,
            end: row,
            shared_checks: base.factors.checks(),
        }
    }
}
