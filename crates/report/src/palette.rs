//! The colours of pages and drawings. Every text colour keeps 4.5 : 1 against what it stands on
//! (WCAG 2.1, success criterion 1.4.3), which a test computes.

use std::fmt::Write as _;

/// A named colour.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Colour {
    /// Name of its CSS variable.
    pub(crate) name: &'static str,
    /// Six hexadecimal digits after `#`.
    pub(crate) hex: &'static str,
}

const fn colour(name: &'static str, hex: &'static str) -> Colour {
    Colour { name, hex }
}

/// All colours of the pages.
pub(crate) const COLOURS: &[Colour] = &[
    colour("ink", "#1b2430"),
    colour("quiet", "#4a5563"),
    colour("accent", "#0f4a56"),
    colour("paper", "#ffffff"),
    colour("band", "#f2f5f4"),
    colour("rule", "#bcc5cb"),
    colour("stop", "#861a12"),
    colour("stop-ground", "#fcf0ee"),
    colour("warn", "#634000"),
    colour("warn-ground", "#fcf5e4"),
    colour("ask", "#17457a"),
    colour("ask-ground", "#eef4fb"),
    colour("info", "#3d4854"),
    colour("info-ground", "#f2f5f4"),
    colour("banner-ground", "#fff2bf"),
];

/// Which text colour stands on which ground.
#[cfg(test)]
pub(crate) const TEXT_ON_GROUND: &[(&str, &str)] = &[
    ("ink", "paper"),
    ("ink", "band"),
    ("ink", "banner-ground"),
    ("quiet", "paper"),
    ("quiet", "band"),
    ("accent", "paper"),
    ("accent", "band"),
    ("paper", "accent"),
    ("stop", "paper"),
    ("stop", "stop-ground"),
    ("ink", "stop-ground"),
    ("warn", "warn-ground"),
    ("ink", "warn-ground"),
    ("ask", "ask-ground"),
    ("ink", "ask-ground"),
    ("info", "info-ground"),
    ("ink", "info-ground"),
];

/// The tint of a spot by its colour word; white where the word is not a judged one. A tint only
/// helps: the outline is ink and the word stands beside the spot.
pub(crate) fn tint(written: Option<&str>) -> &'static str {
    match written
        .and_then(dyebook_documents::colour_word)
        .map(|colour| colour.word)
    {
        Some("yellow") => "#f5dc4e",
        Some("orange") => "#f0a040",
        Some("red") => "#d8584c",
        Some("pink") => "#eda3b8",
        Some("purple") => "#a683c4",
        Some("blue") => "#6f9fd8",
        Some("green") => "#79b58a",
        Some("brown") => "#a9805c",
        Some("black") => "#5c6268",
        _ => "#ffffff",
    }
}

/// The colours as CSS variables.
pub(crate) fn css_variables() -> String {
    let mut css = String::from(":root{");
    for Colour { name, hex } in COLOURS {
        // Writing into a string can't fail.
        let _ = write!(css, "--{name}:{hex};");
    }
    css.push_str("}\n");
    css
}

#[cfg(test)]
mod tests {
    use super::{COLOURS, TEXT_ON_GROUND, tint};

    /// Relative luminance and contrast ratio as WCAG 2.1 defines them (W3C Recommendation of
    /// 5 June 2018, "relative luminance" and "contrast ratio").
    fn luminance(hex: &str) -> f64 {
        let channel = |at: usize| {
            let c = f64::from(u8::from_str_radix(&hex[at..at + 2], 16).unwrap()) / 255.0;
            if c <= 0.03928 {
                c / 12.92
            } else {
                ((c + 0.055) / 1.055).powf(2.4)
            }
        };
        0.2126 * channel(1) + 0.7152 * channel(3) + 0.0722 * channel(5)
    }

    fn contrast(one: &str, other: &str) -> f64 {
        let (a, b) = (luminance(one), luminance(other));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    fn hex(name: &str) -> &'static str {
        COLOURS.iter().find(|c| c.name == name).unwrap().hex
    }

    #[test]
    fn the_formula_gives_the_known_ends() {
        // WCAG 2.1: ratios range from 1 to 21.
        assert!((contrast("#000000", "#ffffff") - 21.0).abs() < 1e-9);
        assert!((contrast("#777777", "#ffffff") - 4.478).abs() < 1e-3);
    }

    #[test]
    fn text_keeps_its_contrast() {
        for (text, ground) in TEXT_ON_GROUND {
            let ratio = contrast(hex(text), hex(ground));
            assert!(ratio >= 4.5, "{text} on {ground}: {ratio:.2}");
        }
    }

    #[test]
    fn a_spot_stands_out_from_the_paper_whatever_its_tint() {
        // The outline carries it: WCAG 1.4.11 asks 3 : 1 of a graphical object.
        assert!(contrast(hex("ink"), hex("paper")) >= 3.0);
    }

    #[test]
    fn every_judged_colour_word_but_colourless_has_a_tint() {
        for colour in dyebook_documents::COLOUR_WORDS {
            let plain = tint(Some(colour.word)) == "#ffffff";
            assert_eq!(plain, colour.word == "colourless", "{}", colour.word);
        }
    }
}
