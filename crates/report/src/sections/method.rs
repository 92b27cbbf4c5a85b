//! The method version and its reference set.

use crate::page::{Fact, Section};
use crate::parts::composition::component_words;
use crate::sheet_report::SheetReport;
use crate::words::{decimals, range};
use askama::Template;
use dyebook_documents::{Convention, Method, Reference, show_rf};

#[derive(Template)]
#[template(
    ext = "html",
    source = r#"<dl class="facts">
{% for fact in facts %}<dt>{{ fact.name }}</dt><dd{% if fact.code %} class="code"{% endif %}>{{ fact.value }}</dd>
{% endfor %}</dl>
<div class="wide">
<table>
<caption>Reference set of {{ name }}</caption>
<thead><tr><th scope="col">Dye</th><th scope="col">Assigned Rf</th><th scope="col">Expected Rf</th><th scope="col">Colours</th><th scope="col">What stands behind it</th></tr></thead>
<tbody>
{% for row in rows %}<tr><th scope="row">{{ row.dye }}</th><td>{{ row.assigned }}</td><td class="num">{{ row.expected }}</td><td>{{ row.colours }}</td><td>{{ crate::svg::breakable(row.behind)|safe }}</td></tr>
{% endfor %}</tbody>
</table>
</div>
"#
)]
struct MethodBody {
    name: String,
    facts: Vec<Fact>,
    rows: Vec<ReferenceRow>,
}

struct ReferenceRow {
    dye: String,
    assigned: String,
    expected: String,
    colours: String,
    behind: String,
}

#[expect(
    clippy::unnecessary_wraps,
    reason = "all sections of the list have one shape"
)]
pub(super) fn section(report: &SheetReport<'_>) -> Option<Section> {
    let method = report.method;
    let body = MethodBody {
        name: method.name(),
        facts: facts(report),
        rows: method
            .references
            .iter()
            .map(|reference| ReferenceRow {
                dye: report.dye_name(&reference.dye),
                assigned: reference
                    .assigned_rf
                    .map_or_else(|| "none".to_owned(), show_rf),
                expected: range(reference.expected_rf),
                colours: reference.colours.clone().unwrap_or_default().join(", "),
                behind: behind(reference),
            })
            .collect(),
    };
    Some(Section::new("method", "Method and reference set", &body))
}

fn facts(report: &SheetReport<'_>) -> Vec<Fact> {
    let method = report.method;
    let mut facts = vec![
        Fact::new("Method", format!("{} ({})", method.title, method.name())),
        Fact::new("State", report.method_state.to_string()),
        Fact::code("Digest", report.method_digest.as_str()),
        Fact::new("Asked for on the sheet", report.sheet.method.clone()),
        Fact::new("Stationary phase", phase(method)),
    ];
    for component in &method.developer.components {
        facts.push(Fact::new("Developing solvent", component_words(component)));
    }
    if let Some(range) = method.temperature_c {
        facts.push(Fact::new(
            "Temperature",
            format!(
                "{} to {} °C",
                decimals(range.low, 0),
                decimals(range.high, 0)
            ),
        ));
    }
    let point = match method.measuring.convention {
        Convention::Centre => "the spot's centre",
        Convention::MaximumIntensity => "the point of greatest intensity",
        Convention::LeadingEdge => "the spot's leading edge",
    };
    facts.push(Fact::new(
        "Measured to",
        format!("{point}, from the start line"),
    ));
    if let Some(note) = &method.change_note {
        facts.push(Fact::new("Change note", note.clone()));
    }
    facts
}

fn phase(method: &Method) -> String {
    let phase = &method.stationary_phase;
    let mut text = phase.material.clone();
    if let Some(grade) = &phase.grade {
        text.push_str(", grade ");
        text.push_str(grade);
    }
    if let Some(lot) = &phase.lot {
        text.push_str(", lot ");
        text.push_str(lot);
    }
    text
}

/// Counts at each level and standard deviations, or that they aren't stated.
fn behind(reference: &Reference) -> String {
    let mut parts = Vec::new();
    if let Some(count) = reference.count {
        for (number, one, many) in [
            (count.sessions, "session", "sessions"),
            (count.papers, "paper", "papers"),
            (count.spots, "spot", "spots"),
        ] {
            if let Some(n) = number {
                parts.push(format!("{n} {}", if n == 1 { one } else { many }));
            }
        }
    }
    if let Some(sd) = reference.sd.and_then(|sd| sd.intermediate()) {
        parts.push(format!(
            "SD of one spot in a new session {}",
            decimals(sd, 3)
        ));
    }
    if reference.provisional == Some(true) {
        parts.push("provisional".to_owned());
    }
    if let Some(source) = &reference.source {
        parts.push(source.clone());
    }
    if parts.is_empty() {
        "not stated".to_owned()
    } else {
        parts.join(", ")
    }
}
