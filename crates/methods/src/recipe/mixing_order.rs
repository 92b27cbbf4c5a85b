//! In which order the liquid is made up.

use crate::composition::{Content, digits, substance};

/// Share of the water that is put in first (common practice, no source).
const WATER_FIRST: &str = "about two thirds of the water";

/// The steps, one sentence each. Concentrated acid goes into water, never the other way round.
pub(super) fn mixing_order(
    contents: &[Content],
    volume_ml: f64,
    filler: Option<&str>,
) -> Vec<String> {
    let is = |content: &&Content, test: fn(&crate::composition::Substance) -> bool| {
        substance(&content.substance).is_some_and(test)
    };
    let solids: Vec<&Content> = contents
        .iter()
        .filter(|c| {
            !is(c, |s| {
                s.liquid_when_pure || s.id == "ammonia" || s.id == "hydrochloric-acid"
            })
        })
        .collect();
    let acids: Vec<&Content> = contents
        .iter()
        .filter(|c| {
            is(c, |s| {
                s.acid.is_some() && (s.liquid_when_pure || s.id == "hydrochloric-acid")
            })
        })
        .collect();
    let others: Vec<&Content> = contents
        .iter()
        .filter(|c| !solids.contains(c) && !acids.contains(c))
        .collect();
    let filler = filler.unwrap_or("water");
    let mut steps = vec![if filler == "water" {
        format!("put {WATER_FIRST} into the vessel")
    } else {
        format!("put some of the {filler} into the vessel")
    }];
    if !solids.is_empty() {
        steps.push(format!(
            "add {} and stir until all is dissolved",
            names(&solids)
        ));
    }
    if !others.is_empty() {
        steps.push(format!("add {}, stirring", names(&others)));
    }
    if !acids.is_empty() {
        steps.push(format!(
            "pour {} slowly into the water, stirring: acid into water, never water into acid",
            names(&acids)
        ));
    }
    steps.push(format!(
        "make up to {} mL with {filler} and mix",
        digits(volume_ml)
    ));
    steps.push("label the bottle, fill in the batch record, check the pH".to_owned());
    steps.push("local rules decide who may do this and where".to_owned());
    steps
}

fn names(list: &[&Content]) -> String {
    let names: Vec<&str> = list.iter().map(|c| c.name.as_str()).collect();
    names.join(", then ")
}
