//! Marks told apart by their shape.

use crate::svg::{Element, rect};

/// A mark's shape.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Shape {
    Circle,
    Square,
    Triangle,
    Diamond,
    Cross,
}

impl Shape {
    /// Shapes for things that are counted.
    pub(crate) const IN_TURN: [Self; 4] =
        [Self::Circle, Self::Square, Self::Triangle, Self::Diamond];

    /// The shape of the `index`-th thing.
    pub(crate) fn of(index: usize) -> Self {
        Self::IN_TURN[index % Self::IN_TURN.len()]
    }

    /// Its name in words.
    pub(crate) fn name(self) -> &'static str {
        match self {
            Self::Circle => "circle",
            Self::Square => "square",
            Self::Triangle => "triangle",
            Self::Diamond => "diamond",
            Self::Cross => "cross",
        }
    }
}

/// A mark around a point, `r` from its middle to its edge.
pub(crate) fn marker(shape: Shape, class: &str, (x, y): (f64, f64), r: f64) -> Element {
    let path = |d: String| Element::new("path").class(class).set("d", &d);
    match shape {
        Shape::Circle => Element::new("circle")
            .class(class)
            .at("cx", x)
            .at("cy", y)
            .at("r", r),
        Shape::Square => rect(class, (x - r, y - r), r * 2.0, r * 2.0),
        Shape::Triangle => path(format!(
            "M{x:.2} {:.2}L{:.2} {:.2}L{:.2} {:.2}Z",
            y - r * 1.2,
            x + r * 1.1,
            y + r * 0.8,
            x - r * 1.1,
            y + r * 0.8
        )),
        Shape::Diamond => path(format!(
            "M{x:.2} {:.2}L{:.2} {y:.2}L{x:.2} {:.2}L{:.2} {y:.2}Z",
            y - r * 1.25,
            x + r * 1.25,
            y + r * 1.25,
            x - r * 1.25
        )),
        Shape::Cross => path(format!(
            "M{:.2} {:.2}L{:.2} {:.2}M{:.2} {:.2}L{:.2} {:.2}",
            x - r,
            y - r,
            x + r,
            y + r,
            x - r,
            y + r,
            x + r,
            y - r
        )),
    }
}
