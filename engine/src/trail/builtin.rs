//! The functions that the trail itself needs: comparisons, blank tests, fork tests, money rounding.
//!
//! Recipes reach the first five through the standard vocabulary.

use std::sync::Arc;

use super::function::{Accepts, Body, Form, Function, Gives, Parameter};
use crate::quantity::{compare_values, rounding};

fn parameters(list: &[(&'static str, Accepts)]) -> Vec<Parameter> {
    list.iter()
        .map(|(name, accepts)| Parameter {
            name,
            accepts: *accepts,
        })
        .collect()
}

fn yes_if(test: impl Fn(&[f64]) -> bool + Send + Sync + 'static) -> Body {
    Arc::new(move |a| Ok(f64::from(u8::from(test(a)))))
}

fn comparison(
    name: &'static str,
    sentence: &'static str,
    example: &'static str,
    formula: &'static str,
    test: fn(std::cmp::Ordering) -> bool,
) -> Arc<Function> {
    Arc::new(Function {
        name,
        parameters: parameters(&[("a", Accepts::Number), ("b", Accepts::Like(0))]),
        repeats: false,
        gives: Gives::Condition,
        sentence,
        example,
        body: yes_if(move |a| test(compare_values(a[0], a[1]))),
        form: Form::Formula(formula),
    })
}

/// `a.above(b)`
pub fn above() -> Arc<Function> {
    comparison(
        "above",
        "Whether a is greater than b, as a condition that stays live.",
        "holds(2.inch.above(1.inch))",
        "ROUND({0}-{1},6)>0",
        std::cmp::Ordering::is_gt,
    )
}

/// `a.below(b)`
pub fn below() -> Arc<Function> {
    comparison(
        "below",
        "Whether a is less than b, as a condition that stays live.",
        "holds(1.inch.below(2.inch))",
        "ROUND({0}-{1},6)<0",
        std::cmp::Ordering::is_lt,
    )
}

/// `a.at_least(b)`
pub fn at_least() -> Arc<Function> {
    comparison(
        "at_least",
        "Whether a is b or more, as a condition that stays live.",
        "holds(2.inch.at_least(2.inch))",
        "ROUND({0}-{1},6)>=0",
        std::cmp::Ordering::is_ge,
    )
}

/// `a.at_most(b)`
pub fn at_most() -> Arc<Function> {
    comparison(
        "at_most",
        "Whether a is b or less, as a condition that stays live.",
        "holds(2.inch.at_most(2.inch))",
        "ROUND({0}-{1},6)<=0",
        std::cmp::Ordering::is_le,
    )
}

/// `a.equals(b)`
pub fn equals() -> Arc<Function> {
    comparison(
        "equals",
        "Whether a and b are the same amount, as a condition that stays live.",
        "holds(12.inch.equals(1.foot))",
        "ROUND({0}-{1},6)=0",
        std::cmp::Ordering::is_eq,
    )
}

/// `text.same_as(other)`
pub fn same_as() -> Arc<Function> {
    Arc::new(Function {
        name: "same_as",
        parameters: parameters(&[("text", Accepts::PerhapsText), ("other", Accepts::Text)]),
        repeats: false,
        gives: Gives::Condition,
        sentence: "Whether a text is another (capitals do not count), as a condition that stays live.",
        example: "holds(\"Plywood\".same_as(\"plywood\"))",
        body: yes_if(|a| a[0] == a[1]),
        form: Form::Formula("{0}={1}"),
    })
}

/// `given(x)`
pub fn given() -> Arc<Function> {
    Arc::new(Function {
        name: "given",
        parameters: parameters(&[("x", Accepts::PerhapsBlank)]),
        repeats: false,
        gives: Gives::Condition,
        sentence: "Whether a cell of the takeoff was filled in, as a condition that stays live.",
        example: "holds(given(1.inch))",
        body: yes_if(|a| !a[0].is_nan()),
        form: Form::Formula("NOT(ISBLANK({0}))"),
    })
}

/// 1 when a condition that held no longer holds.
pub fn changed_if_false() -> Arc<Function> {
    fork_test("changed_if_false", "IF({0},0,1)", |held| !held)
}

/// 1 when a condition that did not hold now holds.
pub fn changed_if_true() -> Arc<Function> {
    fork_test("changed_if_true", "IF({0},1,0)", |held| held)
}

fn fork_test(
    name: &'static str,
    formula: &'static str,
    changed: fn(bool) -> bool,
) -> Arc<Function> {
    Arc::new(Function {
        name,
        parameters: parameters(&[("condition", Accepts::Condition)]),
        repeats: false,
        gives: Gives::In(""),
        sentence: "Whether a fork would now come out the other way.",
        example: "",
        body: yes_if(move |a| changed(a[0] != 0.0)),
        form: Form::Formula(formula),
    })
}

/// A condition as a number, 1 for yes.
pub fn as_number() -> Arc<Function> {
    fork_test("as_number", "IF({0},1,0)", |held| held)
}

/// Money rounded to the cent.
pub fn cents() -> Arc<Function> {
    Arc::new(Function {
        name: "cents",
        parameters: parameters(&[("money", Accepts::Number)]),
        repeats: false,
        gives: Gives::Like(0),
        sentence: "Rounds money to the cent, half a cent away from zero.",
        example: "",
        body: Arc::new(|a| Ok(rounding::cents(a[0]))),
        form: Form::Formula("ROUND({0},2)"),
    })
}

/// A number of packages rounded up to whole ones.
pub fn whole_up() -> Arc<Function> {
    Arc::new(Function {
        name: "round_up",
        parameters: parameters(&[("count", Accepts::Count)]),
        repeats: false,
        gives: Gives::Like(0),
        sentence: "Rounds a count up to whole ones; a millionth too much is not another one.",
        example: "round_up(12.2) == 13",
        body: Arc::new(|a| Ok(rounding::whole_up(a[0]))),
        form: Form::Formula("ROUNDUP(ROUND({0},6),0)"),
    })
}

/// The larger of values.
pub fn max() -> Arc<Function> {
    Arc::new(Function {
        name: "max",
        parameters: parameters(&[("a", Accepts::Number), ("b", Accepts::Like(0))]),
        repeats: true,
        gives: Gives::Like(0),
        sentence: "The largest of two or more amounts of one kind.",
        example: "max(1.inch, 3.inch, 2.inch) == 3.inch",
        body: Arc::new(|a| Ok(a.iter().copied().fold(f64::NEG_INFINITY, f64::max))),
        form: Form::Formula("MAX({..})"),
    })
}

/// One of two values by a condition.
pub fn choose() -> Arc<Function> {
    Arc::new(Function {
        name: "choose",
        parameters: parameters(&[
            ("condition", Accepts::Condition),
            ("if_yes", Accepts::Any),
            ("if_no", Accepts::Like(1)),
        ]),
        repeats: false,
        gives: Gives::Like(1),
        sentence: "One of two amounts by a condition; unlike `if`, it stays live in the workbook.",
        example: "choose(2.inch.above(1.inch), 5.0, 7.0) == 5",
        body: Arc::new(|a| Ok(if a[0] != 0.0 { a[1] } else { a[2] })),
        form: Form::Formula("IF({0},{1},{2})"),
    })
}
