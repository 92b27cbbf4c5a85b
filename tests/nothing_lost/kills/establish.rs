//! Expected values from sheets: the draft that holds them and the word on the spot that was left
//! out are both kept, or neither.

use super::{Job, There, back_to_base, sheet_of};
use dyebook_testkit::Lab;

pub(super) struct Establish {
    lab: Lab,
    sheets: Vec<String>,
    changes: u64,
}

impl Establish {
    pub(super) fn new(program: &str) -> Self {
        let lab = Lab::ready(program);
        let mut sheets = Vec::new();
        for (number, group) in (7..).zip(["heron", "teal", "wren"]) {
            let sheet = sheet_of(group).on(&format!("2026-09-0{number}"));
            let sheet = sheet.other_readings(number * 3);
            lab.write("sheet.csv", sheet.text());
            let taken = lab.answer(0, &["sheet", "import", "sheet.csv"]);
            sheets.push(taken["sheets"][0]["id"].as_str().unwrap().to_owned());
        }
        lab.done(&["library", "backup", "base.sqlite"]);
        let changes = changes(&lab);
        Self {
            lab,
            sheets,
            changes,
        }
    }
}

fn changes(lab: &Lab) -> u64 {
    lab.answer(0, &["library", "status"])["changes"]
        .as_u64()
        .unwrap()
}

impl Job for Establish {
    fn name(&self) -> &'static str {
        "reference establish"
    }

    fn lab(&self) -> &Lab {
        &self.lab
    }

    fn prepare(&mut self, _round: u32) -> Vec<String> {
        back_to_base(&self.lab);
        let spot = format!("{}:heron-1:1:1", self.sheets[0]);
        ["reference", "establish", "harrow-saline@1.0.0", "--from"]
            .into_iter()
            .chain(self.sheets.iter().map(String::as_str))
            .chain(["--exclude", &spot, "--reason", "smudged"])
            .map(str::to_owned)
            .collect()
    }

    fn look(&self) -> There {
        match changes(&self.lab) - self.changes {
            0 => There::No,
            2 => There::Yes,
            other => panic!("{other} of two changes are there"),
        }
    }
}
