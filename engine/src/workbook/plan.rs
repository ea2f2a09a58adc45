//! The plan of the sheets of rooms and of tables below rooms: which columns stand where.

use super::layout::{Direction, Layout, TablePlace, quoted_sheet};
use super::template::ROW;
use crate::bid::Bid;
use crate::diag::column_letters;
use crate::takeoff::{Surveys, TakeoffTable};
use crate::trail::{Choice, Column, ColumnId, Kind, Ledger, Role, Table, TableId};

/// Sheets that every bid workbook has.
pub(super) const SHEETS: [&str; 9] = [
    "Bid", "Estimate", "Rooms", "Cuts", "Order", "Factors", "Prices", "Cautions", "Record",
];

/// First row with values on the sheets of rooms and of tables below them.
const FIRST_ROW: u32 = 4;

/// The groups of columns after what was measured and what recipes give.
const ITEMS: &str = "Items";
const CAUTIONS: &str = "Cautions: 1 where it holds";
const PRICING: &str = "From cost to price";
/// The group of columns with steps on the way.
const WORKINGS: &str = "Workings: looked up, and steps on the way";
/// The group of columns with what fixed answers rest on.
const AS_PRICED: &str = "As priced";
/// The group of columns that say whether what was priced still holds.
const CHECKS: &str = "Checks: 1 means price again";

/// What a sheet column holds.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum What {
    /// The room's number, by which tables below rooms find it.
    Number,
    /// The room's name.
    Name,
    /// "ok" or "price again".
    Status,
    /// The room's price, or "price again".
    ShownPrice,
    /// A column of the ledger.
    Ledger(ColumnId),
    /// A column carried through from the takeoff.
    Carried(usize),
    /// Whether what was typed can be used.
    Check(Check),
    /// How many more cells of the row an alternate fills in than the bid does.
    FilledHere,
}

/// What a check column tests.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Check {
    /// These must hold numbers that are not negative.
    Numbers(Vec<ColumnId>),
    /// These must hold numbers of either sign.
    AnyNumbers(Vec<ColumnId>),
    /// These must be blank or hold numbers that are not negative.
    OptionalNumbers(Vec<ColumnId>),
    /// These must hold one of the choices.
    Choices(Vec<ColumnId>),
    /// These must be blank or hold one of the choices.
    OptionalChoices(Vec<ColumnId>),
    /// This must keep to bounds of its own.
    Bounds(ColumnId),
    /// As many cells of the bid's row must be filled in as when it was priced; the formula.
    Follows(String),
}

impl Check {
    /// Heading of the check.
    pub(super) fn title(&self) -> &'static str {
        match self {
            Self::Numbers(_) | Self::AnyNumbers(_) => "Numbers filled in",
            Self::OptionalNumbers(_) => "Optional numbers usable",
            Self::Choices(_) => "Choices known",
            Self::OptionalChoices(_) => "Optional choices known",
            Self::Bounds(_) => "Within bounds",
            Self::Follows(_) => "Filled in as in the bid",
        }
    }
}

/// The plan of one sheet.
#[derive(Clone, Debug)]
pub(super) struct TablePlan {
    pub(super) table: TableId,
    pub(super) sheet: String,
    pub(super) first_row: u32,
    pub(super) rows: u32,
    /// Columns with the heading of the group they belong to.
    pub(super) columns: Vec<(What, String)>,
    /// Whether it belongs to an alternate and follows the same sheet of the bid.
    follows: bool,
}

impl TablePlan {
    /// Plans the sheet of rooms.
    pub(super) fn rooms(bid: &Bid, sheet: String, layout: &mut Layout) -> Self {
        let table = bid.takeoff.rooms.table;
        let front = vec![What::Number, What::Name, What::Status, What::ShownPrice];
        Self::new(bid, &bid.takeoff.rooms, sheet, front, layout, table)
    }

    /// Plans the sheet of a table below rooms.
    pub(super) fn child(
        bid: &Bid,
        child: &TakeoffTable,
        sheet: String,
        layout: &mut Layout,
    ) -> Self {
        let front = vec![What::Number, What::Name, What::Status];
        Self::new(bid, child, sheet, front, layout, child.table)
    }

    /// Whether it is a sheet of readings, which belong to a survey.
    pub(super) fn is_grouped(&self, bid: &Bid) -> bool {
        bid.ledger.table(self.table).grouped
    }

    /// Makes it the sheet of an alternate: it follows what is typed on the bid's sheet, and says
    /// so when cells are filled in or emptied there, for a blank cell cannot be followed.
    pub(super) fn follow(&mut self, bid: &Self, (own, of_bid): (&Ledger, &Ledger)) {
        let span = |plan: &Self, table: &Table| {
            plan.span(
                |what| matches!(what, What::Ledger(id) if table.column(*id).role == Role::Input),
            )
        };
        let row_of = |(first, last): (u32, u32)| {
            let (first, last) = (column_letters(first), column_letters(last));
            (format!("{first}{ROW}"), format!("{last}{ROW}"))
        };
        let (Some(here), Some(there)) = (
            span(self, own.table(self.table)),
            span(bid, of_bid.table(bid.table)),
        ) else {
            return;
        };
        // The check comes first: what stands right of all checks is in no sum of them.
        let filled_here = format!("{}{ROW}", column_letters(self.columns.len() as u32 + 1));
        let ((first, last), (from, to)) = (row_of(here), row_of(there));
        let sheet = quoted_sheet(&bid.sheet);
        let test = format!("COUNTA({sheet}!{from}:{to})+{filled_here}=COUNTA({first}:{last})");
        let check = What::Check(Check::Follows(test));
        self.follows = true;
        self.columns.push((check, CHECKS.to_owned()));
        self.columns.push((What::FilledHere, AS_PRICED.to_owned()));
    }

    fn new(
        bid: &Bid,
        takeoff: &TakeoffTable,
        sheet: String,
        front: Vec<What>,
        layout: &mut Layout,
        id: TableId,
    ) -> Self {
        let table = bid.ledger.table(id);
        let mut columns: Vec<(What, String)> = front
            .into_iter()
            .map(|what| (what, String::new()))
            .collect();
        columns.extend(
            of_role(table, Role::Input).map(|id| (What::Ledger(id), "Measured".to_owned())),
        );
        columns.extend(
            (0..takeoff.carried.len()).map(|at| (What::Carried(at), "Carried through".to_owned())),
        );
        for group in groups(table) {
            let own = table.columns().filter(|(_, column)| {
                let shown = column.role == Role::Cell
                    // A table of readings has few columns, and they belong together.
                    || column.role == Role::Working && table.grouped;
                column.group == group && shown
            });
            let of_group = |surveys: &&Surveys| surveys.surveyor.kind() == group;
            let title = match bid.takeoff.surveys.iter().find(of_group) {
                Some(surveys) if !surveys.any() => continue,
                Some(_) => "From the readings".to_owned(),
                None => format!("Recipe {group}"),
            };
            columns.extend(own.map(|(id, _)| (What::Ledger(id), title.clone())));
        }
        for (role, title) in [
            (Role::Item, ITEMS),
            (Role::Caution, CAUTIONS),
            (Role::Money, PRICING),
            (Role::Working, WORKINGS),
            (Role::AsPriced, AS_PRICED),
        ] {
            let own = of_role(table, role).filter(|_| role != Role::Working || !table.grouped);
            columns.extend(own.map(|id| (What::Ledger(id), title.to_owned())));
        }
        for group in groups(table) {
            let forks = table
                .columns()
                .filter(|(_, column)| column.group == group && column.role == Role::Fork);
            columns.extend(forks.map(|(id, _)| (What::Ledger(id), CHECKS.to_owned())));
        }
        columns.extend(
            checks(table)
                .into_iter()
                .map(|check| (What::Check(check), CHECKS.to_owned())),
        );
        let plan = Self {
            table: id,
            sheet,
            first_row: FIRST_ROW,
            rows: table.rows() as u32,
            columns,
            follows: false,
        };
        plan.put(layout);
        plan
    }

    fn put(&self, layout: &mut Layout) {
        let columns = (0u32..)
            .zip(&self.columns)
            .filter_map(|(at, (what, _))| match what {
                What::Ledger(id) => Some((*id, at)),
                _ => None,
            })
            .collect();
        layout.put(
            self.table,
            TablePlace {
                sheet: self.sheet.clone(),
                direction: Direction::Across,
                first: self.first_row,
                rows: self.rows,
                columns,
                owner: 0,
            },
        );
    }

    /// The sheet column of something.
    pub(super) fn column_of(&self, what: &What) -> Option<u32> {
        (0u32..)
            .zip(&self.columns)
            .find(|(_, (known, _))| known == what)
            .map(|(at, _)| at)
    }

    /// The last sheet column that is printed: items and cautions have sheets of their own, and
    /// what follows them is for the screen. Of an alternate only its prices are printed: the rest
    /// is much the same as on the bid's sheet.
    pub(super) fn last_printed(&self) -> u32 {
        if self.follows {
            let front = self
                .columns
                .iter()
                .take_while(|(_, group)| group.is_empty());
            return front.count().max(1) as u32 - 1;
        }
        let after = [ITEMS, CAUTIONS, PRICING, WORKINGS, AS_PRICED, CHECKS];
        let on_paper = |(_, group): &&(What, String)| !after.contains(&group.as_str());
        self.columns.iter().take_while(on_paper).count().max(1) as u32 - 1
    }

    /// First and last sheet column of the forks of a recipe.
    pub(super) fn forks_of(&self, table: &Table, recipe: &str) -> Option<(u32, u32)> {
        self.span(|what| match what {
            What::Ledger(id) => {
                let column = table.column(*id);
                column.role == Role::Fork && column.group == recipe
            }
            _ => false,
        })
    }

    /// First and last sheet column of the checks of what was typed.
    pub(super) fn input_checks(&self) -> Option<(u32, u32)> {
        self.span(|what| matches!(what, What::Check(_)))
    }

    /// First and last sheet column of all that can say "price again".
    pub(super) fn all_checks(&self, table: &Table) -> Option<(u32, u32)> {
        self.span(|what| match what {
            What::Check(_) => true,
            What::Ledger(id) => table.column(*id).role == Role::Fork,
            _ => false,
        })
    }

    fn span(&self, belongs: impl Fn(&What) -> bool) -> Option<(u32, u32)> {
        let mut found = (0u32..)
            .zip(&self.columns)
            .filter(|(_, (what, _))| belongs(what))
            .map(|(at, _)| at);
        let first = found.next()?;
        Some((first, found.last().unwrap_or(first)))
    }
}

fn of_role(table: &Table, role: Role) -> impl Iterator<Item = ColumnId> {
    table
        .columns()
        .filter(move |(_, column)| column.role == role)
        .map(|(id, _)| id)
}

/// The recipes that have columns in a table, in order.
fn groups(table: &Table) -> Vec<String> {
    let mut groups: Vec<String> = Vec::new();
    for (_, column) in table.columns() {
        if !column.group.is_empty() && !groups.contains(&column.group) {
            groups.push(column.group.clone());
        }
    }
    groups
}

/// The checks that the inputs of a table need.
fn checks(table: &Table) -> Vec<Check> {
    let mut checks = Vec::new();
    let select = |test: &dyn Fn(&Column) -> bool| -> Vec<ColumnId> {
        table
            .columns()
            .filter(|(_, column)| column.role == Role::Input && test(column))
            .map(|(id, _)| id)
            .collect()
    };
    let optional = |column: &Column| {
        column
            .input
            .as_ref()
            .is_some_and(|facts| facts.may_be_blank)
    };
    let number = |column: &Column| matches!(column.kind, Kind::Number(_));
    let choice = |column: &Column| {
        column
            .input
            .as_ref()
            .is_some_and(|facts| facts.choice != Choice::Free)
    };
    let mut add = |columns: Vec<ColumnId>, check: fn(Vec<ColumnId>) -> Check| {
        if !columns.is_empty() {
            checks.push(check(columns));
        }
    };
    let either_sign = |column: &Column| {
        column
            .input
            .as_ref()
            .is_some_and(|facts| facts.least == f64::NEG_INFINITY)
    };
    add(
        select(&|c| number(c) && !optional(c) && !either_sign(c)),
        Check::Numbers,
    );
    add(select(&|c| number(c) && either_sign(c)), Check::AnyNumbers);
    add(
        select(&|c| number(c) && optional(c)),
        Check::OptionalNumbers,
    );
    add(select(&|c| choice(c) && !optional(c)), Check::Choices);
    add(
        select(&|c| choice(c) && optional(c)),
        Check::OptionalChoices,
    );
    for id in select(&|c| {
        c.input
            .as_ref()
            .is_some_and(|facts| facts.least != 0.0 || facts.most.is_finite())
            && number(c)
            && !either_sign(c)
    }) {
        checks.push(Check::Bounds(id));
    }
    checks
}
