//! What recipes can ask: `layout(…)` of a rectangular room, `floor.layout(…)` of a surveyed one,
//! and the start that leaves the widest cuts in either.

use std::sync::Arc;

use engine::plugin::{Accepts, Figure, Figures, Gives, Parameter, Survey, parameter};

use crate::floor_plan::FloorPlan;
use crate::wanted::{GRAINS, PATTERNS, ROWS, STARTS, Wanted};

/// The kind of survey that has an outline.
const FLOOR: &str = "floor";

/// The sides of a rectangular room.
const SIDES: [Parameter; 2] = [
    parameter("room length", Accepts::In("ft")),
    parameter("room width", Accepts::In("ft")),
];

/// How it is to be tiled, in the order of the fields of [`Wanted`].
const LAYING: [Parameter; 10] = [
    parameter("tile length", Accepts::In("in")),
    parameter("tile width", Accepts::In("in")),
    parameter("joint", Accepts::In("in")),
    parameter("gap", Accepts::In("in")),
    parameter("pattern", Accepts::OneOf(PATTERNS)),
    parameter("offset", Accepts::In("")),
    parameter("rows", Accepts::OneOf(ROWS)),
    parameter("start", Accepts::OneOf(STARTS)),
    parameter("start number", Accepts::In("")),
    parameter("turning", Accepts::OneOf(GRAINS)),
];

/// What the blade takes.
const KERF: Parameter = parameter("kerf", Accepts::In("in"));

static LAYOUT: [Figure; 5] = [
    Figure {
        name: "layout.full",
        gives: Gives::In(""),
        sentence: "Tiles that stay whole.",
    },
    Figure {
        name: "layout.cut",
        gives: Gives::In(""),
        sentence: "Tiles that are cut, at walls and around islands and registers.",
    },
    Figure {
        name: "layout.tiles",
        gives: Gives::In(""),
        sentence: "Tiles needed where nothing that is cut off is used again.",
    },
    Figure {
        name: "layout.needed",
        gives: Gives::In(""),
        sentence: "Tiles needed where offcuts are used again, as far as factory edges and the turning of the tile allow.",
    },
    Figure {
        name: "layout.narrowest",
        gives: Gives::In("in"),
        sentence: "The narrowest piece of tile along a wall, measured square to it; the shorter side of a tile where none is cut.",
    },
];

static BEST: [Figure; 2] = [
    Figure {
        name: "best_start.narrowest",
        gives: Gives::In("in"),
        sentence: "The narrowest piece along a wall at the start that leaves the widest.",
    },
    Figure {
        name: "best_start.tiles",
        gives: Gives::In(""),
        sentence: "Tiles needed with that start, where nothing that is cut off is used again.",
    },
];

/// All questions of the plugin.
pub(crate) fn all() -> Vec<Figures> {
    [None, Some(FLOOR)]
        .into_iter()
        .flat_map(|survey| [layout(survey), best(survey)])
        .collect()
}

fn layout(survey: Option<&'static str>) -> Figures {
    Figures {
        name: "layout",
        survey,
        parameters: parameters(survey, &[&LAYING[..], &[KERF]].concat()),
        sentence: "Lays tile out on a room: counts whole and cut tiles, and measures the narrowest cut. Sizes of room and tile, joint, gap along the walls, pattern, offset of rows as a part of the tile, the way rows run, the start with the number of its wall or doorway, how offcuts may be turned, and what the saw takes.",
        example: match survey {
            None => {
                "layout(10.foot, 8.foot, 12.inch, 12.inch, 0.inch, 0.inch, \"grid\", 0, \"along\", \"wall\", 1, \"any way\", 0.inch).full == 80"
            }
            Some(_) => "",
        },
        figures: &LAYOUT,
        body: Arc::new(move |survey, numbers| {
            let (plan, numbers) = plan(survey, numbers)?;
            let (kerf, laying) = numbers.split_last().ok_or(MISSING)?;
            Wanted::new(laying).ok_or(MISSING)?.figures(&plan, *kerf)
        }),
    }
}

fn best(survey: Option<&'static str>) -> Figures {
    Figures {
        name: "best_start",
        survey,
        parameters: parameters(survey, &LAYING),
        sentence: "Looks for the start that leaves the narrowest cut along the walls as wide as can be: centred on joints or tiles either way, and shifted freely.",
        example: match survey {
            None => {
                "best_start(121.inch, 120.inch, 12.inch, 12.inch, 0.inch, 0.inch, \"grid\", 0, \"along\", \"wall\", 1, \"any way\").narrowest == 6.5.inch"
            }
            Some(_) => "",
        },
        figures: &BEST,
        body: Arc::new(move |survey, numbers| {
            let (plan, laying) = plan(survey, numbers)?;
            Wanted::new(laying).ok_or(MISSING)?.best_figures(&plan)
        }),
    }
}

/// The engine checks how many arguments there are.
const MISSING: &str = "an argument is missing";

fn parameters(survey: Option<&'static str>, asked: &[Parameter]) -> Vec<Parameter> {
    let sides: &[Parameter] = if survey.is_none() { &SIDES } else { &[] };
    sides.iter().chain(asked).cloned().collect()
}

/// The room that is asked for, and the arguments that follow.
fn plan<'a>(
    survey: Option<&dyn Survey>,
    numbers: &'a [f64],
) -> Result<(FloorPlan, &'a [f64]), String> {
    match (survey, numbers) {
        (Some(survey), numbers) => {
            let outline = survey.outline().ok_or("its survey has no outline")?;
            Ok((FloorPlan::surveyed(&outline)?, numbers))
        }
        (None, [length, width, rest @ ..]) => Ok((FloorPlan::rectangle(*length, *width)?, rest)),
        (None, _) => Err(MISSING.to_owned()),
    }
}
