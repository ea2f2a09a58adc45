//! What a spreadsheet does while somebody types in a sheet of rooms: drop-downs, bounds, alarms.

use rust_xlsxwriter::{
    ConditionalFormatFormula, DataValidation, DataValidationRule, Formula, Worksheet, XlsxError,
};

use super::piece::cell_number;
use super::plan::What;
use super::styles;
use super::table_sheet::TableSheet;
use crate::diag::column_letters;
use crate::trail::{Choice, Kind, Role};

impl TableSheet<'_> {
    /// Drop-downs for choices, bounds for numbers.
    pub(super) fn validate(&self, sheet: &mut Worksheet) -> Result<(), XlsxError> {
        let table = self.table();
        if table.rows() == 0 {
            return Ok(());
        }
        let (first, last) = (
            self.plan.first_row,
            self.plan.first_row + table.rows() as u32 - 1,
        );
        for (at, (what, _)) in (0u16..).zip(&self.plan.columns) {
            let What::Ledger(id) = what else { continue };
            let column = table.column(*id);
            let Some(facts) = &column.input else { continue };
            let list = match &facts.choice {
                Choice::ProductOf(products) => Some(self.layout.rows_range(*products).to_owned()),
                Choice::OneOf(_) => self.layout.choices(&column.name).map(str::to_owned),
                Choice::Free => None,
            };
            let validation = match (list, column.kind) {
                (Some(list), _) => {
                    DataValidation::new().allow_list_formula(Formula::new(format!("={list}")))
                }
                (None, Kind::Number(_)) => {
                    let least = cell_number(facts.least, &column.unit);
                    let rule = if facts.least == f64::NEG_INFINITY {
                        DataValidationRule::LessThanOrEqualTo(1e12)
                    } else if facts.most.is_finite() {
                        DataValidationRule::Between(least, cell_number(facts.most, &column.unit))
                    } else {
                        DataValidationRule::GreaterThanOrEqualTo(least)
                    };
                    DataValidation::new().allow_decimal_number(rule)
                }
                _ => continue,
            };
            let validation = validation
                .set_error_title("This cannot be used")?
                .set_error_message(
                    "Choose from the list, or type a number within the bounds of this column.",
                )?;
            sheet.add_data_validation(first, at, last, at, &validation)?;
        }
        Ok(())
    }

    /// Rows whose numbers no longer hold are struck through and say so.
    pub(super) fn mark_stale(&self, sheet: &mut Worksheet) -> Result<(), XlsxError> {
        let table = self.table();
        let Some(status) = self.plan.column_of(&What::Status) else {
            return Ok(());
        };
        if table.rows() == 0 {
            return Ok(());
        }
        let (first, last) = (
            self.plan.first_row,
            self.plan.first_row + table.rows() as u32 - 1,
        );
        let width = self.plan.columns.len() as u16 - 1;
        let status_at = u16::try_from(status).unwrap_or(0);
        let test = format!("=${}{}=\"price again\"", column_letters(status), first + 1);
        let alarm = ConditionalFormatFormula::new()
            .set_rule(test.as_str())
            .set_format(styles::alarm());
        sheet.add_conditional_format(first, status_at, last, status_at, &alarm)?;
        let stale = ConditionalFormatFormula::new()
            .set_rule(test.as_str())
            .set_format(styles::stale());
        for (at, (what, _)) in (0u16..).zip(&self.plan.columns) {
            let computed = match what {
                What::Ledger(id) => matches!(
                    table.column(*id).role,
                    Role::Cell | Role::Item | Role::Money
                ),
                _ => false,
            };
            if computed && at <= width {
                sheet.add_conditional_format(first, at, last, at, &stale)?;
            }
        }
        Ok(())
    }
}
