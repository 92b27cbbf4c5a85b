//! A small SVG writer: elements with escaped attributes and text, and a drawing that carries its
//! own title and description.

use crate::palette;
use std::fmt::Write as _;

/// One SVG element.
#[derive(Debug, Clone)]
pub(crate) struct Element {
    name: &'static str,
    attributes: Vec<(String, String)>,
    text: String,
    children: Vec<Element>,
}

impl Element {
    /// An empty element.
    pub(crate) fn new(name: &'static str) -> Self {
        Self {
            name,
            attributes: Vec::new(),
            text: String::new(),
            children: Vec::new(),
        }
    }

    /// A numeric attribute.
    pub(crate) fn at(self, name: &str, value: f64) -> Self {
        self.set(name, &number(value))
    }

    /// A text attribute.
    pub(crate) fn set(mut self, name: &str, value: &str) -> Self {
        self.attributes.push((name.to_owned(), value.to_owned()));
        self
    }

    /// The drawing style's class.
    pub(crate) fn class(self, class: &str) -> Self {
        self.set("class", class)
    }

    /// Text inside.
    pub(crate) fn text(mut self, text: &str) -> Self {
        self.text.push_str(text);
        self
    }

    /// An element inside.
    pub(crate) fn child(mut self, child: &Self) -> Self {
        self.children.push(child.clone());
        self
    }

    /// Elements inside.
    pub(crate) fn children(self, children: impl IntoIterator<Item = Self>) -> Self {
        children
            .into_iter()
            .fold(self, |parent, child| parent.child(&child))
    }

    /// Its kind.
    pub(crate) fn name(&self) -> &'static str {
        self.name
    }

    /// The value of an attribute.
    pub(crate) fn attribute(&self, name: &str) -> Option<&str> {
        let mut all = self.attributes.iter();
        all.find(|one| one.0 == name).map(|one| one.1.as_str())
    }

    /// The value of an attribute that is a number.
    pub(crate) fn number(&self, name: &str) -> Option<f64> {
        self.attribute(name)?.parse().ok()
    }

    /// The text inside, not escaped.
    pub(crate) fn plain_text(&self) -> &str {
        &self.text
    }

    pub(crate) fn write(&self, into: &mut String) {
        // Writing into a string can't fail.
        let _ = write!(into, "<{}", self.name);
        for (name, value) in &self.attributes {
            let _ = write!(into, " {name}=\"{}\"", escape(value));
        }
        if self.text.is_empty() && self.children.is_empty() {
            into.push_str("/>\n");
            return;
        }
        let _ = write!(into, ">{}", escape(&self.text));
        for child in &self.children {
            child.write(into);
        }
        let _ = writeln!(into, "</{}>", self.name);
    }
}

/// A straight line.
pub(crate) fn line(class: &str, from: (f64, f64), to: (f64, f64)) -> Element {
    Element::new("line")
        .class(class)
        .at("x1", from.0)
        .at("y1", from.1)
        .at("x2", to.0)
        .at("y2", to.1)
}

/// A rectangle from its upper left corner.
pub(crate) fn rect(class: &str, corner: (f64, f64), width: f64, height: f64) -> Element {
    Element::new("rect")
        .class(class)
        .at("x", corner.0)
        .at("y", corner.1)
        .at("width", width.max(0.0))
        .at("height", height.max(0.0))
}

/// A line of text; the class says where it is anchored.
pub(crate) fn label(class: &str, at: (f64, f64), text: &str) -> Element {
    Element::new("text")
        .class(class)
        .at("x", at.0)
        .at("y", at.1)
        .text(text)
}

/// A line of text that is squeezed where it would be wider than `width`.
pub(crate) fn fitted(
    class: &str,
    at: (f64, f64),
    text: &str,
    font_size: f64,
    width: f64,
) -> Element {
    let element = Element::new("text")
        .class(class)
        .at("x", at.0)
        .at("y", at.1);
    let element = if text_width(text, font_size) > width {
        element
            .at("textLength", width)
            .set("lengthAdjust", "spacingAndGlyphs")
    } else {
        element
    };
    element.text(text)
}

/// About how wide a text is: 0.56 em a letter holds for the digits and lower-case words of the
/// usual sans-serif faces (an estimate, no source).
pub(crate) fn text_width(text: &str, font_size: f64) -> f64 {
    #[expect(
        clippy::cast_precision_loss,
        reason = "labels are far shorter than 2^52"
    )]
    let letters = text.chars().count() as f64;
    letters * 0.56 * font_size
}

/// A drawing with what a screen reader says of it.
#[derive(Debug, Clone)]
pub(crate) struct Drawing {
    /// Identifier, unique in its page; begins the identifiers of everything inside.
    pub(crate) id: String,
    /// Name of the drawing.
    pub(crate) title: String,
    /// What it shows, in a sentence or two.
    pub(crate) description: String,
    /// Width of the view box.
    pub(crate) width: f64,
    /// Height of the view box.
    pub(crate) height: f64,
    /// What is drawn.
    pub(crate) body: Vec<Element>,
}

impl Drawing {
    /// For a page that holds the drawing style already.
    pub(crate) fn inline(&self) -> String {
        self.written(self.root(), "")
    }

    /// A file of its own with its true size in mm.
    pub(crate) fn standalone(&self, width_mm: f64, height_mm: f64) -> String {
        let root = self
            .root()
            .set("xmlns", "http://www.w3.org/2000/svg")
            .set("width", &format!("{}mm", number(width_mm)))
            .set("height", &format!("{}mm", number(height_mm)));
        let style = format!("{}{}", palette::css_variables(), crate::page::DRAWING_CSS);
        self.written(root, &style)
    }

    fn root(&self) -> Element {
        Element::new("svg")
            .class("drawing")
            .set(
                "viewBox",
                &format!("0 0 {} {}", number(self.width), number(self.height)),
            )
            .set("role", "img")
            .set("aria-labelledby", &format!("{0}-title {0}-desc", self.id))
    }

    fn written(&self, root: Element, style: &str) -> String {
        let title = Element::new("title").set("id", &format!("{}-title", self.id));
        let description = Element::new("desc").set("id", &format!("{}-desc", self.id));
        let mut root = root
            .child(&title.text(&self.title))
            .child(&description.text(&self.description));
        if !style.is_empty() {
            root = root.child(&Element::new("style").text(style));
        }
        let mut svg = String::new();
        root.children(self.body.iter().cloned()).write(&mut svg);
        svg
    }
}

/// A coordinate: two decimals at most, never `-0` or `NaN`.
pub(crate) fn number(value: f64) -> String {
    let text = format!("{:.2}", if value.is_finite() { value } else { 0.0 });
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" {
        "0".to_owned()
    } else {
        text.to_owned()
    }
}

/// Text that is safe between tags and in attributes; a control character, which XML can't hold,
/// becomes U+FFFD.
pub(crate) fn escape(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            '\n' | '\t' => safe.push(c),
            c if c.is_control() => safe.push('\u{fffd}'),
            c => safe.push(c),
        }
    }
    safe
}

/// Text for a table cell, escaped, that may break inside words longer than any column should be:
/// a style rule that lets every word break would also squeeze columns of ordinary words.
pub(crate) fn breakable(text: &str) -> String {
    const LONGEST: usize = 22;
    let mut safe = String::new();
    let mut run = 0;
    let mut piece = String::new();
    for c in text.chars() {
        run = if c.is_whitespace() || c == '-' {
            0
        } else {
            run + 1
        };
        piece.push(c);
        if run == LONGEST {
            safe.push_str(&escape(&piece));
            safe.push_str("<wbr>");
            piece.clear();
            run = 0;
        }
    }
    safe + &escape(&piece)
}

#[cfg(test)]
mod tests {
    use super::{Drawing, breakable, escape, label, number};

    #[test]
    fn only_long_words_may_break() {
        assert_eq!(
            breakable("indistinguishable <b>"),
            "indistinguishable &lt;b&gt;"
        );
        let long = breakable(&"<".repeat(30));
        assert_eq!(long.matches("<wbr>").count(), 1);
        assert_eq!(long.replace("<wbr>", ""), "&lt;".repeat(30));
    }

    #[test]
    fn text_and_attributes_are_escaped() {
        let drawing = Drawing {
            id: "d".into(),
            title: "<script>alert(1)</script>".into(),
            description: "a \"b\" & 'c'\u{1}".into(),
            width: 10.0,
            height: 5.0,
            body: vec![label("lane", (1.0, 2.0), "<b>")],
        };
        let svg = drawing.inline();
        assert!(!svg.contains("<script>") && !svg.contains("<b>"), "{svg}");
        assert!(svg.contains("a &quot;b&quot; &amp; &#39;c&#39;\u{fffd}"));
        assert_eq!(escape("it's"), "it&#39;s");
    }

    #[test]
    fn coordinates_are_short_and_finite() {
        assert_eq!(
            [1.0, 1.234_6, -0.001, f64::NAN].map(number),
            ["1", "1.23", "0", "0"]
        );
    }
}
