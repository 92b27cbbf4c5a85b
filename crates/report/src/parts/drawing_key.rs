//! How to read the drawing of a paper, in words with small samples.

use crate::svg::{Element, line, rect};
use askama::Template;

/// The key of the paper drawings.
#[derive(Template)]
#[template(
    ext = "html",
    source = r#"<div class="key">
<h3 id="drawing-key">How to read the drawings</h3>
<ul>
{% for line in lines %}<li>{{ line.0|safe }}<span>{{ line.1 }}</span></li>
{% endfor %}</ul>
</div>"#
)]
pub(crate) struct DrawingKey {
    lines: Vec<(String, &'static str)>,
}

impl DrawingKey {
    /// The key.
    pub(crate) fn new() -> Self {
        let spot = Element::new("ellipse")
            .at("cx", 26.0)
            .at("cy", 15.0)
            .at("rx", 12.0)
            .at("ry", 9.6)
            .set("fill", "#ffffff");
        let bar = [
            rect("bar", (18.0, 3.0), 16.0, 24.0).set("fill", "#ffffff"),
            line("hatch", (18.0, 15.0), (30.0, 3.0)),
            line("hatch", (18.0, 23.0), (34.0, 7.0)),
            line("hatch", (22.0, 27.0), (34.0, 15.0)),
        ];
        let arrow = Element::new("path")
            .class("beyond")
            .set("d", "M26 6L19 24L33 24Z");
        let sample = |elements: Vec<Element>| {
            let mut svg = String::new();
            Element::new("svg")
                .class("drawing")
                .set("viewBox", "0 0 52 30")
                .set("aria-hidden", "true")
                .children(elements)
                .write(&mut svg);
            svg
        };
        Self {
            lines: vec![
                (
                    sample(vec![line("start", (4.0, 15.0), (48.0, 15.0))]),
                    "A thin line from edge to edge is the start line; the ruler at the left counts cm from it.",
                ),
                (
                    sample(vec![line("front", (4.0, 15.0), (48.0, 15.0))]),
                    "A thick stroke is the front of that lane as written, with its distance in cm; the dotted line joins the fronts.",
                ),
                (
                    sample(vec![spot.clone().class("spot")]),
                    "An ellipse is a spot, as wide as written, with its number inside and its Rf and colour word at its left. The height is drawn, not measured.",
                ),
                (
                    sample(vec![spot.class("spot guessed")]),
                    "A dashed outline means that no width was written; the spot is drawn 0.5 cm wide.",
                ),
                (
                    sample(bar.into()),
                    "A hatched bar is the expected range of a candidate for a spot of this lane, or of the dye that a standard's label names. Its letter is explained under the lane; a dye keeps its letter and hatching on all papers.",
                ),
                (
                    sample(vec![arrow]),
                    "An arrow at the edge points to something that was written with a distance beyond the paper.",
                ),
            ],
        }
    }
}
