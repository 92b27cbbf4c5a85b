//! `strategy list`

use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use dyebook_plugin_host::Kind;
use dyebook_workflows::DEFAULT_STRATEGY;
use serde_json::{Value, json};

/// Installed strategies.
pub(crate) fn run(desk: &Desk) -> Outcome {
    let mut page = Page::default();
    let mut listed = Vec::new();
    for strategy in desk.plugins().components(Kind::Strategy) {
        let from = &strategy.provenance;
        let usual = if strategy.id == DEFAULT_STRATEGY {
            ", used when none is named"
        } else {
            ""
        };
        page.line(format!(
            "{}  {}  {}{usual}",
            strategy.id,
            from.version,
            if from.bundled {
                "bundled"
            } else {
                "approved plug-in"
            }
        ));
        page.line(format!("  {}", strategy.description));
        page.line(format!("  evidence: {}", strategy.evidence.join(", ")));
        let parameters = strategy.config_schema.get("properties").cloned();
        for (name, schema) in parameters.iter().filter_map(Value::as_object).flatten() {
            let default = schema.get("default").map(|d| format!(" [default: {d}]"));
            let text = schema
                .get("description")
                .and_then(Value::as_str)
                .unwrap_or_default();
            page.line(format!(
                "  --param {name}=…  {text}{}",
                default.unwrap_or_default()
            ));
        }
        listed.push(json!({
            "id": strategy.id, "version": from.version, "title": strategy.description,
            "from": if from.bundled { "bundled" } else { "plug-in" },
            "plugin": from.plugin, "digest": from.digest, "contract": from.contract,
            "evidence": strategy.evidence,
            "parameters": parameters.unwrap_or_else(|| json!({})),
        }));
    }
    Outcome::new(json!({ "strategies": listed }), page.text())
}
