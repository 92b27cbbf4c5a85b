//! Recipes that make the same liquid are recognised as the same, others are not, and what can't
//! be told is refused in words.

use super::{CanonicalComposition, CompositionError, canonical, same_liquid, substances};
use proptest::prelude::*;
use serde_json::{Value, json};

#[expect(
    clippy::needless_pass_by_value,
    reason = "`json!` reads better at the calls"
)]
fn liquid(components: Value) -> Result<CanonicalComposition, CompositionError> {
    canonical(&serde_json::from_value(json!({ "components": components })).unwrap())
}

#[expect(
    clippy::needless_pass_by_value,
    reason = "`json!` reads better at the calls"
)]
fn with_water(component: Value) -> Value {
    json!([{"substance": "water", "make_up_to_volume": true}, component])
}

fn refused(components: Value) -> &'static str {
    liquid(components).unwrap_err().id()
}

#[test]
fn glacial_and_vinegar_recipes_of_one_liquid_are_equal() {
    let glacial = json!({"name": "glacial acetic acid", "strength": 99.7, "basis": "% w/w"});
    let vinegar = json!({"name": "vinegar 5 %", "strength": 5, "basis": "% w/v"});
    // 1.049 g/mL · 0.997 = 1.046 g acid in a mL of glacial (constants from memory): 1 % w/v is
    // 0.956 mL of it or 20 mL of 5 % vinegar in 100 mL.
    let by_weight = liquid(with_water(json!(
        {"substance": "acetic acid", "amount": 1, "basis": "% w/v"})))
    .unwrap();
    let from_glacial = liquid(with_water(json!(
        {"substance": "ethanoic acid", "amount": 0.956, "basis": "% v/v", "stock": glacial})))
    .unwrap();
    let from_vinegar = liquid(with_water(json!(
        {"substance": "Acetic Acid", "amount": 20, "basis": "% v/v", "stock": vinegar})))
    .unwrap();
    assert!((from_glacial.g_per_l("acetic-acid") - 10.0).abs() < 0.01);
    assert!((from_vinegar.g_per_l("acetic-acid") - 10.0).abs() < 1e-12);
    assert!(same_liquid(&by_weight, &from_glacial) && same_liquid(&by_weight, &from_vinegar));
    let weak = liquid(with_water(json!(
        {"substance": "acetic acid", "amount": 1, "basis": "% v/v", "stock": vinegar})))
    .unwrap();
    assert!(!same_liquid(&weak, &from_glacial));
}

#[test]
fn a_weight_counts_the_pure_substance_whatever_the_stock() {
    let vinegar = json!({"name": "vinegar", "strength": 5, "basis": "% w/v"});
    for basis in ["% w/v", "g/L", "mol/L"] {
        let with = liquid(with_water(
            json!({"substance": "acetic acid", "amount": 0.5, "basis": basis, "stock": vinegar}),
        ));
        let without = liquid(with_water(
            json!({"substance": "acetic acid", "amount": 0.5, "basis": basis}),
        ));
        assert_eq!(
            with.unwrap().substances,
            without.unwrap().substances,
            "{basis}"
        );
    }
}

#[test]
fn mass_percent_uses_the_density_of_the_liquid() {
    // CRC Handbook, 102nd ed.: 2 % w/w sodium chloride has 1.0125 g/mL, so 20.25 g/L.
    let salt = json!({"substance": "NaCl", "amount": 2, "basis": "% w/w"});
    let made = liquid(with_water(salt.clone())).unwrap();
    assert!((made.g_per_l("sodium-chloride") - 20.25).abs() < 1e-9);
    assert_eq!(made.densities[0].source, "CRC102");
    let two = json!([{"substance": "water", "make_up_to_volume": true}, salt,
        {"substance": "acetic acid", "amount": 1, "basis": "% w/v"}]);
    assert_eq!(refused(two.clone()), "composition.liquid-density-unknown");
    let measured = json!({"components": two, "density_g_per_ml": 1.014});
    let made = canonical(&serde_json::from_value(measured).unwrap()).unwrap();
    assert!((made.g_per_l("sodium-chloride") - 20.28).abs() < 1e-9);
}

#[test]
fn parts_and_fractions_are_the_same_and_shrink_on_mixing() {
    let mixed = |basis: &str, ethanol: f64, water: f64| {
        liquid(
            json!([{"substance": "ethanol", "amount": ethanol, "basis": basis},
            {"substance": "water", "amount": water, "basis": basis}]),
        )
        .unwrap()
    };
    let (parts, fractions) = (mixed("parts v", 1.0, 1.0), mixed("% v/v", 50.0, 50.0));
    assert_eq!(parts.substances, fractions.substances);
    // 52.083 mL of 96 % ethanol and 51.053 mL of water make 100 mL of 50 % v/v (OIML R 22).
    let stock = json!({"name": "ethanol 96 %", "strength": 96, "basis": "% v/v"});
    let made = liquid(json!([
        {"substance": "ethanol", "amount": 52.083_333_333_3, "basis": "parts v", "stock": stock},
        {"substance": "water", "amount": 51.052_913_787_3, "basis": "parts v"}]))
    .unwrap();
    let ml = made.content("ethanol").unwrap().ml_per_l.unwrap();
    assert!((ml - 500.0).abs() < 0.01, "{ml}");
    assert!(made.assumptions.is_empty());
    let ternary = liquid(json!([
        {"substance": "butan-1-ol", "amount": 12, "basis": "parts v"},
        {"substance": "acetic acid", "amount": 3, "basis": "parts v"},
        {"substance": "water", "amount": 5, "basis": "parts v"}]))
    .unwrap();
    assert_eq!(
        ternary.assumptions,
        ["volumes are taken as additive on mixing"]
    );
    assert!((ternary.content("butan-1-ol").unwrap().ml_per_l.unwrap() - 600.0).abs() < 1e-9);
}

#[test]
fn there_is_exactly_one_way_to_the_volume() {
    let water = json!({"substance": "water", "make_up_to_volume": true});
    let salt = json!({"substance": "sodium chloride", "amount": 1, "basis": "% w/v"});
    let part = |substance: &str, amount: f64, basis: &str| json!({"substance": substance, "amount": amount, "basis": basis});
    assert_eq!(refused(json!([salt])), "composition.no-way-to-volume");
    assert_eq!(
        refused(json!([water, {"substance": "ethanol", "make_up_to_volume": true}])),
        "composition.two-ways-to-volume"
    );
    assert_eq!(
        refused(json!([
            part("ethanol", 30.0, "% v/v"),
            part("water", 60.0, "% v/v")
        ])),
        "composition.fractions-dont-add-up"
    );
    assert_eq!(
        refused(json!([
            water,
            part("ethanol", 30.0, "% v/v"),
            part("acetone", 70.0, "% v/v")
        ])),
        "composition.two-ways-to-volume"
    );
    assert_eq!(
        refused(json!([
            part("ethanol", 3.0, "parts v"),
            part("acetone", 70.0, "% v/v")
        ])),
        "composition.parts-mixed"
    );
    assert_eq!(
        refused(json!([water, part("ethanol", 3.0, "parts v")])),
        "composition.two-ways-to-volume"
    );
}

#[test]
fn what_cant_be_told_is_refused_in_words() {
    let one = |component: Value| refused(with_water(component));
    assert_eq!(
        one(json!({"substance": "acetic acid", "amount": 1})),
        "composition.basis-missing"
    );
    assert_eq!(
        one(json!({"substance": "acetic acid"})),
        "composition.amount-missing"
    );
    assert_eq!(
        one(json!({"substance": "vinegar 5 %", "amount": 1, "basis": "% v/v"})),
        "composition.stock-for-substance"
    );
    assert_eq!(
        one(json!({"substance": "ammonia", "amount": 1, "basis": "% v/v"})),
        "composition.no-liquid"
    );
    assert_eq!(
        one(json!({"substance": "unobtainium", "amount": 1, "basis": "mol/L"})),
        "composition.unknown-substance"
    );
    let error = liquid(with_water(json!({"substance": "acetic acid", "amount": 1}))).unwrap_err();
    let said = error.to_string();
    assert!(
        said.contains("has no basis") && said.contains("fold apart"),
        "{said}"
    );
}

#[test]
fn published_developing_solvents_can_be_told() {
    // Compositions of published developing solvents, with their pages in the file.
    let text =
        include_str!("../../../../tests/published/chemistry/several-developing-solvents.json");
    let published: Value = serde_json::from_str(text).unwrap();
    let mut told = 0;
    for recipe in published["recipes"].as_array().unwrap() {
        let composition = &recipe["composition"];
        if composition.is_null() {
            continue;
        }
        let parsed = serde_json::from_value(composition.clone()).unwrap();
        let found = canonical(&parsed).unwrap_or_else(|e| panic!("{}: {e}", recipe["developer"]));
        assert!(!found.substances.is_empty());
        told += 1;
    }
    assert!(told > 8, "{told}");
    // "trisodium citrate 2 g + ammonia solution (0.88) 5 mL + water to 100 mL": 5 mL of 35 % w/w
    // at 0.88 g/mL hold 1.54 g.
    let first = serde_json::from_value(published["recipes"][0]["composition"].clone()).unwrap();
    let first = canonical(&first).unwrap();
    assert!((first.g_per_l("ammonia") - 15.4).abs() < 1e-9);
    assert!((first.g_per_l("trisodium-citrate") - 20.0).abs() < 1e-9);
}

proptest! {
    #[test]
    fn the_canonical_form_of_a_canonical_form_is_itself(
        amounts in proptest::collection::vec((0usize..21, 0.01f64..3.0, 0usize..2), 1..4)
    ) {
        let known = substances();
        let mut components = vec![json!({"substance": "water", "make_up_to_volume": true})];
        for (which, amount, basis) in amounts {
            let name = &known[which % known.len()].name;
            let basis = ["% w/v", "mol/L"][basis];
            components.push(json!({"substance": name, "amount": amount, "basis": basis}));
        }
        let once = liquid(Value::Array(components)).unwrap();
        let twice = canonical(&once.to_composition()).unwrap();
        prop_assert_eq!(&once.substances, &twice.substances);
        prop_assert!(same_liquid(&once, &twice));
    }

    #[test]
    fn parts_may_be_scaled(factor in 0.01f64..100.0) {
        let of = |factor: f64| liquid(json!([
            {"substance": "butan-1-ol", "amount": 6.0 * factor, "basis": "parts v"},
            {"substance": "ethanol", "amount": 2.0 * factor, "basis": "parts v"},
            {"substance": "water", "amount": 3.0 * factor, "basis": "parts v"}])).unwrap();
        prop_assert!(same_liquid(&of(1.0), &of(factor)));
    }
}
