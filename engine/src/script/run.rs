//! Running a script for one row, statement by statement.

use std::sync::Arc;

use rhai::{AST, Dynamic, EvalAltResult, Position, Scope};

use super::convert::to_node;
use super::host::{Host, Script, Vocabulary};
use super::mistake::{Mistake, diagnose};
use super::scene::Scene;
use super::session::{CautionSaid, ItemSaid, Session};
use super::statements::Statement;
use super::values::{Book, Names, Traced};
use crate::diag::{Diagnostic, Findings, Outcome, Place};
use crate::trail::{Ledger, NodeId, ScriptPlace, TableId, Tracer, Trail};

/// A cell that a script defined.
#[derive(Clone, Debug, PartialEq)]
pub struct CellSaid {
    /// Its name.
    pub name: String,
    /// Its value.
    pub node: NodeId,
    /// The comment above it.
    pub comment: String,
    /// Where it is defined.
    pub place: Option<ScriptPlace>,
}

/// What one run of a script gave.
#[derive(Debug)]
pub struct ScriptRun {
    /// The trail it left.
    pub trail: Trail,
    /// Its cells in order.
    pub cells: Vec<CellSaid>,
    /// Its items in order.
    pub items: Vec<ItemSaid>,
    /// Its cautions in order.
    pub cautions: Vec<CautionSaid>,
}

/// Stands in for a cell that could not be computed, so that the statements after it can be checked.
#[derive(Clone, Copy, Debug)]
struct Broken;

impl Host {
    /// Runs a script for a row of a table.
    ///
    /// # Errors
    /// All mistakes of the script, each statement's first.
    pub fn run(
        &self,
        script: &Script,
        scene: &Scene,
        ledger: &mut Ledger,
        table: TableId,
        row: usize,
    ) -> Outcome<ScriptRun> {
        let lent = std::mem::replace(ledger, Ledger::new(ledger.units.clone(), ledger.system));
        *self.shared.borrow_mut() = Some(Session {
            tracer: Tracer::new(lent, table, Some(row)),
            scene: scene.clone(),
            script: script.number,
            items: Vec::new(),
            cautions: Vec::new(),
            put_in_text: false,
            done: false,
        });
        self.spent.before.set(0);
        let mut runner = Runner::new(self, script, scene);
        for (statement, compiled) in &script.statements {
            runner.run(statement, compiled);
            if self.shared.borrow().as_ref().is_some_and(|s| s.done) {
                break;
            }
        }
        let cells = runner.cells();
        let mut findings = runner.findings;
        let session = self.shared.borrow_mut().take();
        let Some(session) = session else {
            return Err(Diagnostic::error("the script lost its row").into());
        };
        let (given_back, trail) = session.tracer.finish();
        *ledger = given_back;
        findings.stop_on_errors()?;
        Ok(ScriptRun {
            trail,
            cells,
            items: session.items,
            cautions: session.cautions,
        })
    }
}

struct Runner<'h> {
    host: &'h Host,
    script: &'h Script,
    scope: Scope<'static>,
    given: usize,
    comments: Vec<(String, String, ScriptPlace)>,
    broken: Vec<String>,
    findings: Findings,
}

impl<'h> Runner<'h> {
    fn new(host: &'h Host, script: &'h Script, scene: &Scene) -> Self {
        let mut scope = Scope::new();
        for (index, set) in scene.names.iter().enumerate() {
            if !set.name.is_empty() {
                scope.push_constant(set.name.clone(), Names(index));
            }
        }
        scope.push_constant("book", Book);
        Self {
            host,
            script,
            given: scope.len(),
            scope,
            comments: Vec::new(),
            broken: Vec::new(),
            findings: Findings::new(),
        }
    }

    fn run(&mut self, statement: &Statement, compiled: &std::cell::OnceCell<AST>) {
        let (line, column) = self.script.source.line_and_column(statement.range.start);
        let at = Position::new(to_u16(line), to_u16(column));
        if let Some(name) = &statement.defines {
            let place = ScriptPlace {
                script: self.script.number,
                line: to_u16(line),
                column: to_u16(column),
            };
            self.comments
                .push((name.clone(), statement.comment.clone(), place));
        }
        let outcome = self.compiled(statement, compiled).and_then(|ast| {
            let outcome = self
                .host
                .engine
                .eval_ast_with_scope::<Dynamic>(&mut self.scope, ast);
            let spent = &self.host.spent;
            spent.before.set(spent.before.get() + spent.now.get());
            outcome.map(|_| ())
        });
        let outcome = outcome
            .and_then(|()| self.refuse_texts(at))
            .and_then(|()| self.trace_bare_numbers(at));
        if let Err(error) = outcome {
            self.note_error(&error, statement);
        }
    }

    fn compiled<'c>(
        &self,
        statement: &Statement,
        compiled: &'c std::cell::OnceCell<AST>,
    ) -> Result<&'c AST, Box<EvalAltResult>> {
        if let Some(ast) = compiled.get() {
            return Ok(ast);
        }
        let ast = self
            .host
            .engine
            .compile_with_scope(&self.scope, self.script.padded(statement))
            .map_err(|error| Box::new(EvalAltResult::ErrorParsing(*error.0, error.1)))?;
        Ok(compiled.get_or_init(|| self.script.functions.merge(&ast)))
    }

    fn refuse_texts(&self, at: Position) -> Result<(), Box<EvalAltResult>> {
        super::operators::with(&self.host.shared, |session| {
            if std::mem::take(&mut session.put_in_text) {
                return Err(Mistake::new(
                    "a quantity cannot be put into a text: the text would not change with it",
                ));
            }
            Ok(())
        })
        .map_err(|mut error| {
            error.set_position(at);
            error
        })
    }

    /// A cell that holds a bare number becomes a number written at its line.
    fn trace_bare_numbers(&mut self, at: Position) -> Result<(), Box<EvalAltResult>> {
        let bare: Vec<(String, Dynamic)> = self
            .scope
            .iter()
            .skip(self.given)
            .filter(|(_, constant, value)| !constant && (value.is_int() || value.is_float()))
            .map(|(name, _, value)| (name.to_owned(), value))
            .collect();
        for (name, value) in bare {
            let node = self.node(&value, at)?;
            self.scope.set_value(name, Traced(node));
        }
        Ok(())
    }

    fn node(&self, value: &Dynamic, at: Position) -> Result<NodeId, Box<EvalAltResult>> {
        super::operators::with(&self.host.shared, |session| to_node(value, at, session)).map_err(
            |mut error| {
                error.set_position(at);
                error
            },
        )
    }

    /// The node of a cell, which must have a value.
    fn settled(&self, value: &Dynamic, at: Position) -> Result<NodeId, Box<EvalAltResult>> {
        let node = self.node(value, at)?;
        super::operators::with(&self.host.shared, |session| {
            session.step(at, |tracer| tracer.note_given(node).map(|()| node))
        })
        .map_err(|mut error| {
            error.set_position(at);
            error
        })
    }

    fn note_error(&mut self, error: &EvalAltResult, statement: &Statement) {
        let text = &self.script.source.text[statement.range.clone()];
        // What follows from a mistake already shown is not shown again.
        let follows = self.broken.iter().any(|name| mentions(text, name));
        if !follows {
            let vocabulary = self.vocabulary();
            self.findings
                .push(diagnose(error, &self.script.source, &vocabulary));
        }
        let changed = statement.defines.clone().or_else(|| assigned_name(text));
        if let Some(name) = changed {
            if !self.scope.contains(&name) {
                self.scope.push(name.clone(), Broken);
            }
            self.broken.push(name);
        }
    }

    fn vocabulary(&self) -> Vocabulary {
        let names = self
            .scope
            .iter()
            .map(|(name, ..)| name.to_owned())
            .collect();
        self.host.vocabulary(names)
    }

    /// The cells, once all statements have run.
    fn cells(&mut self) -> Vec<CellSaid> {
        let mut cells = Vec::new();
        let variables: Vec<(String, Dynamic)> = self
            .scope
            .iter()
            .skip(self.given)
            .map(|(name, _, value)| (name.to_owned(), value))
            .collect();
        for (name, value) in variables {
            let told = self.comments.iter().find(|(known, ..)| *known == name);
            let (comment, place) = match told {
                Some((_, comment, place)) => (comment.clone(), Some(*place)),
                None => (String::new(), None),
            };
            let at = place.map_or(Position::NONE, |place| {
                Position::new(place.line, place.column)
            });
            if value.is_unit() && !self.broken.contains(&name) {
                self.findings.push(
                    Diagnostic::error(format!("cell {name} has no value"))
                        .at(self.place_of(at))
                        .hint("Give it one on every path."),
                );
            }
            let is_value = value.is::<Traced>() || value.is_int() || value.is_float();
            if !is_value {
                continue;
            }
            match self.settled(&value, at) {
                Ok(node) => cells.push(CellSaid {
                    name,
                    node,
                    comment,
                    place,
                }),
                Err(error) => {
                    let vocabulary = self.vocabulary();
                    self.findings
                        .push(diagnose(&error, &self.script.source, &vocabulary));
                }
            }
        }
        cells
    }

    fn place_of(&self, at: Position) -> Place {
        let source: &Arc<_> = &self.script.source;
        Place::Text {
            source: source.clone(),
            range: super::mistake::token_at(&source.text, at).unwrap_or(0..0),
        }
    }
}

fn to_u16(number: usize) -> u16 {
    u16::try_from(number).unwrap_or(u16::MAX)
}

/// Whether a name stands in a text as a word of its own.
fn mentions(text: &str, name: &str) -> bool {
    text.split(|c: char| !c.is_alphanumeric() && c != '_')
        .any(|word| word == name)
}

/// The name that a statement such as `depth = …` changes.
fn assigned_name(text: &str) -> Option<String> {
    let (name, _) = text.split_once('=')?;
    let name = name.trim_end_matches(['+', '-', '*', '/']).trim();
    let is_name = !name.is_empty() && name.chars().all(|c| c.is_alphanumeric() || c == '_');
    is_name.then(|| name.to_owned())
}
