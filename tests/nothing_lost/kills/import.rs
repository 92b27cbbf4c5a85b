//! Two sheets in two files: both are taken, or none, and every other time with their identities.

use super::{Job, There, sheet_of};
use dyebook_testkit::Lab;

pub(super) struct Import {
    lab: Lab,
    round: u32,
    taken: usize,
    identified: u32,
}

impl Import {
    pub(super) fn new(program: &str) -> Self {
        let lab = Lab::ready(program);
        Self {
            lab,
            round: 0,
            taken: 0,
            identified: 0,
        }
    }

    fn identifying(&self) -> bool {
        self.round.is_multiple_of(2)
    }
}

impl Job for Import {
    fn name(&self) -> &'static str {
        "sheet import"
    }

    fn lab(&self) -> &Lab {
        &self.lab
    }

    fn prepare(&mut self, round: u32) -> Vec<String> {
        // Whatever was taken before must still be there.
        self.taken += if self.round == 0 { 0 } else { 2 };
        self.round = round + 1;
        let mut words = vec!["sheet".to_owned(), "import".to_owned()];
        for half in ["a", "b"] {
            let group = format!("heron-{}-{half}", self.round);
            let name = format!("{group}.csv");
            self.lab.write(&name, sheet_of(&group).text());
            words.push(name);
        }
        if self.identifying() {
            self.identified += 2;
            words.push("--identify".to_owned());
        }
        words
    }

    fn look(&self) -> There {
        let list = self.lab.answer(0, &["sheet", "list"]);
        let sheets = list["sheets"].as_array().unwrap();
        match sheets.len() - self.taken {
            0 => There::No,
            2 => {
                // The other one is held against its digest by `library verify`.
                let group = format!("heron-{}-b", self.round);
                let id = sheets
                    .iter()
                    .find(|sheet| sheet["group"] == group.as_str())
                    .and_then(|sheet| sheet["id"].as_str())
                    .unwrap();
                let shown = self.lab.answer(0, &["sheet", "show", id]);
                let lanes = shown["sheet"]["lanes"].as_array().unwrap();
                let rows: usize = lanes
                    .iter()
                    .map(|l| l["rows"].as_array().unwrap().len())
                    .sum();
                assert_eq!((lanes.len(), rows), (5, 6), "half a sheet: {shown:#}");
                let status = self.lab.answer(0, &["library", "status"]);
                assert_eq!(status["identifications"], self.identified);
                There::Yes
            }
            other => panic!("{other} sheets of two are there"),
        }
    }
}
