//! Two developing solvents as a page.

use crate::failure::Failure;
use crate::solvent_compare::{ComparedSolvents, ComparedVersion};
use crate::solvent_recipe::composition_in_words;
use crate::solvent_words::{dye_name, percent, with_dye_names};
use dyebook_documents::DyeRegister;
use dyebook_methods::solvents::{DyePair, OneSolvent};
use dyebook_report::{
    ComparedMethod, DyeShift, MeasureLine, PairLine, SolventComparison, solvent_comparison,
};

/// Pairs that look alike are listed from this probability on (common practice, no source).
const WORTH_A_LINE: f64 = 0.01;

/// The page of a comparison of two versions.
///
/// # Errors
/// Other than two versions: the page shows two columns.
pub fn comparison_page(
    compared: &ComparedSolvents,
    dyes: &DyeRegister,
    demo: bool,
) -> Result<String, Failure> {
    let ([a, b], [one, other]) = (
        compared.methods.as_slice(),
        compared.comparison.solvents.as_slice(),
    ) else {
        let failure = Failure::refused(
            "solvent.page-of-two",
            format!(
                "a page shows two method versions beside each other, and {} are named",
                compared.methods.len()
            ),
        );
        return Err(match &compared.comparison.best_together {
            Some([a, b]) => failure.hint(format!("dyebook solvent compare {a} {b} --html FILE")),
            None => failure,
        });
    };
    let sentences = &compared.comparison.sentences;
    Ok(solvent_comparison(&SolventComparison {
        a: compared_method(a),
        b: compared_method(b),
        dyes: shifts(one, other, dyes),
        sentences: sentences.iter().map(|s| with_dye_names(s, dyes)).collect(),
        pairs: pair_lines(one, other, compared.comparison.window, dyes),
        measures: measures(one, other),
        notes: notes(compared, dyes),
        demo,
        program: crate::solvent_words::PROGRAM.to_owned(),
    }))
}

fn compared_method(version: &ComparedVersion) -> ComparedMethod {
    ComparedMethod {
        method: version.method.clone(),
        state: version.state.word().to_owned(),
        digest: version.digest.to_string(),
        composition: composition_in_words(&version.document.developer),
    }
}

fn shifts(one: &OneSolvent, other: &OneSolvent, dyes: &DyeRegister) -> Vec<DyeShift> {
    one.dyes
        .iter()
        .map(|placed| DyeShift {
            dye: dye_name(&placed.dye, dyes),
            colours: placed.colours.join(", "),
            a: Some(placed.rf),
            b: other
                .dyes
                .iter()
                .find(|there| there.dye == placed.dye)
                .map(|there| there.rf),
        })
        .collect()
}

fn pair_lines(
    one: &OneSolvent,
    other: &OneSolvent,
    window: f64,
    dyes: &DyeRegister,
) -> Vec<PairLine> {
    let there = |pair: &DyePair| {
        let same = |candidate: &&DyePair| pair.dyes.iter().all(|dye| candidate.dyes.contains(dye));
        other.pairs.iter().find(same).cloned()
    };
    let mut both: Vec<(DyePair, DyePair)> = one
        .pairs
        .iter()
        .filter_map(|pair| Some((pair.clone(), there(pair)?)))
        .filter(|(a, b)| {
            let risky = |pair: &DyePair| pair.like_coloured && pair.confusion >= WORTH_A_LINE;
            risky(a) || risky(b) || a.gap <= window || b.gap <= window
        })
        .collect();
    let weight = |pair: &(DyePair, DyePair)| {
        let alike = pair.0.like_coloured || pair.1.like_coloured;
        (alike, pair.0.confusion.max(pair.1.confusion))
    };
    both.sort_by(|p, q| {
        let (p, q) = (weight(p), weight(q));
        q.0.cmp(&p.0).then_with(|| q.1.total_cmp(&p.1))
    });
    both.into_iter()
        .map(|(a, b)| PairLine {
            pair: format!(
                "{} and {}",
                dye_name(&a.dyes[0], dyes),
                dye_name(&a.dyes[1], dyes)
            ),
            gap_a: format!("{:.3}", a.gap),
            risk_a: risk(&a),
            gap_b: format!("{:.3}", b.gap),
            risk_b: risk(&b),
            note: match (a.like_coloured || b.like_coloured, a.dyes == b.dyes) {
                (true, true) => "look alike".to_owned(),
                (true, false) => "look alike; order reversed".to_owned(),
                (false, true) => "told apart by colour".to_owned(),
                (false, false) => "told apart by colour; order reversed".to_owned(),
            },
        })
        .collect()
}

/// The probability alone and after bridging, and the resolution where it is known.
fn risk(pair: &DyePair) -> String {
    let bridged = pair
        .confusion_bridged
        .map(|risk| format!("bridged {}", percent(risk)));
    let resolution = pair.resolution.map(|rs| format!("Rs {rs:.1}"));
    let parts = [Some(percent(pair.confusion)), bridged, resolution];
    parts.into_iter().flatten().collect::<Vec<_>>().join("; ")
}

/// One row of the measures: name, how it is read off, what it means.
type Measure = (&'static str, fn(&OneSolvent) -> String, &'static str);

const MEASURES: [Measure; 9] = [
    (
        "Smallest gap",
        |s| format!("{:.3}", s.smallest_gap),
        "Rf between the two nearest dyes; more is better",
    ),
    (
        "Smallest gap of dyes that look alike",
        |s| {
            s.smallest_gap_like_coloured
                .map_or_else(|| "no two look alike".to_owned(), |gap| format!("{gap:.3}"))
        },
        "the gap that colour can't make up for; more is better",
    ),
    (
        "Pairs not separated",
        |s| s.pairs_not_separated.to_string(),
        "pairs within the window; fewer is better",
    ),
    (
        "Discriminating power",
        |s| format!("{:.3}", s.discriminating_power),
        "share of pairs further apart than the window; 1 is best",
    ),
    (
        "Mean list length",
        |s| format!("{:.2}", s.mean_list_length),
        "dyes that a spot could be by Rf alone, on average; 1 is best",
    ),
    (
        "Retention uniformity",
        |s| format!("{:.3}", s.retention_uniformity),
        "1 for equal steps over the paper",
    ),
    (
        "Retention distance",
        |s| format!("{:.3}", s.retention_distance),
        "1 for equal steps, 0 where two dyes coincide",
    ),
    (
        "Multispot response",
        |s| format!("{:.3}", s.multispot_response),
        "1 for equal steps, 0 where two dyes coincide",
    ),
    (
        "Share between Rf 0.1 and 0.9",
        |s| format!("{:.0} %", 100.0 * s.share_in_working_range),
        "dyes where Rf says most; more is better",
    ),
];

fn measures(one: &OneSolvent, other: &OneSolvent) -> Vec<MeasureLine> {
    MEASURES
        .iter()
        .map(|(name, value, meaning)| MeasureLine {
            name: (*name).to_owned(),
            a: value(one),
            b: value(other),
            meaning: (*meaning).to_owned(),
        })
        .collect()
}

fn notes(compared: &ComparedSolvents, dyes: &DyeRegister) -> Vec<String> {
    let comparison = &compared.comparison;
    let mut notes = Vec::new();
    for left_out in &comparison.left_out {
        notes.push(format!(
            "{} is left out: no reference in {}.",
            dye_name(&left_out.dye, dyes),
            left_out.missing_in.join(", ")
        ));
    }
    for two in &comparison.together {
        notes.push(together_sentence(two));
    }
    notes.push(format!(
        "Two dyes within {} in Rf count as not separated.",
        comparison.window
    ));
    for version in compared.methods.iter().filter(|m| !m.widths_known) {
        notes.push(format!(
            "No sheet of {} records spot widths, so no resolution is worked out for it.",
            version.method
        ));
    }
    notes
}

/// What two solvents do together, in a sentence.
pub fn together_sentence(two: &dyebook_methods::solvents::TwoSolvents) -> String {
    let correlation = two.correlation.map_or_else(String::new, |r| {
        format!(
            "; their Rf values are correlated with r = {r:.2}, and the lower that is, the more the \
             second one adds"
        )
    });
    format!(
        "Used together, {} and {} leave {} of the pairs unseparated (discriminating power {:.3}, \
         mean list length {:.2}){correlation}.",
        two.methods[0],
        two.methods[1],
        two.pairs_not_separated,
        two.discriminating_power,
        two.mean_list_length
    )
}
