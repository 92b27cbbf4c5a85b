//! Places in a document: JSON Pointers, in which lists of named things are addressed by name.

/// Whether a pattern with `*` for any one key names the place.
pub(super) fn matches(pattern: &str, path: &str) -> bool {
    let (mut wanted, mut found) = (pattern.split('/'), path.split('/'));
    loop {
        match (wanted.next(), found.next()) {
            (None, None) => return true,
            (Some(want), Some(have)) if want == "*" || want == have => {}
            _ => return false,
        }
    }
}

/// The place of a member.
pub(super) fn member(path: &str, key: &str) -> String {
    format!("{path}/{}", key.replace('~', "~0").replace('/', "~1"))
}

/// The keys of a place, unescaped.
pub(super) fn keys(path: &str) -> Vec<String> {
    path.split('/')
        .skip(1)
        .map(|key| key.replace("~1", "/").replace("~0", "~"))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::{keys, matches, member};

    #[test]
    fn a_star_is_any_one_key() {
        assert!(matches("/references/*/sd", "/references/tartrazine/sd"));
        assert!(!matches("/references/*", "/references/tartrazine/sd"));
        assert!(!matches("/references/*/sd", "/references/tartrazine"));
        let path = member("/cautions", "a/b ~ c");
        assert!(matches("/cautions/*", &path));
        assert_eq!(keys(&path), ["cautions", "a/b ~ c"]);
    }
}
