//! Checks as sentences.

use askama::Template;
use dyebook_documents::{Check, Severity};

/// Checks of one severity as a list.
#[derive(Template)]
#[template(
    ext = "html",
    source = r#"<ul class="findings">
{% for check in checks %}<li class="finding {{ check.severity.word() }}">
<p><span class="where">{% if words %}{{ self::capital(check.severity.word()) }}, {{ check.place.words() }}{% else %}{{ self::capital(&check.place.words()) }}{% endif %}:</span> {{ check.message }}</p>
{% if !check.alternatives.is_empty() %}<p>Other readings, for a person to decide:</p>
<ul>
{% for reading in check.alternatives %}<li>{{ reading }}</li>
{% endfor %}</ul>
{% endif %}<p class="name">Check: {{ check.check }}</p>
{% if answer %}<p>Answer of the group: ____________________ Accepted / not, by: __________</p>
{% endif %}</li>
{% endfor %}</ul>
"#
)]
pub(crate) struct CheckList<'a> {
    checks: Vec<&'a Check>,
    words: bool,
    answer: bool,
}

impl<'a> CheckList<'a> {
    /// The checks of one severity, in their order; `None` where there are none.
    pub(crate) fn of(checks: &'a [Check], severity: Severity) -> Option<Self> {
        let checks: Vec<&Check> = checks.iter().filter(|c| c.severity == severity).collect();
        (!checks.is_empty()).then_some(Self {
            checks,
            words: false,
            answer: false,
        })
    }

    /// With the severity in words, where no heading says it.
    pub(crate) fn with_words(self) -> Self {
        Self {
            words: true,
            ..self
        }
    }

    /// With a line to write the answer on, for a list that is printed.
    pub(crate) fn with_answer(self) -> Self {
        Self {
            answer: true,
            ..self
        }
    }

    /// How many there are.
    pub(crate) fn len(&self) -> usize {
        self.checks.len()
    }
}

fn capital(text: &str) -> String {
    crate::words::capital(text)
}
