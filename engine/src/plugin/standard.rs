//! The engine's own functions.

use std::sync::Arc;

use super::{Accepts, Form, Function, Gives, Plugin, parameter};
use crate::quantity::rounding;
use crate::trail::builtin;

/// The plugin of the engine itself.
pub struct Standard;

impl Plugin for Standard {
    fn name(&self) -> &'static str {
        "standard"
    }

    fn sentence(&self) -> &'static str {
        "Comparing, choosing and rounding."
    }

    fn functions(&self) -> Vec<Function> {
        let shared = [
            builtin::max(),
            builtin::choose(),
            builtin::whole_up(),
            builtin::above(),
            builtin::below(),
            builtin::at_least(),
            builtin::at_most(),
            builtin::equals(),
            builtin::same_as(),
            builtin::given(),
        ];
        let mut functions: Vec<Function> = shared.into_iter().filter_map(Arc::into_inner).collect();
        functions.extend([
            min(),
            clamp(),
            round_up_to(),
            round_to(),
            if_blank(),
            power(),
            number_of(),
            and(),
            or(),
            not(),
        ]);
        functions
    }
}

fn min() -> Function {
    Function {
        name: "min",
        parameters: vec![
            parameter("a", Accepts::Number),
            parameter("b", Accepts::Like(0)),
        ],
        repeats: true,
        gives: Gives::Like(0),
        sentence: "The smallest of two or more amounts of one kind.",
        example: "min(1.inch, 3.inch, 2.inch) == 1.inch",
        body: Arc::new(|a| Ok(a.iter().copied().fold(f64::INFINITY, f64::min))),
        form: Form::Formula("MIN({..})"),
    }
}

fn clamp() -> Function {
    Function {
        name: "clamp",
        parameters: vec![
            parameter("x", Accepts::Number),
            parameter("least", Accepts::Like(0)),
            parameter("most", Accepts::Like(0)),
        ],
        repeats: false,
        gives: Gives::Like(0),
        sentence: "The amount x, but not less than least and not more than most.",
        example: "clamp(5.inch, 1.inch, 3.inch) == 3.inch",
        body: Arc::new(|a| Ok(a[0].max(a[1]).min(a[2]))),
        form: Form::Formula("MIN(MAX({0},{1}),{2})"),
    }
}

fn stepped(a: &[f64], round: fn(f64) -> f64) -> Result<f64, String> {
    if a[1] == 0.0 {
        return Err("the step to round to must not be zero".to_owned());
    }
    Ok(round(a[0] / a[1]) * a[1])
}

fn round_up_to() -> Function {
    Function {
        name: "round_up",
        parameters: vec![
            parameter("x", Accepts::Number),
            parameter("step", Accepts::Like(0)),
        ],
        repeats: false,
        gives: Gives::Like(0),
        sentence: "Rounds an amount up to a whole number of steps.",
        example: "round_up(17.foot, 8.foot) == 24.foot",
        body: Arc::new(|a| stepped(a, rounding::whole_up)),
        form: Form::Formula("ROUNDUP(ROUND({0}/{1},6),0)*{1}"),
    }
}

fn round_to() -> Function {
    Function {
        name: "round_to",
        parameters: vec![
            parameter("x", Accepts::Number),
            parameter("step", Accepts::Like(0)),
        ],
        repeats: false,
        gives: Gives::Like(0),
        sentence: "Rounds an amount to the nearest whole number of steps, halves away from zero.",
        example: "round_to(17.foot, 8.foot) == 16.foot",
        body: Arc::new(|a| stepped(a, rounding::whole_near)),
        form: Form::Formula("ROUND(ROUND({0}/{1},6),0)*{1}"),
    }
}

fn if_blank() -> Function {
    Function {
        name: "if_blank",
        parameters: vec![
            parameter("x", Accepts::PerhapsBlank),
            parameter("otherwise", Accepts::Like(0)),
        ],
        repeats: false,
        gives: Gives::Like(0),
        sentence: "The cell x where it is filled in, otherwise the other amount; stays live.",
        example: "if_blank(1.inch, 2.inch) == 1.inch",
        body: Arc::new(|a| Ok(if a[0].is_nan() { a[1] } else { a[0] })),
        form: Form::Formula("IF(ISBLANK({0}),{1},{0})"),
    }
}

fn power() -> Function {
    Function {
        name: "power",
        parameters: vec![
            parameter("x", Accepts::In("")),
            parameter("n", Accepts::In("")),
        ],
        repeats: false,
        gives: Gives::In(""),
        sentence: "A plain number raised to a power, whole or not; stays live.",
        example: "power(9.0, 0.5) == 3",
        body: Arc::new(|a| {
            // Spreadsheets do not agree on 0 to the power of 0.
            if a[0] == 0.0 && a[1] <= 0.0 || a[0] < 0.0 && a[1].fract() != 0.0 {
                return Err("this power has no value".to_owned());
            }
            Ok(a[0].powf(a[1]))
        }),
        form: Form::Formula("POWER({0},{1})"),
    }
}

fn number_of() -> Function {
    Function {
        name: "number_of",
        parameters: vec![parameter("count", Accepts::Count)],
        repeats: false,
        gives: Gives::In(""),
        sentence: "A count of packages or days as a plain number.",
        example: "number_of(12.0) == 12",
        body: Arc::new(|a| Ok(a[0])),
        form: Form::Formula("{0}"),
    }
}

fn conditions(count: usize) -> Vec<super::Parameter> {
    ["a", "b"]
        .into_iter()
        .take(count)
        .map(|name| parameter(name, Accepts::Condition))
        .collect()
}

fn number(yes: bool) -> Result<f64, String> {
    Ok(f64::from(u8::from(yes)))
}

fn and() -> Function {
    Function {
        name: "and",
        parameters: conditions(2),
        repeats: true,
        gives: Gives::Condition,
        sentence: "Whether all conditions hold; stays live.",
        example: "!holds(2.inch.above(1.inch).and(2.inch.above(3.inch)))",
        body: Arc::new(|a| number(a.iter().all(|c| *c != 0.0))),
        form: Form::Formula("AND({..})"),
    }
}

fn or() -> Function {
    Function {
        name: "or",
        parameters: conditions(2),
        repeats: true,
        gives: Gives::Condition,
        sentence: "Whether at least one condition holds; stays live.",
        example: "holds(2.inch.above(1.inch).or(2.inch.above(3.inch)))",
        body: Arc::new(|a| number(a.iter().any(|c| *c != 0.0))),
        form: Form::Formula("OR({..})"),
    }
}

fn not() -> Function {
    Function {
        name: "not",
        parameters: conditions(1),
        repeats: false,
        gives: Gives::Condition,
        sentence: "Whether a condition does not hold; stays live.",
        example: "holds(not(1.inch.above(2.inch)))",
        body: Arc::new(|a| number(a[0] == 0.0)),
        form: Form::Formula("NOT({0})"),
    }
}
