//! Labels for the bottles of a batch.

use crate::page::{Page, rendered};
use crate::parts::body::Body;
use askama::Template;
use dyebook_documents::Caution;

/// A bottle label.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BottleLabel {
    /// Name in words, e.g. `Developing solvent, salted vinegar`.
    pub name: String,
    /// Each component in words, with basis.
    pub composition: Vec<String>,
    /// Batch code; empty for a line to write it on.
    pub batch: String,
    /// Day it was made; empty for a line.
    pub made_on: String,
    /// Last day of use; empty for a line.
    pub use_until: String,
    /// Who made it; empty for a line.
    pub made_by: String,
    /// `id@version`.
    pub method: String,
    /// Method digest.
    pub digest: String,
    /// Cautions, each with its source.
    pub cautions: Vec<Caution>,
    /// How many labels on the page.
    pub copies: u32,
    /// Whether the data is invented.
    pub demo: bool,
    /// Program and version.
    pub program: String,
}

#[derive(Template)]
#[template(
    ext = "html",
    source = r#"<div class="labels">
{% for _ in 0..copies %}<div class="card">
<p class="name">{{ label.name }}</p>
{% if label.demo %}<p><strong>Invented demo data</strong></p>
{% endif %}<ul>
{% for component in label.composition %}<li>{{ component }}</li>
{% endfor %}</ul>
<p>Batch: {{ self::line(label.batch) }} · made: {{ self::line(label.made_on) }} · use until: {{ self::line(label.use_until) }} · by: {{ self::line(label.made_by) }}</p>
<p>Method {{ label.method }}, digest {{ digest }}</p>
{% for caution in label.cautions %}<p class="caution">{{ caution.text }} ({{ caution.source }}{% if let Some(date) = caution.date %}, {{ date }}{% endif %})</p>
{% endfor %}<p class="caution">Local rules decide what else this label must say.</p>
</div>
{% endfor %}</div>
"#
)]
struct Labels<'a> {
    label: &'a BottleLabel,
    digest: &'a str,
    copies: u32,
}

fn line(text: &str) -> &str {
    if text.is_empty() {
        "____________"
    } else {
        text
    }
}

/// The labels as a page, two beside each other.
pub fn bottle_label(label: &BottleLabel) -> String {
    let digest = label.digest.get(..12).unwrap_or(&label.digest);
    let labels = Labels {
        label,
        digest,
        copies: label.copies.clamp(1, 24),
    };
    Page {
        kicker: "Bottle labels".to_owned(),
        heading: label.name.clone(),
        marks: vec![],
        demo: label.demo,
        facts: vec![],
        sections: vec![
            Body::default()
                .html(&rendered(&labels))
                .section("labels", "Cut along the frames"),
        ],
        stamp: format!("Label of {} digest {digest}", label.method),
        program: label.program.clone(),
    }
    .html()
}
