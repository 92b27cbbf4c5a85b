//! A colour word that is not judged.

use super::{Context, Finding, Lint, LintExample};
use dyebook_documents::{COLOUR_WORDS, Severity, colour_word};

pub(super) const LINT: Lint = Lint {
    id: "colour-word-unknown",
    severity: Severity::Info,
    why: "such a word is kept and never counts for or against a dye",
    run,
    fires: &[LintExample::set(
        "a word of one's own",
        &[("/references/0/colours", r#"["indigo-ish"]"#)],
    )],
    silent: &[LintExample::set(
        "a shade",
        &[("/references/0/colours", r#"["dark blue"]"#)],
    )],
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    let words: Vec<&str> = COLOUR_WORDS.iter().map(|colour| colour.word).collect();
    let of = |(place, r): (String, &dyebook_documents::Reference)| {
        let colours = r.colours.clone().unwrap_or_default();
        colours
            .into_iter()
            .enumerate()
            .map(|(index, word)| (format!("{place}/colours/{index}"), word))
            .collect::<Vec<_>>()
    };
    context
        .references()
        .flat_map(of)
        .filter(|(_, word)| colour_word(word).is_none())
        .map(|(place, word)| {
            LINT.finding(place, format!("`{word}` is kept as written and not judged"))
                .hint(format!("judged words are {}", words.join(", ")))
        })
        .collect()
}
