//! Two sheets in two files: both are taken, or none.

use super::{Job, There, sheet_of};
use dyebook_testkit::Lab;

pub(super) struct Import {
    lab: Lab,
    round: u32,
    taken: usize,
}

impl Import {
    pub(super) fn new(program: &str) -> Self {
        let lab = Lab::ready(program);
        Self {
            lab,
            round: 0,
            taken: 0,
        }
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
        ["a", "b"]
            .map(|half| {
                let group = format!("heron-{}-{half}", self.round);
                let name = format!("{group}.csv");
                self.lab.write(&name, sheet_of(&group).text());
                name
            })
            .into_iter()
            .rev()
            .chain(["import".to_owned(), "sheet".to_owned()])
            .rev()
            .collect()
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
                There::Yes
            }
            other => panic!("{other} sheets of two are there"),
        }
    }
}
