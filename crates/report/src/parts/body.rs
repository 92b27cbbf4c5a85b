//! The body of a section, piece by piece; every text is escaped.

use crate::page::{Fact, Section, rendered};
use crate::svg::{Drawing, escape, number};
use askama::Template;

/// A table: a caption, column heads, rows whose first cell names the row.
#[derive(Debug, Clone, Template)]
#[template(
    ext = "html",
    source = r#"<div class="wide">
<table{% if rows.len() <= 14 %} class="short"{% endif %}>
<caption>{{ caption }}</caption>
<thead><tr>{% for name in head %}<th scope="col">{{ name }}</th>{% endfor %}</tr></thead>
<tbody>
{% for row in rows %}<tr>{% for cell in row %}{% if loop.first %}<th scope="row">{{ crate::svg::breakable(cell)|safe }}</th>{% else %}<td>{{ crate::svg::breakable(cell)|safe }}</td>{% endif %}{% endfor %}</tr>
{% endfor %}</tbody>
</table>
</div>
"#
)]
pub(crate) struct Table {
    caption: String,
    head: Vec<String>,
    rows: Vec<Vec<String>>,
}

impl Table {
    /// A table without rows yet.
    pub(crate) fn new(caption: &str, head: &[&str]) -> Self {
        Self {
            caption: caption.to_owned(),
            head: head.iter().map(|name| (*name).to_owned()).collect(),
            rows: Vec::new(),
        }
    }

    /// With these rows.
    pub(crate) fn rows(mut self, rows: impl IntoIterator<Item = Vec<String>>) -> Self {
        self.rows.extend(rows);
        self
    }
}

/// Pieces of HTML in order.
#[derive(Debug, Clone, Default)]
pub(crate) struct Body(String);

impl Body {
    /// A paragraph.
    pub(crate) fn paragraph(self, text: &str) -> Self {
        self.tagged("p", "", text)
    }

    /// A paragraph that stands out.
    pub(crate) fn note(self, text: &str) -> Self {
        self.tagged("p", " class=\"note\"", text)
    }

    /// A heading below the section's own.
    pub(crate) fn subheading(self, text: &str) -> Self {
        self.tagged("h3", "", text)
    }

    /// A list; nothing where it is empty.
    pub(crate) fn list(self, items: &[String]) -> Self {
        self.listed("ul", items)
    }

    /// A numbered list; nothing where it is empty.
    pub(crate) fn steps(self, items: &[String]) -> Self {
        self.listed("ol", items)
    }

    /// Names with their values.
    pub(crate) fn facts(mut self, facts: &[Fact]) -> Self {
        self.0.push_str("<dl class=\"facts\">\n");
        for Fact { name, value, code } in facts {
            let class = if *code { " class=\"code\"" } else { "" };
            self.0.push_str("<dt>");
            self.0.push_str(&escape(name));
            self.0.push_str("</dt><dd");
            self.0.push_str(class);
            self.0.push('>');
            self.0.push_str(&escape(value));
            self.0.push_str("</dd>\n");
        }
        self.0.push_str("</dl>\n");
        self
    }

    /// A table.
    pub(crate) fn table(self, table: &Table) -> Self {
        self.html(&rendered(table))
    }

    /// A drawing, which is to be followed by its table.
    pub(crate) fn figure(self, drawing: &Drawing, caption: &str) -> Self {
        let width = number(crate::drawings::share_of_page(drawing));
        self.html(&format!(
            "<figure>\n<div style=\"width:{width}%\" class=\"drawn\">{}</div>\n<figcaption>{}</figcaption>\n</figure>\n",
            drawing.inline(),
            escape(caption)
        ))
    }

    /// What is HTML already.
    pub(crate) fn html(mut self, html: &str) -> Self {
        self.0.push_str(html);
        self
    }

    /// All of it under a heading.
    pub(crate) fn section(self, id: &str, heading: &str) -> Section {
        Section {
            id: id.to_owned(),
            heading: heading.to_owned(),
            body: self.0,
        }
    }

    fn tagged(self, tag: &str, attributes: &str, text: &str) -> Self {
        self.html(&format!("<{tag}{attributes}>{}</{tag}>\n", escape(text)))
    }

    fn listed(self, tag: &str, items: &[String]) -> Self {
        if items.is_empty() {
            return self;
        }
        let items = items.iter().fold(String::new(), |mut html, item| {
            html.push_str("<li>");
            html.push_str(&escape(item));
            html.push_str("</li>\n");
            html
        });
        self.html(&format!("<{tag}>\n{items}</{tag}>\n"))
    }
}
