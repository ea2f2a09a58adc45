//! Floors of generated jobs: a small grid of readings for some of the rooms.

use crate::chance::Chance;

/// The readings of a room, in the unit of its takeoff.
#[derive(Clone, Debug)]
pub struct Floor {
    /// Readings count down from a level line.
    rod: bool,
    /// Spacing of the grid, in feet or metres.
    spacing: f64,
    /// Readings, row by row, in inches or millimetres.
    pub lines: Vec<Vec<f64>>,
    /// Level at which the pour must end, as a reading.
    finish: Option<f64>,
}

impl Floor {
    /// A floor that follows from chance.
    pub fn generate(chance: &mut Chance, metric: bool) -> Self {
        let c = chance;
        let (low, high, step) = if metric {
            (900.0, 940.0, 0.5)
        } else {
            (36.0, 37.5, 0.0625)
        };
        let (rows, columns) = (2 + c.below(4), 2 + c.below(4));
        Self {
            rod: c.once_in(2),
            spacing: if metric { 0.5 } else { 2.0 },
            lines: (0..rows)
                .map(|_| (0..columns).map(|_| c.between(low, high, step)).collect())
                .collect(),
            finish: c.once_in(2).then(|| c.between(low, high, step)),
        }
    }

    /// Its sheet.
    pub fn sheet(&self) -> Vec<Vec<String>> {
        let text = |number: f64| number.to_string();
        let kind = if self.rod { "rod" } else { "elevation" };
        let mut rows = vec![vec!["Heights".to_owned(), kind.to_owned()]];
        if let Some(finish) = self.finish {
            rows.push(vec!["Finish".to_owned(), text(finish)]);
        }
        rows.push(Vec::new());
        let position = |index: usize| text(index as f64 * self.spacing);
        let columns = self.lines[0].len();
        let across = (0..columns).map(position);
        rows.push(std::iter::once("y \\ x".to_owned()).chain(across).collect());
        for (index, line) in self.lines.iter().enumerate() {
            let readings = line.iter().copied().map(text);
            rows.push(std::iter::once(position(index)).chain(readings).collect());
        }
        rows
    }

    /// How many readings it has.
    pub fn count(&self) -> usize {
        self.lines.len() * self.lines[0].len()
    }

    /// Whether parts of the floor stand above the level at which the pour must end, so that
    /// its volume has no formula.
    pub fn is_partly_dry(&self) -> bool {
        let height = |read: f64| if self.rod { -read } else { read };
        let highest = self
            .lines
            .iter()
            .flatten()
            .map(|read| height(*read))
            .fold(f64::NEG_INFINITY, f64::max);
        self.finish.is_some_and(|finish| height(finish) < highest)
    }
}
