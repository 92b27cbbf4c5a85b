//! Class figures of the invented demo.
//!
//! Source of the expected numbers: the demo's own sheets, `references/demo/sheets/*.csv`, counted row
//! by row, and `references/demo/README.md`, which says what was put into which sheet.

#![expect(
    clippy::unwrap_used,
    reason = "a test stops where its preparation fails"
)]

use dyebook_library::{KeptSheet, Library, Stamp};
use dyebook_plugin_host::{Plugins, Settings};
use dyebook_workflows::{
    BUNDLED, ClassFigures, DEFAULT_STRATEGY, PluginMatcher, Tally, class_figures,
    class_figures_csv, class_figures_page, find_sheet, play_demo,
};

/// The figures, and the sheets as they were handed in.
fn figures(with_groups: bool) -> (ClassFigures, Vec<KeptSheet>) {
    let folder = tempfile::tempdir().unwrap();
    let plugins = Plugins::new(BUNDLED, Settings::default());
    let stamp = Stamp {
        by: "tester".into(),
        at: "2026-11-25T10:00:00Z".parse().unwrap(),
    };
    let demo = play_demo(&folder.path().join("demo"), &plugins, &stamp).unwrap();
    let library = Library::open(&demo.library).unwrap();
    let dyes = library.dye_register().unwrap();
    let lines = library.sheet_lines().unwrap();
    let ids = lines.iter().map(|line| line.id.as_str());
    let sheets: Vec<KeptSheet> = ids.map(|id| find_sheet(&library, id).unwrap()).collect();
    let mut matcher = PluginMatcher::new(&plugins, DEFAULT_STRATEGY, &[]).unwrap();
    let class = class_figures(&library, &dyes, &sheets, &mut matcher, with_groups).unwrap();
    (class, sheets)
}

/// Rows of sample lanes with a distance, as the sheet was written.
fn sample_rows(sheet: &KeptSheet) -> usize {
    let lanes = sheet.sheet.lanes.iter();
    let samples = lanes.filter(|lane| lane.label.starts_with("sample"));
    samples
        .flat_map(|lane| &lane.rows)
        .filter(|row| row.distance.is_some())
        .count()
}

#[test]
fn each_version_counts_its_own_sheets_and_every_sample_spot_once() {
    let (class, sheets) = figures(true);
    let names: Vec<&str> = class.versions.iter().map(|one| &*one.method).collect();
    assert_eq!(
        names,
        [
            "harrow-citrate@1.0.0",
            "harrow-saline@1.0.0",
            "harrow-saline@1.1.0"
        ]
    );
    for version in &class.versions {
        let bound: Vec<&KeptSheet> = sheets
            .iter()
            .filter(|one| format!("{}@{}", one.method_id, one.method_version) == version.method)
            .collect();
        assert_eq!(version.sheets, bound.len());
        let rows: usize = bound.iter().map(|sheet| sample_rows(sheet)).sum();
        assert_eq!(version.all.spots, rows, "{}", version.method);
        adds_up(&version.all, version.sections.iter().map(|one| &one.tally));
        for section in &version.sections {
            adds_up(&section.tally, section.groups.iter().map(|one| &one.tally));
        }
        let said: usize = version.identities.iter().map(|one| one.spots).sum();
        assert_eq!(said, version.all.spots);
    }
}

fn adds_up<'a>(whole: &Tally, parts: impl Iterator<Item = &'a Tally>) {
    assert_eq!(
        whole.decided + whole.undecided + whole.not_in_set + whole.not_evaluable,
        whole.spots
    );
    assert!(whole.right + whole.wrong <= whole.judged && whole.judged <= whole.spots);
    let mut spots = 0;
    let mut right = 0;
    for part in parts {
        spots += part.spots;
        right += part.right;
    }
    assert_eq!((spots, right), (whole.spots, whole.right));
}

#[test]
fn the_standards_of_a_group_that_measured_from_the_edge_stand_outside() {
    let (class, _) = figures(true);
    // Gadwall measured from the paper's edge, so every Rf of its standards is too high; the median
    // of nine groups stays where the method expects it.
    let saline = &class.versions[1];
    let red = saline
        .standards
        .iter()
        .find(|one| one.dye == "allura-red-ac");
    let red = red.unwrap();
    let expected = red.expected.unwrap();
    assert!(
        red.seen.high > expected.high && red.outside.unwrap() >= 1,
        "{red:?}"
    );
    assert!(expected.low < red.median && red.median < expected.high);
}

#[test]
fn a_page_for_the_class_names_no_group() {
    let (class, sheets) = figures(false);
    let page = class_figures_page(&class);
    let csv = class_figures_csv(&class).unwrap();
    for group in sheets.iter().map(|one| &one.sheet.group) {
        assert!(!page.contains(group) && !csv.contains(group), "{group}");
    }
    assert!(page.contains("Invented demo data"));
    // One row a section of a version: citrate and 1.1.0 were run by Tue-2 alone.
    assert_eq!(csv.lines().count(), 1 + 4);
}
