//! The same sheet in every dialect that a spreadsheet writes.

use crate::PROGRAM;
use dyebook_testkit::{Dialect, Encoding, Lab, SheetCsv, Unit};
use serde_json::Value;

const ENCODINGS: [(Encoding, &str); 4] = [
    (Encoding::Utf8, "UTF-8"),
    (Encoding::Utf8WithMark, "UTF-8 with byte order mark"),
    (Encoding::Utf16Le, "UTF-16LE"),
    (Encoding::Utf16Be, "UTF-16BE"),
];

fn dialects() -> Vec<Dialect> {
    let mut all = Vec::new();
    for separator in [',', ';', '\t'] {
        for decimal_comma in [false, true] {
            for (encoding, _) in ENCODINGS {
                for crlf in [false, true] {
                    all.push(Dialect {
                        separator,
                        decimal_comma,
                        crlf,
                        encoding,
                        ..Dialect::default()
                    });
                }
            }
        }
    }
    for unit in [Unit::Millimetre, Unit::MillimetreInBrackets, Unit::Inch] {
        all.push(Dialect {
            unit,
            ..Dialect::default()
        });
    }
    all.push(Dialect {
        turned_header: true,
        ..Dialect::default()
    });
    all.push(Dialect {
        remarks: true,
        separator: ';',
        crlf: true,
        ..Dialect::default()
    });
    all
}

/// Rf of every spot, in the order of the sheet.
fn rfs(shown: &Value) -> Vec<f64> {
    let spots = shown["rf"].as_array().unwrap();
    spots
        .iter()
        .map(|spot| spot["rf"].as_f64().unwrap())
        .collect()
}

/// Every group has its own readings: the same ones twice would be asked about.
fn sheet_of(number: usize) -> SheetCsv {
    SheetCsv::clean(&format!("group-{number}")).other_readings(u32::try_from(number).unwrap())
}

#[test]
fn every_dialect_gives_the_same_sheet() {
    let lab = Lab::ready(PROGRAM);
    let all = dialects();
    assert_eq!(all.len(), 53);
    for (number, dialect) in all.iter().enumerate() {
        lab.write(
            &format!("{number}.csv"),
            sheet_of(number).bytes_in(*dialect),
        );
    }
    let names: Vec<String> = (0..all.len())
        .map(|number| format!("{number}.csv"))
        .collect();
    let mut arguments = vec!["sheet", "import"];
    arguments.extend(names.iter().map(String::as_str));
    let taken = lab.answer(0, &arguments);
    for (number, dialect) in all.iter().enumerate() {
        let (file, sheet) = (&taken["files"][number], &taken["sheets"][number]);
        let reading = &file["reading"];
        let encoding = ENCODINGS
            .iter()
            .find(|(encoding, _)| *encoding == dialect.encoding);
        assert_eq!(
            reading["separator"],
            dialect.separator.to_string(),
            "{dialect:?}"
        );
        let decimal = if dialect.decimal_comma { "," } else { "." };
        assert_eq!(reading["decimal"], decimal, "{dialect:?}");
        assert_eq!(reading["encoding"], encoding.unwrap().1, "{dialect:?}");
        assert_eq!(
            (&sheet["papers"], &sheet["spots"]),
            (&2.into(), &6.into()),
            "{dialect:?}"
        );
        let shown = lab.answer(0, &["sheet", "show", sheet["id"].as_str().unwrap()]);
        for (rf, row) in rfs(&shown).into_iter().zip(sheet_of(number).rows) {
            let expected = row.distance_cm.unwrap() / row.front_cm;
            // A length written in thousandths of an inch is rounded by up to 0.0013 cm.
            let allowed = if dialect.unit == Unit::Inch {
                4e-4
            } else {
                1e-12
            };
            assert!(
                (rf - expected).abs() < allowed,
                "{dialect:?}: {rf} against {expected}"
            );
        }
    }
}

#[test]
fn distances_are_kept_as_written() {
    let lab = Lab::ready(PROGRAM);
    let text = "group,method,paper,lane,label,distance_cm,front_cm\n\
                jay,harrow-saline@1.0.0,p,1,Red 40,3.240,8.10\n";
    lab.write("jay.csv", text);
    let taken = lab.answer(0, &["sheet", "import", "jay.csv"]);
    let shown = lab.answer(
        0,
        &["sheet", "show", taken["sheets"][0]["id"].as_str().unwrap()],
    );
    let row = &shown["sheet"]["lanes"][0]["rows"][0];
    assert_eq!(
        (&row["distance"], &row["front"]),
        (&"3.240".into(), &"8.10".into())
    );
}

#[test]
fn remarks_are_kept_and_lanes_without_a_spot_taken() {
    let lab = Lab::ready(PROGRAM);
    let text = "# rain all day\ngroup,method,paper,lane,label,distance_cm,front_cm\n\
                jay,harrow-saline@1.0.0,p,1,Red 40,3.24,8.10\n\
                jay,harrow-saline@1.0.0,p,2,pale sweet,,8.10\n";
    lab.write("jay.csv", text);
    let taken = lab.answer(0, &["sheet", "import", "jay.csv"]);
    assert_eq!(taken["sheets"][0]["spots"], 1);
    let shown = lab.answer(
        0,
        &["sheet", "show", taken["sheets"][0]["id"].as_str().unwrap()],
    );
    assert_eq!(shown["sheet"]["lanes"].as_array().unwrap().len(), 2);
    assert_eq!(shown["sheet"]["remarks"][0]["text"], "rain all day");
}

#[test]
fn one_file_may_hold_many_sheets() {
    let lab = Lab::ready(PROGRAM);
    let second = SheetCsv::clean("teal").other_readings(5).text();
    let (_, rows) = second.split_once('\n').unwrap();
    lab.write("both.csv", SheetCsv::clean("heron").text() + rows);
    let taken = lab.answer(0, &["sheet", "import", "both.csv"]);
    let groups: Vec<&str> = taken["sheets"]
        .as_array()
        .unwrap()
        .iter()
        .map(|sheet| sheet["group"].as_str().unwrap())
        .collect();
    assert_eq!(groups, ["heron", "teal"]);
    assert_eq!(taken["files"].as_array().unwrap().len(), 1);
}

#[test]
fn a_label_that_names_a_dye_is_a_standard() {
    let lab = Lab::ready(PROGRAM);
    let text = "group,method,paper,lane,label,distance_cm,front_cm\n\
                jay,harrow-saline@1.0.0,p,1,e 129,3.24,8.10\n\
                jay,harrow-saline@1.0.0,q,1,red sweet,3.24,8.10\n";
    lab.write("jay.csv", text);
    let taken = lab.answer(0, &["sheet", "import", "jay.csv"]);
    let found = lab.answer(0, &["identify", taken["sheets"][0]["id"].as_str().unwrap()]);
    let lanes = &found["identifications"][0]["lanes"];
    assert_eq!(lanes[0]["role"], "standard");
    assert_eq!(lanes[1]["role"], "sample");
}
