//! References from the first bench day to the control chart, on the invented runs of
//! `references/demo/reference-runs.csv`.
//!
//! Source of the expected numbers: the runs were drawn at random about the assigned values and with
//! the standard deviations that `references/methods/harrow-saline-1.0.0.json` states (see
//! `references/demo/README.md`), so that file is what an estimate from them has to come back to.
//! How near it has to come follows from the design, six days of two papers of two spots: the
//! standard uncertainty of a mean by the law of propagation, that of a variance by chi-square.

#![expect(
    clippy::unwrap_used,
    reason = "a test stops where its preparation fails"
)]

use dyebook_documents::{DyeRegister, Method, MethodState};
use dyebook_library::{Library, Stamp};
use dyebook_plugin_host::{Plugins, Settings};
use dyebook_report::SlipVerdict;
use dyebook_workflows::{
    BUNDLED, ChartRequest, EstablishRequest, Established, Estimate, HandedIn, LotKind, Noted,
    Pooling, Replacement, SpotPlace, Unwatched, VerifyRequest, WhyLeftOut, approve_method,
    check_suitability, control_charts, diff_methods, establish, exclude_spot, import_sheets,
    lot_impact, make_library, read_file, show_references, verified_lots, verify_lot,
    verify_references,
};

const RUNS: &[u8] = include_bytes!("../../../references/demo/reference-runs.csv");
const GENERATED_FROM: &str = include_str!("../../../references/methods/harrow-saline-1.0.0.json");
const HERON: &[u8] = include_bytes!("../../../references/demo/tue-2-heron.csv");
const CURLEW: &[u8] = include_bytes!("../../../references/demo/tue-2-curlew.csv");
const GADWALL: &[u8] = include_bytes!("../../../references/demo/thu-1-knot-siskin-gadwall.csv");
const BASE: &str = "harrow-saline@1.0.0";
/// A good value lies further off than this many standard uncertainties three times in a thousand.
const REACH: f64 = 3.0;

struct Bench {
    _folder: tempfile::TempDir,
    library: Library,
    dyes: DyeRegister,
}

impl Bench {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let mut library = make_library(&folder.path().join("lab.sqlite"), &stamp()).unwrap();
        let dyes = library.dye_register().unwrap();
        approve_method(&mut library, &dyes, BASE, "six bench days", &stamp()).unwrap();
        let mut bench = Self {
            _folder: folder,
            library,
            dyes,
        };
        bench.import("reference-runs.csv", RUNS);
        bench
    }

    fn import(&mut self, name: &str, bytes: &[u8]) {
        let plugins = Plugins::new(BUNDLED, Settings::default());
        let handed = HandedIn {
            name: name.to_owned(),
            bytes: bytes.to_vec(),
        };
        let read = read_file(&plugins, &handed, None, &[]).unwrap();
        import_sheets(
            &mut self.library,
            &stamp(),
            &[(handed, read)],
            Replacement::default(),
            &Unwatched,
        )
        .unwrap();
    }

    /// Bench days from the first on.
    fn days(&self, count: usize) -> Vec<String> {
        let mut days = self.library.sheet_ids_beginning("bench-").unwrap();
        days.truncate(count);
        assert_eq!(days.len(), count);
        days
    }

    fn establish(&mut self, sheets: &[String]) -> Established {
        self.establish_without(sheets, &[], None).unwrap()
    }

    fn establish_without(
        &mut self,
        sheets: &[String],
        exclude: &[SpotPlace],
        reason: Option<&str>,
    ) -> Result<Established, dyebook_workflows::Failure> {
        let request = EstablishRequest {
            method: BASE,
            sheets,
            exclude,
            reason,
            pooling: Pooling::Few,
        };
        establish(&mut self.library, &self.dyes, request, &stamp())
    }
}

fn stamp() -> Stamp {
    Stamp {
        by: "coordinator".to_owned(),
        at: "2026-09-08T13:30:00Z".parse().unwrap(),
    }
}

fn generated_from() -> Method {
    serde_json::from_str(GENERATED_FROM).unwrap()
}

/// Standard uncertainty of the mean of six session means of two papers of two spots.
fn u_of_mean(estimate: &Estimate) -> f64 {
    let sd = generated_from()
        .reference(&estimate.runs.dye)
        .unwrap()
        .sd
        .unwrap();
    let square = |sd: Option<f64>| sd.unwrap().powi(2);
    (square(sd.between_sessions) / 6.0
        + square(sd.between_papers) / 12.0
        + square(sd.within_paper) / 24.0)
        .sqrt()
}

#[test]
fn six_bench_days_come_back_to_the_values_they_were_drawn_from() {
    let mut bench = Bench::new();
    let days = bench.days(6);
    let found = bench.establish(&days);
    assert_eq!(found.estimates.len(), 9);
    assert!(found.left_out.is_empty() && found.not_run.is_empty());
    let method = generated_from();
    for estimate in &found.estimates {
        let count = estimate.count();
        assert_eq!(
            (count.sessions, count.papers, count.spots),
            (Some(6), Some(12), Some(24)),
            "{}",
            estimate.runs.dye
        );
        let truth = method
            .reference(&estimate.runs.dye)
            .unwrap()
            .assigned_rf
            .unwrap();
        let off = (estimate.assigned - truth).abs() / u_of_mean(estimate);
        assert!(off < REACH, "{} is {off:.1} u off", estimate.runs.dye);
        assert!(estimate.expected.contains(truth), "{}", estimate.runs.dye);
        assert!(!found.is_provisional(estimate) && estimate.pooled_over.is_none());
    }
    // Over nine dyes the spread is known to 1/√(2 · 9 · df) of itself: 7 % within papers (12 df a
    // dye), 11 % of a session mean's (5 df a dye).
    let mean_square = |of: &dyn Fn(&Estimate) -> f64| {
        let squares: f64 = found.estimates.iter().map(of).sum();
        (squares / 9.0).sqrt()
    };
    let truth = |of: &dyn Fn(&dyebook_documents::Spread) -> f64| {
        let squares: f64 = method
            .references
            .iter()
            .map(|r| of(&r.sd.unwrap()).powi(2))
            .sum();
        (squares / 9.0).sqrt()
    };
    let within = mean_square(&|e| e.sd.within_paper.unwrap().powi(2));
    let expected = truth(&|sd| sd.within_paper.unwrap());
    assert!(
        (within / expected - 1.0).abs() < REACH * 0.07,
        "{within} {expected}"
    );
    // u is √(MS sessions / 6), of which u_of_mean is what it should be
    let session = mean_square(&|e| e.u.powi(2));
    let expected = mean_square(&|e| u_of_mean(e).powi(2));
    assert!(
        (session / expected - 1.0).abs() < REACH * 0.11,
        "{session} {expected}"
    );
}

#[test]
fn the_draft_has_the_step_that_the_rules_ask_for_and_goes_into_use() {
    let mut bench = Bench::new();
    let days = bench.days(6);
    let found = bench.establish(&days);
    // 1.1.0 is a draft that comes with a new library, and is somebody else's
    assert_eq!(found.draft.name(), "harrow-saline@1.2.0");
    assert_eq!(found.draft.state, MethodState::Draft);
    let diff = diff_methods(&bench.library, BASE, &found.draft.name()).unwrap();
    assert_eq!(
        (diff.required.word(), diff.declared.word()),
        ("minor", "minor")
    );
    let reference = &found.references()[0];
    let source = reference["source"].as_str().unwrap();
    assert!(
        days.iter().all(|day| source.contains(day.as_str())),
        "{source}"
    );
    assert_eq!(
        reference["standard"]["lot"], "S26-10",
        "what was not worked out stays"
    );
    assert!(found.draft.document.get("effective_to").is_none());

    let again = bench.establish(&days);
    assert!(!again.new && again.draft.digest == found.draft.digest);

    approve_method(
        &mut bench.library,
        &bench.dyes,
        &found.draft.name(),
        "six bench days",
        &stamp(),
    )
    .unwrap();
    let shown = show_references(&bench.library, &bench.dyes, "harrow-saline@^1", None).unwrap();
    assert_eq!(shown.kept.state, MethodState::Approved);
    assert_eq!(
        shown.agrees,
        vec![Some(true); 9],
        "worked out again from the sheets"
    );
    let page = &shown.sheet.references[0];
    assert_eq!(page.sessions.len(), 6);
    assert!(page.numbers.iter().all(|number| !number.from.is_empty()));
    assert!(shown.html().contains("Invented demo data"));
}

#[test]
fn three_days_pool_their_spread_openly_and_are_provisional_with_fewer_papers() {
    let mut bench = Bench::new();
    let three = bench.days(3);
    let found = bench.establish(&three);
    let [sessions, papers] = found.shared.unwrap();
    assert!((0.0..=1.0).contains(&sessions) && (0.0..=1.0).contains(&papers));
    for estimate in &found.estimates {
        assert_eq!(estimate.pooled_over.as_ref().map(Vec::len), Some(9));
        assert!(estimate.session_df >= 2.0 && estimate.session_df <= 18.0);
        assert!(
            !found.is_provisional(estimate),
            "6 papers over 3 sessions are enough"
        );
        let truth = generated_from();
        let truth = truth
            .reference(&estimate.runs.dye)
            .unwrap()
            .assigned_rf
            .unwrap();
        assert!(estimate.expected.contains(truth), "{}", estimate.runs.dye);
    }
    let two = bench.days(2);
    let found = bench.establish(&two);
    assert!(
        found
            .estimates
            .iter()
            .all(|estimate| found.is_provisional(estimate))
    );
    assert!(
        found
            .references()
            .iter()
            .all(|reference| reference["provisional"] == true)
    );
    let one = bench.days(1);
    let refused = bench.establish_without(&one, &[], None).unwrap_err();
    assert_eq!(refused.id, "reference.nothing-to-estimate");
}

#[test]
fn only_a_person_with_a_reason_leaves_a_spot_out_and_it_stays_out() {
    let mut bench = Bench::new();
    let days = bench.days(6);
    let place: SpotPlace = format!("{}:D1-a1:3:1", days[0]).parse().unwrap();
    let without_reason = bench
        .establish_without(&days, std::slice::from_ref(&place), None)
        .unwrap_err();
    assert_eq!(without_reason.id, "reference.no-reason");
    let nowhere: SpotPlace = format!("{}:D1-a1:3:7", days[0]).parse().unwrap();
    let no_spot = bench
        .establish_without(&days, &[nowhere], Some("drop"))
        .unwrap_err();
    assert_eq!(no_spot.id, "reference.no-such-spot");
    assert!(
        bench.library.exclusions().unwrap().is_empty(),
        "a refusal keeps nothing"
    );

    let found = bench
        .establish_without(
            &days,
            std::slice::from_ref(&place),
            Some("drop on the paper"),
        )
        .unwrap();
    let out = &found.left_out;
    assert_eq!(out.len(), 1);
    assert_eq!(
        (out[0].kind, out[0].why.as_str()),
        (WhyLeftOut::Excluded, "drop on the paper")
    );
    let other: SpotPlace = format!("{}:D2-a1:1:1", days[1]).parse().unwrap();
    exclude_spot(&mut bench.library, &other, "wrong bottle", &stamp()).unwrap();
    let later = bench.establish(&days);
    assert_eq!(
        later.left_out.len(),
        2,
        "both stay out without being named again"
    );

    let shown = show_references(
        &bench.library,
        &bench.dyes,
        &later.draft.name(),
        Some("allura-red-ac"),
    )
    .unwrap();
    let spot = &shown.sheet.references[0].excluded[0];
    assert_eq!(
        (spot.why.as_str(), spot.by.as_str()),
        ("drop on the paper", "coordinator, 2026-09-08")
    );
}

#[test]
fn sheets_of_another_method_are_refused() {
    let mut bench = Bench::new();
    let godwit = include_bytes!("../../../references/demo/tue-2-godwit.csv");
    approve_method(
        &mut bench.library,
        &bench.dyes,
        "harrow-citrate@1.0.0",
        "switch",
        &stamp(),
    )
    .unwrap();
    bench.import("tue-2-godwit.csv", godwit);
    let refused = bench
        .establish_without(
            &["bench-*".to_owned(), "tue-2-godwit".to_owned()],
            &[],
            None,
        )
        .unwrap_err();
    assert_eq!(refused.id, "reference.not-comparable");
    assert!(refused.details[0].contains("harrow-citrate@1.0.0"));
}

#[test]
fn expected_minor_spots_are_left_out_and_said() {
    let mut bench = Bench::new();
    bench.import("tue-2-heron.csv", HERON);
    let found = bench.establish(&["bench-*".to_owned(), "tue-2-heron".to_owned()]);
    // the README of the demo: the Red 40 standard of heron shows its minor spot
    let minor: Vec<_> = found
        .left_out
        .iter()
        .filter(|spot| spot.kind == WhyLeftOut::MinorSpot)
        .collect();
    assert_eq!(minor.len(), 1);
    assert_eq!(minor[0].dye, "allura-red-ac");
}

#[test]
fn the_chart_has_a_value_a_session_and_limits_of_the_version() {
    let bench = Bench::new();
    let request = ChartRequest {
        method: BASE,
        dye: None,
    };
    let found = control_charts(&bench.library, &bench.dyes, request).unwrap();
    assert_eq!(
        found.dyes,
        ["allura-red-ac", "tartrazine", "brilliant-blue-fcf"]
    );
    let segment = &found.charts[0].segments[0];
    assert_eq!(segment.points.len(), 6);
    let days: Vec<&str> = segment
        .points
        .iter()
        .map(|point| point.date.as_str())
        .collect();
    assert!(days.is_sorted());
    // √(0.010² + 0.010² + 0.015²) = 0.0206, by hand; centre 0.405 as assigned
    assert!((segment.action.high - (0.405 + 3.0 * 0.020_616)).abs() < 1e-4);
    assert!((segment.warning.low - (0.405 - 2.0 * 0.020_616)).abs() < 1e-4);
}

#[test]
fn a_clean_sheet_goes_and_wrong_ones_stop() {
    let mut bench = Bench::new();
    for (name, bytes) in [
        ("heron.csv", HERON),
        ("curlew.csv", CURLEW),
        ("three.csv", GADWALL),
    ] {
        bench.import(name, bytes);
    }
    let check = |sheet: &str, noted: Noted| {
        check_suitability(&bench.library, &bench.dyes, sheet, noted).unwrap()
    };
    let heron = check("tue-2-heron", Noted::default());
    assert_eq!(heron.slip.verdict, SlipVerdict::Go);
    assert!(heron.html().contains("Seen by (initials)"));
    // the README of the demo: a distance in mm; every distance measured from the paper's edge
    let curlew = check("tue-2-curlew", Noted::default());
    assert_eq!(curlew.slip.verdict, SlipVerdict::Stop);
    let gadwall = check("thu-1-gadwall", Noted::default());
    assert!(
        gadwall
            .stops
            .iter()
            .any(|stop| stop.contains("Allura Red AC")),
        "{:?}",
        gadwall.stops
    );
    // the method asks for 20 to 50 min
    let late = check(
        "tue-2-heron",
        Noted {
            minutes: Some(75.0),
            temperature_c: Some(21.0),
        },
    );
    assert_eq!(
        late.stops,
        ["The time to run was 75 min, where 20 to 50 min is asked for."]
    );
}

#[test]
fn lots_on_one_paper_are_verified_and_a_batch_is_followed() {
    let mut bench = Bench::new();
    let days = bench.days(6);
    let request = VerifyRequest {
        old: BASE,
        new: BASE,
        from_old: &days,
        from_new: &[],
        new_lanes: &[4, 5, 6],
        delta: None,
    };
    // lanes 1 to 3 and 4 to 6 were drawn from the same values, so the truth is no difference
    let found = verify_references(&bench.library, &bench.dyes, request).unwrap();
    assert!((found.delta - 0.03).abs() < 1e-12);
    assert!(found.passes());
    let two_sides = VerifyRequest {
        from_new: &days,
        new_lanes: &[],
        ..request
    };
    let refused = verify_references(&bench.library, &bench.dyes, two_sides).unwrap_err();
    assert_eq!(refused.id, "reference.one-side");

    let lot = (LotKind::Batch, "B26-01");
    verify_lot(
        &mut bench.library,
        BASE,
        lot,
        "12 papers side by side",
        &stamp(),
    )
    .unwrap();
    let lots = verified_lots(&bench.library, None).unwrap();
    assert_eq!((lots.len(), lots[0].by.as_str()), (1, "coordinator"));
    let found = bench.establish(&days);
    let impact = lot_impact(&bench.library, "b26-01").unwrap();
    assert_eq!(impact.uses.len(), 2, "two of the six days used it");
    assert_eq!(impact.references[0].method, found.draft.name());
    assert_eq!(
        (impact.references[0].dyes.len(), impact.verified.len()),
        (9, 1)
    );
    assert!(lot_impact(&bench.library, "B99").unwrap().uses.is_empty());
}
