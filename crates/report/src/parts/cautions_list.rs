//! Cautions, each with where it is from.

use askama::Template;
use dyebook_documents::Caution;

/// Cautions and the sentence that local rules decide.
#[derive(Template)]
#[template(
    ext = "html",
    source = r"<ul>
{% for caution in cautions %}<li>{{ caution.text }} <em>Source: {{ caution.source }}; {{ self::from(caution) }}.</em></li>
{% endfor %}</ul>
<p><strong>Local rules decide.</strong> These lines are kept as they were entered; nothing here classifies a mixture.</p>
"
)]
pub(crate) struct CautionsList<'a> {
    pub(crate) cautions: &'a [Caution],
}

fn from(caution: &Caution) -> String {
    format!(
        "{}; {}",
        caution.jurisdiction.as_ref().map_or_else(
            || "no jurisdiction stated".to_owned(),
            |j| format!("applies: {j}")
        ),
        caution
            .date
            .as_ref()
            .map_or_else(|| "no date stated".to_owned(), |d| format!("dated {d}"))
    )
}
