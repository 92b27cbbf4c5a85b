//! Method documents to change one thing in.

use serde_json::{Value, json};

/// A method document that can be kept, and what it becomes.
#[derive(Debug, Clone)]
pub struct MethodDraft {
    /// The document.
    pub document: Value,
}

impl MethodDraft {
    /// An invented method of three dyes.
    pub fn new(id: &str, version: &str) -> Self {
        let reference = |dye: &str, rf: f64, colour: &str| {
            json!({
                "dye": dye, "assigned_rf": rf,
                "expected_rf": {"low": rf - 0.05, "high": rf + 0.05},
                "sd": {"within_paper": 0.01, "between_papers": 0.01, "between_sessions": 0.015},
                "count": {"sessions": 6, "papers": 12, "spots": 24},
                "colours": [colour], "source": "invented for a test",
            })
        };
        Self {
            document: json!({
                "id": id, "version": version, "title": "Three dyes in salt water, invented",
                "stationary_phase": {"material": "cellulose paper", "grade": null, "lot": null},
                "developer": {"components": [
                    {"substance": "water", "make_up_to_volume": true},
                    {"substance": "sodium chloride", "amount": 1.0, "basis": "% w/v"},
                ]},
                "measuring": {"convention": "centre", "distance_sd_cm": 0.05, "front_sd_cm": 0.05},
                "references": [
                    reference("allura-red-ac", 0.4, "red"),
                    reference("tartrazine", 0.6, "yellow"),
                    reference("brilliant-blue-fcf", 0.93, "blue"),
                ],
                "change_note": "first",
            }),
        }
    }

    /// The same with another value at a JSON Pointer; a member that is not there is added.
    #[must_use]
    pub fn with(mut self, pointer: &str, value: Value) -> Self {
        let (parent, key) = pointer.rsplit_once('/').unwrap();
        match self.document.pointer_mut(parent).unwrap() {
            Value::Object(members) => {
                members.insert(key.to_owned(), value);
            }
            Value::Array(items) => *items.get_mut(key.parse::<usize>().unwrap()).unwrap() = value,
            other => panic!("`{parent}` holds {other}, which has no members"),
        }
        self
    }

    /// The same without a member.
    #[must_use]
    pub fn without(mut self, pointer: &str) -> Self {
        let (parent, key) = pointer.rsplit_once('/').unwrap();
        let parent = self.document.pointer_mut(parent).unwrap();
        parent.as_object_mut().unwrap().remove(key).unwrap();
        self
    }

    /// The file.
    pub fn text(&self) -> String {
        format!("{:#}\n", self.document)
    }
}
