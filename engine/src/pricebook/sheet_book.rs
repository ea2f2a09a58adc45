//! Price books kept as a sheet: a Products sheet and a Rates sheet, found by their headings.

use super::entry::Entry;
use super::product::RawProduct;
use super::rate::RawRate;
use super::toml_book::enter;
use super::{PriceBook, kind::FieldSpec};
use crate::diag::{Diagnostic, Findings, Place, quoted};
use crate::grid::{
    Grid, HeaderCell, HeaderRow, HeaderTrouble, Row, Sheet, Wanted, cell_in, find_header,
};
use crate::measure::read_unit;
use crate::quantity::Units;

/// Headings that every product row has, in the order of the blank form.
pub const PRODUCT_HEADINGS: [&str; 4] = ["Product", "Kind", "Package", "Supplier"];
/// Headings of the Rates sheet, in the order of the blank form.
pub const RATE_HEADINGS: [&str; 4] = ["Rate", "Price", "Per", "Why"];

/// Reads every sheet that has the headings of products or of rates into the book.
pub fn read_sheets(grid: &Grid, book: &mut PriceBook, units: &mut Units, findings: &mut Findings) {
    let fields = all_fields(book, units);
    let product_columns: Vec<Wanted> = PRODUCT_HEADINGS
        .iter()
        .map(|heading| Wanted::new(&heading.to_lowercase(), [*heading]))
        .chain(
            fields
                .iter()
                .map(|field| Wanted::new(&field.name, [field.title.as_str(), &field.name])),
        )
        .collect();
    let rate_columns: Vec<Wanted> = RATE_HEADINGS
        .iter()
        .map(|heading| Wanted::new(&heading.to_lowercase(), [*heading]))
        .collect();
    let mut products = Vec::new();
    let mut rates = Vec::new();
    for sheet in grid.sheets.iter().filter(|sheet| sheet.visible) {
        if let Some(table) = Table::find(grid, sheet, &product_columns, units, findings) {
            products.extend(
                table
                    .rows()
                    .filter_map(|row| read_product(&table, row, findings)),
            );
        } else if let Some(table) = Table::find(grid, sheet, &rate_columns, units, findings) {
            rates.extend(
                table
                    .rows()
                    .filter_map(|row| read_rate(&table, row, findings)),
            );
        }
    }
    if products.is_empty() && rates.is_empty() && !findings.has_errors() {
        findings.push(
            Diagnostic::error(format!("{} holds no products and no rates", grid.file))
                .at(Place::File(grid.file.clone()))
                .hint("A products sheet has the headings Product, Kind, Package, Price; a rates sheet has Rate, Price, Per."),
        );
    }
    enter(&products, &rates, book, units, findings);
}

fn all_fields(book: &PriceBook, units: &Units) -> Vec<FieldSpec> {
    let mut fields: Vec<FieldSpec> = Vec::new();
    for field in book
        .kinds
        .iter()
        .flat_map(|kind| kind.spec.all_fields(units))
    {
        if !fields.iter().any(|known| known.name == field.name) {
            fields.push(field);
        }
    }
    fields
}

/// A table in a sheet.
struct Table<'a> {
    grid: &'a Grid,
    sheet: &'a Sheet,
    wanted: &'a [Wanted],
    header: HeaderRow,
    units: Units,
}

impl<'a> Table<'a> {
    fn find(
        grid: &'a Grid,
        sheet: &'a Sheet,
        wanted: &'a [Wanted],
        units: &Units,
        findings: &mut Findings,
    ) -> Option<Self> {
        let header = match find_header(sheet, wanted) {
            Ok(header) => header,
            Err(HeaderTrouble::None) => return None,
            Err(HeaderTrouble::Twice {
                row,
                columns,
                wanted: index,
            }) => {
                findings.push(grid.headed_twice(sheet, row, columns, &wanted[index]));
                return None;
            }
        };
        Some(Self {
            grid,
            sheet,
            wanted,
            header,
            units: units.clone(),
        })
    }

    fn rows(&self) -> impl Iterator<Item = &'a (u32, Row)> {
        let first = self.header.row + 1;
        self.sheet.rows.iter().filter(move |(row, _)| *row >= first)
    }

    fn entries(&self, row: &'a (u32, Row), findings: &mut Findings) -> Vec<(String, Entry<'a>)> {
        let (number, cells) = row;
        let mut entries = Vec::new();
        for heading in &self.header.cells {
            let (Some(index), Some(cell)) = (heading.wanted, cell_in(cells, heading.column)) else {
                continue;
            };
            let place = self.grid.place(self.sheet, *number, heading.column);
            entries.push((
                self.wanted[index].name.clone(),
                Entry::Cell {
                    cell,
                    heading: self.heading_unit(heading, findings),
                    title: heading.title.clone(),
                    place,
                },
            ));
        }
        entries
    }

    fn heading_unit(
        &self,
        heading: &HeaderCell,
        findings: &mut Findings,
    ) -> Option<crate::quantity::Unit> {
        let text = heading.unit.as_ref()?;
        match read_unit(text, &self.units) {
            Ok(unit) => Some(unit),
            Err(error) => {
                findings.push(
                    Diagnostic::error(format!("the heading {} names no unit", quoted(text)))
                        .at(self.grid.place(self.sheet, self.header.row, heading.column))
                        .label(error.to_string()),
                );
                None
            }
        }
    }
}

fn take(entries: &mut Vec<(String, Entry<'_>)>, name: &str) -> Option<usize> {
    entries.iter().position(|(known, _)| known == name)
}

fn read_product<'a>(
    table: &Table<'a>,
    row: &'a (u32, Row),
    findings: &mut Findings,
) -> Option<RawProduct<'a>> {
    let mut entries = table.entries(row, findings);
    let place = table
        .grid
        .place(table.sheet, row.0, table.header.cells[0].column);
    let Some(name_at) = take(&mut entries, "product") else {
        if !entries.is_empty() {
            findings.push(Diagnostic::error("this row names no product").at(place));
        }
        return None;
    };
    let (_, name) = entries.remove(name_at);
    let place = name.place();
    let name_text = name.text(findings)?;
    let Some(kind_at) = take(&mut entries, "kind") else {
        findings.push(
            Diagnostic::error(format!("{} has no kind", quoted(&name_text)))
                .at(place)
                .label("expected a kind, such as leveler or primer"),
        );
        return None;
    };
    let (_, kind) = entries.remove(kind_at);
    Some(RawProduct {
        kind: (kind.text(findings)?, kind.place()),
        name: name_text,
        place,
        entries,
    })
}

fn read_rate<'a>(
    table: &Table<'a>,
    row: &'a (u32, Row),
    findings: &mut Findings,
) -> Option<RawRate<'a>> {
    let mut entries = table.entries(row, findings);
    if entries.is_empty() {
        return None;
    }
    let mut get = |name: &str| take(&mut entries, name).map(|at| entries.remove(at).1);
    let (name, price, per, why) = (get("rate"), get("price"), get("per"), get("why"));
    let Some(name) = name else {
        let place = table
            .grid
            .place(table.sheet, row.0, table.header.cells[0].column);
        findings.push(Diagnostic::error("this row names no rate").at(place));
        return None;
    };
    Some(RawRate {
        name: name.text(findings)?.to_lowercase().replace(' ', "_"),
        place: name.place(),
        price,
        per,
        why: why
            .and_then(|entry| entry.text(findings))
            .unwrap_or_default(),
    })
}
