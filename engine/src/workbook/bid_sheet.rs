//! The Bid sheet: what the customer gets, as wide as a page, and as short as it can be.

use rust_xlsxwriter::{
    ConditionalFormatFormula, Format, FormatAlign, FormatBorder, Formula, Worksheet, XlsxError,
};

use super::cautions;
use super::layout::Layout;
use super::model::Model;
use super::page;
use super::styles;
use crate::bid::Bid;
use crate::recipe::Recipe;
use crate::shop::Workshop;

/// More rooms than this do not fit the page; then the price is shown by kind of work.
const MOST_ROOMS: usize = 25;
/// Last sheet column of the page.
pub(super) const LAST: u16 = 3;
/// Characters that fit across the page.
const ACROSS: usize = 96;

/// Writes the sheet.
pub(super) fn write(
    sheet: &mut Worksheet,
    model: &Model<'_>,
    alternates: &[Model<'_>],
) -> Result<(), XlsxError> {
    let (bid, workshop, rooms) = (model.bid, model.workshop, model.rooms());
    page::set_up(sheet);
    // As wide as a page; a job with many recipes has more to say than one page holds legibly.
    sheet.set_print_fit_to_pages(1, 0);
    for (at, width) in [(0u16, 40.0), (1, 16.0), (2, 18.0), (3, 18.0)] {
        sheet.set_column_width(at, width)?;
    }
    let mut page = Page {
        sheet,
        bid,
        workshop,
        layout: &model.layout,
        row: 0,
    };
    page.head()?;
    page.alarm()?;
    page.list("Scope of work", &page.scope())?;
    if bid.ledger.table(rooms.table).rows() <= MOST_ROOMS {
        page.by_room(rooms)?;
        page.added()?;
    } else {
        page.by_kind(&model.estimate)?;
    }
    page.total()?;
    page.alternates(alternates)?;
    page.phases()?;
    page.payments()?;
    page.cautions()?;
    page.list("Not included", &page.exclusions())?;
    page.list("Terms", &workshop.settings.terms)?;
    page.signatures()?;
    let last = page.row;
    sheet.set_print_area(0, 0, last, LAST)?;
    Ok(())
}

/// The page while it is written.
pub(super) struct Page<'a> {
    pub(super) sheet: &'a mut Worksheet,
    pub(super) bid: &'a Bid,
    pub(super) workshop: &'a Workshop,
    pub(super) layout: &'a Layout,
    pub(super) row: u32,
}

impl Page<'_> {
    /// The recipes as the shop lists them: the order in which it tells of its work. Where it lists
    /// none, as they read each other.
    fn as_listed(&self) -> Vec<&Recipe> {
        let listed = &self.workshop.settings.recipes;
        let mut recipes: Vec<&Recipe> = self.workshop.recipes.iter().collect();
        recipes.sort_by_key(|recipe| {
            let at = listed.iter().position(|name| *name == recipe.manifest.name);
            at.unwrap_or(usize::MAX)
        });
        recipes
    }

    fn scope(&self) -> Vec<String> {
        let recipes = self.as_listed().into_iter();
        recipes
            .flat_map(|recipe| recipe.manifest.texts.scope.clone())
            .collect()
    }

    fn exclusions(&self) -> Vec<String> {
        let recipes = &self.workshop.recipes;
        let names = || recipes.iter().map(|recipe| recipe.manifest.name.as_str());
        self.as_listed()
            .into_iter()
            .flat_map(|recipe| &recipe.manifest.texts.exclusions)
            .filter(|exclusion| exclusion.stands(names()))
            .map(|exclusion| exclusion.text.clone())
            .chain(self.workshop.settings.exclusions.iter().cloned())
            .collect()
    }

    /// Text across the page, with as much height as it needs.
    pub(super) fn across(&mut self, text: &str, format: &Format) -> Result<(), XlsxError> {
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

    pub(super) fn group(&mut self, title: &str) -> Result<(), XlsxError> {
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
