//! A draft comes into use and the version before it is superseded: both, or neither.

use super::{Job, There};
use dyebook_testkit::{Lab, MethodDraft};
use serde_json::json;

pub(super) struct Approve {
    lab: Lab,
    round: u32,
    before: Option<u32>,
}

impl Approve {
    pub(super) fn new(program: &str) -> Self {
        let lab = Lab::empty(program);
        lab.done(&["library", "init"]);
        Self {
            lab,
            round: 0,
            before: None,
        }
    }
}

impl Job for Approve {
    fn name(&self) -> &'static str {
        "method approve"
    }

    fn lab(&self) -> &Lab {
        &self.lab
    }

    fn prepare(&mut self, round: u32) -> Vec<String> {
        self.before = (round > 0).then_some(self.round);
        self.round = round;
        let version = format!("1.{round}.0");
        let draft = MethodDraft::new("trial", &version).with(
            "/title",
            json!(format!("Three dyes, invented, round {round}")),
        );
        self.lab.write("draft.json", draft.text());
        self.lab.done(&["method", "add", "draft.json"]);
        let reference = format!("trial@{version}");
        ["method", "approve", &reference, "--reason", "tried"]
            .map(str::to_owned)
            .to_vec()
    }

    fn look(&self) -> There {
        let state = |round: u32| {
            let reference = format!("trial@1.{round}.0");
            let shown = self.lab.answer(0, &["method", "show", &reference]);
            shown["state"].as_str().unwrap().to_owned()
        };
        let now = state(self.round);
        let before = self.before.map(state);
        match (now.as_str(), before.as_deref()) {
            ("draft", None | Some("approved")) => There::No,
            ("approved", None | Some("superseded")) => There::Yes,
            other => panic!("half an approval: {other:?}"),
        }
    }

    fn done_already(&self) -> Option<&'static str> {
        Some("error[method.not-a-draft]")
    }
}
