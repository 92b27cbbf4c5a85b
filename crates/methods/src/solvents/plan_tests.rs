//! Plans of a switch of the developing solvent and of a small change.

use super::{SwitchQuestion, plan_switch};
use crate::rules::{Bump, diff};
use crate::test_method::{bundled_dyes, clean_method, set, unset};
use serde_json::{Value, json};

fn plan(edits: &[(&str, Value)], question: &SwitchQuestion) -> super::SwitchPlan {
    let old = clean_method();
    let mut new = clean_method();
    set(&mut new, "/version", json!("2.0.0"));
    for (place, value) in edits {
        set(&mut new, place, value.clone());
    }
    let found = diff(&old, &new);
    let read = |value: Value| serde_json::from_value(value).unwrap();
    plan_switch(&read(old), &read(new), &found, &bundled_dyes(), question)
}

#[test]
fn another_liquid_starts_the_references_again() {
    let question = SwitchQuestion {
        from_day: Some("2026-10-12".parse().unwrap()),
        batches: vec!["B-12".to_owned()],
        sections: vec!["Tuesday".to_owned()],
        ..SwitchQuestion::default()
    };
    let plan = plan(&[("/developer/components/2/amount", json!(3))], &question);
    assert!(!plan.comparable);
    let what: Vec<&str> = plan.invalid.iter().map(|i| i.what).collect();
    for lost in [
        "reference set",
        "unknown mixtures",
        "hand-out table",
        "stock of the old developing solvent",
    ] {
        assert!(what.contains(&lost), "{lost} in {what:?}");
    }
    assert!(
        plan.invalid
            .iter()
            .all(|i| i.rules.contains(&"composition_changed".to_owned()))
    );
    assert_eq!(plan.quarantine, ["B-12"]);
    // Every reference is a copy of the old one, so every dye is run.
    assert_eq!(plan.runs.dyes.len(), 6);
    let said = plan.notice.paragraphs.join(" ");
    for words in [
        "2026-10-12",
        "Tuesday",
        "can't be compared",
        "not wrong",
        "saline-paper@2.0.0",
    ] {
        assert!(said.contains(words), "{words}");
    }
    assert_eq!(plan.handout.len(), 6);
    assert!(plan.handout.windows(2).all(|rows| rows[0].rf <= rows[1].rf));
    let mut ids: Vec<&str> = plan.checklist.iter().map(|item| item.id.as_str()).collect();
    ids.sort_unstable();
    let count = ids.len();
    ids.dedup();
    assert_eq!(ids.len(), count, "an id names one thing");
    assert!(plan.approvals.iter().any(|a| a.role == "safety adviser"));
}

#[test]
fn a_wider_jar_is_verified_and_keeps_the_references() {
    let plan = plan(
        &[("/chamber/inner_diameter_cm", json!(9.5))],
        &SwitchQuestion::default(),
    );
    assert_eq!((plan.comparable, plan.required), (true, Bump::Minor));
    assert!(plan.invalid.is_empty() && plan.quarantine.is_empty());
    assert!(plan.runs.dyes.is_empty());
    // Papers of the old version spread by 0.014; SDs 0.01 and 0.01 of its one dye that states them.
    assert!(plan.runs.equivalence_papers.unwrap() >= 3);
    assert!(plan.stays.iter().any(|s| s.contains("can be compared")));
}

#[test]
fn the_same_versions_need_nothing() {
    let plan = plan(&[], &SwitchQuestion::default());
    assert!(plan.invalid.is_empty() && plan.checklist.is_empty() && plan.approvals.is_empty());
}

#[test]
fn mixtures_that_can_no_longer_be_told_are_named() {
    let question = SwitchQuestion {
        mixtures: vec![
            vec!["allura-red-ac".to_owned(), "azorubine".to_owned()],
            vec!["tartrazine".to_owned(), "brilliant-blue-fcf".to_owned()],
            vec!["green-s".to_owned()],
        ],
        ..SwitchQuestion::default()
    };
    let nearer = [
        ("/developer/components/2/amount", json!(3)),
        ("/references/1/assigned_rf", json!(0.40)),
        (
            "/references/1/expected_rf",
            json!({"low": 0.36, "high": 0.44}),
        ),
    ];
    let plan = plan(&nearer, &question);
    let reds = &plan.mixtures[0];
    assert_eq!((reds.told_before, reds.told_now), (Some(true), Some(false)));
    assert!(reds.why[0].contains("look alike"), "{:?}", reds.why);
    assert_eq!(plan.mixtures[1].told_now, Some(true));
    assert_eq!(plan.mixtures[2].told_now, None);
    assert!(
        plan.checklist
            .iter()
            .any(|i| i.id == "replace-mixture-allura-red-ac-azorubine")
    );
}

#[test]
fn sessions_follow_from_the_wanted_width() {
    // t(0.975, ν)·s·√(1 + 1/m) with s = √(0.01² + 0.01² + 0.015²) = 0.0206 of the one dye that
    // states it, and ν = half of Σ(sessions − 1) = 15: 0.0480 at 5 sessions, 0.0491 at 4.
    let wanted = |half: f64| {
        let question = SwitchQuestion {
            wanted_half_width: half,
            ..SwitchQuestion::default()
        };
        plan(&[("/developer/components/2/amount", json!(3))], &question).runs
    };
    let runs = wanted(0.0485);
    assert_eq!(runs.sessions, Some(5));
    assert!(
        (runs.half_width.unwrap() - 0.0481).abs() < 1e-4,
        "{:?}",
        runs.half_width
    );
    assert!(runs.sessions_alone.unwrap() > 5);
    // Six dyes in two lanes each on papers of six lanes.
    assert_eq!((runs.papers_per_session, runs.papers), (2, Some(10)));
    let impossible = wanted(0.01);
    assert_eq!(impossible.sessions, None);
    assert!(impossible.sentences[0].contains("bridging lanes"));
}

#[test]
fn a_dye_without_evidence_is_run_even_when_the_liquid_stays() {
    let mut new = clean_method();
    set(&mut new, "/version", json!("1.5.0"));
    unset(&mut new, "/references/0/count");
    let found = diff(&clean_method(), &new);
    let read = |value: Value| serde_json::from_value(value).unwrap();
    let plan = plan_switch(
        &read(clean_method()),
        &read(new),
        &found,
        &bundled_dyes(),
        &SwitchQuestion::default(),
    );
    assert_eq!(plan.runs.dyes.len(), 1);
    assert_eq!(plan.runs.dyes[0].dye, "indigo-carmine");
}
