//! Recipes against published and computed amounts.

use super::{BatchDetails, StockAtHand, recipe, recipe_answer};
use crate::test_method::{clean_method, set};
use dyebook_documents::Method;
use serde_json::{Value, json};

fn method(components: &Value) -> Method {
    let mut document = clean_method();
    set(&mut document, "/developer/components", components.clone());
    serde_json::from_value(document).unwrap()
}

fn published(name: &str) -> Value {
    let text = match name {
        "acid" => {
            include_str!("../../../../tests/published/chemistry/computed-acetic-acid-recipes.json")
        }
        _ => include_str!("../../../../tests/published/chemistry/mass-balance-recipes.json"),
    };
    serde_json::from_str(text).unwrap()
}

#[test]
fn four_litres_of_dilute_acid_take_the_computed_amounts() {
    // Recomputed with 1.049 g/mL and 99.7 % w/w (from memory): mL of glacial, of 5 % vinegar, pH.
    let glacial = json!({"name": "glacial acetic acid", "strength": 99.7, "basis": "% w/w"});
    for row in published("acid")["rows"].as_array().unwrap() {
        let number = |index: usize| row[index].as_f64().unwrap();
        let made = method(&json!([
            {"substance": "water", "make_up_to_volume": true},
            {"substance": "acetic acid", "amount": number(0), "basis": "% w/v", "stock": glacial}]));
        let bottles: Vec<StockAtHand> = ["vinegar 5 %", "vinegar 4 %"]
            .iter()
            .map(|name| name.parse().unwrap())
            .collect();
        let found = recipe(&made, 4000.0, &bottles).unwrap();
        let options = &found.lines[0].options;
        assert!(
            (options[0].exact - number(1)).abs() < 0.06,
            "{}",
            options[0].exact
        );
        assert!((options[1].exact - number(2)).abs() < 1e-6);
        assert!((found.ph.unwrap().ph - number(3)).abs() < 0.006);
        if (number(0) - 1.0).abs() < 1e-9 {
            assert!((options[2].exact - 1000.0).abs() < 1e-6);
        }
        if (number(0) - 5.0).abs() < 1e-9 {
            assert!(options[1].note.as_ref().unwrap().starts_with("undiluted"));
            assert!(options[2].note.as_ref().unwrap().starts_with("too weak"));
        }
    }
}

fn balance(id: &str) -> Value {
    let all = published("balance");
    let checks = all["checks"].as_array().unwrap();
    checks.iter().find(|c| c["id"] == id).unwrap()["expected"].clone()
}

#[test]
fn weights_and_mass_percents_come_out_by_mass_balance() {
    let expected = balance("wv_sodium_chloride");
    let salt = |amount: f64, basis: &str| {
        method(&json!([{"substance": "water", "make_up_to_volume": true},
            {"substance": "sodium chloride", "amount": amount, "basis": basis}]))
    };
    let found = recipe(&salt(2.0, "% w/v"), 250.0, &[]).unwrap();
    assert!(
        (found.lines[0].options[0].exact - expected["solute_g"].as_f64().unwrap()).abs() < 1e-9
    );
    let expected = balance("ww_sodium_chloride");
    let found = recipe(&salt(2.0, "% w/w"), 250.0, &[]).unwrap();
    assert!(
        (found.lines[0].options[0].exact - expected["solute_g"].as_f64().unwrap()).abs() < 1e-9
    );
    // Water of the fixture by weight, 248.0625 g, at 0.99820715 g/mL.
    let water = found.filler.unwrap().about_ml.unwrap() * 0.998_207_15;
    assert!(
        (water - expected["water_g"].as_f64().unwrap()).abs() < 1e-6,
        "{water}"
    );
}

#[test]
fn stocks_in_mass_percent_come_out_by_mass_balance() {
    for (id, substance, stock, target, volume) in [
        ("ammonia_1pct_from_28pct", "ammonia", 28.0, 1.0, 500.0),
        (
            "acetic_2pct_from_glacial",
            "acetic acid",
            100.0,
            2.0,
            1000.0,
        ),
    ] {
        let expected = balance(id);
        let made = method(&json!([{"substance": "water", "make_up_to_volume": true},
            {"substance": substance, "amount": target, "basis": "% w/w",
             "stock": {"name": "a bottle", "strength": stock, "basis": "% w/w"}}]));
        let found = recipe(&made, volume, &[]).unwrap();
        let ml = found.lines[0].options[0].exact;
        let wanted = expected["stock_mL"].as_f64().unwrap();
        assert!((ml - wanted).abs() <= 1e-9 * wanted, "{id}: {ml}");
        let water = found.filler.unwrap().about_ml.unwrap() * 0.998_207_15;
        assert!(
            (water - expected["water_g"].as_f64().unwrap()).abs() < 1e-6,
            "{id}: {water}"
        );
    }
}

#[test]
fn diluted_spirit_needs_more_water_than_the_difference() {
    // OIML R 22 densities, mass balance: the volume shrinks on mixing.
    for (id, target) in [
        ("ethanol_50vv_from_96vv", 50.0),
        ("ethanol_70vv_from_96vv", 70.0),
    ] {
        let expected = balance(id);
        let made = method(&json!([{"substance": "water", "make_up_to_volume": true},
            {"substance": "ethanol", "amount": target / 0.96, "basis": "% v/v",
             "stock": {"name": "spirit", "strength": 96, "basis": "% v/v"}}]));
        let found = recipe(&made, 100.0, &[]).unwrap();
        let ml = found.lines[0].options[0].exact;
        assert!(
            (ml - expected["stock_mL"].as_f64().unwrap()).abs() < 1e-9,
            "{id}: {ml}"
        );
        let water = found.filler.unwrap().about_ml.unwrap();
        let wanted = expected["water_mL"].as_f64().unwrap();
        assert!((water - wanted).abs() <= 1e-9 * wanted, "{id}: {water}");
    }
}

#[test]
fn parts_are_measured_in_their_ratio() {
    let expected = balance("parts_by_volume_12_3_5");
    let made = method(&json!([
        {"substance": "butan-1-ol", "amount": 12, "basis": "parts v"},
        {"substance": "acetic acid", "amount": 3, "basis": "parts v"},
        {"substance": "water", "amount": 5, "basis": "parts v"}]));
    let found = recipe(&made, 100.0, &[]).unwrap();
    for (line, wanted) in found
        .lines
        .iter()
        .zip(expected["volumes_mL"].as_array().unwrap())
    {
        assert!((line.options[0].exact - wanted.as_f64().unwrap()).abs() < 1e-9);
    }
    assert!((found.lines[0].g_per_l - 485.7).abs() < 1e-9);
}

#[test]
fn a_stock_that_is_too_weak_is_refused() {
    // Mass balance: 8 % can't be made from 5 % by dilution.
    let made = method(&json!([{"substance": "water", "make_up_to_volume": true},
        {"substance": "acetic acid", "amount": 8, "basis": "% w/v",
         "stock": {"name": "vinegar", "strength": 5, "basis": "% w/v"}}]));
    let vinegar: StockAtHand = "vinegar 4 %".parse().unwrap();
    let error = recipe(&made, 1000.0, &[vinegar]).unwrap_err();
    assert_eq!(error.id(), "recipe.no-usable-stock");
    assert!(error.hints().iter().all(|hint| hint.contains("too weak")));
    assert_eq!(
        recipe(&made, 0.0, &[]).unwrap_err().id(),
        "recipe.no-volume"
    );
}

#[test]
fn the_acid_goes_into_the_water_and_the_label_repeats_the_cautions() {
    let made: Method = serde_json::from_value(clean_method()).unwrap();
    let found = recipe(&made, 2000.0, &[]).unwrap();
    let at = |word: &str| {
        found
            .steps
            .iter()
            .position(|step| step.contains(word))
            .unwrap()
    };
    assert!(at("water into the vessel") < at("sodium chloride"));
    assert!(at("sodium chloride") < at("acid into water"));
    let details = BatchDetails {
        made_on: Some("2026-09-14".parse().unwrap()),
        batch: Some("B-12".to_owned()),
        ..BatchDetails::default()
    };
    let options = found.lines[0].options.len();
    let answer = recipe_answer(found, &details);
    let (record, label) = (answer.batch_record, answer.label);
    assert_eq!(label.use_by, Some("2026-10-12".parse().unwrap()));
    assert_eq!(label.cautions, made.cautions.unwrap());
    assert_eq!(record.lines.len(), 2);
    assert_eq!(
        (record.lines[0].planned, record.lines[0].unit),
        (16.0, "mL")
    );
    assert!(options > 2, "vinegar stands beside glacial");
}

#[test]
fn a_bottle_that_is_too_small_says_how_far_it_goes() {
    let made = method(&json!([{"substance": "water", "make_up_to_volume": true},
        {"substance": "acetic acid", "amount": 1, "basis": "% w/v"}]));
    let vinegar: StockAtHand = "vinegar 5 %, 300 mL".parse().unwrap();
    let found = recipe(&made, 4000.0, &[vinegar]).unwrap();
    let option = &found.lines[0].options[1];
    assert_eq!(
        option.note.as_deref(),
        Some("only 300 mL at hand: enough for 1500 mL")
    );
    assert!(option.measured.is_none());
}
