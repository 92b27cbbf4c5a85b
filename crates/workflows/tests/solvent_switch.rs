//! A change of the developing solvent, from comparing to the checklist, on kept versions: two
//! liquids stand side by side, and nothing of the one is taken for the other.

#![expect(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a test stops where it fails"
)]

mod switch_lab;

use dyebook_methods::layout::LayoutQuestion;
use dyebook_methods::recipe::BatchDetails;
use dyebook_methods::solvents::SwitchQuestion;
use dyebook_methods::term_plan::{Section, Term};
use dyebook_schemas::{Schema, catalogue, check_value};
use dyebook_workflows::{
    CompareSolvents, Failure, TemplateForm, batch_pages, check_kept_layout, compare_kept_solvents,
    comparison_page, keep_identifications, layout_template, mixture_of, plan_solvent_switch,
    plan_terms, predict_kept_solvent, record_truth, set_switch_item, sheet_page, show_sheet,
    solvent_recipe, stock_at_hand, stored_identification, switch_notice, term_of_method,
    withdraw_method,
};
use serde::Serialize;
use switch_lab::{CITRATE, Lab, SALINE, salt_version, stamp};

fn fits(schema: &Schema, answer: &impl Serialize) {
    let value = serde_json::to_value(answer).unwrap();
    let problems = check_value(schema, &value).err().unwrap_or_default();
    assert!(problems.is_empty(), "{}: {problems:?}", schema.name);
}

fn refused<T: std::fmt::Debug>(result: Result<T, Failure>) -> String {
    result.expect_err("it should be refused").id
}

#[test]
fn matching_across_versions_is_refused_and_leave_is_stamped_on_everything() {
    let mut lab = Lab::new();
    lab.approve(CITRATE);
    let sheet = lab.sheet("heron", SALINE, None);
    assert_eq!(
        refused(lab.identify(&sheet, Some(CITRATE), None)),
        "method.not-comparable"
    );
    assert_eq!(
        refused(lab.identify(&sheet, Some(CITRATE), Some("  "))),
        "identify.no-reason"
    );
    let why = "the sheet names the wrong bottle";
    let found = lab.identify(&sheet, Some(CITRATE), Some(why)).unwrap();
    assert_eq!(found.method.id, "harrow-citrate");
    let note = &found.notes[0];
    assert!(
        note.contains("MATCHED ACROSS VERSIONS") && note.contains(why),
        "{note}"
    );
    keep_identifications(&mut lab.library, std::slice::from_ref(&found), &stamp()).unwrap();
    let stored = stored_identification(&lab.library, &sheet.id)
        .unwrap()
        .unwrap();
    assert_eq!(stored.notes, found.notes);
    let dyes = lab.library.dye_register().unwrap();
    let shown = show_sheet(&lab.library, &dyes, &sheet.id).unwrap();
    let html = sheet_page(&lab.library, &dyes, &shown, Some(&stored), false).unwrap();
    assert!(html.contains("MATCHED ACROSS VERSIONS") && html.contains(why));
    // The same sheet by its own version carries no such stamp.
    let own = lab.identify(&sheet, None, None).unwrap();
    assert!(
        own.notes.iter().all(|note| !note.contains("ACROSS")),
        "{:?}",
        own.notes
    );
}

#[test]
fn sheets_of_superseded_and_withdrawn_versions_run_again_as_they_were() {
    let mut lab = Lab::new();
    let sheet = lab.sheet("heron", SALINE, None);
    let first = lab.identify(&sheet, None, None).unwrap();
    assert!(
        first
            .lanes
            .iter()
            .flat_map(|lane| &lane.spots)
            .any(|spot| !spot.candidates.is_empty()),
        "there is something to repeat"
    );
    lab.approve("harrow-saline@1.1.0");
    lab.approve(CITRATE);
    assert_eq!(lab.identify(&sheet, None, None).unwrap(), first);
    withdraw_method(
        &mut lab.library,
        SALINE,
        "vinegar smell in room 4",
        &stamp(),
    )
    .unwrap();
    assert_eq!(lab.identify(&sheet, None, None).unwrap(), first);
    // What is handed in after the withdrawal never had a valid reference.
    let late = lab.sheet("teal", SALINE, None);
    let late = lab.identify(&late, None, None).unwrap();
    let spots = late.lanes.iter().flat_map(|lane| &lane.spots);
    assert!(spots.clone().count() > 0);
    for spot in spots {
        assert_eq!(spot.decision, dyebook_documents::Decision::NoValidReference);
    }
}

#[test]
fn two_solvents_are_compared_and_widths_of_one_never_pass_for_the_other() {
    let mut lab = Lab::new();
    lab.approve(CITRATE);
    lab.sheet("heron", SALINE, Some(0.6));
    let dyes = lab.library.dye_register().unwrap();
    let references = [SALINE.to_owned(), CITRATE.to_owned()];
    let asked = CompareSolvents {
        references: &references,
        dyes: &[],
        window: 0.05,
    };
    let compared = compare_kept_solvents(&lab.library, &dyes, asked).unwrap();
    fits(&catalogue::ANSWER_SOLVENT_COMPARE, &compared);
    assert!(compared.methods[0].widths_known && !compared.methods[1].widths_known);
    let [saline, citrate] = compared.comparison.solvents.as_slice() else {
        unreachable!("two versions were asked for");
    };
    let resolved = saline
        .pairs
        .iter()
        .find(|pair| pair.resolution.is_some())
        .unwrap();
    // Rs = 2·ΔRf/(w1 + w2) with both widths 0.6 cm of 8.05 cm.
    let expected = resolved.gap * 8.05 / 0.6;
    assert!((resolved.resolution.unwrap() - expected).abs() < 1e-9);
    assert!(citrate.pairs.iter().all(|pair| pair.resolution.is_none()));
    for solvent in [saline, citrate] {
        // MLL = 1 + (N−1)(1−DP), an identity of the two measures.
        let n = f64::from(u32::try_from(solvent.dyes.len()).unwrap());
        let from_power = 1.0 + (n - 1.0) * (1.0 - solvent.discriminating_power);
        assert!((solvent.mean_list_length - from_power).abs() < 1e-9);
    }
    let page = comparison_page(&compared, &dyes);
    assert!(page.contains("slope-chart") && page.contains("Allura Red AC"));
    assert!(
        !page.contains("allura-red-ac"),
        "the page names dyes by name"
    );
    let twice = [SALINE.to_owned(), "harrow-saline@^1".to_owned()];
    let asked = CompareSolvents {
        references: &twice,
        dyes: &[],
        window: 0.05,
    };
    assert_eq!(
        refused(compare_kept_solvents(&lab.library, &dyes, asked)),
        "solvent.named-twice"
    );
}

#[test]
fn a_composition_between_measured_ones_is_predicted_and_marked_so() {
    let mut lab = Lab::new();
    for (version, salt, factor) in [("1.0.0", 1.0, 1.0), ("2.0.0", 2.0, 0.9)] {
        lab.keep_and_approve(&salt_version(version, salt, factor));
    }
    let ids = ["salt-row".to_owned()];
    let at = |text: &str| predict_kept_solvent(&lab.library, &ids, &[text.to_owned()]);
    assert_eq!(
        refused(at("sodium chloride = 1.5 % w/v")),
        "predict.too-few-compositions"
    );
    lab.keep_and_approve(&salt_version("3.0.0", 4.0, 0.8));
    let at = |text: &str| predict_kept_solvent(&lab.library, &ids, &[text.to_owned()]);
    let predicted = at("sodium chloride = 3 % w/v").unwrap();
    fits(&catalogue::ANSWER_SOLVENT_PREDICT, &predicted);
    assert_eq!(predicted.status, "predicted");
    assert!(predicted.note.contains("not for identification"));
    assert_eq!(predicted.points.len(), 3);
    let red = predicted
        .dyes
        .iter()
        .find(|dye| dye.dye == "allura-red-ac")
        .unwrap();
    assert!(
        red.rf < 0.36 && red.rf > 0.32,
        "between its neighbours: {}",
        red.rf
    );
    // Chemistry that breaks the line, by the dye's own behaviour.
    assert_eq!(predicted.refused[0].dye, "indigo-carmine");
    assert_eq!(
        refused(at("sodium chloride = 5 % w/v")),
        "predict.extrapolation"
    );
    assert_eq!(
        refused(at("sodium chloride = 2 % w/v")),
        "predict.measured-already"
    );
    assert_eq!(refused(at("acetic acid = 2 % w/v")), "predict.bad-amount");
    // The same composition from a file.
    let file = lab.path("between.json");
    std::fs::write(
        &file,
        r#"{"components": [{"substance": "water", "make_up_to_volume": true},
            {"substance": "sodium chloride", "amount": 30, "basis": "g/L"}]}"#,
    )
    .unwrap();
    let from_file = at(file.to_str().unwrap()).unwrap();
    assert!((from_file.dyes[0].rf - predicted.dyes[0].rf).abs() < 1e-12);
    // A withdrawn version counts for nothing.
    withdraw_method(&mut lab.library, "salt-row@2.0.0", "wrong paper", &stamp()).unwrap();
    let again = predict_kept_solvent(
        &lab.library,
        &ids,
        &["sodium chloride = 3 % w/v".to_owned()],
    );
    assert_eq!(refused(again), "predict.too-few-compositions");
}

#[test]
fn a_plan_knows_mixtures_and_batches_and_keeps_its_checklist() {
    let mut lab = Lab::new();
    lab.sheet("heron", SALINE, None);
    let dyes = lab.library.dye_register().unwrap();
    let truth = b"sheet,paper,lane,dyes\nheron,heron-1,4,tartrazine+brilliant-blue-fcf\n";
    record_truth(&mut lab.library, &dyes, "truth.csv", truth, None, &stamp()).unwrap();
    let before = lab.library.history(None).unwrap().len();
    let question = SwitchQuestion {
        sections: vec!["Tue-2".to_owned()],
        ..SwitchQuestion::default()
    };
    let plan = |lab: &Lab| {
        plan_solvent_switch(&lab.library, &dyes, SALINE, CITRATE, question.clone()).unwrap()
    };
    let mut switch = plan(&lab);
    fits(&catalogue::ANSWER_SOLVENT_PLAN, &switch.answer());
    assert!(!switch.plan.comparable);
    assert_eq!(switch.plan.quarantine, ["B26-07"]);
    assert_eq!(
        switch.plan.mixtures[0].dyes,
        ["brilliant-blue-fcf", "tartrazine"]
    );
    // The day stands in the new version's own document.
    assert_eq!(switch.question.from_day.unwrap().to_string(), "2026-10-19");
    assert_eq!(
        lab.library.history(None).unwrap().len(),
        before,
        "planning writes nothing"
    );
    assert!(switch.items.iter().all(|item| item.state == "open"));
    let mut tick = |item: &str, note: &str| {
        set_switch_item(&mut lab.library, &mut switch, item, "done", note, &stamp())
    };
    assert_eq!(refused(tick("tell", " ")), "plan.no-note");
    assert_eq!(refused(tick("paint the door", "done")), "plan.no-such-item");
    assert_eq!(
        refused(tick("approve", "all of them")),
        "plan.ambiguous-item"
    );
    tick("tell", "notice given on Monday").unwrap();
    let again = plan(&lab);
    let tell = again.items.iter().find(|item| item.id == "tell").unwrap();
    assert_eq!(
        (tell.state.as_str(), tell.note.as_deref()),
        ("done", Some("notice given on Monday"))
    );
    assert_eq!(again.open_items(), again.items.len() - 1);
    fits(&catalogue::ANSWER_SOLVENT_PLAN, &again.answer());
    let last = lab.library.history(None).unwrap().pop().unwrap();
    assert_eq!(
        (last.action.as_str(), last.subject.as_str()),
        ("done", again.checklist.as_str())
    );
    let notice = switch_notice(&again, &dyes, &stamp());
    assert!(
        notice.contains("Invented demo data"),
        "the method is invented"
    );
    assert!(notice.contains("2026-10-19") && notice.contains("they are not wrong"));
    assert!(notice.contains("B26-07") && notice.contains("Indigo Carmine"));
}

#[test]
fn a_mixture_is_typed_by_any_names_of_its_dyes() {
    let dyes = Lab::new().library.dye_register().unwrap();
    assert_eq!(
        mixture_of("Blue 1 + E102", &dyes).unwrap(),
        ["brilliant-blue-fcf", "tartrazine"]
    );
    assert_eq!(refused(mixture_of("Blue 1 + mud", &dyes)), "dye.unknown");
}

#[test]
fn a_recipe_shows_the_stocks_side_by_side_and_prints_its_papers() {
    // 4 L of 1 % w/v acetic acid: 38.2 mL glacial or 800 mL of 5 % vinegar, pH 2.77 (calculated from
    // 1.049 g/mL and 99.7 %, pKa 4.756).
    let mut lab = Lab::new();
    let mut document = salt_version("1.0.0", 1.0, 1.0);
    document["id"] = "acid-row".into();
    document["developer"]["components"][1] = serde_json::json!(
        {"substance": "acetic acid", "amount": 1, "basis": "% w/v"});
    let name = lab.keep_and_approve(&document);
    let bottles = [
        stock_at_hand("name=glacial acetic acid,strength=99.7,basis=% w/w").unwrap(),
        stock_at_hand("name=white vinegar,strength=5,basis=%w/v").unwrap(),
    ];
    let salt = [stock_at_hand("sodium chloride = 200 g/L").unwrap()];
    let other =
        solvent_recipe(&lab.library, &name, 500.0, &salt, &BatchDetails::default()).unwrap();
    assert_eq!(
        other.unused_stocks.len(),
        1,
        "a bottle that isn't needed is named"
    );
    let details = BatchDetails {
        made_on: Some("2026-10-14".parse().unwrap()),
        ..BatchDetails::default()
    };
    let made = solvent_recipe(&lab.library, &name, 4000.0, &bottles, &details).unwrap();
    fits(&catalogue::ANSWER_SOLVENT_RECIPE, &made);
    let recipe = &made.answer.recipe;
    let exact = |bottle: &str| {
        let options = recipe.lines[0].options.iter();
        let mut named = options.filter(|o| o.stock.as_deref().is_some_and(|s| s.contains(bottle)));
        named.next().unwrap().exact
    };
    assert!(
        (exact("glacial") - 38.2).abs() < 0.05,
        "{}",
        exact("glacial")
    );
    assert!((exact("white vinegar") - 800.0).abs() < 0.5);
    assert!((recipe.ph.as_ref().unwrap().ph - 2.77).abs() < 0.005);
    let (record, label) = batch_pages(&made, 2);
    for page in [&record, &label] {
        assert!(
            !page.contains("Invented demo data"),
            "the method is the lab's"
        );
    }
    assert!(record.contains("2026-10-14") && record.contains("white vinegar"));
    assert!(label.contains("Local rules decide") && label.contains(&name));
}

#[test]
fn a_layout_in_the_liquid_is_found_and_a_template_is_drawn() {
    // A published student layout: start line 1 cm, 50 mL in a 400 mL beaker; 7.5 cm is from memory.
    let mut lab = Lab::new();
    let name = {
        let dyes = lab.library.dye_register().unwrap();
        let document = salt_version("1.0.0", 1.0, 1.0);
        let checked = dyebook_workflows::check_method("test", &document.to_string(), &dyes);
        // A start line in the liquid is a finding of the lints, no refusal.
        let checked = checked.unwrap();
        assert!(
            checked
                .findings
                .iter()
                .any(|f| f.lint == "start-line-in-liquid")
        );
        dyebook_workflows::keep_draft(&mut lab.library, &checked, &stamp()).unwrap();
        checked.method.name()
    };
    let layout = check_kept_layout(&lab.library, &name, &LayoutQuestion::default()).unwrap();
    fits(&catalogue::ANSWER_LAYOUT, &layout);
    assert!(!layout.answer.works);
    assert_eq!(layout.answer.binding, Some("start-line-above-liquid"));
    let svg = layout_template(&layout, TemplateForm::Svg).unwrap();
    let svg = String::from_utf8(svg).unwrap();
    assert!(svg.contains("mm\"") && svg.contains("100 mm"));
    assert!(
        layout
            .description
            .iter()
            .any(|line| line.contains("under the paper"))
    );
}

#[test]
fn the_worked_term_comes_out_and_a_section_more_says_what_it_takes() {
    // Calculated: 12 sections of 8 groups with 2 papers, 20 % spare and 15 % of the sticks lost are
    // 231 papers and 1767 sticks; 9.6 L at 50 mL, 12.0 L with 25 % loss.
    let section = |number: u32| Section {
        name: number.to_string(),
        students: 16,
        method: None,
    };
    let before = Term {
        sections: (1..=12).map(section).collect(),
        ..Term::default()
    };
    let now = Term {
        sections: (1..=13).map(section).collect(),
        ..Term::default()
    };
    let planned = plan_terms(Some(&before), &now).unwrap();
    fits(&catalogue::ANSWER_TERM_PLAN, &planned);
    let earlier = planned.before.as_ref().unwrap();
    for (id, expected) in [("papers", 231.0), ("sticks", 1767.0), ("liquid", 12_000.0)] {
        let found = earlier.quantities.iter().find(|q| q.id == id).unwrap();
        assert!(
            (found.value - expected).abs() < 1e-9,
            "{id}: {}",
            found.value
        );
        assert_ne!(found.how, "");
    }
    let papers = planned
        .changes
        .iter()
        .find(|change| change.id == "papers")
        .unwrap();
    assert!(
        papers.sentence.contains("section 13 was added"),
        "{}",
        papers.sentence
    );
    let lab = Lab::new();
    let mut of_method = now;
    term_of_method(&lab.library, SALINE, &mut of_method).unwrap();
    assert_eq!(
        (of_method.lanes_per_group, of_method.piece_cm),
        (12, Some([16.0, 13.0]))
    );
}
