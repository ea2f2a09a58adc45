//! Mistakes in scripts: what our own functions say, and what the script engine says, as diagnostics.

use std::ops::Range;
use std::sync::Arc;

use rhai::{Dynamic, EvalAltResult, LexError, ParseErrorType, Position};

use super::host::Vocabulary;
use crate::diag::{Diagnostic, Place, SourceText, near_name, quoted};
use crate::trail::{ArgumentError, Kind, Tracer, TrailError, describe_kind};

/// A mistake found by one of our own functions.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Mistake {
    pub(super) message: String,
    pub(super) hint: Option<String>,
    /// The cell of the takeoff that is at fault, where the script is not.
    pub(super) cell: Option<Place>,
}

impl Mistake {
    pub(super) fn new(message: impl Into<String>) -> Self {
        Self {
            message: message.into(),
            hint: None,
            cell: None,
        }
    }

    pub(super) fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }

    pub(super) fn in_cell(mut self, cell: Option<Place>) -> Self {
        self.cell = cell;
        self
    }

    /// The mistake as the script engine carries it.
    pub(super) fn raise(self) -> Box<EvalAltResult> {
        EvalAltResult::ErrorRuntime(Dynamic::from(self), Position::NONE).into()
    }

    /// A step that the trail refused.
    pub(super) fn of_trail(error: &TrailError, tracer: &Tracer) -> Self {
        let units = &tracer.ledger.units;
        match error {
            TrailError::Arithmetic(error) => Self::new(error.describe(units)),
            TrailError::Failure(failure) => Self::new(failure.to_string()),
            TrailError::Blank(title) => Self::new(format!("{title} is blank in this row"))
                .hint("Use if_blank(x, otherwise), or ask first: if is_blank(x) { … }."),
            TrailError::BlankField { product, field } => {
                Self::new(format!("{product} has no {field} in the price book"))
                    .hint("Fill it in, or declare the field as required in the recipe's manifest.")
            }
            TrailError::NotANumber(kind) => {
                Self::new(format!("{} is not a number", describe_kind(*kind, units)))
            }
            TrailError::TooLong => Self::new("this script takes more steps than one row may need")
                .hint("Is there a loop that does not end?"),
            TrailError::Argument(function, error, kinds) => {
                let usage = function.usage();
                match error {
                    ArgumentError::Number { given } => Self::new(format!(
                        "{} takes other arguments than the {given} given",
                        function.name
                    ))
                    .hint(format!("Write {usage}.")),
                    ArgumentError::Kind { index, expected } => {
                        let found = kinds.get(*index).copied().unwrap_or(Kind::Text);
                        Self::new(format!(
                            "argument {} of {} is {}, expected {expected}",
                            index + 1,
                            function.name,
                            describe_kind(found, units)
                        ))
                        .hint(format!("Write {usage}."))
                    }
                    ArgumentError::Blank { index } => Self::new(format!(
                        "argument {} of {} is blank in this row",
                        index + 1,
                        function.name
                    ))
                    .hint("Use if_blank(x, otherwise)."),
                    ArgumentError::Unit(error) => Self::new(format!(
                        "{} is declared with a wrong unit: {error}",
                        function.name
                    )),
                }
            }
        }
    }
}

/// Turns an error of the script engine into a diagnostic with its place.
pub(super) fn diagnose(
    error: &EvalAltResult,
    source: &Arc<SourceText>,
    vocabulary: &Vocabulary,
) -> Diagnostic {
    let inner = innermost(error);
    let range = place_of(inner, source);
    let (message, hint) = in_words(inner, vocabulary, &source.text[range.clone()]);
    let here = Place::Text {
        source: source.clone(),
        range: range.clone(),
    };
    let mut diagnostic = Diagnostic::error(message).maybe_hint(hint);
    diagnostic = match cell_at_fault(inner) {
        Some(cell) => diagnostic.at(cell).related(here, "asked for here"),
        None => diagnostic.at(here),
    };
    // Where a function of the script failed, show who called it.
    if !std::ptr::eq(inner, error)
        && let Some(call) = token_at(&source.text, error.position())
        && call != range
    {
        diagnostic = diagnostic.related(
            Place::Text {
                source: source.clone(),
                range: call,
            },
            "called from here",
        );
    }
    diagnostic
}

fn cell_at_fault(error: &EvalAltResult) -> Option<Place> {
    match error {
        EvalAltResult::ErrorRuntime(value, _) => value.clone().try_cast::<Mistake>()?.cell,
        _ => None,
    }
}

fn innermost(error: &EvalAltResult) -> &EvalAltResult {
    match error {
        EvalAltResult::ErrorInFunctionCall(_, _, inner, _) => innermost(inner),
        other => other,
    }
}

fn place_of(error: &EvalAltResult, source: &SourceText) -> Range<usize> {
    let text = &source.text;
    let end = text.trim_end().len();
    let Some(range) = token_at(text, error.position()) else {
        return end.saturating_sub(1)..end;
    };
    // A missing semicolon is missing at the end of what stands before.
    let missing = matches!(
        error,
        EvalAltResult::ErrorParsing(ParseErrorType::MissingToken(token, _), _) if token == ";"
    );
    if missing {
        let before = text[..range.start].trim_end().len();
        return before.saturating_sub(1)..before;
    }
    range
}

fn in_words(
    error: &EvalAltResult,
    vocabulary: &Vocabulary,
    token: &str,
) -> (String, Option<String>) {
    let plain = |message: &str| (message.to_owned(), None);
    match error {
        EvalAltResult::ErrorRuntime(value, _) => match value.clone().try_cast::<Mistake>() {
            Some(mistake) => (mistake.message, mistake.hint),
            None => (value.to_string(), None),
        },
        EvalAltResult::ErrorParsing(error, _) => parse_error(error, vocabulary),
        EvalAltResult::ErrorVariableNotFound(name, _) => unknown_name(name, vocabulary),
        EvalAltResult::ErrorFunctionNotFound(signature, _) => {
            unknown_function(signature, vocabulary)
        }
        EvalAltResult::ErrorDotExpr(message, _) => unknown_property(message, token, vocabulary),
        EvalAltResult::ErrorMismatchDataType(_, found, _) if found.contains("Traced") => (
            "`if`, `while`, && and || need a comparison, not a value".to_owned(),
            Some("Compare with >, <, ==, or write holds(condition).".to_owned()),
        ),
        EvalAltResult::ErrorTooManyOperations(_) | EvalAltResult::ErrorTerminated(..) => (
            "the script does not come to an end".to_owned(),
            Some("Is there a loop that does not end?".to_owned()),
        ),
        EvalAltResult::ErrorStackOverflow(_) => plain("functions call each other too deep"),
        EvalAltResult::ErrorTooManyVariables(_) => plain("there are too many cells in one script"),
        EvalAltResult::ErrorDataTooLarge(what, _) => (format!("{what} grows too large"), None),
        EvalAltResult::ErrorFor(_) => loop_count(),
        EvalAltResult::ErrorVariableExists(name, _) => (
            format!("{name} is defined already"),
            Some(defined_twice(name)),
        ),
        EvalAltResult::ErrorAssignmentToConstant(name, _) => {
            (format!("{name} cannot be changed"), None)
        }
        EvalAltResult::ErrorArithmetic(message, _) => {
            (format!("this cannot be computed: {message}"), None)
        }
        other => (other.unwrap_inner().to_string(), None),
    }
}

fn parse_error(error: &ParseErrorType, vocabulary: &Vocabulary) -> (String, Option<String>) {
    match error {
        ParseErrorType::MissingToken(token, _) if token == ";" => (
            "a ; is missing at the end of this statement".to_owned(),
            None,
        ),
        ParseErrorType::MissingToken(token, why) => (format!("{token} is missing {why}"), None),
        ParseErrorType::VariableUndefined(name) => unknown_name(name, vocabulary),
        ParseErrorType::Reserved(word) => (
            format!(
                "{} cannot be used here: the script language keeps this word for itself",
                quoted(word)
            ),
            Some(match word.as_str() {
                "switch" => "Use if … else …, or choose(condition, a, b).".to_owned(),
                "yield" => "The yield of a product is called yields.".to_owned(),
                _ => "Choose another name.".to_owned(),
            }),
        ),
        ParseErrorType::VariableExists(name) => (
            format!("{name} is defined already"),
            Some(defined_twice(name)),
        ),
        ParseErrorType::MismatchedType(wanted, _) if wanted.contains("iterable") => loop_count(),
        ParseErrorType::UnexpectedEOF => (
            "the script ends in the middle of a statement".to_owned(),
            None,
        ),
        ParseErrorType::ExprTooDeep => (
            "this is nested too deep; split it with let".to_owned(),
            None,
        ),
        ParseErrorType::LiteralTooLarge(what, _) => (format!("{what} is too long"), None),
        ParseErrorType::BadInput(LexError::ImproperSymbol(word, _))
            if word.starts_with(char::is_alphabetic) =>
        {
            parse_error(&ParseErrorType::Reserved(word.clone()), vocabulary)
        }
        ParseErrorType::BadInput(error) => (format!("this cannot be read: {error}"), None),
        other => (format!("this cannot be read: {other}"), None),
    }
}

fn loop_count() -> (String, Option<String>) {
    (
        "a loop needs a count".to_owned(),
        Some("Write for i in count(layers) { … }.".to_owned()),
    )
}

fn defined_twice(name: &str) -> String {
    format!("Choose another name; to change a cell, write {name} = … without let.")
}

fn unknown_name(name: &str, vocabulary: &Vocabulary) -> (String, Option<String>) {
    let near = near_name(name, vocabulary.names.iter().map(String::as_str));
    (
        format!("{} is not known here", quoted(name)),
        near.map(|near| format!("Did you mean {near}?")),
    )
}

fn unknown_property(
    message: &str,
    token: &str,
    vocabulary: &Vocabulary,
) -> (String, Option<String>) {
    let name = token.trim_start_matches('.').trim();
    if message.contains("writable") {
        return ("this cannot be changed by a script".to_owned(), None);
    }
    if message.contains("'f64'") || message.contains("'i64'") {
        let near = near_name(name, vocabulary.units.iter().map(String::as_str));
        return (
            format!("{} is not a unit", quoted(name)),
            near.map(|near| format!("Did you mean {near}?")),
        );
    }
    (
        format!("there is nothing called {} here", quoted(name)),
        None,
    )
}

/// What is not a value, as the script engine calls it: what to say, and what to do.
pub(super) const NOT_VALUES: &[(&str, &str, &str)] = &[
    (
        "WholeColumn",
        "this is a whole column",
        "Sum it with total(…).",
    ),
    (
        "Steps",
        "this is a step table",
        "Look a value up with step_table(x, …).",
    ),
    (
        "Asked",
        "these are several figures, not a value",
        "Write the figure's name after a point.",
    ),
    (
        "Names",
        "this is a set of names, not a value",
        "Write the name after a point, such as room.area.",
    ),
];

/// `max (Traced, i64)`: the function is known with other arguments, or not at all.
fn unknown_function(signature: &str, vocabulary: &Vocabulary) -> (String, Option<String>) {
    let name = signature.split([' ', '(']).next().unwrap_or(signature);
    let is_book = signature.contains("(Book");
    if is_book {
        let near = near_name(name, vocabulary.products.iter().map(String::as_str));
        return (
            format!("no recipe asks for products of kind {}", quoted(name)),
            Some(match near {
                Some(near) => format!("Did you mean book.{near}(…)?"),
                None => format!("The kinds are: {}.", vocabulary.products.join(", ")),
            }),
        );
    }
    let usages: Vec<&str> = vocabulary
        .functions
        .iter()
        .filter(|(known, _)| known == name)
        .map(|(_, usage)| usage.as_str())
        .collect();
    if !usages.is_empty() {
        return (
            format!("{name} takes other arguments than these"),
            Some(format!("Write {}.", usages.join(" or "))),
        );
    }
    if !name.chars().any(char::is_alphanumeric) {
        for (kind, what, advice) in NOT_VALUES {
            if signature.contains(kind) {
                return ((*what).to_owned(), Some((*advice).to_owned()));
            }
        }
        return (
            format!("{name} does not go with these two"),
            Some("Quantities take + - * / and comparisons.".to_owned()),
        );
    }
    let near = near_name(
        name,
        vocabulary.functions.iter().map(|(known, _)| known.as_str()),
    );
    (
        format!("there is no function {}", quoted(name)),
        near.map(|near| format!("Did you mean {near}?")),
    )
}

/// The bytes of the word, number, text or sign at a position.
pub(crate) fn token_at(text: &str, position: Position) -> Option<Range<usize>> {
    let line_number = position.line()?;
    let line_start = match line_number {
        1 => 0,
        n => text.match_indices('\n').nth(n - 2)?.0 + 1,
    };
    let line = text[line_start..]
        .split('\n')
        .next()?
        .trim_end_matches('\r');
    let column = position.position().unwrap_or(1);
    let offset = line
        .char_indices()
        .nth(column - 1)
        .map_or(line.len(), |(at, _)| at);
    let rest = &line[offset..];
    let is_word = |c: char| c.is_alphanumeric() || c == '_';
    let word_length = |text: &str| {
        text.chars()
            .take_while(|c| is_word(*c))
            .map(char::len_utf8)
            .sum::<usize>()
    };
    let length = match rest.chars().next() {
        None => 0,
        Some(c) if is_word(c) => word_length(rest),
        // The name after a point says more than the point.
        Some('.') if rest[1..].starts_with(is_word) => 1 + word_length(&rest[1..]),
        Some('"') => rest[1..].find('"').map_or(rest.len(), |end| end + 2),
        Some(c) => [
            "==", "!=", "<=", ">=", "&&", "||", "**", "+=", "-=", "*=", "/=", "??",
        ]
        .iter()
        .find(|sign| rest.starts_with(**sign))
        .map_or(c.len_utf8(), |sign| sign.len()),
    };
    let start = line_start + offset;
    Some(start..start + length)
}
