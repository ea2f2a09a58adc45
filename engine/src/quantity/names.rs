//! Names of dimensions, and the units in which results are shown when nobody asked for another.

use super::dimension::BASE_NAMES;
use super::{Dimension, System, Unit, Units};

/// Dimensions that have a name of their own: name, dimension, US unit, SI unit.
const NAMED: &[(&str, Dimension, &str, &str)] = &[
    ("length", Dimension::LENGTH, "in", "mm"),
    ("area", Dimension::AREA, "sq ft", "m2"),
    ("volume", Dimension::VOLUME, "cu ft", "L"),
    ("weight", Dimension::WEIGHT, "lb", "kg"),
    ("time", Dimension::TIME, "h", "h"),
    ("temperature", Dimension::TEMPERATURE, "°F", "°C"),
    (
        "temperature difference",
        Dimension::TEMPERATURE_DIFFERENCE,
        "F deg",
        "K",
    ),
    ("power", Dimension::POWER, "W", "W"),
    ("electric current", Dimension::CURRENT, "A", "A"),
    ("voltage", Dimension::VOLTAGE, "V", "V"),
    ("resistance", Dimension::RESISTANCE, "ohm", "ohm"),
    ("energy", Dimension::ENERGY, "kWh", "kWh"),
    ("pressure", Dimension::PRESSURE, "psi", "kPa"),
];

impl Units {
    /// A dimension in words with its unit, such as `volume (cu ft)`.
    pub fn describe(&self, dimension: Dimension) -> String {
        if dimension.is_none() {
            return "a plain number".to_owned();
        }
        let unit = self.shown_in(dimension, System::Us).label;
        let name = NAMED
            .iter()
            .find(|(_, known, _, _)| *known == dimension)
            .map(|(name, ..)| (*name).to_owned())
            .or_else(|| (dimension == Dimension::MONEY).then(|| "money".to_owned()))
            .or_else(|| self.quotient_name(dimension))
            .unwrap_or_else(|| "a quantity".to_owned());
        if dimension.is_package_count() {
            return unit;
        }
        format!("{name} ({unit})")
    }

    /// `volume per bag`, where both parts have names.
    fn quotient_name(&self, dimension: Dimension) -> Option<String> {
        let (over, under) = self.parts(dimension);
        let over_name = self.simple_name(over)?;
        let under_name = self.simple_name(under)?;
        Some(format!("{over_name} per {under_name}"))
    }

    fn simple_name(&self, dimension: Dimension) -> Option<String> {
        if dimension == Dimension::MONEY {
            return Some("money".to_owned());
        }
        if dimension.is_package_count() {
            let (id, _) = dimension.packages().next()?;
            return Some(self.package_word(id, 1.0).to_owned());
        }
        NAMED
            .iter()
            .find(|(_, known, _, _)| *known == dimension)
            .map(|(name, ..)| (*name).to_owned())
    }

    /// The parts of a dimension above and below the fraction bar.
    fn parts(&self, dimension: Dimension) -> (Dimension, Dimension) {
        let (mut over, mut under) = (Dimension::NONE, Dimension::NONE);
        let factors = dimension
            .bases()
            .map(|(index, power)| (Dimension::base_at(index), power))
            .chain(
                dimension
                    .packages()
                    .map(|(id, power)| (Dimension::package(id), power)),
            );
        for (factor, power) in factors {
            let side = if power > 0 { &mut over } else { &mut under };
            if let Ok(grown) = factor
                .power(power.saturating_abs())
                .and_then(|factor| side.times(factor))
            {
                *side = grown;
            }
        }
        (over, under)
    }

    /// The unit in which a dimension is shown when nobody asked for another.
    pub fn shown_in(&self, dimension: Dimension, system: System) -> Unit {
        if dimension.is_none() {
            return Unit::plain();
        }
        if let Some(unit) = self.named_unit(dimension, system) {
            return unit;
        }
        let (over, under) = self.parts(dimension);
        let (over_label, over_size) = self.product(over, system);
        let (under_label, under_size) = self.product(under, system);
        let label = match (over_label.is_empty(), under_label.is_empty()) {
            (_, true) => over_label,
            (true, false) => format!("1/{under_label}"),
            (false, false)
                if under_label.contains(' ')
                    && !under_label.starts_with("sq ")
                    && !under_label.starts_with("cu ") =>
            {
                format!("{over_label}/({under_label})")
            }
            (false, false) => format!("{over_label}/{under_label}"),
        };
        Unit {
            label,
            dimension,
            size: over_size / under_size,
            zero: 0.0,
        }
    }

    fn named_unit(&self, dimension: Dimension, system: System) -> Option<Unit> {
        if dimension == Dimension::MONEY {
            return self.find("money").cloned();
        }
        if dimension.is_package_count() {
            let (id, _) = dimension.packages().next()?;
            return Some(self.package_unit(id));
        }
        let (_, _, us, si) = NAMED.iter().find(|(_, known, ..)| *known == dimension)?;
        let label = match system {
            System::Us => us,
            System::Si => si,
        };
        self.find(label).cloned()
    }

    /// Label and size of a product of positive powers.
    fn product(&self, dimension: Dimension, system: System) -> (String, f64) {
        if let Some(unit) = self.named_unit(dimension, system) {
            return (unit.label, unit.size);
        }
        let mut labels = Vec::new();
        let mut size = 1.0;
        let mut put = |factor: Dimension, power: i8| {
            let whole = factor.power(power).ok();
            let (unit, power) = match whole.and_then(|whole| self.named_unit(whole, system)) {
                Some(unit) => (Some(unit), 1),
                None => (self.named_unit(factor, system), power),
            };
            if let Some(unit) = unit {
                size *= unit.size.powi(i32::from(power));
                labels.push(match power {
                    1 => unit.label,
                    _ => format!("{}{power}", unit.label),
                });
            }
        };
        for (index, power) in dimension.bases() {
            put(Dimension::base_at(index), power);
        }
        for (id, power) in dimension.packages() {
            put(Dimension::package(id), power);
        }
        (labels.join(" "), size)
    }
}

impl Dimension {
    fn base_at(index: usize) -> Self {
        match BASE_NAMES.get(index) {
            Some(&"length") => Self::LENGTH,
            Some(&"weight") => Self::WEIGHT,
            Some(&"time") => Self::TIME,
            Some(&"temperature difference") => Self::TEMPERATURE_DIFFERENCE,
            Some(&"money") => Self::MONEY,
            Some(&"power") => Self::POWER,
            _ => Self::CURRENT,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::Currency;
    use super::*;

    #[test]
    fn dimensions_are_named_as_the_trade_says_them() {
        let mut units = Units::new(Currency::default()).unwrap();
        let bag = Dimension::package(units.declare_package("bag").unwrap());
        let named = |d: Dimension| units.describe(d);
        assert_eq!(named(Dimension::LENGTH), "length (in)");
        assert_eq!(named(Dimension::VOLUME), "volume (cu ft)");
        assert_eq!(named(bag), "bag");
        assert_eq!(
            named(Dimension::VOLUME.per(bag).unwrap()),
            "volume per bag (cu ft/bag)"
        );
        assert_eq!(
            named(Dimension::MONEY.per(Dimension::TIME).unwrap()),
            "money per time ($/h)"
        );
        assert_eq!(named(Dimension::NONE), "a plain number");
        assert_eq!(
            named(Dimension::LENGTH.power(4).unwrap()),
            "a quantity (in4)"
        );
    }

    #[test]
    fn compound_units_convert() {
        let units = Units::new(Currency::default()).unwrap();
        let speed = Dimension::AREA.per(Dimension::TIME).unwrap();
        let unit = units.shown_in(speed, System::Us);
        assert_eq!(
            (unit.label.as_str(), unit.size),
            ("sq ft/h", 144.0 / 3600.0)
        );
        let unit = units.shown_in(speed, System::Si);
        assert_eq!(unit.label, "m2/h");
    }
}
