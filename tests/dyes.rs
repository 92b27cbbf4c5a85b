//! The dyes and their names against `tests/published/chemistry`, where the sources stand.

use crate::{PROGRAM, project};
use dyebook_documents::{Dye, DyeLookup, DyeRegister, fold_name, is_cas_number};
use dyebook_testkit::Lab;
use serde_json::Value;
use std::collections::BTreeSet;

fn bundled() -> Vec<Dye> {
    serde_json::from_value(project::json("references/dyes.json")).unwrap()
}

fn register() -> DyeRegister {
    DyeRegister::new(bundled())
}

/// What the register says of a name: the dyes that go by it.
fn found(register: &DyeRegister, name: &str) -> BTreeSet<String> {
    match register.find(name) {
        DyeLookup::Found(dye) => BTreeSet::from([dye.id.clone()]),
        DyeLookup::Ambiguous(dyes) => dyes.iter().map(|dye| dye.id.clone()).collect(),
        DyeLookup::Unknown { .. } => BTreeSet::new(),
    }
}

fn traps() -> Value {
    project::json("tests/published/chemistry/several-alias-traps.json")
}

fn texts(list: &Value) -> BTreeSet<String> {
    let list = list.as_array().unwrap().iter();
    list.map(|text| text.as_str().unwrap().to_owned()).collect()
}

#[test]
fn names_that_are_easily_confused_lead_to_the_right_dye() {
    let (register, traps) = (register(), traps());
    for trap in traps["found"].as_array().unwrap() {
        let expected = BTreeSet::from([trap["dye"].as_str().unwrap().to_owned()]);
        assert_eq!(
            found(&register, trap["asked"].as_str().unwrap()),
            expected,
            "{trap}"
        );
    }
    for trap in traps["ambiguous"].as_array().unwrap() {
        assert_eq!(
            found(&register, trap["asked"].as_str().unwrap()),
            texts(&trap["dyes"]),
            "{trap}"
        );
    }
    for trap in traps["not_found"].as_array().unwrap() {
        assert_eq!(
            found(&register, trap["asked"].as_str().unwrap()),
            BTreeSet::new(),
            "{trap}"
        );
    }
}

#[test]
fn the_program_finds_them_too_and_refuses_the_ambiguous_with_its_choices() {
    let lab = Lab::empty(PROGRAM);
    lab.done(&["library", "init"]);
    let traps = traps();
    for trap in traps["found"].as_array().unwrap() {
        let answer = lab.answer(0, &["dye", "show", trap["asked"].as_str().unwrap()]);
        assert_eq!(answer["dye"]["id"], trap["dye"], "{trap}");
    }
    for trap in traps["ambiguous"].as_array().unwrap() {
        let said = lab
            .ends_with(3, &["dye", "show", trap["asked"].as_str().unwrap()])
            .err;
        for choice in texts(&trap["dyes"]) {
            assert!(
                said.contains(&choice),
                "{choice} is not among the choices: {said}"
            );
        }
    }
    for trap in traps["not_found"].as_array().unwrap() {
        lab.ends_with(3, &["dye", "show", trap["asked"].as_str().unwrap()]);
    }
}

#[test]
fn an_ambiguous_label_on_a_sheet_is_asked_about() {
    let lab = Lab::ready(PROGRAM);
    let sheet = dyebook_testkit::SheetCsv::empty("wren").spot(
        "w",
        "standard",
        1,
        "Azorubin S",
        2.3,
        8.0,
        "red",
    );
    lab.write("wren.csv", sheet.text());
    let taken = lab.run(&["sheet", "import", "wren.csv", "--json"]).json();
    let checks = taken["sheets"][0]["checks"].as_array().unwrap();
    let label = checks
        .iter()
        .find(|check| check["check"] == "unknown-label")
        .unwrap();
    let text = label.to_string();
    assert!(
        text.contains("Amaranth") || text.contains("amaranth"),
        "{text}"
    );
    assert!(
        text.contains("Azorubine") || text.contains("azorubine"),
        "{text}"
    );
}

#[test]
fn every_registered_name_finds_its_dye_however_it_is_written() {
    let register = register();
    let mut names = 0;
    for dye in bundled() {
        for name in &dye.names {
            names += 1;
            let spaced = format!("  {} ", name.name);
            for written in [
                &name.name,
                &name.name.to_uppercase(),
                &name.name.to_lowercase(),
                &spaced,
            ] {
                let found = found(&register, written);
                assert!(
                    found.contains(&dye.id),
                    "`{written}` finds {found:?}, not {}",
                    dye.id
                );
            }
        }
    }
    assert!(names > 150, "only {names} names");
}

/// More than one dye goes by a name only where the sources say that it does.
#[test]
fn no_name_is_ambiguous_by_mistake() {
    let register = register();
    let known: BTreeSet<String> = traps()["ambiguous"]
        .as_array()
        .unwrap()
        .iter()
        .map(|trap| fold_name(trap["asked"].as_str().unwrap()))
        .collect();
    for dye in bundled() {
        for name in &dye.names {
            let several = found(&register, &name.name).len() > 1;
            assert_eq!(
                several,
                known.contains(&fold_name(&name.name)),
                "{}",
                name.name
            );
        }
    }
}

#[test]
fn the_fourteen_dyes_are_those_of_the_published_list() {
    let published = project::json("tests/published/chemistry/several-dye-identity.json");
    let dyes = project::json("references/dyes.json");
    let dyes = dyes.as_array().unwrap();
    assert_eq!(dyes.len(), published["dyes"].as_array().unwrap().len());
    for expected in published["dyes"].as_array().unwrap() {
        let dye = dyes.iter().find(|dye| dye["id"] == expected["id"]).unwrap();
        let id = expected["id"].as_str().unwrap();
        assert_eq!(dye["ci"], expected["ci"], "{id}");
        // A name that was taken from a dye is not its FD&C name any more.
        let delisted = expected["fdc"]
            .as_str()
            .is_some_and(|fdc| fdc.starts_with("former"));
        assert!(
            dye["fdc"] == expected["fdc"] || (delisted && dye["fdc"].is_null()),
            "{id}"
        );
        // One entry prints the number of the international system for want of an E number.
        let e = expected["e"].as_str().unwrap();
        assert!(
            dye["e"] == e || dye["ins"].as_str().is_some_and(|ins| e.contains(ins)),
            "{id} {e}"
        );
        let molar_mass = dye["molar_mass"]["value"].as_f64().unwrap();
        let masses = [&expected["molar_mass"], &expected["molar_mass_ca"]];
        let close = |mass: &&Value| {
            mass.as_f64()
                .is_some_and(|mass| (mass - molar_mass).abs() <= 0.03)
        };
        assert!(
            masses.iter().copied().any(|mass| close(&mass)),
            "{id} {molar_mass}"
        );
        for cas in dye["cas"].as_array().unwrap() {
            assert!(is_cas_number(cas["number"].as_str().unwrap()), "{id} {cas}");
        }
        for number in expected["cas"]
            .as_str()
            .unwrap()
            .split([' ', ';', '(', ')', ','])
        {
            if is_cas_number(number) {
                let there = dye["cas"]
                    .as_array()
                    .unwrap()
                    .iter()
                    .any(|cas| cas["number"] == number);
                assert!(there, "{id} lacks CAS {number}");
            }
        }
        let waves = dye["lambda_max_nm"].as_array().unwrap();
        // Where the published copies disagree, only the first value is settled.
        let unsettled = expected["lambda_status"]
            .as_str()
            .is_some_and(|s| s.contains("not settled"));
        let settled = if unsettled { 1 } else { usize::MAX };
        for wave in expected["lambda_nm"]
            .as_array()
            .unwrap()
            .iter()
            .take(settled)
        {
            let wave = wave.as_f64().unwrap();
            assert!(
                waves.iter().any(|w| w["value"].as_f64() == Some(wave)),
                "{id} lacks {wave} nm"
            );
        }
    }
}

#[test]
fn molar_masses_agree_with_those_of_the_formulas() {
    let file = project::json("tests/published/chemistry/chemicals-molar-masses.json");
    let dyes = project::json("references/dyes.json");
    let substances = project::json("references/substances.json");
    let mut compared = 0;
    for check in file["checks"].as_array().unwrap() {
        let columns = texts_in_order(&check["columns"]);
        let at = |name: &str| columns.iter().position(|column| column == name).unwrap();
        let wanted = ["cas", "formula", "molar_mass_g_per_mol"];
        if !wanted
            .iter()
            .all(|name| columns.iter().any(|column| column == name))
        {
            continue;
        }
        for row in check["rows"].as_array().into_iter().flatten() {
            let cas = row[at("cas")].as_str().unwrap();
            let formula = row[at("formula")].as_str().unwrap();
            let expected = row[at("molar_mass_g_per_mol")].as_f64().unwrap();
            let dye = dyes.as_array().unwrap().iter().find(|dye| {
                let same = |number: &Value| number["number"] == cas;
                dye["cas"].as_array().unwrap().iter().any(same)
                    && dye["molar_mass"]["formula"] == formula
            });
            let substance = substances
                .as_array()
                .unwrap()
                .iter()
                .find(|s| s["cas"]["number"] == cas);
            let Some(known) = dye.or(substance) else {
                continue;
            };
            let mass = known["molar_mass"]["value"].as_f64().unwrap();
            assert!(
                (mass - expected).abs() <= 0.03,
                "{} {mass} against {expected}",
                known["id"]
            );
            compared += 1;
        }
    }
    assert!(compared >= 18, "only {compared} were compared");
    let isomers = texts_in_order(&traps()["isomers"]["isomers"]);
    let mass = |id: &str| {
        let dye = dyes
            .as_array()
            .unwrap()
            .iter()
            .find(|dye| dye["id"] == id)
            .unwrap();
        dye["molar_mass"]["value"].as_f64().unwrap()
    };
    for isomer in &isomers {
        assert!((mass(isomer) - traps()["isomers"]["molar_mass"].as_f64().unwrap()).abs() < 1e-9);
    }
}

fn texts_in_order(list: &Value) -> Vec<String> {
    let list = list.as_array().unwrap().iter();
    list.map(|text| text.as_str().unwrap().to_owned()).collect()
}

#[test]
fn the_check_digit_of_cas_numbers_is_looked_at() {
    let file = project::json("tests/published/chemistry/cas-check-digit.json");
    for check in file["checks"].as_array().unwrap() {
        for number in texts(&check["expected"]["valid"]) {
            assert!(is_cas_number(&number), "{number}");
        }
        for number in texts(&check["expected"]["invalid"]) {
            assert!(!is_cas_number(&number), "{number}");
        }
    }
}

#[test]
fn a_dye_with_a_wrong_cas_number_is_refused() {
    let lab = Lab::empty(PROGRAM);
    lab.done(&["library", "init"]);
    let mut dye = project::json("references/dyes.json")[0].clone();
    dye["id"] = "meadow-green".into();
    dye["name"] = "Meadow Green".into();
    dye["names"] = serde_json::json!([{"name": "Meadow Green", "kind": "common"}]);
    dye["cas"][0]["number"] = "1934-21-3".into();
    lab.write("dye.json", dye.to_string());
    let said = lab.ends_with(3, &["dye", "add", "dye.json"]).err;
    assert!(said.contains("1934-21-3"), "{said}");
    dye["cas"][0]["number"] = "1934-21-0".into();
    lab.write("dye.json", dye.to_string());
    let added = lab.run(&["dye", "add", "dye.json", "--json"]);
    assert!([0, 3].contains(&added.code), "{added:?}");
}
