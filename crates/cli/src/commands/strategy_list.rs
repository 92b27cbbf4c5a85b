//! `strategy list`

use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use dyebook_workflows::Failure;
use serde_json::{Value, json};

/// Installed strategies.
#[derive(Debug, clap::Args)]
pub(crate) struct StrategyList {}

impl StrategyList {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let mut page = Page::default();
        let mut listed = Vec::new();
        for plugin in desk.plugins().list() {
            let info = serde_json::to_value(&plugin).unwrap_or_default();
            let manifest = info.get("manifest").cloned().unwrap_or_default();
            let components = manifest
                .get("components")
                .and_then(Value::as_array)
                .cloned();
            for component in components.unwrap_or_default() {
                if component.get("kind").and_then(Value::as_str) != Some("strategy") {
                    continue;
                }
                let text = |value: &Value, key: &str| {
                    value
                        .get(key)
                        .and_then(Value::as_str)
                        .unwrap_or_default()
                        .to_owned()
                };
                let state = text(&info, "state");
                let id = text(&component, "name");
                page.line(format!("{id}  {}  {state}", text(&manifest, "version")));
                page.line(format!("  {}", text(&manifest, "description")));
                let evidence: Vec<String> = component
                    .get("evidence")
                    .and_then(Value::as_array)
                    .into_iter()
                    .flatten()
                    .filter_map(|e| e.as_str().map(str::to_owned))
                    .collect();
                page.line(format!("  evidence: {}", evidence.join(", ")));
                listed.push(json!({
                    "id": id, "version": text(&manifest, "version"),
                    "title": text(&manifest, "name"),
                    "from": if state == "bundled" { "bundled" } else { "plug-in" },
                    "state": state, "plugin": text(&manifest, "id"),
                    "digest": info.get("digest").cloned().unwrap_or_default(),
                    "evidence": evidence,
                    "parameters": component.pointer("/config_schema/properties").cloned()
                        .unwrap_or_else(|| json!({})),
                }));
            }
        }
        Ok(Outcome::new(json!({ "strategies": listed }), page.text()))
    }
}
