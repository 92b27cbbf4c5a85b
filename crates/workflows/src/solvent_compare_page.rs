//! Developing solvents beside each other as a page.

use crate::invented::is_invented;
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

/// The page of a comparison of two or more versions.
pub fn comparison_page(compared: &ComparedSolvents, dyes: &DyeRegister) -> String {
    let comparison = &compared.comparison;
    let sentences = &comparison.sentences;
    solvent_comparison(&SolventComparison {
        methods: compared.methods.iter().map(compared_method).collect(),
        dyes: shifts(&comparison.solvents, dyes),
        sentences: sentences.iter().map(|s| with_dye_names(s, dyes)).collect(),
        pairs: pair_lines(&comparison.solvents, comparison.window, dyes),
        measures: measures(&comparison.solvents),
        notes: notes(compared, dyes),
        demo: compared
            .methods
            .iter()
            .any(|one| is_invented(&one.document)),
        program: crate::solvent_words::PROGRAM.to_owned(),
    })
}

fn compared_method(version: &ComparedVersion) -> ComparedMethod {
    ComparedMethod {
        method: version.method.clone(),
        state: version.state.word().to_owned(),
        digest: version.digest.to_string(),
        composition: composition_in_words(&version.document.developer),
    }
}

fn shifts(solvents: &[OneSolvent], dyes: &DyeRegister) -> Vec<DyeShift> {
    let first = solvents.first().into_iter().flat_map(|one| &one.dyes);
    first
        .map(|placed| DyeShift {
            dye: dye_name(&placed.dye, dyes),
            colours: placed.colours.join(", "),
            rf: solvents
                .iter()
                .map(|solvent| {
                    let mut there = solvent.dyes.iter();
                    there.find(|one| one.dye == placed.dye).map(|one| one.rf)
                })
                .collect(),
        })
        .collect()
}

/// The pairs that are risky or not separated anywhere, those that look alike first.
fn pair_lines(solvents: &[OneSolvent], window: f64, dyes: &DyeRegister) -> Vec<PairLine> {
    let first = solvents.first().into_iter().flat_map(|one| &one.pairs);
    let mut lines: Vec<(bool, f64, PairLine)> = first
        .filter_map(|pair| everywhere(pair, solvents))
        .filter(|pairs| {
            let risky = |pair: &&DyePair| pair.like_coloured && pair.confusion >= WORTH_A_LINE;
            pairs.iter().any(|pair| risky(pair) || pair.gap <= window)
        })
        .map(|pairs| {
            let alike = pairs.iter().any(|pair| pair.like_coloured);
            let worst = pairs.iter().map(|pair| pair.confusion).fold(0.0, f64::max);
            (alike, worst, pair_line(&pairs, alike, dyes))
        })
        .collect();
    lines.sort_by(|p, q| q.0.cmp(&p.0).then_with(|| q.1.total_cmp(&p.1)));
    lines.into_iter().map(|(.., line)| line).collect()
}

/// A pair as it is in each solvent, if all of them have it.
fn everywhere<'a>(pair: &DyePair, solvents: &'a [OneSolvent]) -> Option<Vec<&'a DyePair>> {
    let same = |other: &&DyePair| pair.dyes.iter().all(|dye| other.dyes.contains(dye));
    let found = solvents.iter().map(|one| one.pairs.iter().find(same));
    found.collect()
}

fn pair_line(pairs: &[&DyePair], alike: bool, dyes: &DyeRegister) -> PairLine {
    let names = pairs.first().map_or_else(Vec::new, |pair| {
        pair.dyes.iter().map(|dye| dye_name(dye, dyes)).collect()
    });
    let look = if alike {
        "look alike"
    } else {
        "told apart by colour"
    };
    let turned = pairs.windows(2).any(|two| two[0].dyes != two[1].dyes);
    let turned = if turned { "; order reversed" } else { "" };
    PairLine {
        pair: names.join(" and "),
        gaps: pairs
            .iter()
            .map(|pair| [format!("{:.3}", pair.gap), risk(pair)])
            .collect(),
        note: format!("{look}{turned}"),
    }
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

fn measures(solvents: &[OneSolvent]) -> Vec<MeasureLine> {
    MEASURES
        .iter()
        .map(|(name, value, meaning)| MeasureLine {
            name: (*name).to_owned(),
            values: solvents.iter().map(value).collect(),
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
