//! What recipes can ask of a floor's flatness: whether it is flat enough for what goes on it.

use std::sync::Arc;

use engine::plugin::{Accepts, Figure, Figures, Gives, System, parameter};

use crate::survey::FloorSurvey;
use crate::tolerance::Flatness;
use crate::verdict::{self, Verdict};

/// The tolerances that may be asked for, as [`Flatness::ALL`] names them.
const TOLERANCES: &[&str] = &[
    "tile edge",
    "thin panel",
    "DIN 18202 row 3",
    "DIN 18202 row 4",
    "BS 8204 SR1",
    "BS 8204 SR2",
    "BS 8204 SR3",
];

static FIGURES: [Figure; 3] = [
    Figure {
        name: "flatness.flat",
        gives: Gives::In(""),
        sentence: "1 where the readings show the tolerance kept under each of its straightedges; else 0.",
    },
    Figure {
        name: "flatness.told",
        gives: Gives::In(""),
        sentence: "1 where the readings tell whether it is kept; 0 where they are too far apart for one of its straightedges.",
    },
    Figure {
        name: "flatness.over",
        gives: Gives::In("in"),
        sentence: "By how much the largest gap is more than allowed, under the straightedge where that is most; 0 where none is.",
    },
];

/// The question `floor.flatness(tolerance, edge)`.
pub(crate) fn question() -> Figures {
    Figures {
        name: "flatness",
        survey: Some("floor"),
        parameters: vec![
            parameter("tolerance", Accepts::OneOf(TOLERANCES)),
            parameter("longest edge", Accepts::In("in")),
        ],
        sentence: "Judges a floor by a published tolerance, as pourwright survey does; the longest edge of the tile counts where the tolerance goes by it.",
        example: "",
        figures: &FIGURES,
        body: Arc::new(|survey, asked| {
            let floor = survey.and_then(|survey| survey.as_any().downcast_ref::<FloorSurvey>());
            match (floor, asked) {
                (Some(floor), [tolerance, edge]) => Ok(judged(floor, *tolerance, *edge)),
                _ => Err("only a floor has a flatness".to_owned()),
            }
        }),
    }
}

/// The figures, in their order.
fn judged(floor: &FloorSurvey, tolerance: f64, edge: f64) -> Vec<f64> {
    let chosen = Flatness::ALL.get(tolerance as usize).copied();
    let judged = verdict::judge(floor, chosen, Some(edge), System::Us);
    let all = |verdict: Verdict| judged.iter().all(|judged| judged.verdict() == verdict);
    let any = |verdict: Verdict| judged.iter().any(|judged| judged.verdict() == verdict);
    let told = any(Verdict::NotFlat) || !any(Verdict::TooCoarse);
    let over = judged
        .iter()
        .map(|judged| judged.gap() - judged.tolerance.gap);
    let figure = |holds: bool| if holds { 1.0 } else { 0.0 };
    vec![
        figure(all(Verdict::Flat)),
        figure(told),
        over.fold(0.0, f64::max),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tolerances_are_numbered_as_they_are_named() {
        let named: Vec<&str> = Flatness::ALL.iter().map(|choice| choice.name()).collect();
        assert_eq!(named, TOLERANCES);
    }
}
