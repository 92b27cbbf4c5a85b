//! `sheet claims`

use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use crate::table::Table;
use crate::words::checks;
use dyebook_checks::{
    ArithmeticClaim, IdentityClaim, OwnData, QuotientVerdict, RecordVerdict, SpotClaim,
};
use dyebook_documents::DyeRegister;
use dyebook_workflows::{
    ChangedBy, ChangedSheet, ChangedWhat, Failure, PluginMatcher, SheetClaims, changed_by_version,
    dye_name, sheet_claims,
};
use serde_json::json;

/// What groups say of their own sheets, held against their distances, their own standards, the
/// record and the lab: evidence for the person who gives the mark.
#[derive(Debug, clap::Args)]
pub(crate) struct Claims {
    /// The sheets, by id or the beginning of it [default: all]
    sheets: Vec<String>,
    /// The sheet of the day's control paper [default: those of the same batch and day]
    #[arg(long, value_name = "SHEET")]
    control: Option<String>,
    /// Whose result changes if the references of this version counted
    #[arg(long, value_name = "REF", conflicts_with_all = ["sheets", "control"])]
    changed_by: Option<String>,
}

impl Claims {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let library = desk.open()?;
        let dyes = library.dye_register()?;
        if let Some(reference) = &self.changed_by {
            let plugins = desk.plugins();
            let matcher_of = |stamp: &dyebook_documents::StrategyStamp| {
                let matcher = PluginMatcher::as_stamped(&plugins, stamp)?;
                Ok(Box::new(matcher) as Box<dyn dyebook_workflows::Matcher>)
            };
            let changed = changed_by_version(&library, &dyes, reference, &matcher_of)?;
            return Ok(Outcome::new(
                json!({ "sheets": [], "changed_by": changed }),
                changed_text(&changed),
            ));
        }
        let wanted: Vec<String> = if self.sheets.is_empty() {
            let lines = library.sheet_lines()?;
            lines.into_iter().map(|line| line.id).collect()
        } else {
            self.sheets
        };
        let mut found = vec![];
        for sheet in &wanted {
            let control = self.control.as_deref();
            found.push(sheet_claims(&library, &dyes, sheet, control)?);
        }
        let mut page = Page::default();
        for one in &found {
            page.gap();
            one_sheet(&mut page, one, &dyes);
        }
        page.gap();
        page.line(if found.is_empty() {
            "no sheets yet; take some in with `dyebook sheet import FILE…`"
        } else {
            "This is evidence; the mark is given by a person."
        });
        Ok(Outcome::new(
            json!({ "sheets": found, "changed_by": null }),
            page.text(),
        ))
    }
}

fn one_sheet(page: &mut Page, one: &SheetClaims, dyes: &DyeRegister) {
    page.line(format!(
        "{}  section {}, group {}, by {}{}",
        one.sheet,
        one.section.as_deref().unwrap_or("-"),
        one.group,
        one.method,
        if one.amended {
            "; corrected since, the claims rest on what was handed in"
        } else {
            ""
        }
    ));
    let judged = |claim: &&SpotClaim| claim.identity.is_some() || !arithmetic_is_right(claim);
    let shown: Vec<&SpotClaim> = one.claims.spots.iter().filter(judged).collect();
    let alone = one.claims.spots.len() - shown.len();
    if one.claims.spots.is_empty() {
        page.line("  the group reports neither Rf nor identities");
    }
    if !shown.is_empty() {
        grid(page, &shown);
    }
    if alone > 0 {
        page.line(format!(
            "  {alone} {}Rf, of dye standards or without an identity: the arithmetic is right",
            if shown.is_empty() { "" } else { "more " }
        ));
    }
    if one
        .claims
        .spots
        .iter()
        .any(|claim| claim.identity.is_some())
    {
        lanes(page, one, dyes);
    } else if !one.claims.spots.is_empty() {
        page.line("  the group reports no identities");
    }
    let odd: Vec<&&SpotClaim> = shown.iter().filter(|claim| !all_right(claim)).collect();
    if !odd.is_empty() {
        page.line("  In words:");
    }
    for claim in odd {
        page.line(format!("    {}: {}", claim.place.words(), claim.summary));
    }
    what_else(page, one);
}

/// Dyes of a lane that are claimed and not held, or held and not claimed.
fn lanes(page: &mut Page, one: &SheetClaims, dyes: &DyeRegister) {
    for lane in &one.claims.lanes {
        let names = |ids: &[String]| -> String {
            let names: Vec<String> = ids.iter().map(|id| dye_name(id, dyes)).collect();
            names.join(", ")
        };
        let mut said = vec![];
        if !lane.missed.is_empty() {
            said.push(format!("held and not claimed: {}", names(&lane.missed)));
        }
        if !lane.extra.is_empty() {
            said.push(format!("claimed and not held: {}", names(&lane.extra)));
        }
        if !said.is_empty() {
            page.line(format!(
                "  {} ({}): {}",
                lane.place.words(),
                lane.label,
                said.join("; ")
            ));
        }
    }
}

/// The lab's part, and what may have led the group astray.
fn what_else(page: &mut Page, one: &SheetClaims) {
    page.line("  The lab:");
    for sentence in one.lab.sentences() {
        page.line(format!("    {sentence}"));
    }
    if !one.causes.is_empty() {
        page.line("  What may have led them astray:");
        let mut found = Page::default();
        checks(&mut found, &one.causes);
        for line in found.text().lines() {
            page.line(format!("  {line}"));
        }
    }
}

fn grid(page: &mut Page, claims: &[&SpotClaim]) {
    let mut table = Table::new([
        "  paper",
        "lane",
        "spot",
        "claim",
        "Rf",
        "arithmetic",
        "own standards",
        "record",
        "lab",
    ]);
    for claim in claims {
        let number = |n: Option<u32>| n.map_or_else(String::new, |n| n.to_string());
        let arithmetic = claim.arithmetic.as_ref();
        let identity = claim.identity.as_ref();
        table.row([
            format!("  {}", claim.place.paper.as_deref().unwrap_or_default()),
            number(claim.place.lane),
            number(claim.place.spot),
            identity.map_or_else(|| claim.label.clone(), |one| one.reported.clone()),
            arithmetic.map_or_else(|| "-".to_owned(), |one| one.reported.clone()),
            arithmetic
                .map_or("not reported", arithmetic_word)
                .to_owned(),
            identity.map_or("-", own_word).to_owned(),
            identity.map_or("-", record_word).to_owned(),
            claim
                .suitability
                .map_or("not known", |verdict| verdict.words())
                .to_owned(),
        ]);
    }
    page.table(&table);
}

fn arithmetic_word(claim: &ArithmeticClaim) -> &'static str {
    match claim.verdict {
        QuotientVerdict::Rounded => "right",
        QuotientVerdict::Cut => "right, cut",
        QuotientVerdict::Near => "within 0.01",
        QuotientVerdict::Wrong => "wrong",
    }
}

fn own_word(claim: &IdentityClaim) -> &'static str {
    match &claim.own_data {
        OwnData::Agrees { also, .. } if also.is_empty() => "agree",
        OwnData::Agrees { .. } => "agree, with another dye too",
        OwnData::Contradicts { .. } => "contradict",
        OwnData::NoOwnStandard => "none of this dye",
        OwnData::NotEvaluable => "no Rf",
        OwnData::NotRead => "names no dye",
    }
}

fn record_word(claim: &IdentityClaim) -> &'static str {
    match claim.record {
        RecordVerdict::Right => "right",
        RecordVerdict::Wrong => "wrong",
        RecordVerdict::NotRecorded => "not recorded",
    }
}

/// The arithmetic counts as right within 0.01, one digit of an Rf as customarily given.
fn arithmetic_is_right(claim: &SpotClaim) -> bool {
    let wrong = |one: &ArithmeticClaim| one.verdict == QuotientVerdict::Wrong;
    !claim.arithmetic.as_ref().is_some_and(wrong)
}

fn all_right(claim: &SpotClaim) -> bool {
    let identity = claim.identity.as_ref().is_none_or(|one| {
        one.record != RecordVerdict::Wrong && one.own_data.agrees() != Some(false)
    });
    arithmetic_is_right(claim) && identity
}

fn changed_text(changed: &ChangedBy) -> String {
    let mut page = Page::default();
    let of = match changed.sheets {
        1 => "1 sheet".to_owned(),
        several => format!("{several} sheets"),
    };
    page.line(if changed.changed.is_empty() {
        format!(
            "By the references of {} nothing changes in the {of} run by other versions of its major.",
            changed.method
        )
    } else {
        format!(
            "By the references of {} something changes in these {} of the {of} run by other versions of its major, and in no other:",
            changed.method,
            changed.changed.len()
        )
    });
    changed_sheets(&mut page, &changed.changed);
    for why in &changed.not_compared {
        page.line(format!("not compared: {why}"));
    }
    page.text()
}

/// Whose result changes, place by place.
pub(crate) fn changed_sheets(page: &mut Page, changed: &[ChangedSheet]) {
    for sheet in changed {
        page.line(format!(
            "  {}  section {}, group {}",
            sheet.sheet,
            sheet.section.as_deref().unwrap_or("-"),
            sheet.group
        ));
        for change in &sheet.changes {
            let of = match change.of {
                ChangedWhat::Claim => "the group's claim",
                ChangedWhat::Identity => "the identity",
            };
            page.line(format!("    {}, {of}", change.place.words()));
            page.line(format!("      before: {}", change.before));
            page.line(format!("      now:    {}", change.after));
        }
    }
}
