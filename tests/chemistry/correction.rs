//! Published reference sets for correction by co-run standards.

use crate::project;
use dyebook_statistics::planar::{Anchor, correct_by_polygon, correct_by_two};

/// Clarke's reference sets: standards that ran just as the list says correct nothing, and
/// standards that all ran a tenth too far are brought back.
#[test]
fn published_reference_sets_can_be_used_as_anchors() {
    let file = project::json("tests/published/chemistry/clarke-hrf-reference-sets.json");
    let systems = file["systems"].as_array().unwrap();
    assert_eq!(systems.len(), 6);
    for system in systems {
        let known: Vec<f64> = system["refs"]
            .as_array()
            .unwrap()
            .iter()
            .map(|pair| pair[1].as_f64().unwrap() / 100.0)
            .collect();
        let as_listed: Vec<Anchor> = known
            .iter()
            .map(|rf| Anchor {
                observed: *rf,
                reference: *rf,
            })
            .collect();
        let too_far: Vec<Anchor> = known
            .iter()
            .map(|rf| Anchor {
                observed: rf * 1.1,
                reference: *rf,
            })
            .collect();
        for rf in [0.1, 0.33, 0.5, known[1], known[3]] {
            let same = correct_by_polygon(&as_listed, rf, 1.0, 0.05).unwrap();
            assert!((same.value - rf).abs() < 1e-12, "{} {rf}", system["id"]);
        }
        for rf in &known {
            let back = correct_by_polygon(&too_far, rf * 1.1, 1.0, 0.05).unwrap();
            assert!((back.value - rf).abs() < 1e-12, "{} {rf}", system["id"]);
            let back = correct_by_two(too_far[0], too_far[3], rf * 1.1, 0.05).unwrap();
            assert!((back.value - rf).abs() < 1e-12, "{} {rf}", system["id"]);
        }
    }
}
