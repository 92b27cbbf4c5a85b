//! How a method version is named: `id`, `id@version` or `id@requirement`.

use semver::{Version, VersionReq};
use std::fmt;
use std::str::FromStr;

/// A method version by name, or what it must fit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MethodReference {
    /// Method identifier.
    pub id: String,
    /// Which versions are meant.
    pub wanted: WantedVersion,
    text: String,
}

/// Which versions of a method are meant.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum WantedVersion {
    /// This very one, in whatever state.
    Exact(Version),
    /// The newest approved one that fits.
    Fitting(VersionReq),
}

/// A text that names no method version.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{text}` is not a method reference: {why}")]
pub struct BadMethodReference {
    /// The text.
    pub text: String,
    /// What is wrong with it.
    pub why: String,
}

impl MethodReference {
    /// A reference to one very version.
    pub fn exact(id: &str, version: &Version) -> Self {
        Self {
            id: id.to_owned(),
            wanted: WantedVersion::Exact(version.clone()),
            text: format!("{id}@{version}"),
        }
    }
}

impl FromStr for MethodReference {
    type Err = BadMethodReference;

    fn from_str(text: &str) -> Result<Self, BadMethodReference> {
        let text = text.trim();
        let bad = |why: &str| BadMethodReference {
            text: text.to_owned(),
            why: why.to_owned(),
        };
        let (id, version) = match text.split_once('@') {
            Some((id, version)) => (id.trim(), version.trim()),
            None => (text, "*"),
        };
        if id.is_empty()
            || !id
                .bytes()
                .all(|b| b.is_ascii_alphanumeric() || b"-_.".contains(&b))
        {
            return Err(bad("it begins with a method id such as `saline-paper`"));
        }
        // `1.2.0` names a version, `1.2` and `^1.2` ask for one that fits.
        let wanted = if let Ok(version) = Version::parse(version) {
            WantedVersion::Exact(version)
        } else {
            let requirement = VersionReq::parse(version).map_err(|error| {
                bad(&format!(
                    "after the @ stands a version such as 1.2.0 or a requirement such as ^1.2 ({error})"
                ))
            })?;
            WantedVersion::Fitting(requirement)
        };
        Ok(Self {
            id: id.to_owned(),
            wanted,
            text: text.to_owned(),
        })
    }
}

impl fmt::Display for MethodReference {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

#[cfg(test)]
mod tests {
    use super::{MethodReference, WantedVersion};

    #[test]
    fn versions_and_requirements_are_told_apart() {
        let wanted = |text: &str| text.parse::<MethodReference>().unwrap().wanted;
        assert!(matches!(
            wanted("saline-paper@1.2.0"),
            WantedVersion::Exact(_)
        ));
        assert!(matches!(
            wanted("saline-paper@1.2.0-draft.1"),
            WantedVersion::Exact(_)
        ));
        assert!(matches!(
            wanted("saline-paper@^1.2"),
            WantedVersion::Fitting(_)
        ));
        assert!(matches!(
            wanted("saline-paper@1"),
            WantedVersion::Fitting(_)
        ));
        assert!(matches!(wanted("saline-paper"), WantedVersion::Fitting(_)));
        assert!("@1.0.0".parse::<MethodReference>().is_err());
        assert!("saline-paper@new".parse::<MethodReference>().is_err());
    }
}
