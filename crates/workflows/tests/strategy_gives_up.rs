//! A strategy that can no longer be used while sheets are taken in: nothing of them is kept, since
//! an import is all or nothing (the project's own promise; no outside source).

#![expect(
    clippy::unwrap_used,
    reason = "a test stops where its preparation fails"
)]

use dyebook_documents::StrategyStamp;
use dyebook_library::Stamp;
use dyebook_plugin::strategy::{Lane, LaneAnswer, ReferenceSet, Sheet};
use dyebook_plugin_host::{Plugins, Settings};
use dyebook_workflows::{
    BUNDLED, Failure, HandedIn, Identifying, Instance, Matcher, ReadFile, Replacement, Unwatched,
    approve_method, import_and_identify, make_library, read_file,
};

const HERON: &str = include_str!("../../../references/demo/tue-2-heron.csv");

/// More than are in memory at a time, so that some are kept before others are read.
const FILES: usize = 40;

/// Finds nothing so many times, then can't be used.
struct GivesUp {
    left: usize,
}

impl Matcher for GivesUp {
    fn prepare(&mut self, _set: &ReferenceSet, _lanes: usize) -> Result<(), Failure> {
        Ok(())
    }

    fn stamp(&self) -> StrategyStamp {
        StrategyStamp {
            id: "gives-up".to_owned(),
            version: "1.0.0".to_owned(),
            digest: String::new(),
            parameters: serde_json::Map::new(),
            provenance: serde_json::Map::new(),
        }
    }

    fn instances(&mut self) -> Vec<&mut dyn Instance> {
        vec![self]
    }
}

impl Instance for GivesUp {
    fn answer(&mut self, _lanes: &[Lane], _sheets: &[Sheet]) -> Result<Vec<LaneAnswer>, Failure> {
        let gone = || Failure::refused("plugin.gone", "the strategy is gone");
        self.left = self.left.checked_sub(1).ok_or_else(gone)?;
        Ok(Vec::new())
    }
}

fn files() -> Vec<(HandedIn, ReadFile)> {
    let plugins = Plugins::new(BUNDLED, Settings::default());
    let file = |section: usize| {
        let handed = HandedIn {
            name: format!("section-{section}.csv"),
            bytes: HERON.replace("Tue-2", &format!("S{section}")).into_bytes(),
        };
        let read = read_file(&plugins, &handed, None, &[]).unwrap();
        (handed, read)
    };
    (0..FILES).map(file).collect()
}

#[test]
fn nothing_is_kept_when_the_strategy_gives_up_half_way() {
    let folder = tempfile::tempdir().unwrap();
    let stamp = Stamp {
        by: "coordinator".to_owned(),
        at: "2026-09-15T13:30:00Z".parse().unwrap(),
    };
    let mut library = make_library(&folder.path().join("lab.sqlite"), &stamp).unwrap();
    let dyes = library.dye_register().unwrap();
    approve_method(&mut library, &dyes, "harrow-saline@1.0.0", "a test", &stamp).unwrap();
    let before = library.history(None).unwrap();
    let files = files();
    let mut take_in = |left: usize| {
        let identifying = Identifying {
            matcher: &mut GivesUp { left },
            told: &|_| {},
        };
        import_and_identify(
            &mut library,
            &stamp,
            &files,
            Replacement::default(),
            identifying,
            &Unwatched,
        )
        .map(|report| report.sheets.len())
        .map_err(|failure| (failure.id, failure.hints))
    };
    let (id, hints) = take_in(5).unwrap_err();
    assert_eq!(id, "plugin.gone");
    assert!(hints[0].starts_with("nothing was written"), "{hints:?}");
    // The same with a strategy that holds out: five answers were not enough.
    assert_eq!(take_in(FILES), Ok(FILES));
    let after = library.history(None).unwrap();
    let new = &after[before.len()..];
    assert_eq!(after[..before.len()], before[..]);
    assert_eq!(
        new.len(),
        2 * FILES,
        "a record of a sheet and of its identities"
    );
}
