//! What the sheet says, in a few sentences.

use crate::page::Section;
use crate::sheet_report::SheetReport;
use crate::words::{WORST_FIRST, capital, count, list_with, severity_meaning};
use askama::Template;
use dyebook_documents::{Decision, LaneIdentity, Role, Severity};

#[derive(Template)]
#[template(
    ext = "html",
    source = r#"{% for note in notes %}<p class="note">{{ note }}</p>
{% endfor %}<p>{{ contents }}</p>
{% if !answers.is_empty() %}<ul>
{% for answer in answers %}<li><strong>{{ answer.0 }}</strong>: {{ answer.1 }}</li>
{% endfor %}</ul>
{% endif %}<p>{{ checks }}</p>
"#
)]
struct AtAGlance {
    notes: Vec<String>,
    contents: String,
    answers: Vec<(String, String)>,
    checks: String,
}

#[expect(
    clippy::unnecessary_wraps,
    reason = "all sections of the list have one shape"
)]
pub(super) fn section(report: &SheetReport<'_>) -> Option<Section> {
    let body = AtAGlance {
        notes: notes(report),
        contents: contents(report),
        answers: answers(report),
        checks: checks(report),
    };
    Some(Section::new("at-a-glance", "At a glance", &body))
}

/// What must be known before anything else is read.
fn notes(report: &SheetReport<'_>) -> Vec<String> {
    let stops = report
        .checks
        .iter()
        .filter(|check| check.severity == Severity::Stop);
    let mut notes = match stops.count() {
        0 => Vec::new(),
        n => vec![format!(
            "{}: a person must look before anything here is used.",
            count(n, "stop check", "stop checks")
        )],
    };
    let Some(found) = report.identification else {
        notes.push("This sheet has not been identified yet.".to_owned());
        return notes;
    };
    notes.extend(found.notes.iter().cloned());
    if found.sheet_revision != report.sheet_revision {
        notes.push(format!(
            "The identities rest on revision {} of the sheet, which now stands at revision {}.",
            found.sheet_revision, report.sheet_revision
        ));
    }
    if found.method.digest != *report.method_digest {
        notes.push(format!(
            "The identities rest on method version {}@{} with digest {}, not on the one shown here.",
            found.method.id,
            found.method.version,
            found.method.digest.short()
        ));
    }
    notes
}

fn contents(report: &SheetReport<'_>) -> String {
    let sheet = report.sheet;
    let of = |role: Role| {
        sheet
            .lanes
            .iter()
            .filter(|lane| report.role_of(lane) == role)
            .count()
    };
    let mut lanes = vec![
        count(of(Role::Standard), "dye standard", "dye standards"),
        count(of(Role::Sample), "sample", "samples"),
    ];
    if of(Role::Bridging) > 0 {
        lanes.push(count(of(Role::Bridging), "bridging lane", "bridging lanes"));
    }
    format!(
        "{} with {} measured on {}.",
        list_with(&lanes, "and"),
        count(sheet.spot_count(), "spot", "spots"),
        count(sheet.papers().len(), "paper", "papers")
    )
}

fn answers(report: &SheetReport<'_>) -> Vec<(String, String)> {
    let lanes = report.sheet.lanes.iter();
    lanes
        .filter(|lane| report.role_of(lane) == Role::Sample)
        .filter_map(|lane| {
            let found = report.identity_of(lane)?;
            let name = format!("Paper {}, lane {}, {}", lane.paper, lane.lane, lane.label);
            Some((name, answer(report, found)))
        })
        .collect()
}

/// A lane's answer in a sentence.
fn answer(report: &SheetReport<'_>, found: &LaneIdentity) -> String {
    if let Some(why) = &found.failed {
        return format!("no answer, as the strategy failed: {why}");
    }
    if found.spots.is_empty() {
        return "no spot was written".to_owned();
    }
    let mut parts = Vec::new();
    let named: Vec<String> = found
        .spots
        .iter()
        .filter(|spot| spot.decision == Decision::Identified)
        .filter_map(|spot| spot.candidates.first())
        .map(|candidate| report.dye_names(&candidate.dyes))
        .collect();
    if !named.is_empty() {
        parts.push(list_with(&named, "and"));
    }
    for spot in &found.spots {
        let names: Vec<String> = spot
            .candidates
            .iter()
            .map(|candidate| report.dye_names(&candidate.dyes))
            .collect();
        match spot.decision {
            Decision::Identified => {}
            Decision::Indistinguishable => parts.push(format!(
                "spot {}: {}, which can't be told apart",
                spot.spot,
                list_with(&names, "or")
            )),
            other => parts.push(format!("spot {}: {}", spot.spot, other.words())),
        }
    }
    parts.join("; ")
}

fn checks(report: &SheetReport<'_>) -> String {
    if report.checks.is_empty() {
        return "The entry checks found nothing to say.".to_owned();
    }
    let counts: Vec<String> = WORST_FIRST
        .iter()
        .filter_map(|severity| {
            let n = report
                .checks
                .iter()
                .filter(|check| check.severity == *severity)
                .count();
            (n > 0).then(|| format!("{n} {} ({})", severity.word(), severity_meaning(*severity)))
        })
        .collect();
    capital(&format!(
        "the entry checks found {}.",
        list_with(&counts, "and")
    ))
}
