//! Dimensions: what kind of thing a quantity measures.

use std::fmt;

/// A package such as bag or pail, by its number in [`super::Units`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PackageId(pub(super) u16);

impl PackageId {
    /// "A package, whichever it is": what a recipe asks for before a product is chosen.
    pub const ANY: Self = Self(0);
}

/// Exponents of the base dimensions and of up to three kinds of package.
///
/// Two dimensions are the same exactly when they are equal. Temperature is kept
/// twice: a *difference* can be multiplied and added, a *point* on the scale
/// (`is_point`) only moves by differences.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Dimension {
    powers: [i8; BASES],
    packages: [(PackageId, i8); PACKAGE_SLOTS],
    point: bool,
}

const BASES: usize = 7;
const PACKAGE_SLOTS: usize = 3;

const LENGTH: usize = 0;
const WEIGHT: usize = 1;
const TIME: usize = 2;
const TEMPERATURE: usize = 3;
const MONEY: usize = 4;
const POWER: usize = 5;
const CURRENT: usize = 6;

/// Names of the base dimensions, in the order of their exponents.
pub(super) const BASE_NAMES: [&str; BASES] = [
    "length",
    "weight",
    "time",
    "temperature difference",
    "money",
    "power",
    "electric current",
];

/// Why a dimension could not be formed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DimensionError {
    /// More than three kinds of package in one quantity, or an exponent beyond any use.
    TooComplex,
    /// A point on a temperature scale was multiplied or divided.
    PointScaled,
}

impl fmt::Display for DimensionError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::TooComplex => "this mixes more units than one quantity can carry",
            Self::PointScaled => {
                "a temperature reading cannot be multiplied or divided, only a temperature difference can"
            }
        })
    }
}

impl Dimension {
    /// A plain number.
    pub const NONE: Self = Self {
        powers: [0; BASES],
        packages: [(PackageId::ANY, 0); PACKAGE_SLOTS],
        point: false,
    };
    /// Length; base unit inch.
    pub const LENGTH: Self = Self::base(LENGTH, 1);
    /// Area.
    pub const AREA: Self = Self::base(LENGTH, 2);
    /// Volume.
    pub const VOLUME: Self = Self::base(LENGTH, 3);
    /// Weight (mass and its weight are one thing in the trade); base unit pound.
    pub const WEIGHT: Self = Self::base(WEIGHT, 1);
    /// Time; base unit second.
    pub const TIME: Self = Self::base(TIME, 1);
    /// Temperature difference; base unit degree Fahrenheit.
    pub const TEMPERATURE_DIFFERENCE: Self = Self::base(TEMPERATURE, 1);
    /// A reading on a temperature scale; base unit degree Fahrenheit.
    pub const TEMPERATURE: Self = Self {
        point: true,
        ..Self::base(TEMPERATURE, 1)
    };
    /// Money in the shop's currency.
    pub const MONEY: Self = Self::base(MONEY, 1);
    /// Power; base unit watt.
    pub const POWER: Self = Self::base(POWER, 1);
    /// Electric current; base unit ampere.
    pub const CURRENT: Self = Self::base(CURRENT, 1);

    /// Pressure, or weight over an area; base unit pound per square inch.
    pub const PRESSURE: Self = Self::from_powers([-2, 1, 0, 0, 0, 0, 0]);
    /// Electric voltage; base unit volt.
    pub const VOLTAGE: Self = Self::from_powers([0, 0, 0, 0, 0, 1, -1]);
    /// Electric resistance; base unit ohm.
    pub const RESISTANCE: Self = Self::from_powers([0, 0, 0, 0, 0, 1, -2]);
    /// Energy; base unit watt second.
    pub const ENERGY: Self = Self::from_powers([0, 0, 1, 0, 0, 1, 0]);

    const fn from_powers(powers: [i8; BASES]) -> Self {
        Self {
            powers,
            ..Self::NONE
        }
    }

    const fn base(index: usize, power: i8) -> Self {
        let mut dimension = Self::NONE;
        dimension.powers[index] = power;
        dimension
    }

    /// One kind of package.
    pub fn package(id: PackageId) -> Self {
        let mut dimension = Self::NONE;
        dimension.packages[0] = (id, 1);
        dimension
    }

    /// Whether this is a point on a temperature scale.
    pub fn is_point(self) -> bool {
        self.point
    }

    /// Whether this is a plain number.
    pub fn is_none(self) -> bool {
        self == Self::NONE
    }

    /// Whether this counts exactly one kind of package.
    pub fn is_package_count(self) -> bool {
        self.powers == [0; BASES] && self.packages[0].1 == 1 && self.packages[1].1 == 0
    }

    /// The exponent of money: 1 for an amount or a rate of money.
    pub fn money_power(self) -> i8 {
        self.powers[MONEY]
    }

    /// The exponents of the base dimensions with their index.
    pub(super) fn bases(self) -> impl Iterator<Item = (usize, i8)> {
        self.powers
            .into_iter()
            .enumerate()
            .filter(|(_, power)| *power != 0)
    }

    /// The kinds of package with their exponents.
    pub fn packages(self) -> impl Iterator<Item = (PackageId, i8)> {
        self.packages.into_iter().filter(|(_, power)| *power != 0)
    }

    /// The dimension of a difference of two values of this dimension.
    pub fn difference(self) -> Self {
        Self {
            point: false,
            ..self
        }
    }

    /// The dimension of a product.
    ///
    /// # Errors
    /// When a temperature reading is multiplied, or the result is beyond what a quantity carries.
    pub fn times(self, other: Self) -> Result<Self, DimensionError> {
        self.combine(other, 1)
    }

    /// The dimension of a quotient.
    ///
    /// # Errors
    /// As for [`Dimension::times`].
    pub fn per(self, other: Self) -> Result<Self, DimensionError> {
        self.combine(other, -1)
    }

    /// The dimension of a whole power.
    ///
    /// # Errors
    /// As for [`Dimension::times`].
    pub fn power(self, exponent: i8) -> Result<Self, DimensionError> {
        let mut result = Self::NONE;
        for _ in 0..exponent.unsigned_abs() {
            result = result.combine(self, exponent.signum())?;
        }
        Ok(result)
    }

    /// The same dimension with "whichever package" made a certain one.
    ///
    /// # Errors
    /// As for [`Dimension::times`].
    pub fn with_package(self, actual: PackageId) -> Result<Self, DimensionError> {
        let mut result = Self {
            packages: Self::NONE.packages,
            ..self
        };
        for (id, power) in self.packages() {
            let id = if id == PackageId::ANY { actual } else { id };
            result = result.combine(Self::package(id), power)?;
        }
        Ok(result)
    }

    fn combine(self, other: Self, sign: i8) -> Result<Self, DimensionError> {
        // A plain number times a reading is refused too: twice 70 °F means nothing.
        if self.point || other.point {
            return Err(DimensionError::PointScaled);
        }
        let mut result = self;
        for (index, power) in other.bases() {
            result.powers[index] = join(result.powers[index], power, sign)?;
        }
        let mut packages: Vec<(PackageId, i8)> = self.packages().collect();
        for (id, power) in other.packages() {
            match packages.iter_mut().find(|(known, _)| *known == id) {
                Some((_, total)) => *total = join(*total, power, sign)?,
                None => packages.push((id, join(0, power, sign)?)),
            }
        }
        packages.retain(|(_, power)| *power != 0);
        packages.sort_unstable();
        if packages.len() > PACKAGE_SLOTS {
            return Err(DimensionError::TooComplex);
        }
        result.packages = Self::NONE.packages;
        result.packages[..packages.len()].copy_from_slice(&packages);
        Ok(result)
    }
}

fn join(have: i8, more: i8, sign: i8) -> Result<i8, DimensionError> {
    more.checked_mul(sign)
        .and_then(|more| have.checked_add(more))
        .filter(|sum| sum.unsigned_abs() <= 24)
        .ok_or(DimensionError::TooComplex)
}

#[cfg(test)]
mod tests {
    use super::*;

    const BAG: PackageId = PackageId(3);
    const ROLL: PackageId = PackageId(4);

    #[test]
    fn products_and_quotients_undo_each_other() {
        let yields = Dimension::VOLUME.per(Dimension::package(BAG)).unwrap();
        assert_eq!(
            Dimension::VOLUME.per(yields),
            Ok(Dimension::package(BAG)),
            "volume over volume a bag is bags"
        );
        assert_eq!(Dimension::LENGTH.power(3), Ok(Dimension::VOLUME));
        assert_eq!(
            Dimension::AREA.times(Dimension::LENGTH),
            Ok(Dimension::VOLUME)
        );
    }

    #[test]
    fn packages_are_told_apart_whatever_the_order() {
        let bag_roll = Dimension::package(BAG).times(Dimension::package(ROLL));
        let roll_bag = Dimension::package(ROLL).times(Dimension::package(BAG));
        assert_eq!(bag_roll, roll_bag);
        assert_ne!(Dimension::package(BAG), Dimension::package(ROLL));
    }

    #[test]
    fn any_package_takes_the_form_of_the_one_chosen() {
        let asked = Dimension::VOLUME
            .per(Dimension::package(PackageId::ANY))
            .unwrap();
        let given = Dimension::VOLUME.per(Dimension::package(BAG)).unwrap();
        assert_eq!(asked.with_package(BAG), Ok(given));
    }

    #[test]
    fn temperature_readings_do_not_scale() {
        assert_eq!(
            Dimension::TEMPERATURE.times(Dimension::NONE),
            Err(DimensionError::PointScaled)
        );
        assert_eq!(
            Dimension::TEMPERATURE.difference(),
            Dimension::TEMPERATURE_DIFFERENCE
        );
    }

    #[test]
    fn exponents_have_an_end() {
        let mut dimension = Dimension::LENGTH;
        let outcome = (0..10).try_for_each(|_| {
            dimension = dimension.times(dimension)?;
            Ok(())
        });
        assert_eq!(outcome, Err(DimensionError::TooComplex));
    }
}
