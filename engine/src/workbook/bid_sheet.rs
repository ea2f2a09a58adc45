//! The Bid sheet: what the customer gets, on one page.

use rust_xlsxwriter::{
    ConditionalFormatFormula, Format, FormatAlign, FormatBorder, Formula, Worksheet, XlsxError,
};

use super::cautions;
use super::estimate::EstimatePlan;
use super::page;
use super::piece::{cell_number, tidy};
use super::plan::{TablePlan, What};
use super::styles;
use crate::bid::Bid;
use crate::diag::column_letters;
use crate::quantity::Dimension;
use crate::script::ItemKind;
use crate::shop::Workshop;
use crate::trail::{Kind, Role};

/// More rooms than this do not fit the page; then the price is shown by kind of work.
const MOST_ROOMS: usize = 25;
/// Last sheet column of the page.
const LAST: u16 = 3;
/// Characters that fit across the page.
const ACROSS: usize = 96;

/// Writes the sheet.
pub(super) fn write(
    sheet: &mut Worksheet,
    bid: &Bid,
    workshop: &Workshop,
    rooms: &TablePlan,
) -> Result<(), XlsxError> {
    page::set_up(sheet);
    sheet.set_print_fit_to_pages(1, 1);
    for (at, width) in [(0u16, 40.0), (1, 16.0), (2, 18.0), (3, 18.0)] {
        sheet.set_column_width(at, width)?;
    }
    let mut page = Page {
        sheet,
        bid,
        workshop,
        row: 0,
    };
    page.head()?;
    page.alarm()?;
    page.list("Scope of work", &page.scope())?;
    if bid.ledger.table(rooms.table).rows() <= MOST_ROOMS {
        page.by_room(rooms)?;
    } else {
        page.by_kind()?;
    }
    page.total()?;
    page.cautions()?;
    page.list("Not included", &page.exclusions())?;
    page.list("Terms", &workshop.settings.terms)?;
    page.signatures()?;
    let last = page.row;
    sheet.set_print_area(0, 0, last, LAST)?;
    Ok(())
}

struct Page<'a> {
    sheet: &'a mut Worksheet,
    bid: &'a Bid,
    workshop: &'a Workshop,
    row: u32,
}

impl Page<'_> {
    fn scope(&self) -> Vec<String> {
        let recipes = self.workshop.recipes.iter();
        recipes
            .flat_map(|recipe| recipe.manifest.texts.scope.clone())
            .collect()
    }

    fn exclusions(&self) -> Vec<String> {
        let recipes = &self.workshop.recipes;
        let names = || recipes.iter().map(|recipe| recipe.manifest.name.as_str());
        recipes
            .iter()
            .flat_map(|recipe| &recipe.manifest.texts.exclusions)
            .filter(|exclusion| exclusion.stands(names()))
            .map(|exclusion| exclusion.text.clone())
            .chain(self.workshop.settings.exclusions.iter().cloned())
            .collect()
    }

    /// Text across the page, with as much height as it needs.
    fn across(&mut self, text: &str, format: &Format) -> Result<(), XlsxError> {
        self.sheet
            .merge_range(self.row, 0, self.row, LAST, text, format)?;
        self.sheet
            .set_row_height(self.row, page::height_for(text, ACROSS))?;
        self.row += 1;
        Ok(())
    }

    fn head(&mut self) -> Result<(), XlsxError> {
        let settings = &self.workshop.settings;
        self.sheet
            .write_string_with_format(0, 0, &settings.name, &styles::title())?;
        let right = styles::title().set_align(FormatAlign::Right).set_indent(0);
        self.sheet
            .write_string_with_format(0, LAST, "Bid", &right)?;
        self.row = 1;
        for line in &settings.address {
            self.sheet
                .write_string_with_format(self.row, 0, line, &styles::text())?;
            self.row += 1;
        }
        self.row += 1;
        let facts = &self.bid.takeoff.facts;
        for (title, text) in [
            ("Job", &facts.name),
            ("Customer", &facts.customer),
            ("Site", &facts.site),
            ("Date", &facts.date),
            ("Price valid until", &facts.valid_until),
            ("Prepared by", &facts.prepared_by),
        ] {
            if text.is_empty() {
                continue;
            }
            self.sheet
                .write_string_with_format(self.row, 0, title, &styles::strong())?;
            self.sheet
                .write_string_with_format(self.row, 1, text, &styles::text())?;
            self.row += 1;
        }
        if settings.invented {
            let text = "The shop, its products and its prices are invented: this shows how a bid looks and is no offer.";
            self.across(text, &styles::wrapped().set_bold())?;
        }
        self.row += 1;
        Ok(())
    }

    /// Empty while all is well; otherwise it says so in plain words.
    fn alarm(&mut self) -> Result<(), XlsxError> {
        let format = styles::wrapped().set_bold();
        self.sheet
            .merge_range(self.row, 0, self.row, LAST, "", &format)?;
        let text = "PRICE AGAIN: something was changed that this workbook cannot follow. See the Record sheet, and price the takeoff again before using these numbers.";
        let formula = Formula::new(format!("=IF(price_again=0,\"\",\"{text}\")")).set_result("");
        self.sheet
            .write_formula_with_format(self.row, 0, formula, &format)?;
        let alarm = ConditionalFormatFormula::new()
            .set_rule("=price_again<>0")
            .set_format(styles::alarm());
        self.sheet
            .add_conditional_format(self.row, 0, self.row, LAST, &alarm)?;
        self.sheet.set_row_height(self.row, 30)?;
        self.row += 1;
        Ok(())
    }

    fn group(&mut self, title: &str) -> Result<(), XlsxError> {
        let format = styles::group();
        self.sheet
            .write_string_with_format(self.row, 0, title, &format)?;
        for at in 1..=LAST {
            self.sheet.write_blank(self.row, at, &format)?;
        }
        self.row += 1;
        Ok(())
    }

    fn list(&mut self, title: &str, texts: &[String]) -> Result<(), XlsxError> {
        if texts.is_empty() {
            return Ok(());
        }
        self.group(title)?;
        for text in texts {
            self.across(&format!("•  {text}"), &styles::wrapped())?;
        }
        self.row += 1;
        Ok(())
    }

    fn money(&self) -> String {
        styles::money_format(&self.bid.ledger.units.currency().symbol)
    }

    /// A room for each row: its name, its first measured quantity, its price.
    fn by_room(&mut self, rooms: &TablePlan) -> Result<(), XlsxError> {
        let table = self.bid.ledger.table(rooms.table);
        let measured = rooms.columns.iter().find_map(|(what, _)| match what {
            What::Ledger(id) => {
                let column = table.column(*id);
                // The room's own area, where every room has one: as measured, or as it follows.
                let own = column.name.rsplit('.').next() == Some("area");
                let fits = own
                    && column.kind == Kind::Number(Dimension::AREA)
                    && matches!(column.role, Role::Input | Role::Cell)
                    && !column.values.iter().any(|value| value.is_nan());
                fits.then_some((*id, rooms.column_of(what)?))
            }
            _ => None,
        });
        let right = styles::heading_right();
        self.sheet
            .write_string_with_format(self.row, 0, "Price by room", &styles::heading())?;
        self.sheet.write_blank(self.row, 1, &right)?;
        let title = measured.map(|(id, _)| {
            page::with_unit(&table.column(id).title, table.column(id), &self.bid.ledger)
        });
        self.sheet
            .write_string_with_format(self.row, 2, title.unwrap_or_default(), &right)?;
        self.sheet
            .write_string_with_format(self.row, 3, "Price", &right)?;
        self.row += 1;
        let money = styles::cell(styles::Look::Result, &self.money());
        let prices = self.bid.room_prices();
        let price_at = rooms.column_of(&What::ShownPrice).unwrap_or(0);
        for (index, name) in table.row_names.iter().enumerate() {
            let source = rooms.first_row + index as u32 + 1;
            self.sheet
                .write_string_with_format(self.row, 0, name, &styles::text())?;
            if let Some((id, at)) = measured {
                let column = table.column(id);
                let number = tidy(cell_number(column.values[index], &column.unit));
                let formula = Formula::new(format!("=Rooms!{}{source}", column_letters(at)))
                    .set_result(number.to_string());
                let format = styles::cell(styles::Look::Result, "#,##0.0");
                self.sheet
                    .write_formula_with_format(self.row, 2, formula, &format)?;
            }
            let formula = Formula::new(format!("=Rooms!{}{source}", column_letters(price_at)))
                .set_result(prices[index].to_string());
            self.sheet.write_formula_with_format(
                self.row,
                3,
                formula,
                &money.clone().set_align(FormatAlign::Right),
            )?;
            self.row += 1;
        }
        Ok(())
    }

    /// Too many rooms for one page: the price by kind of work, and what rounding adds.
    fn by_kind(&mut self) -> Result<(), XlsxError> {
        let right = styles::heading_right();
        self.sheet.write_string_with_format(
            self.row,
            0,
            "Price by kind of work (by room: see the Rooms sheet)",
            &styles::heading(),
        )?;
        for at in 1..LAST {
            self.sheet.write_blank(self.row, at, &right)?;
        }
        self.sheet
            .write_string_with_format(self.row, LAST, "Price", &right)?;
        self.row += 1;
        let (kinds, prices) = EstimatePlan::kinds_and_prices(self.bid.lines.len());
        let table = self.bid.ledger.table(self.bid.line_table);
        let values = table.values(self.bid.line_columns.price);
        let format =
            styles::cell(styles::Look::Result, &self.money()).set_align(FormatAlign::Right);
        let first = self.row;
        let mut sum = 0.0;
        for kind in ItemKind::ALL {
            let of_kind = |(line, _): &(&crate::bid::Line, &f64)| line.kind == kind;
            let lines: Vec<_> = self.bid.lines.iter().zip(values).filter(of_kind).collect();
            if lines.is_empty() {
                continue;
            }
            let value: f64 = lines.iter().map(|(_, value)| **value).sum();
            sum += value;
            self.sheet
                .write_string_with_format(self.row, 0, kind.name(), &styles::text())?;
            let formula = format!(
                "=IF(price_again=0,SUMIFS({prices},{kinds},A{}),\"price again\")",
                self.row + 1
            );
            let formula = Formula::new(formula).set_result(tidy(value).to_string());
            self.sheet
                .write_formula_with_format(self.row, LAST, formula, &format)?;
            self.row += 1;
        }
        let rest = crate::quantity::rounding::cents(self.bid.total() - sum);
        self.sheet.write_string_with_format(
            self.row,
            0,
            "minimum charge and rounding",
            &styles::text(),
        )?;
        let letters = column_letters(u32::from(LAST));
        let formula = format!(
            "=IF(price_again=0,ROUND(bid_total-SUM({letters}{}:{letters}{}),2),\"price again\")",
            first + 1,
            self.row
        );
        let formula = Formula::new(formula).set_result(rest.to_string());
        self.sheet
            .write_formula_with_format(self.row, LAST, formula, &format)?;
        self.row += 1;
        Ok(())
    }

    fn total(&mut self) -> Result<(), XlsxError> {
        let format = styles::total(&self.money());
        let label = format.clone().set_align(FormatAlign::Left).set_indent(1);
        self.sheet
            .write_string_with_format(self.row, 0, "Total", &label)?;
        for at in 1..LAST {
            self.sheet.write_blank(self.row, at, &format)?;
        }
        let formula = Formula::new("=IF(price_again=0,bid_total,\"price again\")")
            .set_result(self.bid.total().to_string());
        self.sheet.write_formula_with_format(
            self.row,
            LAST,
            formula,
            &format.set_align(FormatAlign::Right),
        )?;
        let alarm = ConditionalFormatFormula::new()
            .set_rule("=price_again<>0")
            .set_format(styles::alarm());
        self.sheet
            .add_conditional_format(self.row, LAST, self.row, LAST, &alarm)?;
        self.sheet.set_row_height(self.row, 22)?;
        self.row += 2;
        Ok(())
    }

    /// What everybody should always know, then what holds now.
    fn cautions(&mut self) -> Result<(), XlsxError> {
        let always: Vec<String> = self
            .workshop
            .recipes
            .iter()
            .flat_map(|recipe| recipe.manifest.texts.cautions.clone())
            .collect();
        let lines = cautions::lines_on_bid(self.bid);
        if lines == 0 && always.is_empty() {
            return Ok(());
        }
        self.group("Cautions")?;
        let holding = cautions::holding(self.bid);
        for index in 0..lines {
            let (text_cell, first_cell, count_cell) = cautions::nth(index);
            let format = styles::wrapped();
            let known = holding.get(index as usize);
            self.sheet
                .merge_range(self.row, 0, self.row, 2, "", &format)?;
            let formula = Formula::new(format!("=IF({text_cell}=\"\",\"\",\"•  \"&{text_cell})"));
            let result = known.map_or_else(String::new, |caution| format!("•  {}", caution.text));
            self.sheet
                .set_row_height(self.row, page::height_for(&result, 76))?;
            self.sheet.write_formula_with_format(
                self.row,
                0,
                formula.set_result(result),
                &format,
            )?;
            let where_now = Formula::new(format!(
                "=IF({text_cell}=\"\",\"\",{first_cell}&\" (\"&{count_cell}&\")\")"
            ));
            let result = known.map_or_else(String::new, |caution| {
                format!("{} ({})", caution.first, caution.count)
            });
            self.sheet.write_formula_with_format(
                self.row,
                LAST,
                where_now.set_result(result),
                &format,
            )?;
            self.row += 1;
        }
        for text in &always {
            self.across(&format!("•  {text}"), &styles::wrapped())?;
        }
        if self.bid.cautions.len() as u32 > lines {
            self.across(
                "•  More may hold: see the Cautions sheet.",
                &styles::wrapped(),
            )?;
        }
        self.row += 1;
        Ok(())
    }

    fn signatures(&mut self) -> Result<(), XlsxError> {
        self.row += 1;
        let line = styles::text().set_border_top(FormatBorder::Thin);
        self.sheet
            .write_string_with_format(self.row, 0, "Accepted by", &line)?;
        self.sheet.write_blank(self.row, 1, &line)?;
        self.sheet
            .write_string_with_format(self.row, LAST, "Date", &line)?;
        Ok(())
    }
}
