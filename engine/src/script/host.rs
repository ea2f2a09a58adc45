//! The sandboxed script engine of a run, with its vocabulary.

use std::cell::{Cell, OnceCell};
use std::rc::Rc;
use std::sync::Arc;

use rhai::packages::{ArithmeticPackage, LogicPackage, Package};
use rhai::{AST, Dynamic, Engine, OptimizationLevel};

use super::mistake::diagnose;
use super::session::Shared;
use super::statements::{Statement, split};
use super::values::{Asked, Book, Counted, Names, Steps, Traced, WholeColumn};
use super::{FORMS, figures, forms, functions, lookups, names, operators, questions, worked};
use crate::diag::{Diagnostic, Findings, Outcome, Place, SourceText};
use crate::plugin::Registry;
use crate::quantity::Units;
use crate::trail::Ledger;

/// Longest script; compiling takes time by the square of the number of statements.
const LONGEST_SCRIPT: usize = 64 << 10;
/// Most operations of one statement.
const MOST_OPERATIONS: u64 = 100_000;
/// Most operations of one run of a script.
const MOST_OPERATIONS_IN_ALL: u64 = 500_000;

/// Names known to scripts, for near-name advice.
#[derive(Debug, Default)]
pub(super) struct Vocabulary {
    pub(super) names: Vec<String>,
    pub(super) units: Vec<String>,
    pub(super) products: Vec<String>,
    pub(super) functions: Vec<(String, String)>,
}

/// The script engine of a run.
pub struct Host {
    pub(super) engine: Engine,
    pub(super) shared: Shared,
    pub(super) spent: Rc<Spent>,
    units: Vec<String>,
    products: Vec<String>,
    functions: Vec<(String, String)>,
}

/// Operations spent by the running script: before this statement, and in it.
#[derive(Debug, Default)]
pub(super) struct Spent {
    pub(super) before: Cell<u64>,
    pub(super) now: Cell<u64>,
}

/// A script that was split; its statements are compiled when they first run.
pub struct Script {
    pub(super) source: Arc<SourceText>,
    pub(super) number: u16,
    pub(super) statements: Vec<(Statement, OnceCell<AST>)>,
    pub(super) functions: AST,
}

impl Script {
    /// The cells that it defines, in order.
    pub fn cell_names(&self) -> impl Iterator<Item = &str> {
        let statements = self.statements.iter();
        statements.filter_map(|(statement, _)| statement.defines.as_deref())
    }
}

impl Host {
    /// An engine that knows the registered functions, the units and the kinds of product.
    pub fn new(registry: &Registry, units: &Units, kinds: &[String]) -> Self {
        let shared = Shared::default();
        let spent = Rc::new(Spent::default());
        let mut engine = sandbox(&spent);
        operators::register(&mut engine, &shared);
        names::register(&mut engine, &shared, units, kinds);
        functions::register(&mut engine, &shared, registry);
        forms::register(&mut engine, &shared);
        lookups::register(&mut engine, &shared);
        worked::register(&mut engine, &shared);
        questions::register(&mut engine, &shared, registry);
        figures::register(&mut engine, &shared, registry);
        let mut known: Vec<(String, String)> = registry
            .functions()
            .map(|(_, function)| (function.name.to_owned(), function.usage()))
            .collect();
        known.extend(
            registry
                .figures()
                .map(|(_, figures)| (figures.name.to_owned(), figures.usage())),
        );
        known.extend(
            FORMS
                .iter()
                .map(|form| (form.name.to_owned(), form.usage.to_owned())),
        );
        Self {
            engine,
            shared,
            spent,
            units: names::unit_names(units)
                .into_iter()
                .map(|(_, name)| name)
                .collect(),
            products: kinds.to_vec(),
            functions: known,
        }
    }

    pub(super) fn vocabulary(&self, names: Vec<String>) -> Vocabulary {
        Vocabulary {
            names,
            units: self.units.clone(),
            products: self.products.clone(),
            functions: self.functions.clone(),
        }
    }

    /// Splits a script and compiles its functions; the ledger keeps its source.
    ///
    /// # Errors
    /// When the script is too long or a function of it cannot be read.
    pub fn load(&self, source: &Arc<SourceText>, ledger: &mut Ledger) -> Outcome<Script> {
        if source.text.len() > LONGEST_SCRIPT {
            return Err(Diagnostic::error(format!(
                "{} is longer than {} KiB",
                source.name,
                LONGEST_SCRIPT >> 10
            ))
            .at(Place::File(source.name.as_str().into()))
            .into());
        }
        let number = u16::try_from(ledger.scripts.len()).unwrap_or(u16::MAX);
        ledger.scripts.push(source.clone());
        let mut script = Script {
            source: source.clone(),
            number,
            statements: Vec::new(),
            functions: AST::empty(),
        };
        let mut findings = Findings::new();
        let parts = split(&source.text);
        if let Some(opens) = parts.open_comment {
            findings.push(
                Diagnostic::error("this comment is opened with /* and never closed")
                    .at(Place::Text {
                        source: source.clone(),
                        range: opens..opens + 2,
                    })
                    .hint("Close it with */, or start the line with //."),
            );
        }
        for statement in parts.statements {
            if !statement.is_function {
                script.statements.push((statement, OnceCell::new()));
                continue;
            }
            match self.engine.compile(script.padded(&statement)) {
                Ok(ast) => script.functions = script.functions.merge(&ast),
                Err(error) => {
                    let error = rhai::EvalAltResult::ErrorParsing(*error.0, error.1);
                    findings.push(diagnose(&error, source, &self.vocabulary(Vec::new())));
                }
            }
        }
        findings.stop_on_errors()?;
        Ok(script)
    }
}

impl Script {
    /// A statement on its own, at the line and column it has in the file.
    pub(super) fn padded(&self, statement: &Statement) -> String {
        let text = &self.source.text;
        let (line, column) = self.source.line_and_column(statement.range.start);
        let mut padded = "\n".repeat(line - 1);
        padded.push_str(&" ".repeat(column - 1));
        padded.push_str(&text[statement.range.clone()]);
        padded
    }
}

/// An engine that can do nothing but arithmetic, within bounds that are the same in every build.
fn sandbox(spent: &Rc<Spent>) -> Engine {
    let mut engine = Engine::new_raw();
    engine.register_global_module(ArithmeticPackage::new().as_shared_module());
    engine.register_global_module(LogicPackage::new().as_shared_module());
    engine
        .set_optimization_level(OptimizationLevel::None)
        // Only so does our own division of whole numbers count.
        .set_fast_operators(false)
        .set_strict_variables(true)
        .set_allow_shadowing(false)
        .set_allow_anonymous_fn(false)
        .set_max_operations(MOST_OPERATIONS)
        .set_max_call_levels(16)
        .set_max_expr_depths(64, 32)
        .set_max_variables(256)
        .set_max_functions(64)
        .set_max_string_size(4096)
        .set_max_array_size(1000)
        .set_max_map_size(200);
    for word in [
        "eval",
        "Fn",
        "curry",
        "call",
        "import",
        "export",
        "print",
        "debug",
        "type_of",
        "is_shared",
        "switch",
        "try",
        "throw",
    ] {
        engine.disable_symbol(word);
    }
    let spent = spent.clone();
    engine.on_progress(move |operations| {
        spent.now.set(operations);
        let over = spent.before.get() + operations > MOST_OPERATIONS_IN_ALL;
        over.then_some(Dynamic::UNIT)
    });
    engine
        .register_type_with_name::<Traced>("Traced")
        .register_type_with_name::<Names>("Names")
        .register_type_with_name::<Book>("Book")
        .register_type_with_name::<Steps>("Steps")
        .register_type_with_name::<WholeColumn>("WholeColumn")
        .register_type_with_name::<Asked>("Asked")
        .register_type_with_name::<Counted>("Counted");
    engine.register_iterator::<Counted>();
    engine
}
