//! A spot's claims in a sentence.

use super::ArithmeticClaim;
use super::identity_claim::{IdentityClaim, RecordVerdict};
use super::own_standards::{OwnData, OwnStandard};
use crate::context::Context;
use crate::quotient_error::QuotientVerdict;
use crate::verdict::Verdict;
use crate::words;

/// A standard so far from its assigned value is worth naming.
const SHIFTED: f64 = 0.02;

pub(super) fn summary(
    context: &Context<'_>,
    arithmetic: Option<&ArithmeticClaim>,
    identity: Option<&IdentityClaim>,
    suitability: Option<Verdict>,
) -> String {
    let mut parts: Vec<String> = arithmetic.map(of_arithmetic).into_iter().collect();
    if let Some(claim) = identity {
        parts.push(of_own_data(context, claim));
        parts.extend(of_record(claim));
    }
    if let Some(verdict @ (Verdict::Stop | Verdict::GoWithRestrictions)) = suitability {
        parts.push(format!(
            "the day's suitability check said {}",
            verdict.words()
        ));
    }
    parts.join("; ")
}

fn of_arithmetic(claim: &ArithmeticClaim) -> String {
    let quotient = format!("{:.3}", claim.rf);
    let reported = &claim.reported;
    match claim.verdict {
        QuotientVerdict::Rounded => format!("Rf {reported} is the quotient"),
        QuotientVerdict::Cut => format!("Rf {reported} is the quotient {quotient}, cut"),
        QuotientVerdict::Near => format!("Rf {reported} is within 0.01 of the quotient {quotient}"),
        QuotientVerdict::Wrong => format!("Rf {reported} is not the quotient {quotient}"),
    }
}

fn of_own_data(context: &Context<'_>, claim: &IdentityClaim) -> String {
    let reported = &claim.reported;
    let names =
        |dyes: &[String]| -> Vec<String> { dyes.iter().map(|dye| context.dye_name(dye)).collect() };
    match &claim.own_data {
        OwnData::Agrees { standard, also } => {
            let also = if also.is_empty() {
                String::new()
            } else {
                format!(", and so is {}", words::list(&names(also)))
            };
            format!(
                "{reported} is consistent with their own standard ({}){also}",
                shown(standard)
            )
        }
        OwnData::Contradicts { standard, rather } => {
            let rather = if rather.is_empty() {
                String::new()
            } else {
                format!(", which fit {}", words::choice(&names(rather)))
            };
            let standard = shown(standard);
            format!("{reported} is not what their own standards say ({standard}){rather}")
        }
        OwnData::NoOwnStandard => format!("{reported} has no standard on their sheet"),
        OwnData::NotEvaluable => format!("{reported} can't be held against a spot without Rf"),
        OwnData::NotRead => format!("`{reported}` names no known dye"),
    }
}

fn shown(standard: &OwnStandard) -> String {
    let shift = standard
        .off_expected
        .filter(|off| off.abs() >= SHIFTED)
        .map(|off| format!(", itself {off:+.3} from what is expected"))
        .unwrap_or_default();
    format!(
        "difference {:+.3} from Rf {} on {}, up to {:.3} is explained{shift}",
        standard.difference,
        words::rf(Some(standard.rf)),
        if standard.same_paper {
            "the same paper"
        } else {
            "another paper"
        },
        standard.limit
    )
}

fn of_record(claim: &IdentityClaim) -> Option<String> {
    match claim.record {
        RecordVerdict::Right => Some("right against the record".to_owned()),
        RecordVerdict::Wrong => Some("wrong against the record".to_owned()),
        RecordVerdict::NotRecorded => None,
    }
}
