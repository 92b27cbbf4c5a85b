//! A bundle of a method with its sheets: all of it is taken, or nothing.

use super::{Job, There, back_to_base, sheet_of};
use dyebook_testkit::{Lab, MethodDraft};

pub(super) struct TakeBundle {
    lab: Lab,
}

impl TakeBundle {
    pub(super) fn new(program: &str) -> Self {
        let lab = Lab::empty(program);
        lab.done(&["library", "init"]);
        std::fs::copy(lab.library(), lab.path("base.sqlite")).unwrap();
        lab.write("trial.json", MethodDraft::new("trial", "1.0.0").text());
        lab.done(&["method", "add", "trial.json"]);
        lab.done(&["method", "approve", "trial@1.0.0", "--reason", "tried"]);
        for group in ["heron", "teal", "wren"] {
            let name = format!("{group}.csv");
            lab.write(&name, sheet_of(group).by_method("trial@1.0.0").text());
            lab.done(&["sheet", "import", &name]);
        }
        lab.done(&["library", "export", "bundle.json", "--method", "trial"]);
        Self { lab }
    }
}

impl Job for TakeBundle {
    fn name(&self) -> &'static str {
        "library import"
    }

    fn lab(&self) -> &Lab {
        &self.lab
    }

    fn prepare(&mut self, _round: u32) -> Vec<String> {
        back_to_base(&self.lab);
        ["library", "import", "bundle.json"]
            .map(str::to_owned)
            .to_vec()
    }

    fn look(&self) -> There {
        let methods = self.lab.answer(0, &["method", "list"]);
        let methods = methods["methods"].as_array().unwrap();
        let method = methods.iter().any(|method| method["id"] == "trial");
        let sheets = self.lab.answer(0, &["sheet", "list"])["sheets"]
            .as_array()
            .unwrap()
            .len();
        match (method, sheets) {
            (false, 0) => There::No,
            (true, 3) => There::Yes,
            other => panic!("half a bundle: {other:?}"),
        }
    }
}
