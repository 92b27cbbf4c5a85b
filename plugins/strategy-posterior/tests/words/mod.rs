//! The bundled colour words.

use dyebook_plugin::strategy::ColourWord;

/// The bundled colour words and their neighbours.
pub(crate) fn colour_words() -> Vec<ColourWord> {
    vec![
        ColourWord::new("black", &["purple", "brown", "blue"]),
        ColourWord::new("blue", &["green", "purple", "black"]),
        ColourWord::new("brown", &["orange", "red", "black"]),
        ColourWord::new("colourless", &[]),
        ColourWord::new("green", &["blue", "yellow"]),
        ColourWord::new("orange", &["yellow", "red", "brown"]),
        ColourWord::new("pink", &["red", "purple"]),
        ColourWord::new("purple", &["blue", "pink", "red", "black"]),
        ColourWord::new("red", &["pink", "orange", "purple", "brown"]),
        ColourWord::new("yellow", &["orange", "green"]),
    ]
}
