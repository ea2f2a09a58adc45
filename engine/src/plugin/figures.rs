//! Figures: several answers to one question, asked for once and read with a point.
//!
//! `let laid = layout(…);` asks; `laid.full` and `laid.cut` read. To the trail each figure is a
//! function of its own with all the arguments, whose answer is fixed. They are computed together,
//! and once for the same arguments.

use std::collections::HashMap;
use std::fmt;
use std::sync::{Arc, Mutex, PoisonError};

use super::{Accepts, Form, Function, Gives, Parameter, Survey, parameter};
use crate::trail::Texts;

/// Computes all figures from the arguments, in base units; from the survey too, where they are
/// asked of one. An `Err` is a sentence saying why there are none.
pub type FiguresBody =
    Arc<dyn Fn(Option<&dyn Survey>, &[f64]) -> Result<Vec<f64>, String> + Send + Sync>;

/// Several answers to one question.
#[derive(Clone)]
pub struct Figures {
    /// What scripts call: `layout`.
    pub name: &'static str,
    /// The kind of survey that is asked, as in `floor.layout(…)`; none where the arguments say all.
    pub survey: Option<&'static str>,
    /// What is asked for.
    pub parameters: Vec<Parameter>,
    /// What it does, in one sentence.
    pub sentence: &'static str,
    /// A script that is true; run as a test and printed in the reference. A survey has none.
    pub example: &'static str,
    /// The figures, in the order in which they are computed.
    pub figures: &'static [Figure],
    /// The computation.
    pub body: FiguresBody,
}

impl fmt::Debug for Figures {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.usage())
    }
}

/// One of several answers.
#[derive(Clone, Copy, Debug)]
pub struct Figure {
    /// Its name behind that of the question: `layout.full`.
    pub name: &'static str,
    /// What it gives.
    pub gives: Gives,
    /// What it is, in one sentence.
    pub sentence: &'static str,
}

impl Figure {
    /// Its name in scripts, behind the point.
    pub fn short_name(&self) -> &'static str {
        short_name(self.name)
    }
}

/// What follows the point of a figure's name.
pub(crate) fn short_name(name: &'static str) -> &'static str {
    name.rsplit('.').next().unwrap_or(name)
}

/// Surveys by the text that names their sheet.
pub(crate) type Surveyed = Arc<HashMap<u64, Arc<dyn Survey>>>;

/// What an answer of a survey rests on beside the arguments.
pub(crate) const OWN_PARAMETERS: [Parameter; 2] = [
    parameter("readings", Accepts::Text),
    parameter("readings changed", Accepts::Number),
];

/// Why a survey does not answer.
pub(crate) const NO_READINGS: &str = "the room has no readings";

impl Figures {
    /// How they are asked for, such as `floor.layout(length, width)`.
    pub fn usage(&self) -> String {
        let names: Vec<&str> = self.parameters.iter().map(|p| p.name).collect();
        let asked = format!("{}({})", self.name, names.join(", "));
        match self.survey {
            Some(kind) => format!("{kind}.{asked}"),
            None => asked,
        }
    }

    /// The functions of a job, one for each figure, which share what they compute.
    ///
    /// Those asked of surveys take the text that names the sheet first, and the number of readings
    /// changed since.
    pub(crate) fn functions(&self, surveyed: &Surveyed, texts: &mut Texts) -> Vec<Arc<Function>> {
        let own: &[Parameter] = if self.survey.is_some() {
            &OWN_PARAMETERS
        } else {
            &[]
        };
        let parameters: Vec<Parameter> = own.iter().chain(&self.parameters).cloned().collect();
        let asked = Arc::new(Asked {
            own: own.len(),
            words: Words::new(&self.parameters, texts),
            surveyed: surveyed.clone(),
            body: self.body.clone(),
            known: Mutex::default(),
        });
        let function = |(index, figure): (usize, &Figure)| {
            let asked = asked.clone();
            Arc::new(Function {
                name: figure.name,
                parameters: parameters.clone(),
                repeats: false,
                gives: figure.gives,
                sentence: figure.sentence,
                example: "",
                body: Arc::new(move |arguments| {
                    let figures = asked.figures(arguments)?;
                    let figure = figures.get(index).copied();
                    figure.ok_or_else(|| "this figure was not computed".to_owned())
                }),
                form: Form::Fixed,
            })
        };
        self.figures.iter().enumerate().map(function).collect()
    }
}

/// Figures or why there are none.
type Answer = Result<Arc<[f64]>, String>;

/// What was asked in a job, with its answers.
struct Asked {
    own: usize,
    words: Words,
    surveyed: Surveyed,
    body: FiguresBody,
    known: Mutex<HashMap<Vec<u64>, Answer>>,
}

impl Asked {
    fn figures(&self, arguments: &[f64]) -> Answer {
        let key: Vec<u64> = arguments.iter().map(|value| value.to_bits()).collect();
        // A computation that panicked left nothing half done in here.
        let known = || self.known.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(answer) = known().get(&key) {
            return answer.clone();
        }
        let answer = self.compute(arguments);
        known().insert(key, answer.clone());
        answer
    }

    fn compute(&self, arguments: &[f64]) -> Answer {
        let (own, asked) = arguments.split_at(self.own);
        let survey = match own.first() {
            None => None,
            Some(sheet) => Some(self.surveyed.get(&sheet.to_bits()).ok_or(NO_READINGS)?),
        };
        let asked = self.words.numbered(asked)?;
        (self.body)(survey.map(|survey| &**survey), &asked).map(Arc::from)
    }
}

/// The words that arguments may be, as the texts of a job.
struct Words(Vec<WordList>);

/// The words that one argument may be.
struct WordList {
    /// Which argument, and what it is called.
    index: usize,
    name: &'static str,
    /// Each word with its text's value.
    words: Vec<(f64, &'static str)>,
}

impl Words {
    fn new(parameters: &[Parameter], texts: &mut Texts) -> Self {
        let of = |(index, parameter): (usize, &Parameter)| match parameter.accepts {
            Accepts::OneOf(words) => {
                let known = words
                    .iter()
                    .map(|word| (texts.intern(word).to_value(), *word));
                Some(WordList {
                    index,
                    name: parameter.name,
                    words: known.collect(),
                })
            }
            _ => None,
        };
        Self(parameters.iter().enumerate().filter_map(of).collect())
    }

    /// The arguments, with the number of a word in place of its text.
    fn numbered(&self, arguments: &[f64]) -> Result<Vec<f64>, String> {
        let mut numbered = arguments.to_vec();
        for WordList { index, name, words } in &self.0 {
            let said = &mut numbered[*index];
            let number = words.iter().position(|(text, _)| text == said);
            *said = number.ok_or_else(|| {
                let words: Vec<&str> = words.iter().map(|(_, word)| *word).collect();
                format!("{name} is none of: {}", words.join(", "))
            })? as f64;
        }
        Ok(numbered)
    }
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::{AtomicUsize, Ordering};

    use super::*;

    #[test]
    fn figures_of_the_same_arguments_are_computed_once_and_words_are_numbered() {
        let times = Arc::new(AtomicUsize::new(0));
        let counted = times.clone();
        let figures = Figures {
            name: "sum",
            survey: None,
            parameters: vec![
                parameter("a", Accepts::Number),
                parameter("way", Accepts::OneOf(&["once", "twice"])),
            ],
            sentence: "Adds.",
            example: "sum(1, \"twice\").more == 3",
            figures: &[
                Figure {
                    name: "sum.all",
                    gives: Gives::In(""),
                    sentence: "All.",
                },
                Figure {
                    name: "sum.more",
                    gives: Gives::In(""),
                    sentence: "And one more.",
                },
            ],
            body: Arc::new(move |_, a| {
                counted.fetch_add(1, Ordering::Relaxed);
                let all = a[0] * (a[1] + 1.0);
                Ok(vec![all, all + 1.0])
            }),
        };
        let mut texts = Texts::default();
        let functions = figures.functions(&Surveyed::default(), &mut texts);
        let twice = texts.intern("Twice").to_value();
        let answers: Vec<f64> = functions
            .iter()
            .map(|function| (function.body)(&[3.0, twice]).unwrap())
            .collect();
        assert_eq!(
            (answers, times.load(Ordering::Relaxed)),
            (vec![6.0, 7.0], 1)
        );
        let thrice = texts.intern("thrice").to_value();
        let why = (functions[0].body)(&[3.0, thrice]).unwrap_err();
        assert_eq!(why, "way is none of: once, twice");
        assert_eq!(figures.figures[1].short_name(), "more");
    }
}
