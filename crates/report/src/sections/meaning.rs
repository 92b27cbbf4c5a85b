//! What the words of the report mean.

use crate::page::Section;
use crate::sheet_report::SheetReport;
use crate::words::{WORST_FIRST, capital, decision_meaning, severity_meaning};
use askama::Template;
use dyebook_documents::Decision;

const DECISIONS: [Decision; 5] = [
    Decision::Identified,
    Decision::Indistinguishable,
    Decision::NotInReferenceSet,
    Decision::NotEvaluable,
    Decision::NoValidReference,
];

const TERMS: &[(&str, &str)] = &[
    (
        "Rf",
        "The distance from the start line to the spot, divided by the distance from the start \
         line to the front of the developing solvent in the same lane. It has no unit.",
    ),
    (
        "u",
        "The standard uncertainty of an Rf from reading the ruler. It says nothing about how \
         papers and sessions differ; the expected range does.",
    ),
    (
        "Expected range",
        "Where a spot of this dye is expected in a new session of this method version.",
    ),
    (
        "Probability",
        "Given by some strategies only. What the candidates of a spot lack to 1 is the \
         probability that the dye is not in the reference set.",
    ),
];

#[derive(Template)]
#[template(
    ext = "html",
    source = r#"<h3>Decisions</h3>
<dl class="facts">
{% for line in decisions %}<dt>{{ line.0 }}</dt><dd>{{ line.1 }}</dd>
{% endfor %}</dl>
<h3>Severities of checks</h3>
<dl class="facts">
{% for line in severities %}<dt>{{ line.0 }}</dt><dd>{{ line.1 }}</dd>
{% endfor %}</dl>
<h3>Other terms</h3>
<dl class="facts">
{% for line in terms %}<dt>{{ line.0 }}</dt><dd>{{ line.1 }}</dd>
{% endfor %}</dl>
"#
)]
struct Meaning {
    decisions: Vec<(String, &'static str)>,
    severities: Vec<(String, String)>,
    terms: &'static [(&'static str, &'static str)],
}

#[expect(
    clippy::unnecessary_wraps,
    reason = "all sections of the list have one shape"
)]
pub(super) fn section(_: &SheetReport<'_>) -> Option<Section> {
    let body = Meaning {
        decisions: DECISIONS
            .iter()
            .map(|&decision| (capital(decision.words()), decision_meaning(decision)))
            .collect(),
        severities: WORST_FIRST
            .iter()
            .map(|&severity| {
                (
                    capital(severity.word()),
                    format!("{}.", capital(severity_meaning(severity))),
                )
            })
            .collect(),
        terms: TERMS,
    };
    Some(Section::new("words", "What the words mean", &body))
}
