//! Checks as sentences.

use askama::Template;
use dyebook_documents::{Check, Severity};

/// Checks of one severity as a list.
#[derive(Template)]
#[template(
    ext = "html",
    source = r#"<ul class="findings">
{% for check in checks %}<li class="finding {{ check.severity.word() }}">
<p><span class="where">{{ self::place(check) }}:</span> {{ check.message }}</p>
{% if !check.alternatives.is_empty() %}<p>Other readings, for a person to decide:</p>
<ul>
{% for reading in check.alternatives %}<li>{{ reading }}</li>
{% endfor %}</ul>
{% endif %}<p class="name">Check: {{ check.check }}</p>
</li>
{% endfor %}</ul>
"#
)]
pub(crate) struct CheckList<'a> {
    checks: Vec<&'a Check>,
}

impl<'a> CheckList<'a> {
    /// The checks of one severity, in their order; `None` where there are none.
    pub(crate) fn of(checks: &'a [Check], severity: Severity) -> Option<Self> {
        let checks: Vec<&Check> = checks.iter().filter(|c| c.severity == severity).collect();
        (!checks.is_empty()).then_some(Self { checks })
    }

    /// How many there are.
    pub(crate) fn len(&self) -> usize {
        self.checks.len()
    }
}

fn place(check: &Check) -> String {
    crate::words::capital(&check.place.words())
}
