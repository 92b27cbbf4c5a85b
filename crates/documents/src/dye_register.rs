//! Any registered name finds a dye.

use crate::dye::Dye;
use std::collections::{BTreeMap, HashMap};
use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

/// All known dyes, found by any of their names.
#[derive(Debug, Clone, Default)]
pub struct DyeRegister {
    /// By identifier.
    dyes: Vec<Dye>,
    /// Places of the dyes that go by a folded name, rising.
    by_name: HashMap<String, Vec<usize>>,
}

/// What a name leads to.
#[derive(Debug, Clone, PartialEq)]
pub enum DyeLookup<'a> {
    /// One dye.
    Found(&'a Dye),
    /// Several dyes go by that name.
    Ambiguous(Vec<&'a Dye>),
    /// No dye goes by it; registered names that look like it.
    Unknown {
        /// The nearest registered names, best first.
        near: Vec<String>,
    },
}

impl DyeRegister {
    /// A register of these dyes.
    pub fn new(dyes: impl IntoIterator<Item = Dye>) -> Self {
        let mut by_id: BTreeMap<String, Dye> = BTreeMap::new();
        let mut names: Vec<(String, String)> = vec![];
        for dye in dyes {
            let own = [dye.id.as_str(), dye.name.as_str()].into_iter();
            for name in own.chain(dye.names.iter().map(|n| n.name.as_str())) {
                names.push((fold_name(name), dye.id.clone()));
            }
            by_id.insert(dye.id.clone(), dye);
        }
        let mut register = Self {
            dyes: by_id.into_values().collect(),
            by_name: HashMap::new(),
        };
        names.sort_unstable();
        names.dedup();
        for (name, id) in names {
            let place = register.place(&id);
            register.by_name.entry(name).or_default().extend(place);
        }
        register
    }

    fn place(&self, id: &str) -> Option<usize> {
        self.dyes
            .binary_search_by(|dye| dye.id.as_str().cmp(id))
            .ok()
    }

    /// The dye with that identifier.
    pub fn by_id(&self, id: &str) -> Option<&Dye> {
        self.place(id).map(|place| &self.dyes[place])
    }

    /// All dyes, by identifier.
    pub fn dyes(&self) -> impl Iterator<Item = &Dye> {
        self.dyes.iter()
    }

    /// The dye that goes by a name, without regard to case, spaces, hyphens or accents.
    pub fn find(&self, name: &str) -> DyeLookup<'_> {
        if let Some(dye) = self.by_id(name.trim()) {
            return DyeLookup::Found(dye);
        }
        let folded = fold_name(name);
        match self.by_name.get(&folded).map(Vec::as_slice) {
            None | Some([]) => DyeLookup::Unknown {
                near: self.near(&folded),
            },
            Some([one]) => DyeLookup::Found(&self.dyes[*one]),
            Some(several) => {
                DyeLookup::Ambiguous(several.iter().map(|place| &self.dyes[*place]).collect())
            }
        }
    }

    /// Names shown for the nearest keys: at most three, at most a third of the letters wrong.
    fn near(&self, folded: &str) -> Vec<String> {
        let mut near: Vec<(usize, &str)> = self
            .dyes
            .iter()
            .flat_map(|dye| {
                std::iter::once(dye.name.as_str())
                    .chain(dye.names.iter().map(|name| name.name.as_str()))
            })
            .map(|name| (strsim::damerau_levenshtein(folded, &fold_name(name)), name))
            .filter(|(distance, _)| *distance * 3 <= folded.chars().count())
            .collect();
        near.sort_unstable();
        near.dedup_by_key(|(_, name)| *name);
        near.into_iter()
            .take(3)
            .map(|(_, name)| name.to_owned())
            .collect()
    }
}

/// A name without what does not tell dyes apart: case, accents, spaces, hyphens, punctuation, and
/// the word "no" of "FD&C Blue No. 1".
pub fn fold_name(name: &str) -> String {
    if name.is_ascii() {
        return fold_ascii(name);
    }
    let plain: String = name
        .nfkd()
        .filter(|c| !is_combining_mark(*c))
        .map(|c| if c.is_alphanumeric() { c } else { ' ' })
        .collect::<String>()
        .to_lowercase();
    // "C.I. 19140" and "CI 19140", "F D & C" and "FD&C": letters join whatever stands between.
    plain
        .split_whitespace()
        .filter(|word| !is_number_word(word.as_bytes()))
        .collect()
}

/// The same where there are no accents: most names, and in one go.
fn fold_ascii(name: &str) -> String {
    let mut folded = String::with_capacity(name.len());
    for word in name.split(|c: char| !c.is_ascii_alphanumeric()) {
        let start = folded.len();
        folded.push_str(word);
        folded[start..].make_ascii_lowercase();
        if is_number_word(&folded.as_bytes()[start..]) {
            folded.truncate(start);
        }
    }
    folded
}

fn is_number_word(word: &[u8]) -> bool {
    matches!(word, b"no" | b"nr" | b"num")
}

#[cfg(test)]
mod tests {
    use super::{DyeLookup, DyeRegister, fold_name};
    use crate::dye::{Dye, DyeName, NameKind};

    fn dye(id: &str, name: &str, others: &[&str]) -> Dye {
        let names = others
            .iter()
            .map(|n| DyeName {
                name: (*n).to_owned(),
                kind: NameKind::Other,
                note: None,
            })
            .collect();
        Dye {
            id: id.into(),
            name: name.into(),
            names,
            colours: vec![],
        }
    }

    #[test]
    fn writing_does_not_matter() {
        for name in [
            "FD&C Blue No. 1",
            "fd&c blue 1",
            "FDC-Blue-1",
            " F.D.&C. Blüe 1 ",
        ] {
            assert_eq!(fold_name(name), "fdcblue1", "{name}");
        }
    }

    #[test]
    fn a_shared_name_is_ambiguous_and_a_slip_finds_its_neighbour() {
        let register = DyeRegister::new([
            dye("azorubine", "Azorubine", &["Azorubin S"]),
            dye("amaranth", "Amaranth", &["Azorubin S"]),
        ]);
        let DyeLookup::Ambiguous(both) = register.find("azorubin s") else {
            panic!("not refused")
        };
        assert_eq!(both.len(), 2);
        let DyeLookup::Unknown { near } = register.find("amarant") else {
            panic!("found")
        };
        assert_eq!(near, ["Amaranth"]);
    }
}
