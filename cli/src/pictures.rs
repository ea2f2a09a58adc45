//! Pictures of rooms, saved in a folder beside the takeoff.

use std::path::{Path, PathBuf};

use engine::diag::Outcome;

use crate::save;

/// A folder of pictures beside a takeoff.
pub(crate) struct PictureFolder(PathBuf);

impl PictureFolder {
    /// Makes the folder, named after the takeoff and what the pictures show, unless it is there.
    pub(crate) fn beside(takeoff: &Path, what: &str) -> Outcome<Self> {
        let stem = takeoff.file_stem().unwrap_or_default().to_string_lossy();
        let folder = takeoff.with_file_name(format!("{stem}-{what}"));
        save::folder(&folder)?;
        Ok(Self(folder))
    }

    /// Saves a picture of a room, as drawing and as picture.
    pub(crate) fn save(&self, room: &PictureName<'_>, svg: &str, png: &[u8]) -> Outcome<()> {
        let name = room.file_name();
        save::replace(&self.0.join(format!("{name}.svg")), svg.as_bytes())?;
        save::replace(&self.0.join(format!("{name}.png")), png)
    }

    /// Where it is.
    pub(crate) fn path(&self) -> &Path {
        &self.0
    }
}

/// What a picture shows.
pub(crate) struct PictureName<'a> {
    /// The room's row in the takeoff, from 0: rooms may have one name.
    pub(crate) row: usize,
    /// The room's name.
    pub(crate) room: &'a str,
    /// What tells it from other pictures of the room; empty for the only one.
    pub(crate) ending: &'a str,
}

impl PictureName<'_> {
    /// A name that every file system takes.
    fn file_name(&self) -> String {
        let room: String = self
            .room
            .chars()
            .map(|c| if c.is_alphanumeric() { c } else { '-' })
            .collect();
        format!("{}-{room}{}", self.row + 1, self.ending)
    }
}
