//! From the sheets as handed in to the evidence for a mark, and strategies beside each other, on the
//! invented demo.
//!
//! Source of the expected answers: `references/demo/README.md` says which mistake was put into which
//! sheet and by how much, and `references/demo/truth.csv` what each sample lane holds.

#![expect(
    clippy::unwrap_used,
    reason = "a test stops where its preparation fails"
)]

use dyebook_checks::{OwnData, QuotientVerdict, RecordVerdict};
use dyebook_documents::{DyeRegister, Severity};
use dyebook_library::{KeptSheet, Library, Stamp};
use dyebook_plugin_host::{Plugins, Settings};
use dyebook_schemas::{catalogue, check_value};
use dyebook_workflows::{
    Acceptance, BUNDLED, ChangedWhat, ComparedOn, ComparedOnVersion, ComparedStrategies, Demo,
    Failure, Matcher, PluginMatcher, SheetClaims, Simulation, accept_reading, changed_by_version,
    check_method, compare_strategies, find_sheet, import_queries, import_sections, keep_draft,
    play_demo, query_csv, query_page, record_truth, sheet_claims, show_sheet,
    strategy_comparison_page,
};
use serde_json::json;

/// The demo as played, its library open.
struct Played {
    _folder: tempfile::TempDir,
    demo: Demo,
    library: Library,
    dyes: DyeRegister,
    plugins: Plugins,
}

impl Played {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let plugins = Plugins::new(BUNDLED, Settings::default());
        let demo = play_demo(&folder.path().join("demo"), &plugins, &stamp()).unwrap();
        let library = Library::open(&demo.library).unwrap();
        let dyes = library.dye_register().unwrap();
        Self {
            _folder: folder,
            demo,
            library,
            dyes,
            plugins,
        }
    }

    fn claims(&self, sheet: &str) -> SheetClaims {
        sheet_claims(&self.library, &self.dyes, sheet, None).unwrap()
    }

    /// Accepts what a finding suggests; answers the corrected fields.
    fn accept(&mut self, sheet: &str, check: &str) -> Result<Vec<[String; 2]>, Failure> {
        let shown = show_sheet(&self.library, &self.dyes, sheet).unwrap();
        let acceptance = Acceptance {
            check,
            paper: None,
            lane: None,
            reason: "the group said so",
        };
        let stamp = stamp();
        let accepted = accept_reading(&mut self.library, &self.dyes, &shown, acceptance, &stamp)?;
        let text = |value: &serde_json::Value| value.as_str().unwrap_or_default().to_owned();
        let fields = accepted.fields.iter();
        Ok(fields.map(|one| [text(&one.from), text(&one.to)]).collect())
    }

    fn checks(&self, sheet: &str) -> Vec<String> {
        let shown = show_sheet(&self.library, &self.dyes, sheet).unwrap();
        let serious = shown
            .checks
            .into_iter()
            .filter(|one| one.severity > Severity::Info);
        serious.map(|one| one.check).collect()
    }

    fn sheets(&self) -> Vec<KeptSheet> {
        let lines = self.library.sheet_lines().unwrap();
        let ids = lines.iter().map(|line| line.id.as_str());
        ids.map(|id| find_sheet(&self.library, id).unwrap())
            .collect()
    }

    fn matchers(&self) -> Vec<Box<dyn Matcher>> {
        let new = |id| PluginMatcher::new(&self.plugins, id, &[]).unwrap();
        ["posterior", "range", "nearest"]
            .map(|id| Box::new(new(id)) as Box<dyn Matcher>)
            .into()
    }

    fn compare(&self, on: ComparedOn<'_>) -> ComparedStrategies {
        compare_strategies(&self.library, &self.dyes, on, &mut self.matchers()).unwrap()
    }
}

fn stamp() -> Stamp {
    Stamp {
        by: "tester".into(),
        at: "2026-11-25T10:00:00Z".parse().unwrap(),
    }
}

#[test]
fn the_query_list_names_the_faulty_groups_and_leaves_the_clean_ones_in_peace() {
    let played = Played::new();
    let report = &played.demo.first.import;
    let sections = import_sections(report, Severity::Ask);
    let asked: Vec<(Option<&str>, Vec<&str>)> = sections
        .iter()
        .map(|section| {
            let groups = section.asked.iter().map(|one| one.sheet.group.as_str());
            (section.section, groups.collect())
        })
        .collect();
    // Within a section the group with a stop comes first.
    let expected = [
        (Some("Thu-1"), vec!["knot", "gadwall", "siskin", "wigeon"]),
        (Some("Tue-2"), vec!["curlew", "plover", "teal"]),
    ];
    assert_eq!(asked, expected);
    let queries = import_queries(report, Severity::Ask);
    assert!(queries.iter().all(|one| one.sentence.ends_with('.')));
    let csv = query_csv(report, Severity::Ask).unwrap();
    assert_eq!(csv.lines().count(), queries.len() + 1);
    let page = query_page(&played.library, report, Severity::Ask).unwrap();
    assert!(page.contains("Nothing to ask: dunlin.") && page.contains("Invented demo data"));
}

#[test]
fn accepting_a_suggestion_puts_right_what_was_put_wrong_and_keeps_what_was_written() {
    let mut played = Played::new();
    let curlew = played.accept("tue-2-curlew", "column-scale").unwrap();
    assert_eq!(curlew, [["40.6".to_owned(), "4.06".to_owned()]]);
    let plover = played.accept("tue-2-plover", "columns-exchanged").unwrap();
    assert_eq!(plover.len(), 2);
    let teal = played.accept("tue-2-teal", "rank-order-inverted").unwrap();
    assert_eq!(teal.len(), 2);
    // The edge is 1.6 cm off; the finding says how well it knows that.
    let shown = show_sheet(&played.library, &played.dyes, "thu-1-gadwall").unwrap();
    let message = &shown.checks[0].message;
    assert!(message.contains("known to ± 0.18 cm"), "{message}");
    let gadwall = played.accept("thu-1-gadwall", "both-from-edge").unwrap();
    let number = |text: &str| text.parse::<f64>().unwrap();
    for [from, to] in &gadwall {
        let off = number(from) - number(to);
        assert!((off - 1.6).abs() <= 2.0 * 0.18, "{from} {to}");
    }
    for sheet in [
        "tue-2-curlew",
        "tue-2-plover",
        "tue-2-teal",
        "thu-1-gadwall",
    ] {
        let left = played.checks(sheet);
        assert!(left.is_empty(), "{sheet}: {left:?}");
        let first = played
            .library
            .sheet(&find(&played, sheet), Some(1))
            .unwrap();
        assert_ne!(
            first.unwrap().sheet,
            find_sheet(&played.library, sheet).unwrap().sheet
        );
    }
    let reason = played
        .library
        .history(Some(&find(&played, "tue-2-curlew")))
        .unwrap();
    let reason = reason.last().unwrap().reason.clone().unwrap();
    assert_eq!(
        reason,
        "the group said so (accepted: the distance written in mm)"
    );
}

fn find(played: &Played, sheet: &str) -> String {
    find_sheet(&played.library, sheet).unwrap().id
}

#[test]
fn a_suggestion_that_no_finding_makes_is_refused_and_nothing_is_written() {
    let mut played = Played::new();
    let before = played.library.history(None).unwrap().len();
    let refused = |result: Result<Vec<[String; 2]>, Failure>| result.unwrap_err().id;
    let clean = played.accept("tue-2-heron", "both-from-edge");
    assert_eq!(refused(clean), "sheet.no-such-finding");
    let no_reading = played.accept("thu-1-siskin", "reported-rf");
    assert_eq!(refused(no_reading), "sheet.no-suggestion");
    let other = played.accept("thu-1-gadwall", "labels-exchanged");
    assert_eq!(refused(other), "sheet.no-such-finding");
    assert_eq!(played.library.history(None).unwrap().len(), before);
}

#[test]
fn claims_are_weighed_four_ways_and_rest_on_what_was_handed_in() {
    let mut played = Played::new();
    // Siskin wrote 0.47 for 0.42, and cut another Rf.
    let siskin = played.claims("thu-1-siskin");
    let arithmetic = |paper: &str, lane: u32| {
        let spots = siskin.claims.spots.iter();
        let at = |place: &dyebook_documents::Where| {
            place.paper.as_deref() == Some(paper) && place.lane == Some(lane)
        };
        let found = spots.clone().find(|one| at(&one.place)).unwrap();
        found.arithmetic.as_ref().unwrap().verdict
    };
    assert_eq!(arithmetic("siskin-1", 3), QuotientVerdict::Wrong);
    assert_eq!(arithmetic("siskin-2", 2), QuotientVerdict::Cut);
    // Gadwall measured from the edge: by its own standards and by the record all its names hold,
    // and the other groups of the day show that it isn't the lab.
    let gadwall = played.claims("thu-1-gadwall");
    let identities = gadwall
        .claims
        .spots
        .iter()
        .filter_map(|one| one.identity.as_ref());
    let identities: Vec<_> = identities.collect();
    assert_eq!(identities.len(), 6);
    for one in &identities {
        assert!(matches!(one.own_data, OwnData::Agrees { .. }), "{one:?}");
        assert_eq!(one.record, RecordVerdict::Right);
    }
    assert!(gadwall.lab.own_shift.unwrap() > 0.05, "{:?}", gadwall.lab);
    assert!(gadwall.lab.session_shift.unwrap().abs() < 0.02);
    assert_eq!((gadwall.lab.verdict, gadwall.lab.other_groups), (None, 4));
    assert_eq!(gadwall.causes[0].check, "both-from-edge");
    // A correction since changes nothing in what the group claims.
    played.accept("thu-1-gadwall", "both-from-edge").unwrap();
    let after = played.claims("thu-1-gadwall");
    assert!(after.amended);
    assert_eq!((after.claims, after.lab), (gadwall.claims, gadwall.lab));
    let answer = json!({"sheets": [siskin], "changed_by": null});
    check_value(&catalogue::ANSWER_SHEET_CLAIMS, &answer).unwrap();
}

#[test]
fn a_control_paper_that_fails_is_the_labs_fault() {
    let played = Played::new();
    // Teal's standards with two labels exchanged stand for a control paper that fails.
    let heron = sheet_claims(
        &played.library,
        &played.dyes,
        "tue-2-heron",
        Some("tue-2-teal"),
    );
    let heron = heron.unwrap();
    let verdict = heron.lab.verdict.unwrap();
    assert_eq!(verdict.words(), "stop");
    let claim = heron
        .claims
        .spots
        .iter()
        .find(|one| one.identity.is_some())
        .unwrap();
    assert!(
        claim.summary.contains("suitability check said stop"),
        "{claim:?}"
    );
}

#[test]
fn a_corrected_record_lists_the_group_whose_result_changes_and_nobody_else() {
    let mut played = Played::new();
    let key = "sheet,paper,lane,dyes\nheron,heron-2,3,azorubine\ncurlew,curlew-2,2,azorubine\n";
    let report = record_truth(
        &mut played.library,
        &played.dyes,
        "key.csv",
        key.as_bytes(),
        Some("the key had a slip"),
        &stamp(),
    )
    .unwrap();
    let [heron] = &report.changed[..] else {
        panic!("{:?}", report.changed)
    };
    assert_eq!(heron.group, "heron");
    let [change] = &heron.changes[..] else {
        panic!("{heron:?}")
    };
    assert_eq!(change.place.words(), "paper heron-2, lane 3, spot 1");
    assert!(change.before.ends_with("right against the record"));
    assert!(change.after.ends_with("wrong against the record"));
}

#[test]
fn a_corrected_reference_lists_whose_identity_changes_and_stores_nothing() {
    let mut played = Played::new();
    let old = played.library.methods(Some("harrow-saline")).unwrap();
    let mut document = old.last().unwrap().document.clone();
    document["version"] = json!("1.2.0");
    // Only the range of Ponceau 4R moves, away from every Ponceau 4R of the demo.
    for reference in document["references"].as_array_mut().unwrap() {
        if reference["dye"] == "ponceau-4r" {
            reference["assigned_rf"] = json!(0.30);
            reference["expected_rf"] = json!({"low": 0.25, "high": 0.34});
        }
    }
    let checked = check_method("draft", &document.to_string(), &played.dyes).unwrap();
    keep_draft(&mut played.library, &checked, &stamp()).unwrap();
    let before = played.library.history(None).unwrap().len();
    let plugins = &played.plugins;
    let matcher_of = |stamp: &dyebook_documents::StrategyStamp| {
        let matcher = PluginMatcher::as_stamped(plugins, stamp)?;
        Ok(Box::new(matcher) as Box<dyn Matcher>)
    };
    let by = |reference: &str| {
        changed_by_version(&played.library, &played.dyes, reference, &matcher_of).unwrap()
    };
    let answer = by("harrow-saline@1.2.0");
    assert!(answer.not_compared.is_empty(), "{:?}", answer.not_compared);
    let holds = |sheet: &str, place: &dyebook_documents::Where| {
        let truth = played.library.truth(Some(sheet)).unwrap();
        let lane = truth
            .into_iter()
            .find(|one| Some(&one.paper) == place.paper.as_ref() && Some(one.lane) == place.lane);
        lane.unwrap().dyes
    };
    // Every spot that was named Ponceau 4R and is it, is named otherwise now.
    let lost: Vec<_> = answer
        .changed
        .iter()
        .flat_map(|sheet| sheet.changes.iter().map(move |change| (sheet, change)))
        .filter(|(_, change)| change.of == ChangedWhat::Identity && change.before == "Ponceau 4R")
        .collect();
    assert!(!lost.is_empty(), "{answer:#?}");
    for (sheet, change) in lost {
        let held = holds(&sheet.sheet, &change.place);
        assert!(held.contains(&"ponceau-4r".to_owned()), "{change:?}");
    }
    // The version of which it is a copy, with the reference as it was, changes nothing in October.
    let same = by("harrow-saline@1.1.0");
    assert!(
        same.changed.iter().all(|sheet| sheet.group != "smew"),
        "{same:#?}"
    );
    assert_eq!(played.library.history(None).unwrap().len(), before);
    let answer = json!({"sheets": [], "changed_by": answer});
    check_value(&catalogue::ANSWER_SHEET_CLAIMS, &answer).unwrap();
}

#[test]
fn strategies_are_counted_against_the_record_and_every_difference_is_listed() {
    let played = Played::new();
    let sheets = played.sheets();
    let compared = played.compare(ComparedOn::Sheets(&sheets));
    assert_eq!((compared.sheets, compared.lanes), (11, 44));
    // `references/demo/README.md`: smew ran under the new chamber, godwit under citrate.
    let by_version: Vec<(&str, usize)> = compared
        .versions
        .iter()
        .map(|one| (one.method.as_str(), one.sheets))
        .collect();
    assert_eq!(
        by_version,
        [
            ("harrow-citrate@1.0.0", 1),
            ("harrow-saline@1.0.0", 9),
            ("harrow-saline@1.1.0", 1)
        ]
    );
    for version in &compared.versions {
        figures_of_one_version(version);
    }
    // Each version alone gives what it gives beside another.
    let october: Vec<KeptSheet> = sheets
        .iter()
        .filter(|sheet| sheet.method_version.to_string() == "1.1.0")
        .cloned()
        .collect();
    let alone = played.compare(ComparedOn::Sheets(&october));
    assert_eq!(alone.versions[0], compared.versions[2]);
    let mut answer = json!(compared);
    answer["page"] = json!(null);
    check_value(&catalogue::ANSWER_STRATEGY_COMPARE, &answer).unwrap();
    let page = strategy_comparison_page(&compared);
    assert!(page.contains("harrow-saline@1.1.0: can the probabilities be believed?"));
    assert_eq!(page.matches("<svg").count(), 3);
}

fn figures_of_one_version(compared: &ComparedOnVersion) {
    for one in &compared.strategies {
        let rates = &one.rates;
        let sum = rates.right
            + rates.wrong
            + rates.undecided
            + rates.false_not_in_set
            + rates.not_evaluable;
        assert_eq!(sum, rates.judged, "{one:?}");
        assert_eq!(rates.judged, compared.spots);
        // Carefully drawn data, two sheets with mistakes in their samples: no strategy names
        // much that isn't there.
        assert!(5 * rates.wrong <= rates.judged, "{one:?}");
    }
    for difference in &compared.differences {
        assert_eq!(difference.verdicts.len(), 3);
        let first = difference.verdicts.first().unwrap();
        assert!(
            difference.verdicts.iter().any(|one| one != first),
            "{difference:?}"
        );
        assert!(difference.truth.is_some());
    }
    let posterior = compared.strategies.first().unwrap();
    let range = compared.strategies.get(1).unwrap();
    let scores = posterior.rates.probabilities.as_ref().unwrap();
    let counted: usize = scores.calibration.iter().map(|row| row.count).sum();
    assert_eq!(counted, scores.spots);
    assert!(range.rates.probabilities.is_none());
}

#[test]
fn simulated_groups_of_the_methods_own_components_bear_the_probabilities_out() {
    let played = Played::new();
    let simulation = Simulation {
        groups: 250,
        seed: 11,
    };
    let method = "harrow-saline@1.0.0";
    let compared = played.compare(ComparedOn::Simulated { method, simulation });
    assert_eq!((compared.sheets, compared.lanes), (250, 1000));
    let again = played.compare(ComparedOn::Simulated { method, simulation });
    assert_eq!(compared, again);
    let [version] = &compared.versions[..] else {
        panic!("{compared:?}")
    };
    let [posterior, range, nearest] = &version.strategies[..] else {
        panic!("{version:?}")
    };
    let scores = posterior.rates.probabilities.as_ref().unwrap();
    // The bound that the project sets itself for an independent generator.
    assert!(scores.calibration_error <= 0.02, "{scores:?}");
    // A strategy that weighs all evidence names less that isn't there than one that always names
    // the nearest.
    assert!(posterior.rates.wrong < range.rates.wrong.min(nearest.rates.wrong));
    let truths = version.differences.iter().filter(|one| one.truth.is_some());
    assert_eq!(truths.count(), version.differences.len());
}
