//! Everything that is registered: plugins, functions, stock recipes.

use std::fmt;
use std::sync::Arc;

use super::{Figures, Plugin, Standard, StockRecipe, Surveyor};
use crate::trail::Function;

/// What is wrong with a set of plugins; a fault of the program, not of its user.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum RegistryError {
    /// Two functions of one name take the same number of arguments.
    FunctionTwice(&'static str),
    /// Two recipes have one name.
    RecipeTwice(&'static str),
    /// Two sets of figures are asked for alike.
    FiguresTwice(&'static str),
    /// A function lacks its sentence or its example.
    Undescribed(&'static str),
}

impl fmt::Display for RegistryError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::FunctionTwice(name) => write!(f, "function {name} is registered twice"),
            Self::FiguresTwice(name) => write!(f, "figures {name} are registered twice"),
            Self::RecipeTwice(name) => write!(f, "recipe {name} is registered twice"),
            Self::Undescribed(name) => write!(f, "function {name} has no sentence or no example"),
        }
    }
}

/// All functions and stock recipes of a run.
#[derive(Clone, Debug)]
pub struct Registry {
    functions: Vec<(&'static str, Arc<Function>)>,
    figures: Vec<(&'static str, Figures)>,
    recipes: Vec<(&'static str, StockRecipe)>,
    surveyors: Vec<&'static dyn Surveyor>,
}

impl Registry {
    /// The engine's own functions and what the plugins add.
    ///
    /// # Errors
    /// When two things have one name or a function is not described.
    pub fn new(plugins: &[&dyn Plugin]) -> Result<Self, RegistryError> {
        let mut registry = Self {
            functions: Vec::new(),
            figures: Vec::new(),
            recipes: Vec::new(),
            surveyors: Vec::new(),
        };
        registry.take(&Standard)?;
        for plugin in plugins {
            registry.take(*plugin)?;
        }
        Ok(registry)
    }

    fn take(&mut self, plugin: &dyn Plugin) -> Result<(), RegistryError> {
        for function in plugin.functions() {
            let name = function.name;
            if function.sentence.is_empty() || function.example.is_empty() {
                return Err(RegistryError::Undescribed(name));
            }
            let arity = function.parameters.len();
            let same =
                |known: &Arc<Function>| known.name == name && known.parameters.len() == arity;
            if self.functions.iter().any(|(_, known)| same(known)) {
                return Err(RegistryError::FunctionTwice(name));
            }
            self.functions.push((plugin.name(), Arc::new(function)));
        }
        for figures in plugin.figures() {
            let name = figures.name;
            // What a survey answers cannot be shown without one.
            let is_shown = figures.survey.is_some() || !figures.example.is_empty();
            if figures.sentence.is_empty() || !is_shown {
                return Err(RegistryError::Undescribed(name));
            }
            let same = |known: &Figures| known.name == name && known.survey == figures.survey;
            if self.figures.iter().any(|(_, known)| same(known)) {
                return Err(RegistryError::FiguresTwice(name));
            }
            self.figures.push((plugin.name(), figures));
        }
        self.surveyors.extend(plugin.surveyors());
        for recipe in plugin.recipes() {
            if self
                .recipes
                .iter()
                .any(|(_, known)| known.name == recipe.name)
            {
                return Err(RegistryError::RecipeTwice(recipe.name));
            }
            self.recipes.push((plugin.name(), recipe));
        }
        Ok(())
    }

    /// All functions with the plugin that brought them.
    pub fn functions(&self) -> impl Iterator<Item = (&'static str, &Arc<Function>)> {
        self.functions
            .iter()
            .map(|(plugin, function)| (*plugin, function))
    }

    /// The functions of a name, one for each number of arguments.
    pub fn named(&self, name: &str) -> impl Iterator<Item = &Arc<Function>> {
        self.functions
            .iter()
            .map(|(_, function)| function)
            .filter(move |function| function.name == name)
    }

    /// All figures with the plugin that brought them.
    pub fn figures(&self) -> impl Iterator<Item = (&'static str, &Figures)> {
        self.figures
            .iter()
            .map(|(plugin, figures)| (*plugin, figures))
    }

    /// All readers of surveys.
    pub fn surveyors(&self) -> &[&'static dyn Surveyor] {
        &self.surveyors
    }

    /// All stock recipes with the plugin that brought them.
    pub fn recipes(&self) -> impl Iterator<Item = (&'static str, StockRecipe)> {
        self.recipes.iter().copied()
    }
}
