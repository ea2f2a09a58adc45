//! The guard: looks through a zipped workbook before anything is built from it.
//!
//! Every part is unpacked once into nothing, so declared sizes need not be
//! trusted. A file of 2 KB can claim a table of 10^12 strings or unpack to
//! gigabytes; both end here.

use std::io::{Cursor, Read};

use memchr::memmem;

/// Largest file read.
pub(super) const MOST_FILE_BYTES: u64 = 64 << 20;
/// Largest unpacked part.
const MOST_PART_BYTES: u64 = 256 << 20;
/// Largest sum of unpacked parts.
const MOST_TOTAL_BYTES: u64 = 512 << 20;
/// Largest ratio of unpacked to packed size, once a part is over a mebibyte.
const MOST_RATIO: u64 = 300;
/// Most parts.
const MOST_PARTS: usize = 2_000;
/// Most cells read from one file.
pub(super) const MOST_CELLS: usize = 4_000_000;
/// Bytes of a part seen together: a sign on the seam of two reads is still found.
const OVERLAP: usize = 256;

/// What the guard saw on its way through.
#[derive(Debug, Default, PartialEq, Eq)]
pub(super) struct Seen {
    pub(super) workbook: bool,
    pub(super) binary_workbook: bool,
    pub(super) open_document: bool,
    pub(super) formulas: bool,
    pub(super) merged_cells: bool,
}

/// Why a file is not let through; the text completes "… cannot be read: ".
pub(super) type Refusal = String;

/// Looks through all parts.
pub(super) fn inspect(bytes: &[u8]) -> Result<Seen, Refusal> {
    let damaged = |_| "the file is damaged or was cut short".to_owned();
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).map_err(damaged)?;
    if archive.len() > MOST_PARTS {
        return Err(format!("it has more than {MOST_PARTS} parts"));
    }
    let mut seen = Seen::default();
    let mut total = 0u64;
    for index in 0..archive.len() {
        let mut part = archive.by_index(index).map_err(|error| match error {
            zip::result::ZipError::UnsupportedArchive(_) => {
                "it is encrypted or packed in an unusual way".to_owned()
            }
            _ => "the file is damaged or was cut short".to_owned(),
        })?;
        let name = part
            .name()
            .map_err(|_| "a part has no readable name".to_owned())?
            .to_string();
        match name.as_str() {
            "xl/workbook.xml" => seen.workbook = true,
            "xl/workbook.bin" => seen.binary_workbook = true,
            "content.xml" => seen.open_document = true,
            _ => {}
        }
        let packed = part.compressed_size();
        total += inspect_part(&mut part, &name, packed, total, &mut seen)?;
    }
    Ok(seen)
}

fn inspect_part(
    part: &mut impl Read,
    name: &str,
    packed: u64,
    before: u64,
    seen: &mut Seen,
) -> Result<u64, Refusal> {
    let is_sheet = name.starts_with("xl/worksheets/");
    let mut window = vec![0u8; OVERLAP + (64 << 10)];
    let mut kept = 0;
    let mut size = 0u64;
    let mut most_texts = 0;
    loop {
        let read = part
            .read(&mut window[kept..])
            .map_err(|_| "the file is damaged or was cut short".to_owned())?;
        if read == 0 {
            break;
        }
        size += read as u64;
        let packed_well = size > 1 << 20 && size / packed.max(1) > MOST_RATIO;
        if size > MOST_PART_BYTES || before + size > MOST_TOTAL_BYTES || packed_well {
            return Err(format!(
                "its part {name} unpacks to more than any honest sheet"
            ));
        }
        let filled = kept + read;
        let view = &window[..filled];
        if is_sheet {
            seen.formulas |=
                memmem::find(view, b"<f>").is_some() || memmem::find(view, b"<f ").is_some();
            seen.merged_cells |= memmem::find(view, b"<mergeCell").is_some();
        } else {
            most_texts = text_counts(view).fold(most_texts, u64::max);
        }
        if let Some(address) = far_address(view).filter(|_| name != "xl/sharedStrings.xml") {
            return Err(format!(
                "its part {name} claims a cell {address}, outside of any sheet"
            ));
        }
        kept = filled.min(OVERLAP);
        window.copy_within(filled - kept..filled, 0);
    }
    // A text takes at least five bytes; more are claimed only to make a reader reserve for them.
    if most_texts > size / 5 + 16 {
        return Err("its table of texts claims more texts than it can hold".to_owned());
    }
    Ok(size)
}

/// The numbers of texts that a part claims to hold; a claim that is no number counts as endless.
fn text_counts(view: &[u8]) -> impl Iterator<Item = u64> {
    const CLAIM: &[u8] = b"uniqueCount";
    memmem::find_iter(view, CLAIM).map(|at| {
        let digits: String = view[at + CLAIM.len()..]
            .iter()
            .map(|byte| char::from(*byte))
            .skip_while(|c| c.is_whitespace() || matches!(c, '=' | '"' | '\''))
            .take_while(char::is_ascii_digit)
            .collect();
        digits.parse().unwrap_or(u64::MAX)
    })
}

/// A cell address so far out that a reader's arithmetic would not hold it.
fn far_address(view: &[u8]) -> Option<String> {
    const MOST_LETTERS: usize = 6;
    const MOST_DIGITS: usize = 9;
    let too_long = |text: &[u8]| {
        let run = |of: fn(&u8) -> bool, most: usize| {
            text.split(|byte| !of(byte)).any(|run| run.len() > most)
        };
        run(u8::is_ascii_alphabetic, MOST_LETTERS) || run(u8::is_ascii_digit, MOST_DIGITS)
    };
    [&b"r="[..], b"ref="]
        .iter()
        .flat_map(|sign| memmem::find_iter(view, sign).map(|at| (at, at + sign.len())))
        .filter(|(at, _)| *at > 0 && view[at - 1].is_ascii_whitespace())
        .filter_map(|(_, start)| {
            let quote = *view
                .get(start)
                .filter(|byte| matches!(byte, b'"' | b'\''))?;
            let text = &view[start + 1..];
            let end = text.iter().take(64).position(|byte| *byte == quote)?;
            Some(&text[..end])
        })
        .find(|text| too_long(text))
        .map(|text| String::from_utf8_lossy(text).into_owned())
}
