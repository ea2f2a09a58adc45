//! Phases: parts of the job for which packages are ordered whole by themselves.
//!
//! A room names its phase; the rows of tables below it go with their room. Rooms that name none
//! are a phase of their own. Each row knows the number of its phase, which is live: choose
//! another phase of the job in the workbook, and amounts move.

use std::sync::Arc;

use super::bind::ItemColumn;
use super::computed::{fill, money_column};
use crate::diag::Outcome;
use crate::quantity::{Dimension, Unit};
use crate::takeoff::Takeoff;
use crate::trail::{
    Choice, Column, ColumnId, Frozen, Kind, Ledger, Ref, Role, Same, Shape, Table, TableId,
    builtin, fold,
};

/// What rooms that name no phase are put under.
pub const NO_PHASE: &str = "no phase";

/// The phases of a job.
#[derive(Clone, Debug, PartialEq)]
pub struct Phases {
    /// Their table, a row for each.
    pub table: TableId,
    /// Its row for rooms that name no phase, where there are such.
    pub none: Option<u32>,
    /// Their numbers, from one.
    pub number: ColumnId,
    /// The price of the rooms of each.
    pub price: ColumnId,
    /// The column of rooms in which their phases are typed.
    pub typed: ColumnId,
    /// The tables whose rows have phases, with the column of its number.
    keys: Vec<(TableId, ColumnId)>,
}

/// A phase in words: `phase 2`, `east wing`, `no phase`.
pub fn phase_words(name: &str) -> String {
    let numbered = name.chars().next().is_some_and(|c| c.is_ascii_digit()) || name.len() == 1;
    if numbered {
        format!("phase {name}")
    } else {
        name.to_owned()
    }
}

impl Phases {
    /// The column with the number of a row's phase.
    pub(super) fn key_of(&self, table: TableId) -> Option<ColumnId> {
        let known = self.keys.iter().find(|(known, _)| *known == table)?;
        Some(known.1)
    }

    /// The phase of a row.
    pub(super) fn of_row(&self, table: TableId, row: usize, ledger: &Ledger) -> Option<u32> {
        let number = ledger.table(table).value(self.key_of(table)?, row);
        (number >= 1.0).then(|| number as u32 - 1)
    }

    /// The name of a phase; of no phase where none is meant.
    pub fn name<'l>(&self, row: Option<u32>, ledger: &'l Ledger) -> &'l str {
        let names = &ledger.table(self.table).row_names;
        row.and_then(|row| names.get(row as usize))
            .map_or(NO_PHASE, String::as_str)
    }

    /// The rows of all phases.
    pub(super) fn rows(&self, ledger: &Ledger) -> std::ops::Range<u32> {
        0..ledger.table(self.table).rows() as u32
    }
}

/// Enters the phases of a job, where its rooms name some.
pub(super) fn add_phases(
    takeoff: &Takeoff,
    (items, job): (&[ItemColumn], TableId),
    ledger: &mut Ledger,
) -> Outcome<Option<Phases>> {
    let rooms = takeoff.rooms.table;
    let Some(typed) = takeoff.phase else {
        return Ok(None);
    };
    let (names, any_blank) = names(rooms, typed, ledger);
    let is_none = |name: &String| fold(name) == NO_PHASE;
    let none = names.iter().position(is_none).map(|row| row as u32);
    let numbers = (1..=names.len()).map(|n| n as f64).collect();
    let mut table = Table::new("phase", "Phases", names);
    let number = table.add(column(
        "number",
        "No.",
        "",
        Kind::Number(Dimension::NONE),
        numbers,
    ));
    let table = ledger.add_table(table);
    let price = money_column(
        ledger,
        table,
        "price",
        "Price of its rooms",
        "What the rooms of the phase are priced at, with their part of what is for the whole job",
    );
    if let Some(facts) = &mut ledger.table_mut(rooms).column_mut(typed).input {
        // Another phase than those of the job has no lines of the estimate.
        facts.choice = Choice::ProductOf(table);
        facts.may_be_blank = any_blank;
    }
    let mut phases = Phases {
        table,
        none,
        number,
        price,
        typed,
        keys: Vec::new(),
    };
    let below = takeoff.children.iter().map(|child| child.table);
    let tables: Vec<TableId> = std::iter::once(rooms).chain(below).collect();
    for own in tables.into_iter().filter(|table| *table != job) {
        let asks = |item: &ItemColumn| item.table == own;
        if own == rooms || items.iter().any(asks) {
            add_key(own, rooms, items, &mut phases, ledger)?;
        }
    }
    Ok(Some(phases))
}

/// The phases in the order in which rooms name them, those without one last; and whether there
/// are such.
fn names(rooms: TableId, typed: ColumnId, ledger: &Ledger) -> (Vec<String>, bool) {
    let mut names: Vec<String> = Vec::new();
    let mut any_blank = false;
    for value in ledger.table(rooms).values(typed) {
        if value.is_nan() {
            any_blank = true;
            continue;
        }
        let name = ledger.texts.of_value(*value);
        if !names.iter().any(|known| fold(known) == fold(name)) {
            names.push(name.to_owned());
        }
    }
    if any_blank && !names.iter().any(|name| fold(name) == NO_PHASE) {
        names.push(NO_PHASE.to_owned());
    }
    (names, any_blank)
}

/// A column of a table, not yet filled but for what is given.
fn column(name: &str, title: &str, note: &str, kind: Kind, values: Vec<f64>) -> Column {
    Column {
        name: name.to_owned(),
        title: title.to_owned(),
        note: note.to_owned(),
        kind,
        unit: Arc::new(Unit::plain()),
        role: Role::Working,
        group: String::new(),
        input: None,
        values,
    }
}

/// Gives each row of a table the number of its phase. A plan of cuts rests on it: for rows with
/// pieces that are cut, it is kept as it was when priced.
fn add_key(
    table: TableId,
    rooms: TableId,
    items: &[ItemColumn],
    phases: &mut Phases,
    ledger: &mut Ledger,
) -> Outcome<()> {
    let kind = Kind::Product(phases.table);
    let title = "Number of the phase";
    let note = "By which amounts are gathered";
    let own = column("phase_number", title, note, kind, Vec::new());
    let key = ledger.table_mut(table).add(own);
    let mut cut: Vec<(String, ColumnId, ColumnId, Vec<ColumnId>)> = Vec::new();
    for item in items
        .iter()
        .filter(|item| item.table == table && item.cut.is_some())
    {
        if let Some(known) = cut.iter_mut().find(|(recipe, ..)| *recipe == item.recipe) {
            known.3.push(item.quantity);
            continue;
        }
        let mut add = |name: &str, title: &str, role, kind| {
            ledger.table_mut(table).add(Column {
                role,
                group: item.recipe.clone(),
                ..column(
                    &format!("{}: {name}", item.recipe),
                    title,
                    "",
                    kind,
                    Vec::new(),
                )
            })
        };
        let as_priced = add(
            "phase as priced",
            "Phase when its cuts were planned",
            Role::AsPriced,
            kind,
        );
        let plain = Kind::Number(Dimension::NONE);
        let flag = add(
            "phase changed",
            "Another phase than its cuts were planned for",
            Role::Fork,
            plain,
        );
        cut.push((item.recipe.clone(), as_priced, flag, vec![item.quantity]));
    }
    let (typed, none, list) = (phases.typed, phases.none, phases.table);
    let rooms_key = phases.key_of(rooms);
    let plain = Shape::build(ledger, table, |t| {
        let number = match rooms_key {
            Some(rooms_key) => t.read(Ref::Parent(rooms_key))?,
            None => {
                let name = t.read(Ref::Column(typed))?;
                let name = match none {
                    Some(_) => {
                        let given = t.call(&builtin::given(), &[name])?;
                        let otherwise = t.text(NO_PHASE)?;
                        t.call(&builtin::choose(), &[given, name, otherwise])?
                    }
                    None => name,
                };
                t.find(list, name)?
            }
        };
        Ok(vec![(key, number)])
    })?;
    let mut kept = plain.clone();
    for (_, as_priced, flag, _) in &cut {
        kept.frozen.push(Frozen {
            argument: plain.outputs[0].node,
            as_priced: *as_priced,
            flag: *flag,
        });
    }
    let has_cuts: Vec<bool> = (0..ledger.table(table).rows())
        .map(|row| {
            let quantities = cut.iter().flat_map(|(.., quantities)| quantities);
            let own = ledger.table(table);
            quantities
                .into_iter()
                .any(|quantity| !own.value(*quantity, row).is_nan())
        })
        .collect();
    let shapes = vec![plain, kept];
    fill(
        ledger,
        table,
        shapes,
        |row| u16::from(has_cuts[row]),
        "phase",
    )?;
    phases.keys.push((table, key));
    Ok(())
}

/// Adds up the prices of the rooms of each phase.
pub(super) fn add_prices(
    phases: &Phases,
    (rooms, price): (TableId, ColumnId),
    ledger: &mut Ledger,
) -> Outcome<()> {
    let Some(key) = phases.key_of(rooms) else {
        return Ok(());
    };
    let shape = Shape::build(ledger, phases.table, |t| {
        let sum = t.read(Ref::Where {
            table: rooms,
            column: price,
            among: None,
            same: Same::one(key, phases.number),
        })?;
        let sum = t.call(&builtin::cents(), &[sum])?;
        Ok(vec![(phases.price, sum)])
    })?;
    fill(ledger, phases.table, vec![shape], |_| 0, "phases")
}
