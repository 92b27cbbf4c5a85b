//! `plugin list`

use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use serde_json::{Value, json};

/// All plug-ins.
pub(crate) fn run(desk: &Desk) -> Outcome {
    let list = json!(desk.plugins().list());
    let mut page = Page::default();
    for plugin in list.as_array().into_iter().flatten() {
        let text = |pointer: &str| {
            plugin
                .pointer(pointer)
                .and_then(Value::as_str)
                .unwrap_or_default()
                .to_owned()
        };
        page.line(format!(
            "{}  {}  {}",
            text("/id"),
            text("/version"),
            text("/state")
        ));
        for key in ["/manifest/description", "/folder", "/why"] {
            let line = text(key);
            if !line.is_empty() {
                page.line(format!("  {line}"));
            }
        }
    }
    Outcome::new(json!({ "plugins": list }), page.text())
}
