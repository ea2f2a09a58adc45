//! Files that are broken or mean harm: read right or refused by name, in bounded memory.

use std::io::Write;
use std::process::Command;

use pourwright_tests::story::{Story, workbook};
use zip::write::SimpleFileOptions;

/// Memory in which the program must get by with any file, in KiB (`ulimit -v`).
const MEMORY_KIB: u32 = 900_000;

const CONTENT_TYPES: &str = r#"<?xml version="1.0"?><Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="xml" ContentType="application/xml"/><Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/><Override PartName="/xl/worksheets/sheet1.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/></Types>"#;
const RELS: &str = r#"<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument" Target="xl/workbook.xml"/></Relationships>"#;
const WORKBOOK: &str = r#"<?xml version="1.0"?><workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"><sheets><sheet name="Rooms" sheetId="1" r:id="rId1"/></sheets></workbook>"#;
const WORKBOOK_RELS: &str = r#"<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" Target="worksheets/sheet1.xml"/><Relationship Id="rId2" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/sharedStrings" Target="sharedStrings.xml"/></Relationships>"#;

fn zipped(parts: &[(&str, Vec<u8>)]) -> Vec<u8> {
    let mut writer = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    for (name, bytes) in parts {
        writer
            .start_file(*name, SimpleFileOptions::default())
            .unwrap();
        writer.write_all(bytes).unwrap();
    }
    writer.finish().unwrap().into_inner()
}

/// A workbook of one sheet from raw XML, with other parts.
fn raw(sheet: &str, others: &[(&str, Vec<u8>)]) -> Vec<u8> {
    let sheet = format!(
        "<?xml version=\"1.0\"?><worksheet xmlns=\"http://schemas.openxmlformats.org/spreadsheetml/2006/main\">{sheet}</worksheet>"
    );
    let mut parts: Vec<(&str, Vec<u8>)> = vec![
        ("[Content_Types].xml", CONTENT_TYPES.into()),
        ("_rels/.rels", RELS.into()),
        ("xl/workbook.xml", WORKBOOK.into()),
        ("xl/_rels/workbook.xml.rels", WORKBOOK_RELS.into()),
        ("xl/worksheets/sheet1.xml", sheet.into_bytes()),
    ];
    parts.extend(others.iter().cloned());
    zipped(&parts)
}

fn text_cell(at: &str, text: &str) -> String {
    format!("<c r=\"{at}\" t=\"inlineStr\"><is><t>{text}</t></is></c>")
}

/// Headings and one good row, with another area cell.
fn rooms(area: &str) -> String {
    let headings = [
        "Room",
        "Area (sq ft)",
        "Average depth (in)",
        "Leveler",
        "Primer",
    ];
    let row: String = headings
        .iter()
        .zip('A'..)
        .map(|(h, c)| text_cell(&format!("{c}1"), h))
        .collect();
    format!(
        "<sheetData><row r=\"1\">{row}</row><row r=\"2\">{}{area}<c r=\"C2\"><v>1</v></c>{}{}</row></sheetData>",
        text_cell("A2", "Hall"),
        text_cell("D2", "Demo Level Standard"),
        text_cell("E2", "Demo Prime Porous"),
    )
}

/// Prices a file in a process of its own whose memory is bounded.
fn bid_bounded(story: &Story, name: &str) -> (i32, String) {
    let program = env!("CARGO_BIN_EXE_pourwright-under-test");
    let output = Command::new("sh")
        .arg("-c")
        .arg(format!("ulimit -v {MEMORY_KIB}; exec \"$0\" bid \"$1\""))
        .arg(program)
        .arg(story.path(name))
        .output()
        .unwrap();
    let text = format!(
        "{}{}",
        String::from_utf8_lossy(&output.stderr),
        String::from_utf8_lossy(&output.stdout)
    );
    // A process that was ended by a signal (an abort) has no code.
    (output.status.code().unwrap_or(-1), text)
}

#[track_caller]
fn refused(name: &str, bytes: &[u8], why: &str) {
    let story = Story::new().bytes(name, bytes);
    let (code, text) = bid_bounded(&story, name);
    assert_eq!(code, 1, "{name} for \"{why}\":\n{text}");
    assert!(text.contains(why), "\"{why}\" is missing in:\n{text}");
    assert!(text.contains(name), "the file is not named in:\n{text}");
    assert_eq!(story.names(), [name], "something was written");
}

#[track_caller]
fn read_right(name: &str, bytes: &[u8]) -> String {
    let story = Story::new().bytes(name, bytes);
    let (code, text) = bid_bounded(&story, name);
    assert_eq!(code, 0, "{text}");
    text
}

#[test]
fn the_raw_workbook_of_these_tests_is_read() {
    let text = read_right(
        "rooms.xlsx",
        &raw(&rooms("<c r=\"B2\"><v>100</v></c>"), &[]),
    );
    assert!(text.contains("Hall"), "{text}");
}

#[test]
fn what_is_no_workbook_is_refused_with_how_to_save_one() {
    refused(
        "rooms.xlsx",
        b"",
        "neither a workbook (xlsx) nor a csv file",
    );
    refused(
        "rooms.xlsx",
        b"just text",
        "neither a workbook (xlsx) nor a csv file",
    );
    refused("rooms.pdf", b"%PDF-1.7", "Save As");
    refused(
        "rooms.xlsx",
        b"PK\x03\x04garbage",
        "damaged or was cut short",
    );
    let old = [
        &[0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1, 0x1a, 0xe1][..],
        &[0; 600],
    ]
    .concat();
    refused("rooms.xls", &old, "old spreadsheet format");
    let locked: Vec<u8> = "EncryptedPackage"
        .encode_utf16()
        .flat_map(u16::to_le_bytes)
        .collect();
    refused(
        "rooms.xlsx",
        &[&old[..], &locked].concat(),
        "protected by a password",
    );
    let ods = zipped(&[
        (
            "mimetype",
            b"application/vnd.oasis.opendocument.spreadsheet".to_vec(),
        ),
        ("content.xml", b"<a/>".to_vec()),
    ]);
    refused("rooms.ods", &ods, "OpenDocument");
    refused(
        "rooms.xlsb",
        &zipped(&[("xl/workbook.bin", vec![0; 10])]),
        "binary workbook",
    );
    refused(
        "rooms.xlsx",
        &zipped(&[("hello.txt", b"hi".to_vec())]),
        "not a workbook",
    );
}

#[test]
fn a_file_cut_anywhere_is_refused() {
    let whole = workbook(&[("Rooms", &[&["Room", "Area (sq ft)"], &["A", "1"]])]);
    for cut in [
        whole.len() / 10,
        whole.len() / 2,
        whole.len() - 30,
        whole.len() - 1,
    ] {
        refused("rooms.xlsx", &whole[..cut], "damaged or was cut short");
    }
}

#[test]
fn a_sheet_that_claims_to_be_huge_costs_nothing() {
    let far = rooms("<c r=\"B2\"><v>100</v></c>").replace(
        "</sheetData>",
        "<row r=\"1048576\"><c r=\"XFD1048576\"><v>1</v></c></row></sheetData>",
    );
    read_right(
        "rooms.xlsx",
        &raw(&format!("<dimension ref=\"A1:XFD1048576\"/>{far}"), &[]),
    );
    for address in ["A4294967295", "ZZZZZZZZZ1", "A0", "1A"] {
        let sheet = rooms(&format!("<c r=\"{address}\"><v>100</v></c>"));
        refused("rooms.xlsx", &raw(&sheet, &[]), "cannot be read");
    }
}

#[test]
fn bombs_are_refused_before_they_unpack() {
    let spaces = format!(
        "{}{}",
        rooms("<c r=\"B2\"><v>100</v></c>"),
        " ".repeat(40 << 20)
    );
    refused(
        "rooms.xlsx",
        &raw(&spaces, &[]),
        "unpacks to more than any honest sheet",
    );
    let strings = |count: &str| {
        format!("<?xml version=\"1.0\"?><sst xmlns=\"http://schemas.openxmlformats.org/spreadsheetml/2006/main\" uniqueCount=\"{count}\"><si><t>a</t></si></sst>").into_bytes()
    };
    for count in [
        "1000000000000",
        "18446744073709551615",
        "99999999999999999999999",
        "&#57;99",
    ] {
        let bomb = raw(&rooms(""), &[("xl/sharedStrings.xml", strings(count))]);
        refused("rooms.xlsx", &bomb, "claims more texts than it can hold");
    }
    let padded = [
        format!("<!--{}-->", "x".repeat(100_000)).into_bytes(),
        strings("1000000000000"),
    ]
    .concat();
    refused(
        "rooms.xlsx",
        &raw(&rooms(""), &[("xl/sharedStrings.xml", padded)]),
        "claims more texts",
    );
    let shared =
        rooms("<c r=\"B2\"><f t=\"shared\" ref=\"B2:B9\" si=\"9999999999\">1+1</f><v>100</v></c>");
    read_right("rooms.xlsx", &raw(&shared, &[]));
    let entities = format!(
        "<!DOCTYPE w [<!ENTITY a \"aaaaaaaaaa\"><!ENTITY b \"&a;&a;&a;&a;&a;&a;\">]>{}",
        rooms(&text_cell("B2", "&b;"))
    );
    refused("rooms.xlsx", &raw(&entities, &[]), "rooms.xlsx");
    let many: Vec<(String, Vec<u8>)> = (0..3000).map(|n| (format!("x{n}"), Vec::new())).collect();
    let many: Vec<(&str, Vec<u8>)> = many
        .iter()
        .map(|(name, bytes)| (name.as_str(), bytes.clone()))
        .collect();
    refused(
        "rooms.xlsx",
        &raw(&rooms(""), &many),
        "more than 2000 parts",
    );
    let merged: String = (0..30_000)
        .map(|n| format!("<mergeCell ref=\"A{0}:A{1}\"/>", n * 2 + 10, n * 2 + 11))
        .collect();
    let merged = format!(
        "{}<mergeCells>{merged}</mergeCells>",
        rooms("<c r=\"B2\"><v>1</v></c>")
    );
    refused("rooms.xlsx", &raw(&merged, &[]), "merged regions");
}

#[test]
fn odd_numbers_are_refused_by_their_address() {
    for (value, why) in [
        ("<c r=\"B2\"><v>NaN</v></c>", "not finite"),
        ("<c r=\"B2\"><v>1e999</v></c>", "not finite"),
        ("<c r=\"B2\"><v>-5</v></c>", "expected at least 0 sq ft"),
        ("<c r=\"B2\"><v>abc</v></c>", "is not a number"),
        ("<c r=\"B2\" t=\"e\"><v>#N/A</v></c>", "error value #N/A"),
        (
            "<c r=\"B2\" t=\"e\"><v>#SPILL!</v></c>",
            "error value #SPILL!",
        ),
        ("<c r=\"B2\" t=\"b\"><v>1</v></c>", "it holds TRUE"),
        ("<c r=\"B2\"><f>SUM(B9:B10)</f></c>", "result is not stored"),
        ("<c r=\"B2\"><v>1e308</v></c>", "too large"),
        ("<c r=\"B2\" t=\"s\"><v>-1</v></c>", "cannot be"),
    ] {
        let story = Story::new().bytes("rooms.xlsx", &raw(&rooms(value), &[]));
        let (code, text) = bid_bounded(&story, "rooms.xlsx");
        assert_eq!(code, 1, "{value}:\n{text}");
        assert!(
            text.contains(why),
            "{value}: \"{why}\" is missing in:\n{text}"
        );
        assert!(
            // Of a text that is not there the reading library tells no place.
            text.contains("B2") || text.contains("A2") || value.contains("t=\"s\""),
            "{value} has no address:\n{text}"
        );
    }
}

#[test]
fn control_characters_and_formulas_in_names_stay_text() {
    let sheet = rooms("<c r=\"B2\"><v>100</v></c>")
        .replace("Hall", "=HYPERLINK(\"http://x\")&amp;_x0007_\u{202e}");
    let text = read_right("rooms.xlsx", &raw(&sheet, &[]));
    assert!(text.contains("=HYPERLINK"), "{text}");
}

#[test]
fn csv_that_is_no_csv_is_refused() {
    refused("rooms.csv", b"Room,Area\n\xff\xfe,1\n", "not UTF-8");
    refused("rooms.csv", b"Room,Area\0\n", "not a text file");
    let wide = ",".repeat(5_000_000);
    refused("rooms.csv", wide.as_bytes(), "more than 4000000 cells");
    refused("rooms.csv", &vec![b'a'; 70 << 20], "larger than 64 MiB");
    let quote = format!("Room,Area\n\"{}", "x\n".repeat(1000));
    refused("rooms.csv", quote.as_bytes(), "rooms.csv");
}
