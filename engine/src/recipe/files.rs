//! The files of a recipe: built in, or from a folder of the shop.

use std::fs;
use std::path::Path;
use std::sync::Arc;

use crate::diag::{Diagnostic, Findings, Place, SourceText};
use crate::plugin::StockRecipe;

/// Largest file of a recipe.
const LARGEST_FILE: u64 = 256 << 10;

/// The files of one recipe, read but not understood.
#[derive(Clone, Debug)]
pub struct RecipeFiles {
    /// The recipe's name: of its folder, or as registered.
    pub name: String,
    /// Whether it came with the program.
    pub stock: bool,
    /// File names and texts, sorted by name.
    pub files: Vec<(String, Arc<SourceText>)>,
}

impl RecipeFiles {
    /// The files of a stock recipe.
    pub fn stock(recipe: &StockRecipe) -> Self {
        let mut files: Vec<(String, Arc<SourceText>)> = recipe
            .files
            .iter()
            .map(|(name, text)| {
                let shown = format!("{}/{name} (built in)", recipe.name);
                ((*name).to_owned(), SourceText::new(shown, *text))
            })
            .collect();
        files.sort_by(|a, b| a.0.cmp(&b.0));
        Self {
            name: recipe.name.to_owned(),
            stock: true,
            files,
        }
    }

    /// A file of the recipe.
    pub fn get(&self, name: &str) -> Option<&Arc<SourceText>> {
        let (_, text) = self.files.iter().find(|(known, _)| known == name)?;
        Some(text)
    }

    /// The scripts for rows of tables below rooms: every script but room and job.
    pub fn child_scripts(&self) -> impl Iterator<Item = (&str, &Arc<SourceText>)> {
        self.files.iter().filter_map(|(name, text)| {
            let row = name.strip_suffix(".rhai")?;
            (row != "room" && row != "job").then_some((row, text))
        })
    }
}

/// Reads the recipes in the folders of a folder; each holding a `recipe.toml` is one.
pub fn read_folder(folder: &Path, findings: &mut Findings) -> Vec<RecipeFiles> {
    let mut folders: Vec<_> = match fs::read_dir(folder) {
        Ok(entries) => entries.flatten().map(|entry| entry.path()).collect(),
        Err(_) => return Vec::new(),
    };
    folders.sort();
    folders
        .into_iter()
        .filter(|path| path.join("recipe.toml").is_file())
        .map(|path| read_one(&path, findings))
        .collect()
}

fn read_one(folder: &Path, findings: &mut Findings) -> RecipeFiles {
    let name = folder
        .file_name()
        .map(|name| name.to_string_lossy().into_owned())
        .unwrap_or_default();
    let mut files = Vec::new();
    let mut paths: Vec<_> = fs::read_dir(folder)
        .into_iter()
        .flatten()
        .flatten()
        .map(|entry| entry.path())
        .collect();
    paths.sort();
    for path in paths {
        let ending = path.extension().and_then(|e| e.to_str()).unwrap_or("");
        if !matches!(ending, "toml" | "rhai") {
            continue;
        }
        let file_name = path
            .file_name()
            .map(|n| n.to_string_lossy().into_owned())
            .unwrap_or_default();
        match read_text(&path) {
            Ok(text) => files.push((file_name, SourceText::new(path.display().to_string(), text))),
            Err(why) => findings.push(
                Diagnostic::error(format!("{} cannot be read: {why}", path.display()))
                    .at(Place::File(path.display().to_string().into())),
            ),
        }
    }
    RecipeFiles {
        name,
        stock: false,
        files,
    }
}

/// Reads a text file of bounded size.
pub(crate) fn read_text(path: &Path) -> Result<String, String> {
    let size = fs::metadata(path).map_err(|error| error.to_string())?.len();
    if size > LARGEST_FILE {
        return Err(format!("it is larger than {} KiB", LARGEST_FILE >> 10));
    }
    let bytes = fs::read(path).map_err(|error| error.to_string())?;
    String::from_utf8(bytes).map_err(|_| "it is not UTF-8 text".to_owned())
}
