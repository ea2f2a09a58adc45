//! The units of one run: the unit table, the packages of the price book, the currency.

use std::collections::HashMap;
use std::fmt;

use super::dimension::PackageId;
use super::table::ROWS;
use super::{Dimension, System, Unit};

/// How money is written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Currency {
    /// Symbol such as `$`, `€` or `kr`.
    pub symbol: String,
}

impl Default for Currency {
    fn default() -> Self {
        Self {
            symbol: "$".to_owned(),
        }
    }
}

/// Why a package or currency cannot be declared.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum UnitError {
    /// The word already means a unit.
    Taken(String),
    /// The word is not a word.
    NotAWord(String),
    /// More kinds of package than the program can number.
    TooMany,
}

impl fmt::Display for UnitError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Taken(word) => write!(f, "\"{word}\" is already the name of a unit"),
            Self::NotAWord(word) => write!(
                f,
                "{} is not a word; a package is one word of letters, such as bag or pail",
                crate::diag::quoted(word)
            ),
            Self::TooMany => f.write_str("there are too many kinds of package"),
        }
    }
}

/// Most kinds of package one price book can name.
const MOST_PACKAGES: usize = 1000;

/// All units of one run.
#[derive(Clone, Debug)]
pub struct Units {
    entries: Vec<(Unit, Option<System>)>,
    by_name: HashMap<String, usize>,
    /// Singular and plural of each package, by package number.
    packages: Vec<(String, String)>,
    currency: Currency,
}

impl Units {
    /// The unit table with a currency and no packages but the two that are always there:
    /// `package` (whichever it is) and `day` (a working day, counted, not 24 hours).
    ///
    /// # Errors
    /// When the currency symbol is empty, holds digits, or means a unit.
    pub fn new(currency: Currency) -> Result<Self, UnitError> {
        let mut units = Self {
            entries: Vec::new(),
            by_name: HashMap::new(),
            packages: Vec::new(),
            currency,
        };
        for row in ROWS {
            let unit = Unit {
                label: row.label.to_owned(),
                dimension: row.dimension,
                size: row.size,
                zero: row.zero,
            };
            units.add(unit, Some(row.system), row.also.iter().copied());
        }
        let symbol = units.currency.symbol.clone();
        if symbol.is_empty() || symbol.chars().any(|c| c.is_ascii_digit() || c == '/') {
            return Err(UnitError::NotAWord(symbol));
        }
        if units.find(&symbol).is_some() {
            return Err(UnitError::Taken(symbol));
        }
        let money = Unit {
            label: symbol,
            dimension: Dimension::MONEY,
            size: 1.0,
            zero: 0.0,
        };
        units.add(money, None, ["money"]);
        units.declare_package("package")?;
        units.declare_package("day")?;
        Ok(units)
    }

    fn add<'a>(
        &mut self,
        unit: Unit,
        system: Option<System>,
        also: impl IntoIterator<Item = &'a str>,
    ) {
        let index = self.entries.len();
        self.by_name.insert(unit.label.clone(), index);
        for name in also {
            self.by_name.insert(name.to_owned(), index);
        }
        self.entries.push((unit, system));
    }

    /// Makes a word a kind of package, or finds it when it already is one.
    /// The plural is formed with -s or -es, and is understood too.
    ///
    /// # Errors
    /// When the word is no word or already names a unit.
    pub fn declare_package(&mut self, word: &str) -> Result<PackageId, UnitError> {
        let word = word.trim().to_lowercase();
        if word.is_empty() || !word.chars().all(char::is_alphabetic) || word.len() > 40 {
            return Err(UnitError::NotAWord(word));
        }
        if let Some(id) = self.package(&word) {
            return Ok(id);
        }
        if self.find(&word).is_some() {
            return Err(UnitError::Taken(word));
        }
        if self.packages.len() >= MOST_PACKAGES {
            return Err(UnitError::TooMany);
        }
        let id = PackageId(u16::try_from(self.packages.len()).map_err(|_| UnitError::TooMany)?);
        let plural = plural_of(&word);
        let unit = Unit {
            label: word.clone(),
            dimension: Dimension::package(id),
            size: 1.0,
            zero: 0.0,
        };
        self.add(unit, None, [plural.as_str()]);
        self.packages.push((word, plural));
        Ok(id)
    }

    /// A package that stands for several: what a kind of product comes in whose products
    /// come in different packages. It is written "package", and is no other kind's package.
    ///
    /// # Errors
    /// When there are too many kinds of package.
    pub fn declare_mixed(&mut self) -> Result<PackageId, UnitError> {
        if self.packages.len() >= MOST_PACKAGES {
            return Err(UnitError::TooMany);
        }
        let id = PackageId(u16::try_from(self.packages.len()).map_err(|_| UnitError::TooMany)?);
        self.packages
            .push(("package".to_owned(), "packages".to_owned()));
        Ok(id)
    }

    /// The unit that counts a package.
    pub fn package_unit(&self, id: PackageId) -> Unit {
        Unit {
            label: self.package_word(id, 1.0).to_owned(),
            dimension: Dimension::package(id),
            size: 1.0,
            zero: 0.0,
        }
    }

    /// The package a word names, singular or plural.
    pub fn package(&self, word: &str) -> Option<PackageId> {
        self.packages
            .iter()
            .position(|(one, many)| one == word || many == word)
            .and_then(|index| u16::try_from(index).ok())
            .map(PackageId)
    }

    /// The word for so many of a package.
    pub fn package_word(&self, id: PackageId, number: f64) -> &str {
        match self.packages.get(usize::from(id.0)) {
            Some((one, _)) if number == 1.0 => one,
            Some((_, many)) => many,
            None => "packages",
        }
    }

    /// The unit with a name, as written or else in lower case.
    pub fn find(&self, name: &str) -> Option<&Unit> {
        let index = self
            .by_name
            .get(name)
            .or_else(|| self.by_name.get(&name.to_lowercase()))?;
        Some(&self.entries[*index].0)
    }

    /// Whether a unit is written with at least one metric unit.
    pub fn is_metric(&self, unit: &Unit) -> bool {
        unit.label
            .split(|c: char| !c.is_alphanumeric() && c != '°')
            .filter(|word| !word.is_empty())
            .filter_map(|word| self.by_name.get(word))
            .any(|index| self.entries[*index].1 == Some(System::Si))
    }

    /// All names of units, sorted, for near-name advice and for the vocabulary.
    pub fn names(&self) -> Vec<&str> {
        let mut names: Vec<&str> = self.by_name.keys().map(String::as_str).collect();
        names.sort_unstable();
        names
    }

    /// All simple units with the family they belong to, in table order.
    pub fn all(&self) -> impl Iterator<Item = (&Unit, Option<System>)> {
        self.entries.iter().map(|(unit, system)| (unit, *system))
    }

    /// The currency of this run.
    pub fn currency(&self) -> &Currency {
        &self.currency
    }
}

fn plural_of(word: &str) -> String {
    let hissing = ["s", "x", "z", "ch", "sh"];
    if hissing.iter().any(|end| word.ends_with(end)) {
        format!("{word}es")
    } else {
        format!("{word}s")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn units() -> Units {
        Units::new(Currency::default()).unwrap()
    }

    #[test]
    fn packages_are_declared_once_and_have_plurals() {
        let mut units = units();
        let bag = units.declare_package("Bag").unwrap();
        assert_eq!(units.declare_package("bags"), Ok(bag));
        assert_eq!(
            units.find("bags").unwrap().dimension,
            Dimension::package(bag)
        );
        let shelf = units.declare_package("box").unwrap();
        assert_eq!(units.package_word(shelf, 2.0), "boxes");
        assert_eq!(units.package_word(shelf, 1.0), "box");
    }

    #[test]
    fn a_package_cannot_take_the_name_of_a_unit() {
        assert_eq!(
            units().declare_package("foot"),
            Err(UnitError::Taken("foot".into()))
        );
        assert!(units().declare_package("50 lb bag").is_err());
        assert!(units().declare_package("").is_err());
    }

    #[test]
    fn names_are_unique_in_the_table() {
        let mut seen = std::collections::BTreeSet::new();
        for row in ROWS {
            for name in std::iter::once(&row.label).chain(row.also) {
                assert!(seen.insert(*name), "{name} stands twice in the unit table");
            }
        }
    }

    #[test]
    fn lower_case_finds_what_upper_case_wrote() {
        assert_eq!(units().find("FT").unwrap().label, "ft");
        assert_eq!(units().find("MM").unwrap().label, "mm");
        assert!(units().find("furlong").is_none());
    }

    #[test]
    fn a_currency_must_not_be_a_unit() {
        let symbol = |s: &str| Units::new(Currency { symbol: s.into() });
        assert!(symbol("€").is_ok());
        assert!(symbol("kr").is_ok());
        assert!(symbol("m").is_err());
        assert!(symbol("").is_err());
    }
}
