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
        name: "to_the_cent",
        // In money, be it of an area in another unit than its price: what is rounded is cents.
        parameters: parameters(&[("money", Accepts::In("money"))]),
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

/// What a total is for each one of an amount; nothing where the amount is nothing.
pub fn for_each() -> Arc<Function> {
    Arc::new(Function {
        name: "for_each",
        parameters: parameters(&[("total", Accepts::Number), ("amount", Accepts::Number)]),
        repeats: false,
        gives: Gives::Per(0, 1),
        sentence: "A total divided by an amount, or 0 where there is none.",
        example: "",
        body: Arc::new(|a| Ok(if a[1] == 0.0 { 0.0 } else { a[0] / a[1] })),
        form: Form::Formula("IF({1}=0,0,{0}/{1})"),
    })
}

/// The bid rounded up to whole steps.
pub fn bid_up_to() -> Arc<Function> {
    bid_to(
        "bid_up_to",
        rounding::whole_up,
        "IF({1}=0,ROUND({0},2),ROUND(ROUNDUP(ROUND({0}/{1},6),0)*{1},2))",
    )
}

/// The bid rounded to the nearest whole step.
pub fn bid_near() -> Arc<Function> {
    bid_to(
        "bid_near",
        rounding::whole_near,
        "IF({1}=0,ROUND({0},2),ROUND(ROUND(ROUND({0}/{1},6),0)*{1},2))",
    )
}

fn bid_to(name: &'static str, round: fn(f64) -> f64, formula: &'static str) -> Arc<Function> {
    Arc::new(Function {
        name,
        parameters: parameters(&[("price", Accepts::Number), ("step", Accepts::Like(0))]),
        repeats: false,
        gives: Gives::Like(0),
        sentence: "A price rounded to whole steps; a step of 0 rounds to the cent.",
        example: "",
        body: Arc::new(move |a| {
            Ok(rounding::cents(if a[1] == 0.0 {
                a[0]
            } else {
                round(a[0] / a[1]) * a[1]
            }))
        }),
        form: Form::Formula(formula),
    })
}

/// What a row counts when a total is shared out: its part, or one where nobody has a part.
pub fn share_weight() -> Arc<Function> {
    Arc::new(Function {
        name: "share_weight",
        parameters: parameters(&[("part", Accepts::Number), ("all", Accepts::Like(0))]),
        repeats: false,
        gives: Gives::Like(0),
        sentence: "A part of all, or 1 where all is nothing.",
        example: "",
        body: Arc::new(|a| Ok(if a[1] == 0.0 { 1.0 } else { a[0] })),
        form: Form::Formula("IF({1}=0,1,{0})"),
    })
}

/// Most pieces that one row may ask for.
const MOST_PIECES: f64 = 10_000.0;

/// What a plan of cuts rests on, row by row: the length cut of a product.
pub fn length_cut() -> Arc<Function> {
    Arc::new(Function {
        name: "length_cut",
        parameters: parameters(&[
            ("product", Accepts::Any),
            ("length of a piece", Accepts::In("in")),
            ("pieces", Accepts::Count),
            ("stock length", Accepts::Number),
        ]),
        repeats: false,
        gives: Gives::In("in"),
        sentence: "The length cut; it rests on the plan of cuts for the whole job.",
        example: "",
        body: Arc::new(|a| {
            let (length, pieces) = (a[1], a[2]);
            if length < 0.0 {
                return Err("a piece cannot have a length below zero".to_owned());
            }
            if pieces.fract() != 0.0 || !(0.0..=MOST_PIECES).contains(&pieces) {
                return Err(format!(
                    "a number of pieces is whole, from 0 to {MOST_PIECES}; round it with round_up"
                ));
            }
            Ok(length * pieces)
        }),
        form: Form::Fixed,
    })
}

/// A count taken for packages: whole lengths by the plan of cuts.
pub fn counted_as() -> Arc<Function> {
    Arc::new(Function {
        name: "counted_as",
        parameters: parameters(&[("count", Accepts::In("")), ("packages", Accepts::Number)]),
        repeats: false,
        gives: Gives::Like(1),
        sentence: "So many packages.",
        example: "",
        body: Arc::new(|a| Ok(a[0])),
        form: Form::Formula("{0}"),
    })
}
