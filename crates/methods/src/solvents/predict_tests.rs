//! Predictions between measured compositions, and what is refused.

use super::{RmModel, predict_solvent, with_amount};
use crate::test_method::{clean_method, set, unset};
use dyebook_documents::Method;
use serde_json::json;

/// A version with so much salt, in which RM goes with the logarithm of the salt (invented).
fn version(minor: u32, salt_percent: f64) -> Method {
    let rf = |a: f64, b: f64| 1.0 / (1.0 + 10.0_f64.powf(a + b * salt_percent.log10()));
    let range = |rf: f64| json!({"low": rf - 0.03, "high": rf + 0.03});
    let reference =
        |dye: &str, rf: f64| json!({"dye": dye, "assigned_rf": rf, "expected_rf": range(rf)});
    let mut document = clean_method();
    set(&mut document, "/version", json!(format!("{minor}.0.0")));
    unset(&mut document, "/developer/components/1");
    set(
        &mut document,
        "/developer/components/1/amount",
        json!(salt_percent),
    );
    set(
        &mut document,
        "/references",
        json!([
            reference("tartrazine", rf(-0.3, 0.4)),
            reference("allura-red-ac", rf(0.2, 0.4)),
            // Crosses allura red between 1 and 2 %.
            reference("sunset-yellow-fcf", rf(0.1, 1.0)),
            reference("brilliant-blue-fcf", 0.99),
            {"dye": "erythrosine", "assigned_rf": 0.2, "expected_rf": range(0.2),
             "behaviour": "turns into its little-soluble acid"},
        ]),
    );
    serde_json::from_value(document).unwrap()
}

fn four() -> Vec<Method> {
    [(1, 0.5), (2, 1.0), (3, 2.0), (4, 4.0)]
        .into_iter()
        .map(|(v, s)| version(v, s))
        .collect()
}

#[test]
fn a_law_that_holds_is_found_again() {
    let methods = four();
    let all: Vec<&Method> = methods.iter().collect();
    let at = with_amount(&methods[0].developer, "sodium chloride = 1.5 % w/v").unwrap();
    let found = predict_solvent(&all, &at).unwrap();
    assert_eq!(
        (found.axis.as_str(), found.status),
        ("sodium-chloride", "predicted")
    );
    let tartrazine = found.dyes.iter().find(|d| d.dye == "tartrazine").unwrap();
    assert_eq!(tartrazine.fits.chosen.model, RmModel::Logarithmic);
    // RM = −0.3 + 0.4·log10(1.5).
    let expected = 1.0 / (1.0 + 10.0_f64.powf(-0.3 + 0.4 * 1.5_f64.log10()));
    assert!((tartrazine.rf - expected).abs() < 1e-9);
    // Never narrower than the usual error of predicting.
    assert!(tartrazine.expected.high - tartrazine.rf >= 0.06 - 1e-12);
    assert!(found.note.contains("not for identification"));
}

#[test]
fn dyes_that_break_the_line_and_crossing_orders_are_named() {
    let methods = four();
    let all: Vec<&Method> = methods.iter().collect();
    let at = with_amount(&methods[0].developer, "NaCl = 15 g/L").unwrap();
    let found = predict_solvent(&all, &at).unwrap();
    let why = |dye: &str| &found.refused.iter().find(|r| r.dye == dye).unwrap().why;
    assert!(why("erythrosine").contains("breaks the line"));
    assert!(why("brilliant-blue-fcf").contains("usable points"));
    assert_eq!(found.crossings.len(), 1);
    assert!(found.crossings[0].contains("allura-red-ac"));
}

#[test]
fn nothing_is_predicted_beyond_or_from_too_little() {
    let methods = four();
    let all: Vec<&Method> = methods.iter().collect();
    let at = |text: &str| with_amount(&methods[0].developer, text).unwrap();
    let id =
        |methods: &[&Method], text: &str| predict_solvent(methods, &at(text)).unwrap_err().id();
    assert_eq!(
        id(&all, "sodium chloride = 5 % w/v"),
        "predict.extrapolation"
    );
    assert_eq!(
        id(&all, "sodium chloride = 0.1 % w/v"),
        "predict.extrapolation"
    );
    assert_eq!(
        id(&all, "sodium chloride = 2 % w/v"),
        "predict.measured-already"
    );
    assert_eq!(
        id(&all[..2], "sodium chloride = 0.7 % w/v"),
        "predict.too-few-compositions"
    );
    let bad = with_amount(&methods[0].developer, "ethanol = 5 % v/v").unwrap_err();
    assert_eq!(bad.id(), "predict.bad-amount");
    assert!(with_amount(&methods[0].developer, "sodium chloride = 5").is_err());
}

#[test]
fn versions_under_other_conditions_stay_out() {
    let mut methods = four();
    methods[0].stationary_phase.grade = Some("coarse".to_owned());
    let all: Vec<&Method> = methods.iter().collect();
    let at = with_amount(&methods[3].developer, "sodium chloride = 1.5 % w/v").unwrap();
    let found = predict_solvent(&all, &at).unwrap();
    assert_eq!(found.points.len(), 3);
    assert_eq!(
        found.left_out,
        ["saline-paper@1.0.0: another paper than saline-paper@4.0.0"]
    );
}
