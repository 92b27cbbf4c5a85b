//! Every answer of this crate fits its schema.

use crate::layout::{LayoutQuestion, check_layout};
use crate::recipe::{BatchDetails, recipe, recipe_answer};
use crate::rules::diff;
use crate::solvents::{
    CompareQuestion, SwitchQuestion, compare_solvents, plan_switch, predict_solvent, with_amount,
};
use crate::term_plan::{Section, Term, plan_term};
use crate::test_method::{bundled_dyes, clean_method, set};
use dyebook_documents::Method;
use dyebook_schemas::{Schema, catalogue, check_value};
use serde::Serialize;
use serde_json::{Value, json};

fn fits(schema: &Schema, answer: &impl Serialize) {
    let value = serde_json::to_value(answer).unwrap();
    if let Err(problems) = check_value(schema, &value) {
        panic!("{}: {problems:?}", schema.name);
    }
}

fn read(document: Value) -> Method {
    serde_json::from_value(document).unwrap()
}

/// A second version with more salt, in which the dyes run a little less far (invented).
fn saltier(version: &str, salt: f64, factor: f64) -> Value {
    let mut document = clean_method();
    set(&mut document, "/version", json!(version));
    set(&mut document, "/developer/components/2/amount", json!(salt));
    for index in 0..6 {
        let place = format!("/references/{index}");
        let rf = document
            .pointer(&format!("{place}/assigned_rf"))
            .unwrap()
            .as_f64()
            .unwrap();
        let rf = rf * factor;
        set(&mut document, &format!("{place}/assigned_rf"), json!(rf));
        let range = json!({"low": rf - 0.03, "high": rf + 0.03});
        set(&mut document, &format!("{place}/expected_rf"), range);
    }
    document
}

#[test]
fn answers_fit_their_schemas() {
    let (old, new) = (clean_method(), saltier("2.0.0", 2.4, 0.9));
    let (one, other) = (read(old.clone()), read(new.clone()));
    let third = read(saltier("3.0.0", 4.8, 0.8));
    let dyes = bundled_dyes();
    fits(
        &catalogue::ANSWER_LAYOUT,
        &check_layout(&one, &LayoutQuestion::default()),
    );
    let compared = compare_solvents(&[&one, &other], &dyes, &CompareQuestion::default()).unwrap();
    fits(&catalogue::ANSWER_SOLVENT_COMPARE, &compared);
    let at = with_amount(&one.developer, "sodium chloride = 3 % w/v").unwrap();
    let predicted = predict_solvent(&[&one, &other, &third], &at).unwrap();
    fits(&catalogue::ANSWER_SOLVENT_PREDICT, &predicted);
    let question = SwitchQuestion {
        mixtures: vec![vec!["tartrazine".to_owned(), "ponceau-4r".to_owned()]],
        batches: vec!["B-12".to_owned()],
        ..SwitchQuestion::default()
    };
    let plan = plan_switch(&one, &other, &diff(&old, &new), &dyes, &question);
    fits(&catalogue::ANSWER_SOLVENT_PLAN, &plan);
    let made = recipe(&one, 4000.0, &[]).unwrap();
    let details = BatchDetails {
        made_on: Some("2026-09-14".parse().unwrap()),
        ..BatchDetails::default()
    };
    fits(
        &catalogue::ANSWER_SOLVENT_RECIPE,
        &recipe_answer(made, &details),
    );
    let section = Section {
        name: "Tuesday".to_owned(),
        students: 15,
        method: None,
    };
    let term = Term {
        sections: vec![section],
        ..Term::default()
    };
    fits(&catalogue::ANSWER_TERM_PLAN, &plan_term(&term).unwrap());
    fits(&catalogue::ANSWER_METHOD_DIFF, &diff(&old, &new));
}

#[test]
fn the_clean_method_is_a_method() {
    check_value(&catalogue::METHOD, &clean_method()).unwrap();
}
