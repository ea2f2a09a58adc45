//! The files of a shop folder, or of the built-in shop.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::diag::{Diagnostic, Findings, Place, SourceText};
use crate::grid::{self, Grid};
use crate::recipe::{RecipeFiles, read_folder, read_text};

/// The files that make a shop.
#[derive(Clone, Debug)]
pub struct ShopFiles {
    /// Its folder; the built-in shop has none.
    pub folder: Option<PathBuf>,
    /// `shop.toml`.
    pub settings: Arc<SourceText>,
    /// `prices.toml`, where there is one.
    pub price_text: Option<Arc<SourceText>>,
    /// `prices.xlsx` or `prices.csv`, where there is one.
    pub price_sheet: Option<Grid>,
    /// Recipes of the shop's own.
    pub recipes: Vec<RecipeFiles>,
    /// Texts and bytes of everything read, for the fingerprint.
    pub contents: Vec<(String, Vec<u8>)>,
}

/// The nearest folder with a `shop.toml`, from a folder upward.
pub fn find_shop(start: &Path) -> Option<PathBuf> {
    let start = fs::canonicalize(start).ok()?;
    start
        .ancestors()
        .find(|folder| folder.join("shop.toml").is_file())
        .map(Path::to_path_buf)
}

impl ShopFiles {
    /// A shop made of texts that came with the program.
    pub fn built_in(settings: &str, prices: &str) -> Self {
        let settings = SourceText::new("shop.toml (built in)", settings);
        let prices = SourceText::new("prices.toml (built in)", prices);
        let contents = [&settings, &prices]
            .map(|source| (source.name.clone(), source.text.clone().into_bytes()))
            .into();
        Self {
            folder: None,
            settings,
            price_text: Some(prices),
            price_sheet: None,
            recipes: Vec::new(),
            contents,
        }
    }

    /// Reads a shop folder.
    pub fn read(folder: &Path, findings: &mut Findings) -> Option<Self> {
        let mut contents = Vec::new();
        let mut text = |name: &str, findings: &mut Findings| {
            let path = folder.join(name);
            if !path.is_file() {
                return None;
            }
            match read_text(&path) {
                Ok(text) => {
                    contents.push((name.to_owned(), text.clone().into_bytes()));
                    Some(SourceText::new(path.display().to_string(), text))
                }
                Err(why) => {
                    findings.push(unreadable(&path, &why));
                    None
                }
            }
        };
        let settings = text("shop.toml", findings)?;
        let price_text = text("prices.toml", findings);
        let price_sheet = read_price_sheet(folder, &mut contents, findings);
        if price_text.is_none() && price_sheet.is_none() && !findings.has_errors() {
            findings.push(
                Diagnostic::error("the shop has no price book")
                    .at(Place::File(folder.display().to_string().into()))
                    .label("expected prices.xlsx, prices.csv or prices.toml beside shop.toml"),
            );
        }
        let recipes = read_folder(&folder.join("recipes"), findings);
        for recipe in &recipes {
            for (name, source) in &recipe.files {
                contents.push((
                    format!("recipes/{}/{name}", recipe.name),
                    source.text.clone().into_bytes(),
                ));
            }
        }
        Some(Self {
            folder: Some(folder.to_path_buf()),
            settings,
            price_text,
            price_sheet,
            recipes,
            contents,
        })
    }
}

fn read_price_sheet(
    folder: &Path,
    contents: &mut Vec<(String, Vec<u8>)>,
    findings: &mut Findings,
) -> Option<Grid> {
    let name = ["prices.xlsx", "prices.csv"]
        .into_iter()
        .find(|name| folder.join(name).is_file())?;
    let path = folder.join(name);
    match fs::read(&path) {
        Ok(bytes) => {
            let grid = grid::read(&path.display().to_string(), &bytes);
            contents.push((name.to_owned(), bytes));
            findings.keep(grid)
        }
        Err(error) => {
            findings.push(unreadable(&path, &error.to_string()));
            None
        }
    }
}

fn unreadable(path: &Path, why: &str) -> Diagnostic {
    Diagnostic::error(format!("{} cannot be read: {why}", path.display()))
        .at(Place::File(path.display().to_string().into()))
}
