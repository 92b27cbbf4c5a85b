//! `dye list`

use crate::desk::Desk;
use crate::outcome::Outcome;
use crate::table::Table;
use dyebook_workflows::Failure;
use serde_json::{Value, json};

/// All dyes.
pub(crate) fn run(desk: &Desk) -> Result<Outcome, Failure> {
    let mut table = Table::new(["id", "E", "CI", "FD&C", "colour", "CAS"]);
    let mut listed = Vec::new();
    for dye in desk.open()?.dyes()? {
        let text = |key: &str| {
            dye.document
                .get(key)
                .and_then(Value::as_str)
                .unwrap_or("-")
                .to_owned()
        };
        let cas: Vec<&str> = dye
            .document
            .get("cas")
            .and_then(Value::as_array)
            .into_iter()
            .flatten()
            .filter_map(|cas| cas.get("number")?.as_str())
            .collect();
        let colours: Vec<&str> = dye
            .document
            .get("colours")
            .and_then(Value::as_array)
            .into_iter()
            .flatten()
            .filter_map(Value::as_str)
            .collect();
        table.row([
            dye.id.clone(),
            text("e"),
            text("ci"),
            text("fdc"),
            colours.join(", "),
            cas.join(", "),
        ]);
        let member = |key: &str| dye.document.get(key).cloned().unwrap_or_default();
        listed.push(json!({
            "id": dye.id, "name": member("name"), "colours": colours, "e": member("e"),
            "ci": member("ci"), "fdc": member("fdc"), "cas": cas,
        }));
    }
    Ok(Outcome::new(json!({ "dyes": listed }), table.to_string()))
}
