//! The next version of a method with references worked out anew.

use super::design::DyeRuns;
use super::establish::below;
use super::estimate::{Estimate, kept};
use super::evidence::{Evidence, EvidenceSheet};
use super::pooled::Pooling;
use super::standards::{LeftOut, WhyLeftOut};
use crate::failure::Failure;
use crate::method_document::check_method;
use dyebook_documents::{DyeRegister, MethodState, Minimum, colour_word, counted};
use dyebook_library::{KeptMethod, KeptSheet, Library, Origin};
use dyebook_methods::lints::Finding;
use dyebook_methods::rules::{Bump, Diff, diff, next_version};
use semver::Version;
use serde_json::{Map, Value, json};

/// What a draft is made of.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Draft<'a> {
    pub(crate) base: &'a KeptMethod,
    pub(crate) sheets: &'a [KeptSheet],
    pub(crate) estimates: &'a [Estimate],
    pub(crate) left_out: &'a [LeftOut],
    pub(crate) minimum: Minimum,
    pub(crate) pooling: Pooling,
}

/// A draft ready to be kept.
#[derive(Debug)]
pub(crate) struct MadeDraft {
    pub(crate) kept: KeptMethod,
    pub(crate) diff: Diff,
    pub(crate) notes: Vec<String>,
    pub(crate) findings: Vec<Finding>,
}

/// Writes the references into a copy of the method and gives it the version that the rules ask for.
pub(crate) fn draft(
    library: &Library,
    dyes: &DyeRegister,
    parts: &Draft<'_>,
) -> Result<MadeDraft, Failure> {
    let base = parts.base;
    let mut document = base.document.clone();
    let mut notes = Vec::new();
    parts.write_references(&mut document);
    document["change_note"] = json!(parts.change_note());
    if let Value::Object(members) = &mut document
        && base.state != MethodState::Draft
    {
        let dated = [
            members.remove("effective_from"),
            members.remove("effective_to"),
        ];
        if dated.iter().any(Option::is_some) {
            notes.push(format!(
                "The draft has no dates of use; those of {} are its own.",
                base.version
            ));
        }
    }
    let versions = library.methods(Some(&base.id))?;
    let in_use = versions
        .iter()
        .rev()
        .find(|m| m.state != MethodState::Draft && m.version.major == base.version.major);
    let against = in_use.unwrap_or(base);
    if against.version > base.version && base.state != MethodState::Draft {
        notes.push(format!(
            "{} took the place of {}: the draft goes back behind what it changed. To keep that, \
             establish from {}@^{}.",
            against.version, base.version, base.id, base.version.major
        ));
    }
    let required = diff(&against.document, &document).required;
    let version = parts.free_version(&versions, against, required, &mut notes);
    document["version"] = json!(version.to_string());
    let checked = check_method(
        &format!("{}@{version}", base.id),
        &document.to_string(),
        dyes,
    )?;
    Ok(MadeDraft {
        diff: diff(&against.document, &document),
        kept: KeptMethod {
            id: base.id.clone(),
            version,
            document,
            digest: checked.digest,
            state: MethodState::Draft,
            origin: Origin::Here,
        },
        notes,
        findings: checked.findings,
    })
}

impl Draft<'_> {
    /// The version that the step asks for; a draft that somebody else wrote under it is not touched.
    fn free_version(
        &self,
        versions: &[KeptMethod],
        against: &KeptMethod,
        required: Bump,
        notes: &mut Vec<String>,
    ) -> Version {
        if self.base.state == MethodState::Draft {
            return self.base.version.clone();
        }
        let mut version = next_version(&against.version, required);
        while let Some(taken) = versions.iter().find(|m| m.version == version) {
            if taken.state == MethodState::Draft && self.is_ours(taken) {
                break;
            }
            notes.push(format!(
                "{} is taken by {}, which stays as it is.",
                taken.name(),
                if taken.state == MethodState::Draft {
                    "another draft"
                } else {
                    "a version in use"
                }
            ));
            version = next_version(&version, required);
        }
        version
    }

    /// Whether a draft was written here from the same version.
    fn is_ours(&self, draft: &KeptMethod) -> bool {
        let references = draft.document["references"].as_array();
        references
            .into_iter()
            .flatten()
            .any(|reference| reference["evidence"]["method"] == self.base.name().as_str())
    }

    fn write_references(&self, document: &mut Value) {
        let Some(references) = document["references"].as_array_mut() else {
            return;
        };
        for estimate in self.estimates {
            let dye = estimate.runs.dye.as_str();
            let at = references
                .iter()
                .position(|reference| reference["dye"] == dye);
            let mut members = match at {
                Some(at) => references.remove(at),
                None => json!({ "dye": dye }),
            };
            if let Value::Object(members) = &mut members {
                self.write_reference(members, estimate);
            }
            references.insert(at.unwrap_or(references.len()), members);
        }
    }

    /// Colours, minor spots, behaviour and lot stay, but for words that were seen and not listed.
    fn write_reference(&self, members: &mut Map<String, Value>, estimate: &Estimate) {
        let mut set = |name: &str, value: Value| {
            members.insert(name.to_owned(), value);
        };
        set("assigned_rf", json!(kept(estimate.assigned)));
        set("expected_rf", json!(estimate.expected));
        set("sd", json!(estimate.sd));
        set("count", json!(estimate.count()));
        set("source", json!(self.source(&estimate.runs)));
        set("evidence", json!(self.evidence(estimate)));
        let colours = colours(&estimate.runs, members.get("colours"));
        if !colours.is_empty() {
            members.insert("colours".to_owned(), json!(colours));
        }
        if below(self.minimum, estimate) {
            members.insert("provisional".to_owned(), json!(true));
        } else {
            members.remove("provisional");
        }
    }

    fn evidence(&self, estimate: &Estimate) -> Evidence {
        // Of all dyes: where spread is pooled, each one's exclusions bear on the others.
        let excluded = self
            .left_out
            .iter()
            .filter(|l| l.kind == WhyLeftOut::Excluded);
        Evidence {
            method: self.base.name(),
            sheets: self
                .sheets
                .iter()
                .map(|sheet| EvidenceSheet {
                    sheet: sheet.id.clone(),
                    revision: sheet.revision,
                })
                .collect(),
            excluded: excluded.map(|l| l.place.clone()).collect(),
            pooling: self.pooling,
            pooled_over: estimate.pooled_over.clone(),
            df: estimate.df.map(kept),
            assigned_u: kept(estimate.u),
            half_width: kept(estimate.computed_half_width),
        }
    }

    fn excluded(&self, dye: &str) -> impl Iterator<Item = &LeftOut> {
        self.left_out
            .iter()
            .filter(move |l| l.dye == dye && l.kind == WhyLeftOut::Excluded)
    }

    fn source(&self, runs: &DyeRuns) -> String {
        let mut sheets: Vec<&str> = runs.papers().map(|paper| paper.sheet.as_str()).collect();
        sheets.sort_unstable();
        sheets.dedup();
        let excluded = match self.excluded(&runs.dye).count() {
            0 => String::new(),
            1 => "; 1 spot left out by a person".to_owned(),
            many => format!("; {many} spots left out by a person"),
        };
        format!(
            "established from {} on {} in {}: sheets {}{excluded}",
            counted(runs.spots().count(), "spot"),
            counted(runs.papers().count(), "paper"),
            counted(runs.sessions.len(), "session"),
            sheets.join(", ")
        )
    }

    fn change_note(&self) -> String {
        let sessions: std::collections::BTreeSet<String> = self
            .sheets
            .iter()
            .map(|sheet| sheet.sheet.session())
            .collect();
        format!(
            "References of {} established from the dye standards of {} ({}), starting from {}.",
            counted(self.estimates.len(), "dye"),
            counted(self.sheets.len(), "sheet"),
            counted(sessions.len(), "session"),
            self.base.version
        )
    }
}

/// Colour words that were seen on at least two spots, the most usual first, then those of the method
/// that were not seen this time. Words that the program does not judge are not taken over.
fn colours(runs: &DyeRuns, listed: Option<&Value>) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    let mut add = |word: &str| {
        if !words.iter().any(|there| there == word) {
            words.push(word.to_owned());
        }
    };
    for (word, count) in runs.colours() {
        if let Some(judged) = colour_word(&word).filter(|_| count > 1) {
            add(judged.word);
        }
    }
    for word in listed.and_then(Value::as_array).into_iter().flatten() {
        if let Some(word) = word.as_str() {
            add(word);
        }
    }
    words
}

#[cfg(test)]
mod tests {
    use super::colours;
    use crate::references::design::tests::runs;
    use serde_json::json;

    #[test]
    fn words_of_the_method_are_kept_and_odd_ones_not_taken() {
        // lanes from the second on are noted "Red" in these runs
        let seen = runs("a", &[&[&[0.4, 0.4, 0.4]]]);
        assert_eq!(
            colours(&seen, Some(&json!(["orange", "red"]))),
            ["red", "orange"]
        );
        let once = runs("a", &[&[&[0.4, 0.4]]]);
        assert!(colours(&once, None).is_empty());
    }
}
