//! Every schema is used.

use super::source::has_word;
use crate::answers;
use crate::project;
use dyebook_schemas::catalogue;

/// Schemas of answers whose command is still being made.
const NOT_YET: &[&str] = &[];

#[test]
fn every_schema_is_used_by_the_program_or_held_against_an_answer() {
    let code: String = project::files_ending(&["crates", "plugins"], ".rs")
        .iter()
        .filter(|path| !path.starts_with("crates/schemas/"))
        .map(|path| project::text(path))
        .collect();
    // A schema that another one refers to is used with it.
    let referred: String = catalogue::ALL
        .iter()
        .flat_map(|schema| schema.text.lines())
        .filter(|line| line.contains("$ref"))
        .collect();
    for schema in catalogue::ALL {
        let constant = schema.name.replace('-', "_").to_uppercase();
        // A name of one word means other things, too.
        let by_itself = schema.name.contains('-') && has_word(&code, &constant);
        let used = by_itself
            || code.contains(&format!("catalogue::{constant}"))
            || referred.contains(&format!("{}.schema.json", schema.name))
            || answers::holds_against(schema.name);
        assert_ne!(
            used,
            NOT_YET.contains(&schema.name),
            "`{}` is {}",
            schema.name,
            if used {
                "used; take it out of NOT_YET"
            } else {
                "used by nothing"
            }
        );
    }
}
