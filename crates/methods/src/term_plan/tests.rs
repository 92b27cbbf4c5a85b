//! Plans against the worked example, and what changes.

use super::{Section, Term, TermPlan, plan_term, term_change};

fn term(sections: u32, students: u32) -> Term {
    let sections = (1..=sections)
        .map(|n| Section {
            name: n.to_string(),
            students,
            method: None,
        })
        .collect();
    Term {
        sections,
        ..Term::default()
    }
}

fn value(plan: &TermPlan, id: &str) -> f64 {
    plan.quantities.iter().find(|q| q.id == id).unwrap().value
}

#[test]
fn the_worked_term_comes_out() {
    // Calculated: 12 sections of 8 groups with 2 papers are 192 papers, 231 with 20 % spare; 1536
    // sticks for 16 lanes, 1767 with 15 % loss; 9.6 L at 50 mL, 12.0 L with 25 % loss.
    let plan = plan_term(&term(12, 16)).unwrap();
    assert_eq!(plan.sections.iter().map(|s| s.papers).sum::<u32>(), 192);
    for (id, expected) in [
        ("groups", 96.0),
        ("papers", 231.0),
        ("sticks", 1767.0),
        ("liquid", 12_000.0),
    ] {
        assert!(
            (value(&plan, id) - expected).abs() < 1e-9,
            "{id}: {}",
            value(&plan, id)
        );
    }
    let bare = Term {
        spare_share: 0.0,
        stick_loss_share: 0.0,
        liquid_loss_share: 0.0,
        ..term(12, 16)
    };
    let plan = plan_term(&bare).unwrap();
    for (id, expected) in [("papers", 192.0), ("sticks", 1536.0), ("liquid", 9600.0)] {
        assert!((value(&plan, id) - expected).abs() < 1e-9, "{id}");
    }
}

#[test]
fn a_section_added_says_what_it_costs() {
    let changes = term_change(
        &plan_term(&term(6, 16)).unwrap(),
        &plan_term(&term(7, 16)).unwrap(),
    );
    let papers = changes.iter().find(|c| c.id == "papers").unwrap();
    // 96·1.2 = 115.2 and 112·1.2 = 134.4, rounded up.
    assert_eq!(papers.sentence, "+19 papers because section 7 was added");
    assert!(
        changes
            .iter()
            .any(|c| c.sentence.starts_with("+1000 mL developing solvent"))
    );
    let same = plan_term(&term(6, 16)).unwrap();
    assert!(term_change(&same, &same).is_empty());
}

#[test]
fn groups_batches_chambers_and_sheets_are_whole() {
    let odd = Term {
        batch_ml: Some(5000.0),
        chambers: Some(10),
        sheet_cm: Some([46.0, 57.0]),
        piece_cm: Some([7.5, 15.0]),
        ..term(2, 17)
    };
    let plan = plan_term(&odd).unwrap();
    let first = &plan.sections[0];
    assert_eq!(
        (first.groups, first.in_smaller_group, first.fillings),
        (9, 1, 2)
    );
    assert!((value(&plan, "liquid") - 5000.0).abs() < 1e-9);
    // 6 across and 3 along: 18 pieces of 44 papers.
    assert!((value(&plan, "sheets") - 3.0).abs() < 1e-9);
}

#[test]
fn what_cant_be_planned_is_refused() {
    let id = |term: &Term| plan_term(term).unwrap_err().id();
    assert_eq!(id(&term(0, 16)), "term.no-sections");
    assert_eq!(
        id(&Term {
            group_size: 0,
            ..term(1, 16)
        }),
        "term.zero"
    );
    assert_eq!(
        id(&Term {
            spare_share: f64::NAN,
            ..term(1, 16)
        }),
        "term.bad-number"
    );
    assert_eq!(
        id(&Term {
            lanes_per_group: 1001,
            ..term(1, 16)
        }),
        "term.too-many"
    );
    assert_eq!(id(&term(1, u32::MAX)), "term.too-many");
    let mut twice = term(2, 16);
    twice.sections[1].name = "1".to_owned();
    assert_eq!(id(&twice), "term.section-twice");
    let large = Term {
        sheet_cm: Some([10.0, 20.0]),
        piece_cm: Some([15.0, 7.0]),
        ..term(1, 16)
    };
    assert_eq!(id(&large), "term.piece-too-large");
}
