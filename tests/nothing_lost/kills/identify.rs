//! Identities of two sheets: both are stored, or none.

use super::{Job, There, sheet_of};
use dyebook_testkit::Lab;

pub(super) struct Identify {
    lab: Lab,
    ids: Vec<String>,
    stored: u64,
}

impl Identify {
    pub(super) fn new(program: &str) -> Self {
        Self {
            lab: Lab::ready(program),
            ids: Vec::new(),
            stored: 0,
        }
    }
}

impl Job for Identify {
    fn name(&self) -> &'static str {
        "identify"
    }

    fn lab(&self) -> &Lab {
        &self.lab
    }

    fn prepare(&mut self, round: u32) -> Vec<String> {
        self.stored = self.lab.answer(0, &["library", "status"])["identifications"]
            .as_u64()
            .unwrap();
        self.ids.clear();
        for half in ["a", "b"] {
            let sheet = sheet_of(&format!("teal-{round}-{half}"));
            self.lab.write("teal.csv", sheet.text());
            let taken = self.lab.answer(0, &["sheet", "import", "teal.csv"]);
            self.ids
                .push(taken["sheets"][0]["id"].as_str().unwrap().to_owned());
        }
        std::iter::once("identify".to_owned())
            .chain(self.ids.clone())
            .collect()
    }

    fn look(&self) -> There {
        let status = self.lab.answer(0, &["library", "status"]);
        match status["identifications"].as_u64().unwrap() - self.stored {
            0 => There::No,
            2 => There::Yes,
            other => panic!("{other} of two identifications are stored"),
        }
    }
}
