//! What stands below each lane of a paper.

use super::{FONT, LaneFigure, PaperFigure, Scale};
use crate::svg::{Element, fitted, text_width};
use crate::words::range;

/// From line to line.
const LINE: f64 = 16.0;

/// Below the paper: lane, role, label, and which letter is which dye. Returns how far it reaches.
pub(super) fn foot(figure: &PaperFigure, lane: &LaneFigure, scale: &Scale) -> (Element, f64) {
    let x = scale.x(lane.x_cm);
    let room = figure.pitch_cm * scale.unit - 8.0;
    let mut lines: Vec<(&str, String)> = vec![
        ("mid strong", format!("Lane {}", lane.number)),
        ("mid small quiet", lane.role.to_owned()),
    ];
    lines.extend(wrapped(&lane.label, room).into_iter().map(|l| ("mid", l)));
    for bar in &lane.bars {
        let name = format!("{}: {}", bar.letter, bar.name);
        lines.extend(wrapped(&name, room).into_iter().map(|l| ("mid small", l)));
        lines.push(("mid small quiet", range(bar.expected)));
    }
    let mut y = scale.bottom + 20.0;
    let mut group = Element::new("g");
    for (class, text) in lines {
        let size = if class.contains("small") { 12.0 } else { FONT };
        group = group.child(&fitted(class, (x, y), &text, size, room));
        y += LINE;
    }
    (group, y - LINE + 6.0)
}

/// Words in lines no wider than the room, three lines at most.
fn wrapped(text: &str, room: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(last) if text_width(&format!("{last} {word}"), FONT) <= room => {
                last.push(' ');
                last.push_str(word);
            }
            _ => lines.push(short(word, 18)),
        }
    }
    if lines.len() > 3 {
        lines.truncate(3);
        if let Some(last) = lines.last_mut() {
            last.push('…');
        }
    }
    lines
}

/// A text cut to so many letters; the table holds all of it.
pub(super) fn short(text: &str, letters: usize) -> String {
    if text.chars().count() <= letters {
        text.to_owned()
    } else {
        text.chars().take(letters - 1).chain(['…']).collect()
    }
}
