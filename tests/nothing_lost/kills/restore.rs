//! A copy goes in the place of the library; the library that was there is kept whole.

use super::{Job, There, sheet_of, verified};
use dyebook_testkit::Lab;
use serde_json::Value;

pub(super) struct Restore {
    lab: Lab,
    by: String,
    head: Value,
}

impl Restore {
    pub(super) fn new(program: &str) -> Self {
        let lab = Lab::ready(program);
        lab.write("heron.csv", sheet_of("heron").text());
        lab.done(&["sheet", "import", "heron.csv"]);
        lab.done(&["library", "backup", "copy.sqlite"]);
        Self {
            lab,
            by: String::new(),
            head: Value::Null,
        }
    }

    fn kept(&self) -> Vec<std::path::PathBuf> {
        std::fs::read_dir(self.lab.folder())
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .filter(|path| path.to_str().unwrap().contains(".before-restore-"))
            .collect()
    }
}

impl Job for Restore {
    fn name(&self) -> &'static str {
        "library restore"
    }

    fn lab(&self) -> &Lab {
        &self.lab
    }

    fn prepare(&mut self, round: u32) -> Vec<String> {
        for kept in self.kept() {
            std::fs::remove_file(kept).unwrap();
        }
        // Something that is not in the copy, and must be in what is kept.
        self.lab
            .write("teal.csv", sheet_of(&format!("teal-{round}")).text());
        self.lab.done(&["sheet", "import", "teal.csv"]);
        self.head = self.lab.head_of_history();
        self.by = format!("round {round}");
        ["library", "restore", "copy.sqlite", "--by", &self.by]
            .map(str::to_owned)
            .to_vec()
    }

    fn look(&self) -> There {
        let now = self.lab.head_of_history();
        for kept in self.kept() {
            verified(&self.lab, &kept);
        }
        if now == self.head {
            return There::No;
        }
        assert_eq!(
            (&now["by"], &now["what"]),
            (&self.by.as_str().into(), &"restored".into())
        );
        let is_old = |kept: &std::path::PathBuf| {
            let status = self.lab.answer(
                0,
                &["--library", kept.to_str().unwrap(), "library", "status"],
            );
            status["last_change"] == self.head
        };
        assert!(
            self.kept().iter().any(is_old),
            "the library that was replaced is gone"
        );
        There::Yes
    }
}
