//! Alternates of generated jobs: one or two cells, or a whole column, changed.

use engine::bid::Bid;

use crate::chance::Chance;
use crate::jobs::{LEVELERS, SUBSTRATES};
use crate::oracle::{Recalculated, close};
use crate::rooms::Room;
use crate::story::Rows;

/// A changed cell of an alternate: in one room, or in all.
#[derive(Clone, Debug)]
pub struct Offer {
    name: &'static str,
    room: Option<usize>,
    column: &'static str,
    value: &'static str,
}

/// Alternates that follow from a seed, now and then.
pub(crate) fn generate(seed: u64, rooms: usize) -> Vec<Offer> {
    let c = &mut Chance::new(seed + 70_000);
    if !c.once_in(6) {
        return Vec::new();
    }
    let change = |name, c: &mut Chance| {
        let (column, value) = match c.below(4) {
            0 => ("Leveler", c.pick(&LEVELERS)),
            1 => ("Substrate", c.pick(&SUBSTRATES)),
            2 => ("Heated", c.pick(&["yes", "no"])),
            _ => ("Layers", c.pick(&["", "1", "2"])),
        };
        let room = (!c.once_in(3)).then(|| c.below(rooms));
        Offer {
            name,
            room,
            column,
            value,
        }
    };
    let mut offers = vec![change("The other floor", c)];
    if c.once_in(2) {
        offers.push(change("The other floor", c));
    }
    if c.once_in(2) {
        offers.push(change("A third way", c));
    }
    offers
}

/// The sheet of alternates.
pub(crate) fn rows(offers: &[Offer], rooms: &[Room]) -> Rows {
    let headings = ["Alternate", "Room", "Column", "Value"];
    let mut rows: Rows = vec![headings.map(str::to_owned).into()];
    rows.extend(offers.iter().map(|offer| {
        let room = offer.room.map_or("", |room| rooms[room].name.as_str());
        [offer.name, room, offer.column, offer.value]
            .map(str::to_owned)
            .into()
    }));
    rows
}

/// Compares what the workbook shows of alternates with pricing from scratch: each is equal, or it
/// says "price again". Says how many are each.
pub fn assert_same_alternates(sheet: &Recalculated, bid: &Bid, told: &str) -> (usize, usize) {
    let (mut live, mut flagged) = (0, 0);
    for (number, alternate) in (1..).zip(&bid.alternates) {
        let row = sheet.row_with("Bid", 1, &alternate.name);
        let at = (sheet.sheet("Bid"), row, 4);
        if sheet.text(at) == "price again" {
            flagged += 1;
            continue;
        }
        let (shown, total) = (sheet.number(at), alternate.bid.total());
        assert!(
            close(shown, total),
            "{told}: alternate {number} shows {shown}, pricing from scratch gives {total}"
        );
        live += 1;
    }
    (live, flagged)
}

/// Whether at least one alternate of a workbook says "price again".
pub fn any_alternate_flagged(sheet: &Recalculated, bid: &Bid) -> bool {
    let rows = bid.alternates.iter();
    let mut rows = rows.map(|alternate| sheet.row_with("Bid", 1, &alternate.name));
    rows.any(|row| sheet.text((sheet.sheet("Bid"), row, 4)) == "price again")
}
