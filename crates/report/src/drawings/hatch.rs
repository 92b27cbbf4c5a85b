//! Hatchings that tell bars apart without colour.

use crate::svg::{Element, line};

/// How many hatchings there are.
const KINDS: usize = 6;

const NAMES: [&str; KINDS] = [
    "rising lines",
    "falling lines",
    "crossed lines",
    "level lines",
    "upright lines",
    "dots",
];

/// The hatching's name in words.
pub(crate) fn hatch_name(index: usize) -> &'static str {
    NAMES[index % KINDS]
}

/// Identifier of a hatching inside a drawing.
pub(crate) fn hatch_id(drawing: &str, index: usize) -> String {
    format!("{drawing}-hatch-{}", index % KINDS)
}

/// The hatchings that a drawing uses, as its definitions.
pub(crate) fn definitions(drawing: &str, used: impl IntoIterator<Item = usize>) -> Element {
    let mut kinds: Vec<usize> = used.into_iter().map(|index| index % KINDS).collect();
    kinds.sort_unstable();
    kinds.dedup();
    Element::new("defs").children(kinds.into_iter().map(|kind| pattern(drawing, kind)))
}

fn pattern(drawing: &str, kind: usize) -> Element {
    let size = 7.0;
    let whole = |from, to| line("hatch", from, to);
    let rising = [
        whole((-1.0, size + 1.0), (size + 1.0, -1.0)),
        whole((-1.0, 1.0), (1.0, -1.0)),
        whole((size - 1.0, size + 1.0), (size + 1.0, size - 1.0)),
    ];
    let falling = [
        whole((-1.0, -1.0), (size + 1.0, size + 1.0)),
        whole((-1.0, size - 1.0), (1.0, size + 1.0)),
        whole((size - 1.0, -1.0), (size + 1.0, 1.0)),
    ];
    let half = size / 2.0;
    let marks: Vec<Element> = match kind {
        0 => rising.into(),
        1 => falling.into(),
        2 => rising.into_iter().chain(falling).collect(),
        3 => vec![whole((0.0, half), (size, half))],
        4 => vec![whole((half, 0.0), (half, size))],
        _ => vec![
            Element::new("circle")
                .class("dot")
                .at("cx", half)
                .at("cy", half)
                .at("r", 1.5),
        ],
    };
    Element::new("pattern")
        .set("id", &hatch_id(drawing, kind))
        .set("patternUnits", "userSpaceOnUse")
        .at("width", size)
        .at("height", size)
        .child(
            &Element::new("rect")
                .set("fill", "#ffffff")
                .at("width", size)
                .at("height", size),
        )
        .children(marks)
}
