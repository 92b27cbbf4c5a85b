//! What a class saw: how its spots were decided, how the dye standards spread, and how often the
//! names are right where the record says what the samples hold.
//!
//! Each method version is counted by itself: Rf and verdicts under two of them are not two looks at
//! one thing.

use crate::failure::Failure;
use crate::invented::is_invented;
use crate::matcher::Matcher;
use crate::references::standards::{Standards, standards};
use crate::resolve_method::resolve_method;
use crate::strategy_compare::ask;
use crate::strategy_compare_cases::{AskedLane, Cases, kept_cases};
use crate::strategy_compare_score::rates;
use crate::strategy_compare_words::spot_verdict;
use dyebook_documents::{
    Decision, DyeRegister, Method, Range, SpotIdentity, StrategyStamp, counted,
};
use dyebook_library::{KeptSheet, Library};
use dyebook_statistics::summary::{median, robust_sd};
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// What a class saw, method version by method version.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ClassFigures {
    /// Which sheets, in words.
    pub covers: String,
    /// The strategy that decided.
    pub strategy: StrategyStamp,
    /// The versions; nothing is pooled across them.
    pub versions: Vec<ClassVersion>,
    /// What must be known with the figures.
    pub notes: Vec<String>,
    /// Whether a method is invented for the demo.
    #[serde(skip)]
    pub demo: bool,
}

/// What the class saw under one method version.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ClassVersion {
    /// `id@version`.
    pub method: String,
    /// Its sheets.
    pub sheets: usize,
    /// All sections together.
    pub all: Tally,
    /// Section by section.
    pub sections: Vec<SectionFigures>,
    /// What was said of the sample spots.
    pub identities: Vec<IdentityLine>,
    /// How the dye standards spread.
    pub standards: Vec<StandardSpread>,
    /// Spots of dye standards left out of that, each for a reason that `reference establish` names.
    pub standards_left_out: usize,
}

/// One class section.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SectionFigures {
    /// Its name, where the sheets have one.
    pub section: Option<String>,
    /// Its figures.
    #[serde(flatten)]
    pub tally: Tally,
    /// Its groups, sheet by sheet; none where they were left out.
    pub groups: Vec<GroupFigures>,
}

/// One sheet of a group.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GroupFigures {
    /// The group.
    pub group: String,
    /// Its sheet.
    pub sheet: String,
    /// Its figures.
    #[serde(flatten)]
    pub tally: Tally,
}

/// How sample spots were decided, and how often rightly.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Tally {
    /// Sample spots.
    pub spots: usize,
    /// One identity.
    pub decided: usize,
    /// Several, or one or none.
    pub undecided: usize,
    /// Said to be in no reference set.
    pub not_in_set: usize,
    /// Not judged at all.
    pub not_evaluable: usize,
    /// Spots of lanes whose content is recorded.
    pub judged: usize,
    /// Of those, rightly named or rightly said to be in no reference set.
    pub right: usize,
    /// Of those, named what is not there, or falsely said to be in no reference set.
    pub wrong: usize,
}

/// One verdict and how often it was given.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct IdentityLine {
    /// Class section.
    pub section: Option<String>,
    /// The verdict in words.
    pub verdict: String,
    /// Spots.
    pub spots: usize,
    /// Groups that saw one.
    pub groups: usize,
}

/// The Rf of one dye's standards over the class.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StandardSpread {
    /// Dye identifier.
    pub dye: String,
    /// Its name.
    pub name: String,
    /// Spots.
    pub spots: usize,
    /// Sheets they come from.
    pub sheets: usize,
    /// Median Rf.
    pub median: f64,
    /// Standard deviation by the median absolute deviation, in Rf; none for a single spot.
    pub robust_sd: Option<f64>,
    /// The lowest and the highest Rf.
    pub seen: Range,
    /// What the method expects, where it has the dye.
    pub expected: Option<Range>,
    /// Spots outside of that.
    pub outside: Option<usize>,
}

/// A sample lane with its answers and whose it is.
struct Answered<'a> {
    kept: &'a KeptSheet,
    lane: &'a AskedLane,
    spots: &'a [SpotIdentity],
}

/// The figures of these sheets, each by the version that it is bound to. Nothing is stored.
///
/// `with_groups` gives each group's own figures; a page that the class sees goes without.
///
/// # Errors
/// No sheets, a strategy that can't be used, what the library says.
pub fn class_figures(
    library: &Library,
    dyes: &DyeRegister,
    sheets: &[KeptSheet],
    matcher: &mut dyn Matcher,
    with_groups: bool,
) -> Result<ClassFigures, Failure> {
    if sheets.is_empty() {
        return Err(Failure::refused(
            "report.no-sheets",
            "there are no sheets to make class figures of",
        )
        .hint("`dyebook sheet list` shows which sheets are kept, with their sections"));
    }
    let all = kept_cases(library, dyes, sheets)?;
    let mut versions = vec![];
    let mut demo = false;
    for of_version in all.chunk_by(|a, b| a.method == b.method) {
        let Some(name) = of_version.first().map(|one| &one.method) else {
            continue;
        };
        let method = resolve_method(library, name)?.method()?;
        demo |= is_invented(&method);
        let bound: Vec<KeptSheet> = sheets
            .iter()
            .filter(|kept| format!("{}@{}", kept.method_id, kept.method_version) == *name)
            .cloned()
            .collect();
        let known = standards(library, dyes, &bound, &method, &library.exclusions()?)?;
        let answers = ask(matcher, of_version)?.lanes;
        let answered = answered(of_version, &answers, &bound);
        versions.push(ClassVersion {
            method: name.clone(),
            sheets: bound.len(),
            all: tally(answered.iter(), &method),
            sections: sections(&answered, &method, with_groups),
            identities: identities(&answered, dyes),
            standards: spreads(&known, &method, dyes),
            standards_left_out: known.left_out.len(),
        });
    }
    Ok(ClassFigures {
        covers: format!(
            "{} under {}",
            counted(sheets.len(), "sheet"),
            counted(versions.len(), "method version")
        ),
        strategy: matcher.stamp(),
        notes: notes(&versions),
        versions,
        demo,
    })
}

fn answered<'a>(
    cases: &'a [Cases],
    answers: &'a [Vec<SpotIdentity>],
    bound: &'a [KeptSheet],
) -> Vec<Answered<'a>> {
    let by_id: BTreeMap<&str, &KeptSheet> = bound.iter().map(|one| (&*one.id, one)).collect();
    let lanes = cases.iter().flat_map(|cases| &cases.lanes).zip(answers);
    lanes
        .filter_map(|(lane, spots)| {
            let kept = by_id.get(&*lane.sheet)?;
            Some(Answered { kept, lane, spots })
        })
        .collect()
}

fn notes(versions: &[ClassVersion]) -> Vec<String> {
    let mut notes = vec![];
    if versions.len() > 1 {
        notes.push(format!(
            "each of the {} method versions is counted by itself; no figure runs over two of them",
            versions.len()
        ));
    }
    if versions.iter().any(|one| one.all.judged < one.all.spots) {
        notes.push(
            "right and wrong are counted only where it is recorded what the samples hold \
             (`dyebook sheet truth`)"
                .to_owned(),
        );
    }
    notes
}

fn tally<'a>(answered: impl Iterator<Item = &'a Answered<'a>>, method: &Method) -> Tally {
    let mut tally = Tally::default();
    let lanes: Vec<_> = answered.map(|one| (one.lane, one.spots)).collect();
    for spot in lanes.iter().flat_map(|(_, spots)| *spots) {
        tally.spots += 1;
        *match spot.decision {
            Decision::Identified => &mut tally.decided,
            Decision::Indistinguishable => &mut tally.undecided,
            Decision::NotInReferenceSet => &mut tally.not_in_set,
            Decision::NotEvaluable | Decision::NoValidReference => &mut tally.not_evaluable,
        } += 1;
    }
    let rates = rates(lanes.into_iter(), &|_, dye| method.reference(dye).is_some());
    tally.judged = rates.judged;
    tally.right = rates.right;
    tally.wrong = rates.wrong + rates.false_not_in_set;
    tally
}

fn sections(answered: &[Answered<'_>], method: &Method, with_groups: bool) -> Vec<SectionFigures> {
    let section = |one: &Answered<'_>| one.kept.sheet.section.clone();
    let names: BTreeSet<Option<String>> = answered.iter().map(section).collect();
    let mut out = vec![];
    for name in names {
        let mine: Vec<&Answered<'_>> = answered.iter().filter(|one| section(one) == name).collect();
        let sheets: BTreeMap<&str, &KeptSheet> = mine
            .iter()
            .filter(|_| with_groups)
            .map(|one| (&*one.kept.id, one.kept))
            .collect();
        let of_sheet =
            |id: &str| tally(mine.iter().copied().filter(|one| one.kept.id == id), method);
        out.push(SectionFigures {
            tally: tally(mine.iter().copied(), method),
            groups: sheets
                .values()
                .map(|kept| GroupFigures {
                    group: kept.sheet.group.clone(),
                    sheet: kept.id.clone(),
                    tally: of_sheet(&kept.id),
                })
                .collect(),
            section: name,
        });
    }
    out
}

fn identities(answered: &[Answered<'_>], dyes: &DyeRegister) -> Vec<IdentityLine> {
    let mut seen: BTreeMap<_, (usize, BTreeSet<&str>)> = BTreeMap::new();
    for one in answered {
        for spot in one.spots {
            let key = (one.kept.sheet.section.as_deref(), spot_verdict(spot, dyes));
            let (spots, groups) = seen.entry(key).or_default();
            *spots += 1;
            groups.insert(&one.kept.sheet.group);
        }
    }
    let lines = seen
        .into_iter()
        .map(|((section, verdict), (spots, groups))| IdentityLine {
            section: section.map(str::to_owned),
            verdict,
            spots,
            groups: groups.len(),
        });
    lines.collect()
}

fn spreads(known: &Standards, method: &Method, dyes: &DyeRegister) -> Vec<StandardSpread> {
    let mut by_dye: BTreeMap<&str, Vec<(f64, &str)>> = BTreeMap::new();
    for spot in &known.spots {
        let of_dye = by_dye.entry(&spot.dye).or_default();
        of_dye.push((spot.rf, &spot.place.sheet));
    }
    let spread = |(dye, spots): (&str, Vec<(f64, &str)>)| {
        let rf: Vec<f64> = spots.iter().map(|spot| spot.0).collect();
        let sheets: BTreeSet<&str> = spots.iter().map(|spot| spot.1).collect();
        let expected = method.reference(dye).map(|one| one.expected_rf);
        let outside = |range: Range| {
            rf.iter()
                .filter(|x| **x < range.low || **x > range.high)
                .count()
        };
        Some(StandardSpread {
            dye: dye.to_owned(),
            name: dyes
                .by_id(dye)
                .map_or_else(|| dye.to_owned(), |one| one.name.clone()),
            spots: rf.len(),
            sheets: sheets.len(),
            median: median(&rf).ok()?,
            robust_sd: robust_sd(&rf).ok(),
            seen: Range {
                low: rf.iter().copied().fold(f64::INFINITY, f64::min),
                high: rf.iter().copied().fold(f64::NEG_INFINITY, f64::max),
            },
            outside: expected.map(outside),
            expected,
        })
    };
    by_dye.into_iter().filter_map(spread).collect()
}
