//! Which step lies between two version numbers.

use super::bump::Bump;
use semver::Version;

/// The step between two version numbers, by position; `None` where the second is not higher.
///
/// Versions below 1.0.0 count like the others: 0.1.0 to 0.2.0 is a minor step. From a draft to
/// its release (`2.0.0-draft.1` to `2.0.0`) it is the step that the release's number stands for:
/// a draft is in nobody's use, so the numbers before it count.
pub fn declared_bump(from: &Version, to: &Version) -> Option<Bump> {
    if to.cmp_precedence(from) != std::cmp::Ordering::Greater {
        return None;
    }
    Some(if to.major != from.major {
        Bump::Major
    } else if to.minor != from.minor {
        Bump::Minor
    } else if to.patch != from.patch || to.patch > 0 {
        Bump::Patch
    } else if to.minor > 0 {
        Bump::Minor
    } else {
        Bump::Major
    })
}

/// The lowest version that declares a step.
pub fn next_version(from: &Version, bump: Bump) -> Version {
    match bump {
        Bump::Major => Version::new(from.major + 1, 0, 0),
        Bump::Minor => Version::new(from.major, from.minor + 1, 0),
        Bump::Patch | Bump::None => Version::new(from.major, from.minor, from.patch + 1),
    }
}

#[cfg(test)]
mod tests {
    use super::{Bump, declared_bump, next_version};

    fn step(from: &str, to: &str) -> Option<Bump> {
        declared_bump(&from.parse().unwrap(), &to.parse().unwrap())
    }

    #[test]
    fn the_step_goes_by_position() {
        assert_eq!(step("1.4.0", "1.4.1"), Some(Bump::Patch));
        assert_eq!(step("1.4.7", "1.5.0"), Some(Bump::Minor));
        assert_eq!(step("1.4.7", "2.0.0"), Some(Bump::Major));
        assert_eq!(step("0.1.0", "0.2.0"), Some(Bump::Minor));
        assert_eq!(step("0.1.0", "0.1.1"), Some(Bump::Patch));
        assert_eq!(step("0.9.0", "1.0.0"), Some(Bump::Major));
    }

    #[test]
    fn pre_releases_stand_before_their_release() {
        // Semantic Versioning 2.0.0, section 11: 1.0.0-alpha < 1.0.0; section 10: build metadata
        // has no precedence.
        assert_eq!(step("1.4.0", "1.5.0-draft.1"), Some(Bump::Minor));
        assert_eq!(step("1.5.0-draft.1", "1.5.0-draft.2"), Some(Bump::Minor));
        assert_eq!(step("2.0.0-draft.1", "2.0.0"), Some(Bump::Major));
        assert_eq!(step("1.4.1-draft.1", "1.4.1"), Some(Bump::Patch));
        assert_eq!(step("1.5.0", "1.5.0-draft.1"), None);
        assert_eq!(step("1.5.0", "1.4.9"), None);
        assert_eq!(step("1.5.0+a", "1.5.0+b"), None);
    }

    #[test]
    fn the_next_version_declares_the_step() {
        let from = "1.4.2".parse().unwrap();
        for bump in [Bump::Patch, Bump::Minor, Bump::Major] {
            assert_eq!(declared_bump(&from, &next_version(&from, bump)), Some(bump));
        }
    }
}
