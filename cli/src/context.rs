//! Finding and loading the shop of a takeoff.

use std::fs;
use std::path::{Path, PathBuf};

use engine::bid::{self, Bid};
use engine::diag::{Diagnostic, Findings, Outcome, Place, near_name, quoted};
use engine::grid::{self, Grid};
use engine::plugin::Registry;
use engine::shop::{self, ShopFiles, Workshop, find_shop};

use crate::builtin;

/// A takeoff file with its bytes.
pub(crate) struct TakeoffFile {
    pub(crate) name: String,
    pub(crate) bytes: Vec<u8>,
    pub(crate) grid: Grid,
}

/// The registry, as an outcome.
pub(crate) fn registry() -> Outcome<Registry> {
    crate::plugins::registry().map_err(|error| {
        Diagnostic::error(format!(
            "the program's plugins do not fit together: {error}"
        ))
        .into()
    })
}

/// Reads a takeoff.
pub(crate) fn read_takeoff(path: &Path) -> Outcome<TakeoffFile> {
    let name = path.display().to_string();
    let bytes = fs::read(path).map_err(|error| cannot("be read", path, &error))?;
    let grid = grid::read(&name, &bytes)?;
    Ok(TakeoffFile { name, bytes, grid })
}

/// Prices a takeoff with its shop, for commands that look into a priced job.
pub(crate) fn priced(takeoff: &Path, shop: Option<&PathBuf>) -> Outcome<Bid> {
    let registry = registry()?;
    let file = read_takeoff(takeoff)?;
    let workshop = load_shop(shop, &folder_of(takeoff), &registry)?;
    bid::price(&workshop, &registry, &file.grid)
}

/// All rooms of a takeoff that are of some kind, or the one that is asked for.
pub(crate) fn asked_for<Room>(
    rooms: Vec<Room>,
    name: impl Fn(&Room) -> String,
    asked: Option<&str>,
    kind: &str,
    takeoff: &Path,
) -> Outcome<Vec<Room>> {
    let Some(asked) = asked else {
        return Ok(rooms);
    };
    let names: Vec<String> = rooms.iter().map(&name).collect();
    let near = near_name(asked, names.iter().map(String::as_str));
    let is_asked = |room: &Room| name(room).eq_ignore_ascii_case(asked);
    let found: Vec<Room> = rooms.into_iter().filter(is_asked).collect();
    if found.is_empty() {
        let error = Diagnostic::error(format!("no {kind} is called {}", quoted(asked)));
        return Err(error
            .at(Place::File(takeoff.display().to_string().into()))
            .maybe_hint(near.map(|near| format!("Did you mean {near}?")))
            .into());
    }
    Ok(found)
}

/// Which rooms a command is about: those with something in a recipe's column.
pub(crate) struct RoomsOf {
    /// A column that the recipe gives every room.
    pub(crate) given: &'static str,
    /// The column that is filled in for the rooms meant.
    pub(crate) filled: &'static str,
    /// What is said where the shop does not use the recipe, and what to do.
    pub(crate) without_recipe: [&'static str; 2],
    /// What is said where no room is meant, and what to do.
    pub(crate) without_room: [&'static str; 2],
    /// What such a room is called.
    pub(crate) kind: &'static str,
}

/// The rows of the rooms that a command is about, or of the one that is asked for.
pub(crate) fn rooms_of(
    bid: &Bid,
    asked: Option<&str>,
    takeoff: &Path,
    of: &RoomsOf,
) -> Outcome<Vec<usize>> {
    let rooms = bid.ledger.table(bid.takeoff.rooms.table);
    let refuse = |[message, hint]: [&str; 2]| {
        let place = Place::File(takeoff.display().to_string().into());
        Err(Diagnostic::error(message).at(place).hint(hint).into())
    };
    if rooms.column_named(of.given).is_none() {
        return refuse(of.without_recipe);
    }
    let meant: Vec<usize> = (0..rooms.rows())
        .filter(|row| rooms.filled(of.filled, *row).is_some())
        .collect();
    if meant.is_empty() {
        return refuse(of.without_room);
    }
    let name = |row: &usize| rooms.row_names[*row].clone();
    asked_for(meant, name, asked, of.kind, takeoff)
}

/// A diagnostic for a file that something cannot be done to.
pub(crate) fn cannot(what: &str, path: &Path, error: &std::io::Error) -> Diagnostic {
    let why = match error.kind() {
        std::io::ErrorKind::NotFound => "there is no such file".to_owned(),
        std::io::ErrorKind::PermissionDenied => "it is not permitted".to_owned(),
        _ => error.to_string(),
    };
    Diagnostic::error(format!("{} cannot {what}: {why}", path.display()))
        .at(Place::File(path.display().to_string().into()))
}

/// Loads the shop given, or the nearest one above a folder, or the built-in one.
pub(crate) fn load_shop(
    given: Option<&PathBuf>,
    near: &Path,
    registry: &Registry,
) -> Outcome<Workshop> {
    let folder = match given {
        Some(folder) if !folder.join("shop.toml").is_file() => {
            return Err(
                Diagnostic::error(format!("{} is no shop folder", folder.display()))
                    .at(Place::File(folder.display().to_string().into()))
                    .label("expected a folder with a shop.toml in it")
                    .hint("Make one with: pourwright begin FOLDER")
                    .into(),
            );
        }
        Some(folder) => Some(folder.clone()),
        None => find_shop(near).map(shortened),
    };
    let files = match folder {
        Some(folder) => {
            let mut findings = Findings::new();
            let files = ShopFiles::read(&folder, &mut findings);
            findings.stop_on_errors()?;
            files.ok_or_else(|| Diagnostic::error("the shop cannot be read"))?
        }
        None => builtin::US.shop(),
    };
    shop::load(&files, registry)
}

/// A folder as it is reached from here, where that is shorter.
fn shortened(folder: PathBuf) -> PathBuf {
    let Ok(here) = std::env::current_dir().and_then(fs::canonicalize) else {
        return folder;
    };
    match folder.strip_prefix(&here) {
        Ok(rest) if rest.as_os_str().is_empty() => PathBuf::from("."),
        Ok(rest) => rest.to_path_buf(),
        Err(_) => folder,
    }
}

/// The folder that a file lies in.
pub(crate) fn folder_of(path: &Path) -> PathBuf {
    match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_path_buf(),
        _ => PathBuf::from("."),
    }
}
