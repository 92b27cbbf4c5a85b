//! Published developing solvents as compositions, and what `1 % acetic acid` can mean.

use super::close;
use crate::{PROGRAM, project};
use dyebook_documents::Composition;
use dyebook_methods::composition::{basis_readings, canonical, same_liquid};
use dyebook_testkit::{Lab, MethodDraft};
use serde_json::{Value, json};

fn composition(value: &Value) -> Composition {
    serde_json::from_value(value.clone()).unwrap_or_else(|error| panic!("{error}: {value}"))
}

#[test]
fn published_developing_solvents_come_to_one_form_or_are_said_to_be_unclear() {
    let file = project::json("tests/published/chemistry/several-developing-solvents.json");
    let recipes = file["recipes"].as_array().unwrap();
    assert_eq!(recipes.len(), 19);
    let mut forms = Vec::new();
    for recipe in recipes {
        let name = recipe["developer"].as_str().unwrap();
        if recipe["composition"].is_null() {
            assert!(recipe["not_expressible"].is_string(), "{name}");
            continue;
        }
        let form = canonical(&composition(&recipe["composition"]))
            .unwrap_or_else(|error| panic!("{name}: {error}"));
        assert!(!form.substances.is_empty(), "{name} holds nothing");
        for substance in &form.substances {
            assert!(
                substance.g_per_l.is_finite() && substance.g_per_l > 0.0,
                "{name}: {substance:?}"
            );
        }
        for density in &form.densities {
            assert!(!density.source.is_empty(), "{name}: {density:?}");
        }
        // Brought to the form once more, it is the same liquid.
        let again = canonical(&form.to_composition()).unwrap();
        assert!(same_liquid(&form, &again), "{name}");
        forms.push((name, form));
    }
    assert!(
        forms.len() >= 10,
        "only {} could be written down",
        forms.len()
    );
    for (place, (name, form)) in forms.iter().enumerate() {
        for (other, form_of_other) in forms.iter().skip(place + 1) {
            assert!(!same_liquid(form, form_of_other), "{name} and {other}");
        }
    }
}

#[test]
fn one_percent_acetic_acid_has_readings_twentyone_fold_apart() {
    let file = project::json("tests/published/chemistry/computed-one-percent-acetic-acid.json");
    let readings = basis_readings(&json!({"substance": "acetic acid", "amount": 1})).unwrap();
    let of = |stock: &str| {
        readings
            .readings
            .iter()
            .find(|r| r.of.contains(stock))
            .unwrap()
            .g_per_l
    };
    let fold = of("99.7 %") / of("vinegar 5 %");
    close(fold, file["largest_over_smallest"].as_f64().unwrap(), 1e-3);
    // Weaker vinegar is sold too, so the readings as a whole lie further apart.
    assert!(readings.fold().unwrap() >= fold);
    for published in file["readings"].as_array().unwrap() {
        let g_per_l = published["percent_wv"].as_f64().unwrap() * 10.0;
        let near = readings
            .readings
            .iter()
            .any(|r| (r.g_per_l - g_per_l).abs() <= 0.005 * g_per_l);
        assert!(near, "{published} is not among {:?}", readings.readings);
    }
}

#[test]
fn the_program_refuses_a_percentage_without_basis_with_both_readings() {
    let lab = Lab::empty(PROGRAM);
    lab.done(&["library", "init"]);
    let draft = MethodDraft::new("trial", "1.0.0").with(
        "/developer/components/1",
        json!({"substance": "acetic acid", "amount": 1}),
    );
    lab.write("draft.json", draft.text());
    for command in ["check", "add"] {
        let said = lab.ends_with(3, &["method", command, "draft.json"]).err;
        for part in ["glacial", "vinegar 5 %", "has no basis", "21-fold apart"] {
            assert!(said.contains(part), "{part}: {said}");
        }
    }
    assert!(
        lab.answer(0, &["method", "list"])["methods"]
            .as_array()
            .unwrap()
            .iter()
            .all(|m| m["id"] != "trial")
    );
}

/// The same liquid from glacial acid and from vinegar, by the volumes that the file gives for 4 L.
#[test]
fn glacial_acid_and_vinegar_make_the_same_liquid_at_the_computed_volumes() {
    let file = project::json("tests/published/chemistry/computed-acetic-acid-recipes.json");
    let volume = file["volume_ml"].as_f64().unwrap();
    for row in super::rows(&file) {
        let made = |stock: Value, ml: f64| {
            let components = json!({"components": [
                {"substance": "water", "make_up_to_volume": true},
                {"substance": "acetic acid", "amount": 100.0 * ml / volume, "basis": "% v/v", "stock": stock},
            ]});
            canonical(&composition(&components)).unwrap()
        };
        let percent = row["target_percent_wv"].as_f64().unwrap();
        let vinegar = row["vinegar_5_percent_ml"].as_f64().unwrap();
        if vinegar >= volume {
            continue;
        }
        let from_glacial = made(
            json!({"name": "glacial acetic acid", "strength": 99.7, "basis": "% w/w"}),
            row["glacial_ml"].as_f64().unwrap(),
        );
        let from_vinegar = made(
            json!({"name": "white vinegar", "strength": 5, "basis": "% w/v"}),
            vinegar,
        );
        // The file's volumes are rounded to 0.1 mL.
        for made in [&from_glacial, &from_vinegar] {
            close(
                made.substances[0].g_per_l,
                percent * 10.0,
                0.004 * percent * 10.0,
            );
        }
        assert!(same_liquid(&from_glacial, &from_vinegar), "{percent} %");
    }
}
