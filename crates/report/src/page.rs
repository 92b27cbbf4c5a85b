//! The page that every document stands on: head, landmarks, banner, contents, footer, and the
//! stamp that is repeated on each printed page.

use crate::palette;
use askama::Template;

/// The style of drawings, also written into a drawing that is a file of its own.
pub(crate) const DRAWING_CSS: &str = include_str!("drawing.css");
const PAGE_CSS: &str = include_str!("page.css");

/// One section of a page.
#[derive(Debug, Clone)]
pub(crate) struct Section {
    /// Anchor.
    pub(crate) id: String,
    /// Heading.
    pub(crate) heading: String,
    /// What follows it, as HTML.
    pub(crate) body: String,
}

impl Section {
    /// A section with a rendered template as its body.
    pub(crate) fn new(id: &str, heading: &str, body: &impl Template) -> Self {
        Self {
            id: id.to_owned(),
            heading: heading.to_owned(),
            body: rendered(body),
        }
    }
}

/// A line of the head: what it is and its value.
#[derive(Debug, Clone)]
pub(crate) struct Fact {
    /// What it is.
    pub(crate) name: String,
    /// Its value.
    pub(crate) value: String,
    /// Set in letters of one width, for digests.
    pub(crate) code: bool,
}

impl Fact {
    /// A fact in words.
    pub(crate) fn new(name: &str, value: impl Into<String>) -> Self {
        Self {
            name: name.to_owned(),
            value: value.into(),
            code: false,
        }
    }

    /// A digest or the like.
    pub(crate) fn code(name: &str, value: impl Into<String>) -> Self {
        Self {
            code: true,
            ..Self::new(name, value)
        }
    }
}

/// A page.
#[derive(Debug, Clone, Template)]
#[template(
    ext = "html",
    source = r##"<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{{ heading }} · {{ stamp }}</title>
<style>
{{ css()|safe }}</style>
</head>
<body>
<a class="skip" href="#content">Skip to the content</a>
<header>
<p class="kicker">{{ kicker }}</p>
<h1>{{ heading }}</h1>
{% for mark in marks %}<p class="stamp">{{ mark }}</p>
{% endfor %}{% if demo %}<p class="banner">Invented demo data: no measurement, group or class in this document is real.</p>
{% endif %}{% if !facts.is_empty() %}<dl class="facts">
{% for fact in facts %}<dt>{{ fact.name }}</dt><dd{% if fact.code %} class="code"{% endif %}>{{ fact.value }}</dd>
{% endfor %}</dl>
{% endif %}</header>
{% if sections.len() > 2 %}<nav aria-label="Contents">
<ul>
{% for section in sections %}<li><a href="#{{ section.id }}">{{ section.heading }}</a></li>
{% endfor %}</ul>
</nav>
{% endif %}<main id="content">
{% for section in sections %}<section id="{{ section.id }}" aria-labelledby="{{ section.id }}-heading">
<h2 id="{{ section.id }}-heading">{{ section.heading }}</h2>
{{ section.body|safe }}</section>
{% endfor %}</main>
<footer>
<p>{{ stamp }}</p>
<p>Made by {{ program }}.</p>
</footer>
</body>
</html>
"##
)]
pub(crate) struct Page {
    /// What kind of document it is.
    pub(crate) kicker: String,
    /// Its heading.
    pub(crate) heading: String,
    /// Marks that must not be missed, such as "amended".
    pub(crate) marks: Vec<String>,
    /// Whether the data is invented.
    pub(crate) demo: bool,
    /// Facts of the head.
    pub(crate) facts: Vec<Fact>,
    /// Sections in order.
    pub(crate) sections: Vec<Section>,
    /// What is repeated on each printed page: the version and digest that the page rests on.
    pub(crate) stamp: String,
    /// Program and version.
    pub(crate) program: String,
}

impl Page {
    /// The page as HTML.
    pub(crate) fn html(&self) -> String {
        rendered(self)
    }

    /// The page for half of A4: everything closer together.
    pub(crate) fn compact_html(&self) -> String {
        self.html()
            .replacen("<body>", "<body class=\"compact\">", 1)
    }

    fn css(&self) -> String {
        let demo = if self.demo {
            "Invented demo data. "
        } else {
            ""
        };
        format!(
            "{}{DRAWING_CSS}{PAGE_CSS}{}",
            palette::css_variables(),
            running_foot(&format!("{demo}{}", self.stamp))
        )
    }
}

/// The foot of each printed page, in the page's margin: a `position: fixed` element would lie
/// over the last line of every full page. A browser without margin boxes prints the document's
/// title at the top of each page, which holds the same stamp.
fn running_foot(stamp: &str) -> String {
    format!(
        "@page{{@bottom-left{{content:\"{}\";font:7.5pt system-ui,Arial,sans-serif;color:#1b2430;\
         vertical-align:top;padding-top:3mm;text-align:left;width:80%}}\
         @bottom-right{{content:\"page \" counter(page) \" of \" counter(pages);\
         font:7.5pt system-ui,Arial,sans-serif;color:#1b2430;vertical-align:top;padding-top:3mm;\
         width:20%}}}}\n",
        css_text(stamp)
    )
}

/// Text for a CSS string: whatever is not a letter, digit, space or harmless mark is written as
/// its code point, so that no text can end the string or the style.
fn css_text(text: &str) -> String {
    use std::fmt::Write as _;
    text.chars().fold(String::new(), |mut css, c| {
        if c.is_alphanumeric() || " .,:@-_+()·".contains(c) {
            css.push(c);
        } else {
            // Writing into a string can't fail.
            let _ = write!(css, "\\{:06x} ", u32::from(c));
        }
        css
    })
}

/// A template as text.
#[expect(
    clippy::expect_used,
    reason = "our templates only format strings and numbers into a string, which never fails"
)]
pub(crate) fn rendered(template: &impl Template) -> String {
    template
        .render()
        .expect("formatting into a string never fails")
}

#[cfg(test)]
mod tests {
    use super::css_text;

    #[test]
    fn no_text_ends_a_css_string() {
        let css = css_text("a\"}</style><script>\\");
        assert!(!css.contains(['"', '}', '<', '>', '/']), "{css}");
        assert_eq!(css_text("saline-paper@1.2.0"), "saline-paper@1.2.0");
    }
}
