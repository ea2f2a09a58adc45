//! Rooms of generated jobs.

use crate::chance::Chance;
use crate::floors::Floor;

/// A room of a generated job, in the units of its takeoff.
#[derive(Clone, Debug)]
pub struct Room {
    pub(crate) name: String,
    pub(crate) area: f64,
    pub(crate) depth: f64,
    pub(crate) substrate: usize,
    pub(crate) leveler: Option<usize>,
    pub(crate) primer: usize,
    pub(crate) strip: usize,
    pub(crate) edge: Option<f64>,
    pub(crate) layers: Option<usize>,
    pub(crate) heated: Option<bool>,
    pub(crate) openings: Vec<(f64, usize)>,
    pub(crate) phase: Option<&'static str>,
    /// Its readings.
    pub floor: Option<Floor>,
}

impl Room {
    /// The name of the sheet with its readings.
    pub(crate) fn floor_sheet(&self) -> Option<String> {
        self.floor.as_ref()?;
        let plain = |c: &char| c.is_ascii_alphanumeric() || *c == ' ';
        Some(format!(
            "Floor {}",
            self.name.chars().filter(plain).collect::<String>()
        ))
    }
}

/// A room that follows from chance; in which phase it is, is decided for the job.
pub(crate) fn room(chance: &mut Chance, index: usize, metric: bool) -> Room {
    let c = chance;
    let scale = |us: f64, si: f64| if metric { si } else { us };
    Room {
        name: if index == 1 {
            "=HYPERLINK(\"http://x\")".to_owned()
        } else {
            format!("Room {index}")
        },
        area: if metric {
            c.between(2.0, 60.0, 0.05)
        } else {
            c.between(20.0, 600.0, 0.25)
        },
        depth: if metric {
            c.between(2.0, 60.0, 0.5)
        } else {
            c.between(0.0625, 2.5, 0.0625)
        },
        substrate: c.below(4),
        leveler: if c.once_in(3) { None } else { Some(c.below(3)) },
        primer: c.below(2),
        strip: c.below(2),
        edge: if c.once_in(3) {
            None
        } else {
            Some(c.between(scale(8.0, 3.0), scale(120.0, 36.0), 0.25))
        },
        layers: if c.once_in(3) { None } else { Some(c.below(4)) },
        heated: if c.once_in(3) {
            None
        } else {
            Some(c.once_in(2))
        },
        openings: (0..c.below(4))
            .map(|_| {
                (
                    c.between(scale(24.0, 600.0), scale(90.0, 2300.0), scale(0.5, 10.0)),
                    c.below(2),
                )
            })
            .collect(),
        phase: None,
        floor: c.once_in(3).then(|| Floor::generate(c, metric)),
    }
}
