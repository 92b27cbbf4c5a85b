//! Is everything fit for a class: go, go with restrictions, or stop.

mod controls;
mod fronts;
mod other_spots;
mod pairs;

use crate::context::Context;
use crate::sheet_view::SheetView;
use dyebook_documents::{MethodState, Where};
use serde::Serialize;

pub use pairs::PairToday;

/// What a suitability paper says before a class starts.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Suitability {
    /// Method version, `id@version`.
    pub method: String,
    /// Batch of developing solvent, as on the sheet.
    pub batch: Option<String>,
    /// The worst that any item says.
    pub verdict: Verdict,
    /// The verdict and what it rests on, in a sentence.
    pub summary: String,
    /// What was held against which limit.
    pub items: Vec<SuitabilityItem>,
    /// Pairs of dyes that have to be told apart by Rf, with whether they can be today.
    pub pairs: Vec<PairToday>,
}

/// Whether a class may start.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub enum Verdict {
    /// Everything that was tested holds.
    #[serde(rename = "go")]
    Go,
    /// The class may start if what is named is left out or told.
    #[serde(rename = "go with restrictions")]
    GoWithRestrictions,
    /// The class must not start before something was done.
    #[serde(rename = "stop")]
    Stop,
}

impl Verdict {
    /// The words shown.
    pub fn words(self) -> &'static str {
        match self {
            Self::Go => "go",
            Self::GoWithRestrictions => "go with restrictions",
            Self::Stop => "stop",
        }
    }
}

/// One thing that was held against a limit.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SuitabilityItem {
    /// What, e.g. `front-length`.
    pub item: &'static str,
    /// Where.
    #[serde(rename = "where")]
    pub place: Where,
    /// How it came out.
    pub outcome: Outcome,
    /// In a sentence, with the numbers and the limit.
    pub message: String,
}

/// How an item came out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub enum Outcome {
    /// Within its limit.
    #[serde(rename = "met")]
    Met,
    /// The sheet doesn't say.
    #[serde(rename = "not tested")]
    NotTested,
    /// Something must be left out or told.
    #[serde(rename = "restricts")]
    Restricts,
    /// Something must be done first.
    #[serde(rename = "stops")]
    Stops,
}

impl SuitabilityItem {
    fn new(item: &'static str, place: Where, outcome: Outcome, message: impl Into<String>) -> Self {
        Self {
            item,
            place,
            outcome,
            message: message.into(),
        }
    }
}

/// Holds the papers of a sheet against the method's acceptance limits and controls.
///
/// The limits are the method's; what it doesn't limit is not judged. A control outside its expected
/// range but within three standard deviations restricts, beyond them it stops, as a warning and an
/// action limit of a control chart do.
///
/// # Source
/// System suitability testing as in pharmacopoeial practice (from memory); warning and action
/// limits at 2 and 3 SD: ISO 7870-2 (from memory)
pub fn suitability(context: &Context<'_>) -> Suitability {
    let sheet = SheetView::new(context);
    let pairs = pairs::pairs_today(&sheet);
    let mut items = vec![];
    items.extend(method_in_use(context));
    items.extend(fronts::fronts(&sheet));
    items.extend(controls::controls(&sheet));
    items.extend(other_spots::other_spots(&sheet));
    items.extend(measuring(&sheet));
    items.extend(not_on_a_sheet(context));
    items.extend(pairs.iter().map(PairToday::item));
    let worst = items
        .iter()
        .map(|item| item.outcome)
        .max()
        .unwrap_or(Outcome::NotTested);
    let verdict = match worst {
        Outcome::Met | Outcome::NotTested => Verdict::Go,
        Outcome::Restricts => Verdict::GoWithRestrictions,
        Outcome::Stops => Verdict::Stop,
    };
    Suitability {
        method: context.method.name(),
        batch: context.sheet.batch.clone(),
        verdict,
        summary: summary(verdict, &items),
        items,
        pairs,
    }
}

fn summary(verdict: Verdict, items: &[SuitabilityItem]) -> String {
    let count = |outcome| items.iter().filter(|item| item.outcome == outcome).count();
    let deciding = match verdict {
        Verdict::Go => None,
        Verdict::GoWithRestrictions => Some(Outcome::Restricts),
        Verdict::Stop => Some(Outcome::Stops),
    };
    let because: Vec<&str> = items
        .iter()
        .filter(|item| Some(item.outcome) == deciding)
        .map(|item| item.message.as_str())
        .collect();
    let tested = items.len() - count(Outcome::NotTested);
    let of = format!("{} of {tested} items met", count(Outcome::Met));
    if because.is_empty() {
        format!("{} ({of})", verdict.words())
    } else {
        format!("{} ({of}): {}", verdict.words(), because.join("; "))
    }
}

fn method_in_use(context: &Context<'_>) -> Option<SuitabilityItem> {
    let name = context.method.name();
    let (outcome, message) = match context.method_state {
        MethodState::Approved => return None,
        MethodState::Superseded => (
            Outcome::Restricts,
            format!("{name} has been superseded by a later version"),
        ),
        MethodState::Draft => (Outcome::Restricts, format!("{name} is a draft")),
        MethodState::Withdrawn => (Outcome::Stops, format!("{name} has been withdrawn")),
    };
    Some(SuitabilityItem::new(
        "method",
        Where::sheet(),
        outcome,
        message,
    ))
}

/// Standards that look measured wrongly say nothing about the solvent.
fn measuring(sheet: &SheetView<'_>) -> Vec<SuitabilityItem> {
    let clear = sheet
        .signatures
        .iter()
        .filter(|signature| signature.is_clear());
    clear
        .map(|signature| {
            let message = format!(
                "measure again: the standards are consistent with {}",
                crate::signatures::reading(sheet, signature)
            );
            let place = match signature.papers.as_slice() {
                [paper] => Where::paper(paper),
                _ => Where::sheet(),
            };
            SuitabilityItem::new("measuring", place, Outcome::Stops, message)
        })
        .collect()
}

/// Limits that a data sheet has no column for.
fn not_on_a_sheet(context: &Context<'_>) -> Vec<SuitabilityItem> {
    let acceptance = context.method.acceptance.as_ref();
    let time = acceptance
        .and_then(|limits| limits.run_minutes)
        .map(|range| {
            format!(
                "development time must be {} to {} min; the sheet doesn't say",
                range.low, range.high
            )
        });
    let tail = acceptance
        .and_then(|limits| limits.tail_length_max)
        .map(|limit| format!("tails may be up to {limit} spot widths; the sheet doesn't say"));
    let of = |item, message: Option<String>| {
        message.map(|text| SuitabilityItem::new(item, Where::sheet(), Outcome::NotTested, text))
    };
    [of("development-time", time), of("tail-length", tail)]
        .into_iter()
        .flatten()
        .collect()
}

#[cfg(test)]
mod tests {
    use super::{Suitability, Verdict, suitability};
    use crate::example::Example;
    use dyebook_documents::MethodState;

    fn of(example: &Example) -> Suitability {
        example.in_context(suitability)
    }

    /// The clean standards paper, two of its dyes named as controls.
    fn control_paper() -> Example {
        Example::clean().with(|e| {
            e.sheet.lanes.retain(|lane| lane.paper == "1");
            e.method.controls = Some(vec!["erythrosine".into(), "brilliant-blue-fcf".into()]);
        })
    }

    #[test]
    fn controls_in_their_ranges_and_fronts_within_limits_go() {
        let found = of(&control_paper());
        assert_eq!(found.verdict, Verdict::Go, "{found:#?}");
    }

    #[test]
    fn a_control_outside_its_range_restricts_and_one_far_off_stops() {
        // Blue 1 is expected at 0.905 to 0.995, SD about 0.02: 7.20 of 8.04 cm is 0.896.
        let near = control_paper().row("1", 1, |row| row.distance = Some("7.20".parse().unwrap()));
        let found = of(&near);
        assert_eq!(found.verdict, Verdict::GoWithRestrictions, "{found:#?}");
        let far = control_paper().row("1", 1, |row| row.distance = Some("6.00".parse().unwrap()));
        assert_eq!(of(&far).verdict, Verdict::Stop);
    }

    #[test]
    fn a_short_front_a_missing_control_and_a_withdrawn_method_count() {
        let short = control_paper().measured("1", |d, f| (d / 2.0, f / 2.0));
        assert_eq!(of(&short).verdict, Verdict::Stop);
        let missing = control_paper().with(|e| {
            e.sheet.lanes.remove(0);
        });
        assert_eq!(of(&missing).verdict, Verdict::GoWithRestrictions);
        let withdrawn = control_paper().with(|e| e.state = MethodState::Withdrawn);
        assert_eq!(of(&withdrawn).verdict, Verdict::Stop);
    }

    #[test]
    fn a_pair_that_can_not_be_told_today_restricts() {
        // Yellow 5 and Yellow 6, 0.055 apart with an SD of 0.016 for a spot: 4 % on the wrong side;
        // today they ran to 0.545 and 0.515: 17 % (calculated, normal tail at the midpoint).
        let near = control_paper()
            .row("1", 5, |row| row.distance = Some("4.37".parse().unwrap()))
            .row("1", 6, |row| row.distance = Some("4.10".parse().unwrap()));
        let found = of(&near);
        assert_eq!(found.verdict, Verdict::GoWithRestrictions, "{found:#?}");
        let pair = found.pairs.iter().find(|pair| !pair.told_apart).unwrap();
        assert_eq!(pair.dyes, ["tartrazine", "sunset-yellow-fcf"]);
        assert!((pair.risk.unwrap() - 0.17).abs() < 0.02, "{pair:?}");
    }

    #[test]
    fn a_spot_in_the_blank_stops_and_an_extra_spot_restricts() {
        let blank = |distance: &str| {
            let line = format!("1|7|sample|Blank|{distance}|8.0|");
            control_paper().with(|e| e.sheet.lanes.extend(Example::table(&line).sheet.lanes))
        };
        assert_eq!(of(&blank("")).verdict, Verdict::Go);
        assert_eq!(of(&blank("3.1")).verdict, Verdict::Stop);
        let extra = control_paper().with(|e| {
            let mut row = e.sheet.lanes[0].rows[0].clone();
            row.distance = Some("2.0".parse().unwrap());
            e.sheet.lanes[0].rows.push(row);
        });
        assert_eq!(of(&extra).verdict, Verdict::GoWithRestrictions);
    }

    #[test]
    fn a_paper_measured_from_its_edge_is_to_be_measured_again() {
        let edge = control_paper().measured("1", |d, f| (d + 1.5, f + 1.5));
        let found = of(&edge);
        assert!(found.summary.contains("measure again"), "{found:#?}");
    }
}
