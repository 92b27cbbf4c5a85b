//! What every page must keep, looked at in its text.

#![expect(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a page that lacks what is looked for fails the test"
)]

/// The page holds all it needs, and nothing that runs or fetches.
pub(crate) fn is_self_contained(html: &str) {
    let lower = html.to_lowercase();
    for banned in [
        "<script",
        "javascript:",
        " onload=",
        " onclick=",
        "src=",
        "<link",
        "@import",
        "<iframe",
        "href=\"http",
        "url(http",
        "url(//",
        "<object",
        "<embed",
    ] {
        assert!(!lower.contains(banned), "{banned} in the page");
    }
    assert!(lower.starts_with("<!doctype html>\n<html lang=\"en\">"));
}

/// One `h1`, and no level skipped.
pub(crate) fn headings_are_in_order(html: &str) {
    let levels: Vec<u32> = html
        .match_indices("<h")
        .filter_map(|(at, _)| html[at + 2..].chars().next()?.to_digit(10))
        .collect();
    assert_eq!(levels.iter().filter(|level| **level == 1).count(), 1);
    assert_eq!(levels.first(), Some(&1));
    for pair in levels.windows(2) {
        assert!(pair[1] <= pair[0] + 1, "h{} after h{}", pair[1], pair[0]);
    }
}

/// Landmarks and the link that skips to the content.
pub(crate) fn has_landmarks(html: &str) {
    for part in [
        "<header>",
        "<main id=\"content\">",
        "<footer>",
        "class=\"skip\" href=\"#content\"",
    ] {
        assert!(html.contains(part), "{part}");
    }
}

/// Each figure has a named and described drawing, and a table before the next figure.
pub(crate) fn every_figure_has_its_table(html: &str) -> usize {
    let mut figures = html.split("<figure").skip(1);
    let mut count = 0;
    for figure in &mut figures {
        count += 1;
        let (inside, after) = figure.split_once("</figure>").expect("figure is closed");
        for part in [
            "role=\"img\"",
            "aria-labelledby=",
            "<title ",
            "<desc ",
            "<figcaption>",
        ] {
            assert!(inside.contains(part), "{part} in figure {count}");
        }
        assert!(after.contains("<table"), "figure {count} has no table");
    }
    count
}

/// No identifier twice, and every reference inside the page leads somewhere.
pub(crate) fn identifiers_are_unique_and_known(html: &str) {
    let mut ids: Vec<&str> = attribute(html, " id=\"");
    let all = ids.len();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), all, "an identifier stands twice");
    let links = attribute(html, "href=\"#").into_iter();
    let hatches = html.match_indices("url(#").map(|(at, start)| {
        let rest = &html[at + start.len()..];
        &rest[..rest.find(')').unwrap()]
    });
    let labels = attribute(html, "aria-labelledby=\"")
        .into_iter()
        .flat_map(str::split_whitespace);
    for wanted in links.chain(hatches).chain(labels) {
        assert!(ids.contains(&wanted), "nothing has the identifier {wanted}");
    }
}

/// Tags open and close in order.
pub(crate) fn tags_are_balanced(html: &str) {
    const EMPTY: [&str; 3] = ["!DOCTYPE", "meta", "wbr"];
    let mut open: Vec<&str> = Vec::new();
    let (before, behind) = html.split_once("<style>").unwrap();
    let (_, behind) = behind.split_once("</style>").unwrap();
    for part in [before, behind] {
        for tag in part.split('<').skip(1) {
            let inside = tag.split_once('>').expect("a tag ends").0;
            let name = inside
                .split([' ', '\n', '/'])
                .find(|n| !n.is_empty())
                .unwrap();
            if inside.starts_with('/') {
                assert_eq!(open.pop(), Some(name), "</{name}> closes something else");
            } else if !inside.ends_with('/') && !EMPTY.contains(&name) {
                open.push(name);
            }
        }
    }
    assert!(open.is_empty(), "{open:?} stay open");
}

/// All of the above; the number of figures.
pub(crate) fn keeps_the_rules(html: &str) -> usize {
    is_self_contained(html);
    headings_are_in_order(html);
    has_landmarks(html);
    identifiers_are_unique_and_known(html);
    tags_are_balanced(html);
    every_figure_has_its_table(html)
}

fn attribute<'a>(html: &'a str, start: &str) -> Vec<&'a str> {
    html.match_indices(start)
        .map(|(at, _)| {
            let rest = &html[at + start.len()..];
            &rest[..rest.find('"').unwrap()]
        })
        .collect()
}
