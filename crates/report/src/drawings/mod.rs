//! Drawings, one a file: a figure's plain data in, an SVG drawing out.

pub(crate) mod hatch;
pub(crate) mod paper;
