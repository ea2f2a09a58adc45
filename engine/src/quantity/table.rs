//! The unit table: every unit the program knows from the start.
//!
//! Sources: exact definitions of inch, pound, gallon and Btu (IT) as in NIST
//! Special Publication 811 (Appendix B) and NIST Handbook 44 (Appendix C).
//! `engine` unit tests and `tests/suite/published_units.rs` hold them to those.
//!
//! To add a unit, add a row; the names are matched as written first, then in
//! lower case.

use super::{Dimension, System};

/// One row of the unit table.
pub(super) struct Row {
    /// How the unit is written.
    pub(super) label: &'static str,
    /// Other accepted spellings.
    pub(super) also: &'static [&'static str],
    pub(super) dimension: Dimension,
    /// Base units in one of it.
    pub(super) size: f64,
    /// Base value of its zero.
    pub(super) zero: f64,
    /// The family it belongs to.
    pub(super) system: System,
}

const fn row(
    label: &'static str,
    also: &'static [&'static str],
    dimension: Dimension,
    size: f64,
    system: System,
) -> Row {
    Row {
        label,
        also,
        dimension,
        size,
        zero: 0.0,
        system,
    }
}

use Dimension as D;
use System::{Si, Us};

/// Millimetres in an inch, exactly.
const INCH_MM: f64 = 25.4;
/// Kilograms in a pound, exactly.
const POUND_KG: f64 = 0.453_592_37;
/// Pounds-force in a newton: 1 / (0.45359237 x 9.80665), both exact.
const NEWTON: f64 = 1.0 / (POUND_KG * 9.806_65);
/// Joules in a Btu (IT), exactly.
const BTU_J: f64 = 1_055.055_852_62;
/// Square inches in a square metre.
const SQUARE_METRE: f64 = 1e6 / (INCH_MM * INCH_MM);
/// Cubic inches in a litre.
const LITRE: f64 = 1e6 / (INCH_MM * INCH_MM * INCH_MM);

/// The table. Areas and volumes have rows of their own, so that they are written as the trade writes them.
#[rustfmt::skip]
pub(super) const ROWS: &[Row] = &[
    row("in", &["inch", "inches", "\""], D::LENGTH, 1.0, Us),
    row("ft", &["foot", "feet", "'", "lf", "LF", "lnft"], D::LENGTH, 12.0, Us),
    row("yd", &["yard", "yards", "yds"], D::LENGTH, 36.0, Us),
    row("mi", &["mile", "miles"], D::LENGTH, 63_360.0, Us),
    row("mm", &["millimeter", "millimeters", "millimetre", "millimetres"], D::LENGTH, 1.0 / INCH_MM, Si),
    row("cm", &["centimeter", "centimeters", "centimetre", "centimetres"], D::LENGTH, 10.0 / INCH_MM, Si),
    row("m", &["meter", "meters", "metre", "metres", "lm"], D::LENGTH, 1000.0 / INCH_MM, Si),
    row("km", &["kilometer", "kilometers", "kilometre", "kilometres"], D::LENGTH, 1e6 / INCH_MM, Si),
    row("sq in", &["sqin", "in2"], D::AREA, 1.0, Us),
    row("sq ft", &["sqft", "sf", "SF", "ft2"], D::AREA, 144.0, Us),
    row("sq yd", &["sqyd", "sy", "SY", "yd2"], D::AREA, 1296.0, Us),
    row("m2", &["sqm", "sq m"], D::AREA, SQUARE_METRE, Si),
    row("cu in", &["cuin", "in3"], D::VOLUME, 1.0, Us),
    row("cu ft", &["cuft", "cf", "CF", "ft3"], D::VOLUME, 1728.0, Us),
    row("cu yd", &["cuyd", "cy", "CY", "yd3"], D::VOLUME, 46_656.0, Us),
    row("gal", &["gallon", "gallons"], D::VOLUME, 231.0, Us),
    row("qt", &["quart", "quarts"], D::VOLUME, 57.75, Us),
    row("pt", &["pint", "pints"], D::VOLUME, 28.875, Us),
    row("fl oz", &["floz"], D::VOLUME, 231.0 / 128.0, Us),
    row("board ft", &["bdft", "bf"], D::VOLUME, 144.0, Us),
    row("L", &["l", "liter", "liters", "litre", "litres"], D::VOLUME, LITRE, Si),
    row("mL", &["ml", "milliliter", "milliliters", "millilitre", "millilitres"], D::VOLUME, LITRE / 1000.0, Si),
    row("m3", &["cbm", "cu m"], D::VOLUME, LITRE * 1000.0, Si),
    row("lb", &["lbs", "pound", "pounds", "lbf"], D::WEIGHT, 1.0, Us),
    row("oz", &["ounce", "ounces"], D::WEIGHT, 1.0 / 16.0, Us),
    row("ton", &["tons"], D::WEIGHT, 2000.0, Us),
    row("g", &["gram", "grams"], D::WEIGHT, 0.001 / POUND_KG, Si),
    row("kg", &["kilogram", "kilograms", "kgs"], D::WEIGHT, 1.0 / POUND_KG, Si),
    row("t", &["tonne", "tonnes"], D::WEIGHT, 1000.0 / POUND_KG, Si),
    row("N", &["newton", "newtons"], D::WEIGHT, NEWTON, Si),
    row("kN", &[], D::WEIGHT, 1000.0 * NEWTON, Si),
    row("s", &["sec", "secs", "second", "seconds"], D::TIME, 1.0, Us),
    row("min", &["mins", "minute", "minutes"], D::TIME, 60.0, Us),
    row("h", &["hr", "hrs", "hour", "hours"], D::TIME, 3600.0, Us),
    row("W", &["watt", "watts"], D::POWER, 1.0, Si),
    row("kW", &["kw"], D::POWER, 1000.0, Si),
    row("A", &["amp", "amps", "ampere", "amperes"], D::CURRENT, 1.0, Si),
    row("%", &["percent", "pct"], D::NONE, 0.01, Us),
    row("K", &["kelvin"], D::TEMPERATURE_DIFFERENCE, 1.8, Si),
    row("F deg", &["F degrees"], D::TEMPERATURE_DIFFERENCE, 1.0, Us),
    row("C deg", &["C degrees"], D::TEMPERATURE_DIFFERENCE, 1.8, Si),
    row("°F", &["degF", "deg F", "F"], D::TEMPERATURE, 1.0, Us),
    Row { zero: 32.0, ..row("°C", &["degC", "deg C", "C"], D::TEMPERATURE, 1.8, Si) },
    row("psi", &[], D::PRESSURE, 1.0, Us),
    row("psf", &[], D::PRESSURE, 1.0 / 144.0, Us),
    row("Pa", &[], D::PRESSURE, NEWTON / SQUARE_METRE, Si),
    row("kPa", &[], D::PRESSURE, 1000.0 * NEWTON / SQUARE_METRE, Si),
    row("MPa", &[], D::PRESSURE, 1e6 * NEWTON / SQUARE_METRE, Si),
    row("V", &["volt", "volts"], D::VOLTAGE, 1.0, Si),
    row("ohm", &["ohms", "Ω"], D::RESISTANCE, 1.0, Si),
    row("J", &["joule", "joules"], D::ENERGY, 1.0, Si),
    row("kWh", &[], D::ENERGY, 3_600_000.0, Si),
    row("Btu", &["BTU"], D::ENERGY, BTU_J, Us),
];
