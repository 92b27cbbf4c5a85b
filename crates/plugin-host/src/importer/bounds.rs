//! What the schema of a read file says, said of one in the binary form.

use dyebook_plugin::importer::{Imported, Row, Warning};

use crate::failure::{Failure, Look};

/// Reads a file's rows in the binary form and looks at what their types leave open.
pub(crate) fn read(bytes: &[u8]) -> Result<Imported, Failure> {
    let bad = |part, text| Failure::BadOutput { part, text };
    let imported = Imported::from_binary(bytes).map_err(|text| bad(Look::Binary, text))?;
    within(&imported).map_err(|text| bad(Look::Schema, text))?;
    Ok(imported)
}

fn within(imported: &Imported) -> Result<(), String> {
    imported.rows.iter().try_for_each(row_within)?;
    let mut remarks = imported.remarks.iter();
    remarks.try_for_each(|remark| counted(remark.row))?;
    imported.warnings.iter().try_for_each(warning_within)
}

fn row_within(row: &Row) -> Result<(), String> {
    counted(row.row)?;
    let numbers = [&row.distance, &row.front, &row.width, &row.reported_rf];
    if let Some(text) = numbers.into_iter().flatten().find(|text| !is_number(text)) {
        return Err(format!("row {}: `{text}` is no decimal number", row.row));
    }
    match &row.date {
        Some(date) if !is_date(date) => Err(format!("row {}: `{date}` is no date", row.row)),
        _ => Ok(()),
    }
}

fn warning_within(warning: &Warning) -> Result<(), String> {
    warning.row.map_or(Ok(()), counted)?;
    let word = |part: &str| {
        !part.is_empty()
            && (part.bytes()).all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit())
    };
    if !warning.code.split('-').all(word) || warning.message.is_empty() {
        return Err(format!(
            "the warning `{}` has no code or no words",
            warning.code
        ));
    }
    Ok(())
}

fn counted(row: u64) -> Result<(), String> {
    if row == 0 {
        return Err("rows are counted from 1".to_owned());
    }
    Ok(())
}

/// Digits, with a point among or beside them, and a sign before them.
fn is_number(text: &str) -> bool {
    let digits = text.strip_prefix(['+', '-']).unwrap_or(text);
    let points = digits.bytes().filter(|byte| *byte == b'.').count();
    let plain = |byte: u8| byte.is_ascii_digit() || byte == b'.';
    points <= 1 && digits.len() > points && digits.bytes().all(plain)
}

/// Year, month and day in so many digits; whether there is such a day is the host's own question.
fn is_date(text: &str) -> bool {
    let number = |part: &[u8]| {
        part.iter().try_fold(0_u32, |sum, byte| {
            byte.is_ascii_digit()
                .then(|| sum * 10 + u32::from(byte - b'0'))
        })
    };
    let [year @ .., b'-', m1, m2, b'-', d1, d2] = text.as_bytes() else {
        return false;
    };
    let in_range = |digits: [&u8; 2], most| {
        number(&digits.map(|digit| *digit)).is_some_and(|number| (1..=most).contains(&number))
    };
    year.len() == 4 && number(year).is_some() && in_range([m1, m2], 12) && in_range([d1, d2], 31)
}

#[cfg(test)]
mod tests {
    use super::{read, within};
    use dyebook_plugin::importer::Imported;
    use dyebook_schemas::catalogue::IMPORTER_1_IMPORT_RESPONSE;
    use dyebook_schemas::check_value;
    use proptest::prelude::*;
    use serde_json::{Value, json};

    fn text() -> impl Strategy<Value = Value> {
        prop_oneof![
            Just(Value::Null),
            "[+-]?[0-9]{0,2}\\.?[0-9]{0,2}".prop_map(Value::from),
            "[0-9]{3,4}-[01]?[0-9]-[0-3][0-9]".prop_map(Value::from),
            "[a-z0-9-]{0,4}".prop_map(Value::from),
            any::<String>().prop_map(Value::from),
        ]
    }

    fn imported() -> impl Strategy<Value = Value> {
        let field = prop::sample::select(vec![
            "date",
            "distance",
            "front",
            "width",
            "reported_rf",
            "label",
        ]);
        let row = (0..3_u64, prop::collection::btree_map(field, text(), 0..4)).prop_map(
            |(row, fields)| {
                let mut out = json!({"row": row});
                for (name, text) in fields {
                    out[name] = text;
                }
                out
            },
        );
        let warning = ("[a-z0-9-]{0,3}|A", "[a-z]{0,2}", prop::option::of(0..2_u64))
            .prop_map(|(code, message, row)| json!({"code": code, "message": message, "row": row}));
        let remark = (0..9_u64).prop_map(|row| json!({"row": row, "text": ""}));
        (
            prop::collection::vec(row, 0..3),
            prop::collection::vec(warning, 0..2),
            prop::collection::vec(remark, 0..2),
        )
            .prop_map(|(rows, warnings, remarks)| {
                json!({"rows": rows, "warnings": warnings, "remarks": remarks, "columns": [],
                       "units": {"distance": "cm", "front": "cm", "width": null},
                       "reading": {"separator": null, "decimal": null, "encoding": null}})
            })
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(2_000))]
        #[test]
        fn the_bounds_are_those_of_the_schema(value in imported()) {
            let fits = check_value(&IMPORTER_1_IMPORT_RESPONSE, &value).is_ok();
            let imported: Imported = serde_json::from_value(value).unwrap();
            prop_assert_eq!(within(&imported).is_ok(), fits);
        }
    }

    #[test]
    fn bytes_that_are_no_file_are_refused() {
        for bytes in [&b"{\"rows\":[]}"[..], b"", &[1], &[0; 20], &[7, 7]] {
            assert!(read(bytes).is_err(), "{bytes:?}");
        }
    }
}
