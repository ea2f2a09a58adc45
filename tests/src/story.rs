//! A story of a job: files in a folder, commands run on them, what they print.

use std::ffi::OsString;
use std::fs;
use std::path::{Path, PathBuf};

use rust_xlsxwriter::{DocProperties, ExcelDateTime, Workbook};
use tempfile::TempDir;

/// A folder of its own, in which a story plays.
pub struct Story {
    folder: TempDir,
}

/// What a command printed.
#[derive(Debug)]
pub struct Told {
    /// Exit code.
    pub code: u8,
    /// Standard output.
    pub out: String,
    /// Standard error.
    pub err: String,
}

impl Default for Story {
    fn default() -> Self {
        Self::new()
    }
}

impl Story {
    /// An empty folder.
    pub fn new() -> Self {
        Self {
            folder: TempDir::new().unwrap(),
        }
    }

    /// A path in the folder.
    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// Writes a text file, making its folders.
    #[must_use]
    pub fn file(self, name: &str, text: &str) -> Self {
        self.bytes(name, text.as_bytes())
    }

    /// Writes a file, making its folders.
    #[must_use]
    pub fn bytes(self, name: &str, bytes: &[u8]) -> Self {
        let path = self.path(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
        self
    }

    /// Writes a workbook; what reads as a number is written as one.
    #[must_use]
    pub fn sheets(self, name: &str, sheets: &[(&str, &[&[&str]])]) -> Self {
        let bytes = workbook(sheets);
        self.bytes(name, &bytes)
    }

    /// Runs a command; `{}` in an argument stands for the story's folder.
    pub fn run(&self, arguments: &[&str]) -> Told {
        let folder = self.folder.path().display().to_string();
        let typed = std::iter::once(OsString::from("pourwright")).chain(
            arguments
                .iter()
                .map(|a| OsString::from(a.replace("{}", &folder))),
        );
        let (mut out, mut err) = (Vec::new(), Vec::new());
        let code = pourwright::run(typed, false, &mut out, &mut err);
        // The folder is another in every run; what is printed must not be.
        let plain = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap().replace(&folder, "{}");
        Told {
            code,
            out: plain(out),
            err: plain(err),
        }
    }

    /// The bytes of a file.
    pub fn read(&self, name: &str) -> Vec<u8> {
        fs::read(self.path(name)).unwrap()
    }

    /// Whether a file is there.
    pub fn has(&self, name: &str) -> bool {
        self.path(name).exists()
    }

    /// The names of all files directly in the folder, sorted.
    pub fn names(&self) -> Vec<String> {
        names_in(self.folder.path())
    }
}

/// The names of all files directly in a folder, sorted.
pub fn names_in(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

/// A workbook of sheets of cells; what reads as a number is written as one.
pub fn workbook(sheets: &[(&str, &[&[&str]])]) -> Vec<u8> {
    let owned = |cells: &&[&str]| cells.iter().map(|text| (*text).to_owned()).collect();
    let sheets = sheets
        .iter()
        .map(|(name, rows)| ((*name).to_owned(), rows.iter().map(owned).collect()));
    workbook_of(&sheets.collect::<Vec<_>>())
}

/// The rows of a sheet.
pub type Rows = Vec<Vec<String>>;

/// A workbook of sheets by name; what reads as a number is written as one.
pub fn workbook_of(sheets: &[(String, Rows)]) -> Vec<u8> {
    let mut workbook = Workbook::new();
    // Without a date of its own a workbook has today's, and other bytes in every run.
    let made = ExcelDateTime::from_ymd(2000, 1, 1).unwrap();
    workbook.set_properties(&DocProperties::new().set_creation_datetime(&made));
    for (name, rows) in sheets {
        let sheet = workbook.add_worksheet().set_name(name).unwrap();
        for (row, cells) in (0u32..).zip(rows) {
            for (column, text) in (0u16..).zip(cells) {
                match text.parse::<f64>() {
                    _ if text.is_empty() => continue,
                    Ok(number) if number.is_finite() => {
                        sheet.write_number(row, column, number).unwrap()
                    }
                    _ => sheet.write_string(row, column, text).unwrap(),
                };
            }
        }
    }
    workbook.save_to_buffer().unwrap()
}
