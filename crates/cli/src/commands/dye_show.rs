//! `dye show`

use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use crate::table::Table;
use dyebook_documents::fold_name;
use dyebook_workflows::{Failure, find_dye};
use serde_json::{Value, json};

/// One dye.
#[derive(Debug, clap::Args)]
pub(crate) struct DyeShow {
    /// Any of its names: `E129`, `FD&C Red 40`, `allura-red-ac`, `CI 16035`, a CAS number
    #[arg(value_name = "ID-or-NAME")]
    name: String,
}

impl DyeShow {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let library = desk.open()?;
        let register = library.dye_register()?;
        let dye = find_dye(&register, &self.name)?;
        let kept = library
            .dyes()?
            .into_iter()
            .find(|kept| kept.id == dye.id)
            .ok_or_else(|| {
                Failure::refused("dye.unknown", format!("there is no dye `{}`", dye.id))
            })?;
        let asked = fold_name(&self.name);
        let found_by: Vec<_> = dye
            .names
            .iter()
            .filter(|name| fold_name(&name.name) == asked)
            .map(|name| json!({ "name": name.name, "kind": name.kind }))
            .collect();
        let json = json!({
            "asked": self.name, "found_by": found_by, "dye": kept.document, "digest": kept.digest,
        });
        let mut page = Page::default();
        page.line(format!("{} ({})", dye.name, dye.id));
        page.line(format!("colour on paper  {}", dye.colours.join(", ")));
        for (label, pointer, unit) in [
            ("molar mass", "/molar_mass/value", " g/mol"),
            ("formula", "/molar_mass/formula", ""),
            ("note", "/note", ""),
        ] {
            if let Some(value) = kept.document.pointer(pointer) {
                page.line(format!("{label:15}  {}{unit}", plain(value)));
            }
        }
        let waves = kept.document.get("lambda_max_nm").and_then(Value::as_array);
        for wave in waves.into_iter().flatten() {
            let text = |key: &str| wave.get(key).map_or_else(String::new, plain);
            page.line(format!(
                "{:15}  {} nm (source: {})",
                "λmax",
                text("value"),
                text("source")
            ));
        }
        page.gap();
        let mut table = Table::new(["name", "whose", "note"]);
        for name in &dye.names {
            let whose = serde_json::to_value(name.kind).unwrap_or_default();
            table.row([
                name.name.clone(),
                whose.as_str().unwrap_or_default().to_owned(),
                name.note.clone().unwrap_or_default(),
            ]);
        }
        page.table(&table);
        Ok(Outcome::new(json, page.text()))
    }
}

/// A text without its quotes, a number as it stands.
fn plain(value: &Value) -> String {
    value
        .as_str()
        .map_or_else(|| value.to_string(), str::to_owned)
}
