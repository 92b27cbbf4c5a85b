//! Everything kept, against its digests and against what the history recorded.

use super::findings::Findings;
use super::lossy_text::{optional_text, text, texts};
use super::recorded::Recorded;
use crate::open::Library;
use crate::packed::Unpacked;
use crate::seal::seal;
use crate::sheets::content_digest;
use dyebook_documents::{Sheet, digest_bytes, digest_value};
use serde_json::{Value, json};
use std::collections::{BTreeMap, BTreeSet};

const NOT_RECORDED: &str = "is in no change record";
const OTHER_THAN_RECORDED: &str = "is not what the history recorded last";
const GONE: &str = "is recorded in the history and is not there any more";
const SEAL_BROKEN: &str = "what stands beside the document does not fit its seal";

impl Library {
    pub(super) fn verify_contents(
        &self,
        recorded: &Recorded,
        found: &mut Findings,
    ) -> rusqlite::Result<()> {
        self.verify_dyes(recorded, found)?;
        self.verify_methods(recorded, found)?;
        self.verify_files(found)?;
        let current = self.verify_revisions(recorded, found)?;
        self.verify_sheets(&current, found)?;
        self.verify_identifications(recorded, found)?;
        self.verify_truth(recorded, found)?;
        self.verify_words(recorded, found)
    }

    fn verify_dyes(&self, recorded: &Recorded, found: &mut Findings) -> rusqlite::Result<()> {
        let mut there = BTreeSet::new();
        self.each("SELECT id, document, digest FROM dye", |row| {
            let [id, document, digest] = texts(row)?;
            let place = format!("dye {id}");
            let read = found.document(&place, &document, &digest, digest_value);
            found.expect(
                member(read.as_ref(), "id") == id,
                &place,
                "names another dye",
            );
            match recorded.dyes.get(&id) {
                None => found.add(&place, NOT_RECORDED),
                Some(last) => found.expect(last.digest == digest, &place, OTHER_THAN_RECORDED),
            }
            there.insert(id);
            Ok(())
        })?;
        for id in recorded.dyes.keys().filter(|id| !there.contains(*id)) {
            found.add(&format!("dye {id}"), GONE);
        }
        Ok(())
    }

    fn verify_methods(&self, recorded: &Recorded, found: &mut Findings) -> rusqlite::Result<()> {
        let mut there = BTreeSet::new();
        let sql = "SELECT id, version, document, digest, state FROM method_version";
        self.each(sql, |row| {
            let [id, version, document, digest, state] = texts(row)?;
            let name = format!("{id}@{version}");
            let place = format!("method {name}");
            let read = found.document(&place, &document, &digest, digest_value);
            let named = (
                member(read.as_ref(), "id"),
                member(read.as_ref(), "version"),
            );
            let itself = named == (id.as_str(), version.as_str());
            found.expect(itself, &place, "names another method version");
            match recorded.methods.get(&name) {
                None => found.add(&place, NOT_RECORDED),
                Some(last) if last.digest != digest => found.add(&place, OTHER_THAN_RECORDED),
                Some(last) if last.state != state => found.add(
                    &place,
                    format!("is {state}, and the history says {}", last.state),
                ),
                Some(_) => {}
            }
            there.insert(name);
            Ok(())
        })?;
        for name in recorded.methods.keys().filter(|n| !there.contains(*n)) {
            found.add(&format!("method {name}"), GONE);
        }
        Ok(())
    }

    fn verify_files(&self, found: &mut Findings) -> rusqlite::Result<()> {
        self.each(
            "SELECT sha256, name, seal, packed FROM source_file",
            |row| {
                let [sha256, name, sealed] = texts(row)?;
                let place = format!("file {sha256}");
                found.count("files as handed in");
                let bytes = row.get::<_, Unpacked>(3)?.into_result();
                let same = bytes.is_ok_and(|bytes| digest_bytes(&bytes).as_str() == sha256);
                found.expect(same, &place, "is not as it was handed in");
                let fits = seal(&[&sha256, &name]).as_str() == sealed;
                found.expect(
                    fits,
                    &place,
                    "its name is not the one it was handed in under",
                );
                Ok(())
            },
        )
    }

    /// Answers the current revision of each sheet: its number, and what the sheet's own columns
    /// must say.
    fn verify_revisions(
        &self,
        recorded: &Recorded,
        found: &mut Findings,
    ) -> rusqlite::Result<BTreeMap<String, Current>> {
        let mut there = BTreeSet::new();
        let mut current: BTreeMap<String, Current> = BTreeMap::new();
        let sql = "SELECT sheet_id, revision, kind, digest, file_sha256, importer, reading, \
                   method_id, method_version, state_when_bound, at, seal, packed
                   FROM sheet_revision ORDER BY sheet_id, revision";
        self.each(sql, |row| {
            let columns: [String; 12] = texts(row)?;
            let [id, revision, kind, digest, _, _, _, _, _, _, at, sealed] = &columns;
            let place = format!("sheet {id}");
            let read = found.packed(&place, row.get(12)?, digest, content_digest);
            let beside: Vec<&str> = columns.iter().take(11).map(String::as_str).collect();
            found.expect(seal(&beside).as_str() == sealed, &place, SEAL_BROKEN);
            let name = [id.clone(), digest.clone(), kind.clone(), at.clone()];
            found.expect(recorded.revisions.contains(&name), &place, NOT_RECORDED);
            let last = Current::of(revision, read);
            found.expect(last.is_some(), &place, "is no sheet that can be read");
            if let Some(last) = last {
                current.insert(id.clone(), last);
            }
            there.insert(name);
            Ok(())
        })?;
        for [id, ..] in recorded.revisions.difference(&there) {
            found.add(&format!("sheet {id}"), GONE);
        }
        Ok(current)
    }

    fn verify_sheets(
        &self,
        current: &BTreeMap<String, Current>,
        found: &mut Findings,
    ) -> rusqlite::Result<()> {
        let mut there = BTreeSet::new();
        let sql = "SELECT id, current_revision, group_code, session, section FROM sheet";
        self.each(sql, |row| {
            let [id, revision, group, session] = texts(row)?;
            let section = optional_text(row, 4)?;
            let here = Current {
                revision,
                group,
                session,
                section,
            };
            let place = format!("sheet {id}");
            let fits = current.get(&id) == Some(&here);
            found.expect(
                fits,
                &place,
                "its entry in the list of sheets differs from its document",
            );
            there.insert(id);
            Ok(())
        })?;
        for id in current.keys().filter(|id| !there.contains(*id)) {
            found.add(&format!("sheet {id}"), "is missing in the list of sheets");
        }
        Ok(())
    }

    fn verify_identifications(
        &self,
        recorded: &Recorded,
        found: &mut Findings,
    ) -> rusqlite::Result<()> {
        let mut there = BTreeSet::new();
        let sql = "SELECT sheet_id, digest, at, sheet_revision, method_id, method_version,
                   strategy, packed FROM identification";
        self.each(sql, |row| {
            let [id, digest, at, revision, method, version, strategy] = texts(row)?;
            let place = format!("identification of {id}");
            let read = found.packed(&place, row.get(7)?, &digest, digest_value);
            if let Some(read) = read {
                let said = json!([
                    read["sheet"],
                    read["sheet_revision"].to_string(),
                    read["method"]["id"],
                    read["method"]["version"],
                    read["strategy"]["id"]
                ]);
                let itself = said == json!([id, revision, method, version, strategy]);
                found.expect(itself, &place, SEAL_BROKEN);
            }
            let name = [id, digest, at];
            found.expect(
                recorded.identifications.contains(&name),
                &place,
                NOT_RECORDED,
            );
            there.insert(name);
            Ok(())
        })?;
        for [id, ..] in recorded.identifications.difference(&there) {
            found.add(&format!("identification of {id}"), GONE);
        }
        let sql = "SELECT l.sheet_id FROM latest_identification l JOIN identification i
                   ON i.seq = l.seq WHERE i.sheet_id <> l.sheet_id";
        self.each(sql, |row| {
            let place = format!("sheet {}", text(row, 0)?);
            found.add(&place, "its latest identification is that of another sheet");
            Ok(())
        })
    }

    fn verify_truth(&self, recorded: &Recorded, found: &mut Findings) -> rusqlite::Result<()> {
        let mut there = BTreeSet::new();
        self.each(
            "SELECT sheet_id, paper, lane, dyes FROM lane_truth",
            |row| {
                let [sheet, paper, _, dyes] = texts(row)?;
                let lane: i64 = row.get(2)?;
                let digest = digest_value(&json!([sheet, paper, lane, dyes])).to_string();
                let name = (sheet, digest);
                let true_now = recorded.truths.get(&name) == Some(&1);
                let place = format!("truth of sheet {}, paper {paper}, lane {lane}", name.0);
                found.expect(true_now, &place, OTHER_THAN_RECORDED);
                there.insert(name);
                Ok(())
            },
        )?;
        let live = recorded.truths.iter().filter(|(_, count)| **count > 0);
        for ((sheet, _), _) in live.filter(|(name, _)| !there.contains(*name)) {
            found.add(&format!("truth of sheet {sheet}"), GONE);
        }
        Ok(())
    }

    /// Exclusions, verified lots and checklists: each row has the record that made it.
    fn verify_words(&self, recorded: &Recorded, found: &mut Findings) -> rusqlite::Result<()> {
        let mut there = BTreeSet::new();
        let mut hold =
            |kind: &str, subject: String, about: &Value, action: &str, why: Option<String>| {
                found.count("notes of people");
                let place = format!("{kind} {subject}: {about}");
                let name = [kind.to_owned(), subject, digest_value(about).to_string()];
                let fits = recorded.words.get(&name) == Some(&(action.to_owned(), why));
                found.expect(fits, &place, OTHER_THAN_RECORDED);
                there.insert(name);
            };
        self.each(
            "SELECT sheet_id, paper, reason, lane, spot FROM exclusion",
            |row| {
                let [sheet, paper, reason] = texts(row)?;
                let (lane, spot): (i64, i64) = (row.get(3)?, row.get(4)?);
                let about = json!([sheet, paper, lane, spot]);
                hold("sheet", sheet, &about, "excluded", Some(reason));
                Ok(())
            },
        )?;
        let sql = "SELECT method_id, method_version, kind, lot, note FROM applicability";
        self.each(sql, |row| {
            let [method, version, kind, lot, note] = texts(row)?;
            let subject = format!("{method}@{version}");
            hold(
                "method",
                subject,
                &json!([kind, lot]),
                "lot verified",
                Some(note),
            );
            Ok(())
        })?;
        self.each(
            "SELECT checklist, item, state, note FROM checklist_item",
            |row| {
                let [checklist, item, state] = texts(row)?;
                hold(
                    "checklist",
                    checklist,
                    &json!(item),
                    &state,
                    optional_text(row, 3)?,
                );
                Ok(())
            },
        )?;
        for [kind, subject, _] in recorded.words.keys().filter(|name| !there.contains(*name)) {
            found.add(&format!("{kind} {subject}"), GONE);
        }
        Ok(())
    }

    fn each(
        &self,
        sql: &str,
        mut look: impl FnMut(&rusqlite::Row<'_>) -> rusqlite::Result<()>,
    ) -> rusqlite::Result<()> {
        let mut statement = self.connection.prepare(sql)?;
        let mut rows = statement.query([])?;
        while let Some(row) = rows.next()? {
            look(row)?;
        }
        Ok(())
    }
}

/// What the sheet's own columns must say.
#[derive(Debug, PartialEq, Eq)]
struct Current {
    revision: String,
    group: String,
    session: String,
    section: Option<String>,
}

impl Current {
    fn of(revision: &str, document: Option<Value>) -> Option<Self> {
        let sheet: Sheet = serde_json::from_value(document?).ok()?;
        Some(Self {
            revision: revision.to_owned(),
            session: sheet.session(),
            group: sheet.group,
            section: sheet.section,
        })
    }
}

fn member<'a>(document: Option<&'a Value>, key: &str) -> &'a str {
    document
        .and_then(|document| document.get(key)?.as_str())
        .unwrap_or_default()
}
