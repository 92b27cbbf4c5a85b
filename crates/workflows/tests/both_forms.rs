//! A bundled plug-in says the same in the binary form and in JSON.

use dyebook_plugin::strategy::{ColourWord, KnownLane, MatchRequest, Reference, ReferenceSet};
use dyebook_plugin::strategy::{Lane, Sheet, Spot};
use dyebook_plugin_host::{ImportOutcome, Plugins, Settings};
use dyebook_workflows::BUNDLED;

fn plugins() -> Plugins {
    Plugins::new(BUNDLED, Settings::default())
}

fn set() -> ReferenceSet {
    let mut set = ReferenceSet::default();
    set.colour_words = vec![
        ColourWord::new("red", &["pink"]),
        ColourWord::new("blue", &[]),
    ];
    for (number, colour) in (0..8_u32).zip(["red", "blue"].into_iter().cycle()) {
        let rf = 0.1 + 0.11 * f64::from(number);
        let mut reference = Reference::new(&format!("dye-{number}"), rf - 0.04, rf + 0.04);
        reference.colours = vec![colour.to_owned()];
        set.references.push(reference);
    }
    set
}

fn spot(number: u32, rf: f64, colour: Option<&str>) -> Spot {
    let mut spot = Spot::new(number, rf, 0.007);
    spot.colour = colour.map(Into::into);
    spot
}

/// Lanes of all kinds: many dyes, none, spots without an Rf, words with letters of many bytes.
fn request() -> MatchRequest {
    let mut request = MatchRequest::default();
    for number in 0..90_u32 {
        let mut lane = Lane::default();
        lane.id = format!("question {number} ÅΩ").into();
        lane.sheet = format!("sheet-{}", number / 12).into();
        (lane.paper, lane.lane, lane.role) = ("2".into(), number % 12 + 1, "sample".into());
        for spot_number in 1..=number % 4 {
            let rf = f64::from(number * 7 + spot_number * 23) % 100.0 / 100.0;
            let colour = [None, Some("red"), Some("pink"), Some("blå")][number as usize % 4];
            lane.spots.push(spot(spot_number, rf, colour));
        }
        if let Some(last) = lane.spots.last_mut().filter(|_| number % 9 == 0) {
            (last.rf, last.unusable) = (None, Some("the front of this lane is missing".into()));
        }
        request.lanes.push(lane);
    }
    for number in 0..8 {
        let mut sheet = Sheet::default();
        sheet.sheet = format!("sheet-{number}").into();
        let mut known = KnownLane::default();
        (known.paper, known.lane, known.role) = ("2".into(), 1, "bridging".into());
        known.dyes = vec!["dye-2".into()];
        known.spots = vec![spot(1, 0.33, Some("red"))];
        sheet.known.push(known);
        request.sheets.push(sheet);
    }
    request
}

#[test]
fn every_bundled_strategy_answers_alike_in_both_forms() {
    for id in ["co-run", "nearest", "posterior", "range"] {
        let mut binary = plugins().strategy(id).unwrap();
        let mut json = plugins().strategy(id).unwrap().in_json();
        binary.prepare(&set()).unwrap();
        json.prepare(&set()).unwrap();
        let answers = binary.match_lanes(&request()).unwrap();
        assert!(answers.iter().any(|lane| lane.answer.is_ok()), "{id}");
        assert_eq!(answers, json.match_lanes(&request()).unwrap(), "{id}");
    }
}

#[test]
fn every_bundled_importer_reads_alike_in_both_forms() {
    let csv = "section,group,date,method,paper,lane,label,distance_cm,front_cm,colour,remark\n\
               A,heron,2026-10-05,m@1.0.0,1,1,Blue 1,7.36,8.00,blue,\n\
               A,heron,2026-10-05,m@1.0.0,1,2,Q1,,8.0,,no spot\n";
    let remarked = format!("# begun late\n{}", csv.replacen("blue", "bl\u{e5}", 1));
    let sheet = serde_json::json!({"rows": [], "units": {"distance": "cm"}}).to_string();
    let wrong = "A,heron,2026-10-05,m@1.0.0,1,one,Blue 1,7.36,8.00,blue,\n".repeat(150);
    let wrong = csv.to_owned() + &wrong;
    let files: [(&str, &[u8]); 6] = [
        ("sheet", csv.as_bytes()),
        ("sheet", remarked.as_bytes()),
        ("sheet", b"group;method\nheron;x@1\n"),
        ("sheet", wrong.as_bytes()),
        ("json", sheet.as_bytes()),
        ("workbook", b"no workbook"),
    ];
    let (mut taken, mut most) = (0, 0);
    for (id, bytes) in files {
        let binary = plugins().importer(id).unwrap().import("f", bytes).unwrap();
        let json = plugins().importer(id).unwrap().in_json();
        assert_eq!(binary, json.import("f", bytes).unwrap(), "{id}");
        match binary {
            ImportOutcome::Imported(_) => taken += 1,
            ImportOutcome::Refused { problems } => most = most.max(problems.len()),
        }
    }
    assert_eq!((taken, most), (2, 150));
}
