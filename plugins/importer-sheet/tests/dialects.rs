//! Every dialect that a data sheet may be written in gives the same rows; what is wrong is refused
//! with its place. The dialects are those of the project's own contract; the files are made here,
//! byte by byte, so that no tool's idea of a dialect decides. Values are invented.
#![expect(
    clippy::unwrap_used,
    reason = "a test may stop at once, in its helpers too"
)]

use dyebook_importer_sheet::SheetText;
use dyebook_plugin::importer::{
    Imported, Importer, ProbeRequest, Problem, Refusal, Unit, read_without_host,
};

const HEADER: &str = "section,group,date,method,batch,paper,role,lane,label,spot,distance_cm,\
                      front_cm,colour,depth,shape,width_cm,remark,reported_rf,reported_identity";
const ROW: &str = "Tue,A,2026-09-14,saline-paper@1.0.0,B1,P1,sample,2,Red,1,3.40,8.05,red,clear,\
                   round,0.50,,0.42,allura-red-ac";

/// Separator, decimal sign and encoding.
type Said = (&'static str, &'static str, &'static str);

fn plain() -> String {
    format!("{HEADER}\n{ROW}\n")
}

fn read(bytes: impl AsRef<[u8]>) -> Imported {
    read_without_host(&SheetText, "a.csv", bytes.as_ref()).unwrap()
}

fn refused(bytes: impl AsRef<[u8]>) -> Vec<Problem> {
    let error = read_without_host(&SheetText, "a.csv", bytes.as_ref()).unwrap_err();
    serde_json::from_str::<Refusal>(&error.to_string())
        .unwrap()
        .problems
}

fn said(read: &Imported) -> (&str, &str, &str) {
    let reading = &read.reading;
    (
        reading.separator.as_deref().unwrap_or_default(),
        reading.decimal.as_deref().unwrap_or_default(),
        reading.encoding.as_deref().unwrap_or_default(),
    )
}

fn utf16(text: &str, bytes_of: fn(u16) -> [u8; 2]) -> Vec<u8> {
    std::iter::once(0xfeff)
        .chain(text.encode_utf16())
        .flat_map(bytes_of)
        .collect()
}

#[test]
fn the_american_spelling_of_colour_is_the_same_column() {
    let read = read(plain().replace("colour", "Color"));
    assert_eq!(read.rows[0].colour.as_deref(), Some("red"));
    assert_eq!(read.warnings, []);
}

#[test]
fn a_plain_row_keeps_every_text_as_written() {
    let read = read(plain());
    let row = &read.rows[0];
    assert_eq!(row.row, 2);
    assert_eq!(row.distance.as_deref(), Some("3.40"));
    assert_eq!(row.width.as_deref(), Some("0.50"));
    assert_eq!(row.reported_identity.as_deref(), Some("allura-red-ac"));
    assert_eq!(row.remark, None);
    assert_eq!(said(&read), (",", ".", "UTF-8"));
    assert_eq!(read.columns.len(), 19);
}

#[test]
fn separators_line_ends_and_encodings_give_the_same_rows() {
    let expected = read(plain()).rows;
    let semicolon = plain().replace(',', ";");
    let comma = semicolon.replace("3.40", "3,40").replace("8.05", "8,05");
    let comma = comma.replace("0.50", "0,50").replace("0.42", "0,42");
    let tab = plain().replace(',', "\t");
    let bom = format!("\u{feff}{}", plain());
    let cases: Vec<(Vec<u8>, Said)> = vec![
        (semicolon.clone().into(), (";", ".", "UTF-8")),
        (comma.clone().into(), (";", ",", "UTF-8")),
        (comma.replace(';', "\t").into(), ("\t", ",", "UTF-8")),
        (tab.into(), ("\t", ".", "UTF-8")),
        (plain().replace('\n', "\r\n").into(), (",", ".", "UTF-8")),
        (plain().trim_end().into(), (",", ".", "UTF-8")),
        (bom.into(), (",", ".", "UTF-8 with byte order mark")),
        (utf16(&plain(), u16::to_le_bytes), (",", ".", "UTF-16LE")),
        (utf16(&comma, u16::to_be_bytes), (";", ",", "UTF-16BE")),
    ];
    for (bytes, reading) in cases {
        let read = read(&bytes);
        assert_eq!(read.rows, expected, "{reading:?}");
        assert_eq!(said(&read), reading);
        assert!(read.warnings.is_empty(), "{:?}", read.warnings);
    }
}

#[test]
fn a_quoted_decimal_comma_is_read_between_commas() {
    let read = read(
        plain()
            .replace("3.40", "\"3,40\"")
            .replace("8.05", "\"8,05\""),
    );
    assert_eq!(read.rows[0].distance.as_deref(), Some("3.40"));
    assert_eq!(said(&read).1, ",");
    assert_eq!(read.warnings[0].code, "mixed-decimals");
}

#[test]
fn windows_1252_is_said_and_warned_about() {
    let mut bytes = plain().replace("Red,1", "Br\u{fc}h,1").into_bytes();
    let at = bytes
        .windows(2)
        .position(|two| two == [0xc3, 0xbc])
        .unwrap();
    bytes.splice(at..at + 2, [0xfc]);
    let read = read(bytes);
    assert_eq!(read.rows[0].label.as_deref(), Some("Br\u{fc}h"));
    assert_eq!(said(&read).2, "windows-1252");
    assert_eq!(read.warnings[0].code, "encoding-assumed");
}

#[test]
fn remarks_and_empty_lines_do_not_shift_line_numbers() {
    let text = format!(
        "# dried flat\n\n{HEADER}\r\n# second, with a comma,,,\n\n{ROW}\n,,,,,,,,,,,,,,,,,,\n# last"
    );
    let read = read(text);
    assert_eq!(read.rows.len(), 1);
    assert_eq!(read.rows[0].row, 6);
    let remarks: Vec<(u64, &str)> = read
        .remarks
        .iter()
        .map(|remark| (remark.row, remark.text.as_str()))
        .collect();
    assert_eq!(
        remarks,
        [(1, "dried flat"), (4, "second, with a comma"), (8, "last")]
    );
}

#[test]
fn a_field_over_two_lines_does_not_shift_line_numbers() {
    let second = ROW.replace("clear,round,0.50,,", "clear,round,0.50,\"torn\n# here\",");
    let text = format!("{HEADER}\n{second}\n{ROW}\n");
    let read = read(text);
    assert_eq!(read.rows[0].remark.as_deref(), Some("torn\n# here"));
    assert_eq!(read.rows[1].row, 4);
    assert!(read.remarks.is_empty());
}

#[test]
fn names_go_in_any_case_and_order_and_units_in_three_spellings() {
    let read = read(
        "Front [mm];LABEL;Distance (cm);lane;Paper;METHOD;Group;width_in\n80;Red;3,4;2;P1;m@1;A;0,2",
    );
    assert_eq!(read.units.distance, Unit::Cm);
    assert_eq!(read.units.front, Unit::Mm);
    assert_eq!(read.units.width, Some(Unit::In));
    assert_eq!(read.rows[0].front.as_deref(), Some("80"));
}

#[test]
fn a_length_without_a_unit_is_refused_with_the_cure() {
    let problems = refused(plain().replace("distance_cm", "distance"));
    assert_eq!(problems.len(), 1);
    assert_eq!(problems[0].column.as_deref(), Some("distance"));
    assert!(
        problems[0]
            .hint
            .as_deref()
            .unwrap()
            .contains("`distance_mm`")
    );
    let problems = refused(plain().replace("front_cm", "front (m)"));
    assert!(problems[0].message.contains("`m`"), "{problems:?}");
}

#[test]
fn missing_misspelt_and_doubled_columns_are_refused_all_at_once() {
    let problems = refused("group,method,papr,lane,label,distance_cm,Lane\nA,m@1,P1,1,x,1,1\n");
    let words: Vec<&str> = problems
        .iter()
        .map(|problem| problem.message.as_str())
        .collect();
    assert!(
        words
            .iter()
            .any(|w| w.contains("`lane` and `Lane` are both")),
        "{words:?}"
    );
    assert!(
        words.iter().any(|w| w.contains("`front_cm` is missing")),
        "{words:?}"
    );
    let paper = problems
        .iter()
        .find(|p| p.message.contains("`paper` is missing"))
        .unwrap();
    assert!(paper.hint.as_deref().unwrap().contains("`papr`"));
}

#[test]
fn an_unknown_column_is_warned_about_with_the_nearest_name() {
    let read = read(
        plain()
            .replace("colour", "colur")
            .replace("remark", "weather"),
    );
    let words: Vec<&str> = read
        .warnings
        .iter()
        .map(|warning| warning.message.as_str())
        .collect();
    assert!(
        words[0].contains("nearest known name is `colour`"),
        "{words:?}"
    );
    assert!(words[1].contains("`weather` is not known") && !words[1].contains("nearest"));
    assert_eq!(read.rows[0].colour, None);
}

#[test]
fn wrong_rows_are_refused_by_line_and_column() {
    let text = format!(
        "{HEADER}\n{ROW}\n{}\n{}\n{}\n{}\n",
        ROW.replace("3.40", "3.4 cm"),
        ROW.replace(",allura-red-ac", ""),
        ROW.replace("2026-09-14", "14.9.2026")
            .replace(",2,Red", ",two,Red"),
        ROW.replace("3.40", "-3.40").replace("sample", "blank"),
    );
    let problems = refused(text);
    let places: Vec<(Option<u64>, Option<&str>)> = problems
        .iter()
        .map(|problem| (problem.row, problem.column.as_deref()))
        .collect();
    assert_eq!(
        places,
        [
            (Some(3), Some("distance_cm")),
            (Some(4), None),
            (Some(5), Some("lane")),
            (Some(5), Some("date")),
            (Some(6), Some("distance_cm")),
            (Some(6), Some("role")),
        ]
    );
}

#[test]
fn a_decimal_comma_between_commas_is_a_ragged_row_with_the_cure() {
    let problems = refused(plain().replace("3.40", "3,40"));
    assert_eq!(problems[0].row, Some(2));
    assert!(problems[0].hint.as_deref().unwrap().contains('`'));
}

#[test]
fn numbers_with_two_signs_or_none_at_all_are_refused() {
    for bad in ["1.234.5", "\"1.234,5\"", "1e3", ".", "NaN", "0x10", "3 4"] {
        assert_eq!(refused(plain().replace("3.40", bad)).len(), 1, "{bad}");
    }
    for good in ["3", ".5", "3.", "+3.4"] {
        assert_eq!(
            read(plain().replace("3.40", good)).rows[0]
                .distance
                .as_deref(),
            Some(good)
        );
    }
}

#[test]
fn a_lane_without_a_spot_has_an_empty_distance() {
    let read = read(plain().replace("3.40", ""));
    assert_eq!(read.rows[0].distance, None);
}

#[test]
fn files_that_are_no_sheets_are_refused_in_words() {
    assert!(refused("")[0].message.contains("no header line"));
    assert!(
        refused("# only a remark\n")[0]
            .message
            .contains("no header line")
    );
    assert!(
        refused(format!("{HEADER}\n"))[0]
            .message
            .contains("no rows")
    );
    assert!(refused(b"PK\x03\x04rest")[0].message.contains("ZIP"));
    assert!(refused(b"a\0b,c\n")[0].message.contains("NUL"));
    let long = plain().replace("round", &"x".repeat(10_001));
    assert!(refused(long)[0].message.contains("10000 characters"));
}

#[test]
fn more_than_64_mib_or_a_million_rows_are_refused() {
    assert!(
        refused(vec![b' '; 64 * 1024 * 1024 + 1])[0]
            .message
            .contains("64 MiB")
    );
    let head = "group,method,paper,lane,label,distance_cm,front_cm\n";
    let rows = "A,m@1,P,1,x,1,8\n".repeat(1_000_001);
    let problems = refused(format!("{head}{rows}"));
    assert!(
        problems[0].message.contains("1,000,000 rows"),
        "{problems:?}"
    );
    assert_eq!(problems[0].row, Some(1_000_002));
}

#[test]
fn a_thousand_problems_are_counted_and_200_listed() {
    let rows = format!("{}\n", ROW.replace("3.40", "x")).repeat(1000);
    let problems = refused(format!("{HEADER}\n{rows}"));
    assert_eq!(problems.len(), 201);
    assert!(
        problems[200].message.contains("800 further problems"),
        "{:?}",
        problems[200]
    );
}

#[test]
fn a_sheet_is_recognised_and_other_files_are_not() {
    let sure = |name: &str, head: &[u8]| {
        SheetText
            .probe(&ProbeRequest::new(name, head.len() as u64), head)
            .confidence
    };
    assert!(sure("a.csv", plain().as_bytes()) > 0.9);
    assert!(sure("a", &utf16(&plain(), u16::to_le_bytes)) > 0.9);
    let cut = plain().replace("Red", "\u{df}");
    let at = cut.find('\u{df}').unwrap() + 1;
    assert!(sure("a.csv", cut.as_bytes().get(..at).unwrap()) > 0.9);
    assert!(sure("a.json", b"{\"lanes\":[]}") < 0.1);
    assert!(sure("a.xlsx", b"PK\x03\x04") < 0.1);
    assert!(sure("a.csv", b"name,age\nx,1\n") < 0.5);
}
