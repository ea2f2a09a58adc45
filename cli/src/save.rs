//! Saving files so that a failure leaves what was there before.

use std::fs;
use std::io::Write;
use std::path::Path;

use engine::diag::{Diagnostic, Outcome, Place};

use crate::context::{cannot, folder_of};

/// Writes to a temporary file beside the target, then puts it in its place.
pub(crate) fn replace(path: &Path, bytes: &[u8]) -> Outcome<()> {
    let fail = |error: &std::io::Error| cannot("be written", path, error);
    let folder = folder_of(path);
    let mut file = tempfile::Builder::new()
        .prefix(".pourwright-")
        .suffix(".tmp")
        .tempfile_in(&folder)
        .map_err(|error| fail(&error))?;
    file.write_all(bytes).map_err(|error| fail(&error))?;
    file.as_file().sync_all().map_err(|error| fail(&error))?;
    allow_readers(file.as_file());
    file.persist(path).map_err(|error| fail(&error.error))?;
    Ok(())
}

/// A temporary file is its owner's alone; a bid is for the whole shop.
#[cfg(unix)]
fn allow_readers(file: &fs::File) {
    use std::os::unix::fs::PermissionsExt;
    let _ = file.set_permissions(fs::Permissions::from_mode(0o644));
}

#[cfg(not(unix))]
fn allow_readers(_: &fs::File) {}

/// Makes a folder that must not hold anything yet.
pub(crate) fn new_folder(path: &Path) -> Outcome<()> {
    let in_use =
        path.is_file() || fs::read_dir(path).is_ok_and(|mut entries| entries.next().is_some());
    if in_use {
        return Err(Diagnostic::error(format!(
            "{} exists already and is not empty",
            path.display()
        ))
        .at(Place::File(path.display().to_string().into()))
        .hint("Name a folder that does not exist yet; nothing is ever overwritten.")
        .into());
    }
    fs::create_dir_all(path).map_err(|error| cannot("be made", path, &error).into())
}

/// Makes a folder, unless it is there.
pub(crate) fn folder(path: &Path) -> Outcome<()> {
    fs::create_dir_all(path).map_err(|error| cannot("be made", path, &error).into())
}
