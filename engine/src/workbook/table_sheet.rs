//! The sheets of rooms and of tables below rooms: a row each, written once from top to bottom.

use rust_xlsxwriter::{Format, Worksheet, XlsxError};

use super::checks::check_formula;
use super::formula::Printer;
use super::layout::Layout;
use super::page;
use super::plan::{TablePlan, What};
use super::styles::{self, Look};
use super::template::{ROW, Template};
use crate::bid::Bid;
use crate::diag::column_letters;
use crate::takeoff::{SetCell, TakeoffTable};
use crate::trail::{Choice, Column, ColumnId, Kind, Ledger, Role, Table};

/// Letters of a fork's line that its heading shows; the note has all of it.
const LONGEST_FORK: usize = 36;
/// The same of a caution's text.
const LONGEST_CAUTION: usize = 80;

/// What is needed to write one of these sheets.
pub(super) struct TableSheet<'a> {
    pub(super) bid: &'a Bid,
    pub(super) takeoff: &'a TakeoffTable,
    pub(super) plan: &'a TablePlan,
    pub(super) layout: &'a Layout,
    /// For an alternate: the same sheet of the bid, whose typed cells it follows.
    pub(super) followed: Option<Followed<'a>>,
}

/// The sheet of the bid that an alternate's follows.
#[derive(Clone, Copy)]
pub(super) struct Followed<'a> {
    /// Cells of rooms that the alternate sets itself.
    pub(super) sets: &'a [SetCell],
    pub(super) ledger: &'a Ledger,
    pub(super) plan: &'a TablePlan,
}

/// How one column is written, prepared once.
pub(super) enum Written {
    Number(Format),
    Name(Format),
    Status(Template, Format),
    ShownPrice(Template, Format),
    Input(ColumnId, Format, Format),
    Carried(usize, Format),
    Computed(ColumnId, Format),
    Check(Template, Format),
    FilledHere(Format),
}

impl TableSheet<'_> {
    pub(super) fn ledger(&self) -> &Ledger {
        &self.bid.ledger
    }

    pub(super) fn table(&self) -> &Table {
        self.ledger().table(self.plan.table)
    }

    /// Writes the sheet.
    pub(super) fn write(&self, sheet: &mut Worksheet) -> Result<(), XlsxError> {
        let table = self.table();
        if table.grouped {
            // Readings have few columns, and many rows.
            page::set_up_wide(sheet, self.plan.first_row - 1)?;
        } else {
            page::set_up_many_columns(sheet, self.plan.first_row - 1, &self.page_breaks())?;
            let last = self.plan.last_printed();
            let bottom = self.plan.first_row + self.plan.rows.max(1) - 1;
            sheet.set_print_area(0, 0, bottom, u16::try_from(last).unwrap_or(u16::MAX))?;
        }
        // The bid's sheet is called what it holds; an alternate's says whose it is as well.
        let title = match self.followed {
            Some(_) => &self.plan.sheet,
            None => &table.title,
        };
        sheet.write_string_with_format(0, 0, title, &styles::title())?;
        sheet.write_string_with_format(
            1,
            0,
            "Dashed cells may be changed; the rest follows. Items, cautions and workings at the right are not printed.",
            &styles::remark(),
        )?;
        self.write_headings(sheet)?;
        let templates = self.templates();
        let written: Vec<Written> = self
            .plan
            .columns
            .iter()
            .map(|(what, _)| self.prepare(what))
            .collect();
        for row in 0..table.rows() {
            for (at, column) in (0u16..).zip(&written) {
                self.write_cell(sheet, row, at, column, &templates)?;
            }
        }
        self.validate(sheet)?;
        self.mark_stale(sheet)?;
        sheet.set_freeze_panes(self.plan.first_row, 3)?;
        Ok(())
    }

    /// Sheet columns at which a printed page begins: where a group of columns does.
    fn page_breaks(&self) -> Vec<u32> {
        (1u32..)
            .zip(self.plan.columns.windows(2))
            .filter(|(_, pair)| pair[0].1 != pair[1].1 && !pair[0].1.is_empty())
            .map(|(at, _)| at)
            .filter(|at| *at <= self.plan.last_printed())
            .collect()
    }

    fn write_headings(&self, sheet: &mut Worksheet) -> Result<(), XlsxError> {
        let (group_row, heading_row) = (self.plan.first_row - 2, self.plan.first_row - 1);
        let mut last_group = "";
        for (at, (_, group)) in (0u16..).zip(&self.plan.columns) {
            if group != last_group {
                sheet.write_string_with_format(group_row, at, group, &styles::group())?;
                last_group = group;
            }
        }
        let mut height: f64 = 34.0;
        for (at, (what, _)) in (0u16..).zip(&self.plan.columns) {
            let (title, note, width) = self.heading(what);
            // Bold letters are wide, and words do not break where they would just fit.
            height = height.max(page::height_for(&title, (width * 0.8) as usize));
            let format = match what {
                What::Ledger(id) if self.table().column(*id).kind != Kind::Text => {
                    styles::heading_right()
                }
                What::ShownPrice | What::Check(_) | What::FilledHere => styles::heading_right(),
                _ => styles::heading(),
            };
            sheet.write_string_with_format(heading_row, at, &title, &format)?;
            sheet.set_column_width(at, width)?;
            if !note.is_empty() {
                sheet.insert_note(heading_row, at, &page::note(&note))?;
            }
        }
        sheet.set_row_height(heading_row, height)?;
        Ok(())
    }

    fn heading(&self, what: &What) -> (String, String, f64) {
        let text = str::to_owned;
        match what {
            What::Number => (text("No."), String::new(), 5.0),
            What::Name => (text("Room"), String::new(), 22.0),
            What::Status => (
                text("Status"),
                text(
                    "Says \"price again\" when an edit in this row would have taken another path than the one priced.",
                ),
                11.0,
            ),
            What::ShownPrice => (
                text("Price of the room"),
                text("All rooms add up to the bid exactly."),
                13.0,
            ),
            What::Carried(at) => (
                self.takeoff.carried[*at].title.clone(),
                text("Carried through from the takeoff; no recipe uses it."),
                page::width_for(&self.takeoff.carried[*at].texts),
            ),
            What::FilledHere => (
                text("Filled in more than in the bid"),
                text("Cells of the row, as priced."),
                11.0,
            ),
            What::Check(check) => (
                text(check.title()),
                text("1 where something typed in this row cannot be used."),
                11.0,
            ),
            What::Ledger(id) => {
                let column = self.table().column(*id);
                let mut title = page::with_unit(&column.title, column, self.ledger());
                let (longest, width) = match column.role {
                    Role::Fork => (LONGEST_FORK, 16.0),
                    Role::Caution => (LONGEST_CAUTION, 34.0),
                    _ if column.kind == Kind::Text => (usize::MAX, 20.0),
                    _ => (usize::MAX, 12.0),
                };
                if title.chars().count() <= longest {
                    return (title, column.note.clone(), width);
                }
                let start: String = title.chars().take(longest).collect();
                let note = std::mem::replace(&mut title, format!("{start} …"));
                (title, note, width)
            }
        }
    }

    fn prepare(&self, what: &What) -> Written {
        let first_to_last = |span: Option<(u32, u32)>| {
            span.map(|(first, last)| {
                let (first, last) = (column_letters(first), column_letters(last));
                format!("SUM({first}{}:{last}{})", ROW, ROW)
            })
        };
        match what {
            What::Number => Written::Number(styles::cell(Look::Working, "0")),
            What::Name => Written::Name(styles::strong()),
            What::Status => {
                let sum = first_to_last(self.plan.all_checks(self.table()))
                    .unwrap_or_else(|| "0".to_owned());
                Written::Status(
                    Template::new(&format!("IF(IFERROR({sum},1)=0,\"ok\",\"price again\")")),
                    styles::text(),
                )
            }
            What::ShownPrice => {
                let price = self
                    .plan
                    .column_of(&What::Ledger(self.bid.shares.price))
                    .unwrap_or(0);
                let cell = format!("{}{}", column_letters(price), ROW);
                let symbol = &self.ledger().units.currency().symbol;
                let alarm = self.layout.own_name("price_again");
                Written::ShownPrice(
                    Template::new(&format!("IF({alarm}=0,{cell},\"price again\")")),
                    styles::cell(Look::Result, &styles::money_format(symbol)),
                )
            }
            What::Carried(at) => Written::Carried(*at, styles::text()),
            What::FilledHere => Written::FilledHere(styles::cell(Look::Working, "0")),
            What::Check(check) => Written::Check(
                Template::new(&check_formula(check, self.table(), self.plan, self.layout)),
                styles::cell(Look::Working, "0"),
            ),
            What::Ledger(id) => {
                let column = self.table().column(*id);
                let number_format = styles::number_format(&column.unit, &self.ledger().units);
                match column.role {
                    Role::Input if column.kind == Kind::Text => Written::Input(
                        *id,
                        self.typed_text(column),
                        styles::text_cell(Look::Filled),
                    ),
                    Role::Input => Written::Input(
                        *id,
                        styles::cell(Look::Input, &number_format),
                        styles::cell(Look::Filled, &number_format),
                    ),
                    Role::Working | Role::AsPriced | Role::Fork => {
                        Written::Computed(*id, styles::cell(Look::Working, &number_format))
                    }
                    _ => Written::Computed(*id, styles::cell(Look::Result, &number_format)),
                }
            }
        }
    }

    /// How a text that is typed is written: where choices are called by numbers, what is typed
    /// stays a text.
    fn typed_text(&self, column: &Column) -> Format {
        let format = styles::text_cell(Look::Input);
        let names = match column.input.as_ref().map(|facts| &facts.choice) {
            Some(Choice::ProductOf(table)) => &self.ledger().table(*table).row_names,
            Some(Choice::OneOf(names)) => names,
            _ => return format,
        };
        if names.iter().any(|name| name.parse::<f64>().is_ok()) {
            return format.set_num_format("@");
        }
        format
    }

    /// The formula of every output of every shape, by block, shape and column.
    fn templates(&self) -> Vec<Vec<Vec<(ColumnId, Template)>>> {
        let table = self.table();
        table
            .blocks
            .iter()
            .map(|block| {
                block
                    .shapes
                    .iter()
                    .map(|shape| {
                        let printer = Printer {
                            ledger: self.ledger(),
                            layout: self.layout,
                            table: self.plan.table,
                            shape,
                        };
                        let outputs = shape.outputs.iter().filter_map(|output| {
                            Some((output.column, Template::new(&printer.output(output)?)))
                        });
                        let frozen = shape.frozen.iter().filter_map(|frozen| {
                            Some((frozen.flag, Template::new(&printer.frozen(frozen)?)))
                        });
                        outputs.chain(frozen).collect()
                    })
                    .collect()
            })
            .collect()
    }
}
