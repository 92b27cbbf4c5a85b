//! What the samples really hold: CSV `sheet,paper,lane,dyes`.

use crate::claims::recorded;
use crate::claims_changed::{ChangedSheet, changed_by_record};
use crate::failure::Failure;
use crate::find_sheet::find_sheet;
use crate::resolve_method::resolve_method;
use dyebook_checks::LaneTruth as ChecksLaneTruth;
use dyebook_documents::{Digest, DyeLookup, DyeRegister, digest_bytes};
use dyebook_library::{LaneTruth, Library, SheetLine, Stamp};
use serde::Serialize;
use std::collections::BTreeSet;

/// The answer of `sheet truth`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct TruthReport {
    /// File.
    pub file: String,
    /// SHA-256 of its bytes.
    pub sha256: Digest,
    /// Lanes it speaks of.
    pub lanes: usize,
    /// Lanes of which it says something new.
    pub new: usize,
    /// Lanes that no kept sheet has.
    pub not_found: Vec<NotFound>,
    /// Sheets whose claims are judged otherwise because an earlier word was corrected.
    pub changed: Vec<ChangedSheet>,
}

/// A line of the file that no kept sheet fits.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct NotFound {
    /// Sheet as written.
    pub sheet: String,
    /// Paper as written.
    pub paper: String,
    /// Lane.
    pub lane: Option<u32>,
    /// Why.
    pub why: String,
}

const COLUMNS: [&str; 4] = ["sheet", "paper", "lane", "dyes"];

/// Records what samples really hold. Dyes are separated by `+` or `;`; any registered name does; an
/// empty field means that the lane holds none of the known dyes.
///
/// # Errors
/// Columns or names that can't be understood; then nothing is written. Lanes that no kept sheet
/// has are reported and the others taken.
pub fn record_truth(
    library: &mut Library,
    dyes: &DyeRegister,
    file: &str,
    bytes: &[u8],
    reason: Option<&str>,
    stamp: &Stamp,
) -> Result<TruthReport, Failure> {
    let mut report = TruthReport {
        file: file.to_owned(),
        sha256: digest_bytes(bytes),
        lanes: 0,
        new: 0,
        not_found: Vec::new(),
        changed: Vec::new(),
    };
    let lines = read_lines(dyes, file, bytes)?;
    report.lanes = lines.len();
    let sheets = library.sheet_lines()?;
    let mut found = Vec::new();
    for line in lines {
        match place(library, &sheets, &line) {
            Ok(sheet) => found.push(LaneTruth { sheet, ..line }),
            Err(why) => report.not_found.push(NotFound {
                sheet: line.sheet,
                paper: line.paper,
                lane: Some(line.lane),
                why: why.message,
            }),
        }
    }
    changed_words_need_a_reason(library, &found, reason)?;
    let spoken_of: BTreeSet<String> = found.iter().map(|truth| truth.sheet.clone()).collect();
    let before = spoken_of
        .iter()
        .map(|sheet| recorded(library, sheet))
        .collect::<Result<Vec<_>, _>>()?;
    let change = library.change(stamp.clone())?;
    for truth in &found {
        report.new += usize::from(change.keep_truth(truth, reason)?);
    }
    change.commit()?;
    for (sheet, before) in spoken_of.iter().zip(&before) {
        report
            .changed
            .extend(corrected(library, dyes, sheet, before)?);
    }
    Ok(report)
}

/// What a corrected word changes in the claims of a sheet; a first word corrects nothing.
fn corrected(
    library: &Library,
    dyes: &DyeRegister,
    sheet: &str,
    before: &[ChecksLaneTruth],
) -> Result<Option<ChangedSheet>, Failure> {
    let after = recorded(library, sheet)?;
    if before.is_empty() || *before == after {
        return Ok(None);
    }
    let Some(kept) = library.sheet(sheet, None)? else {
        return Ok(None);
    };
    let bound = format!("{}@{}", kept.method_id, kept.method_version);
    let method = resolve_method(library, &bound)?.method()?;
    changed_by_record(library, &kept, &method, dyes, before, &after)
}

/// A first word needs no reason; one that takes the place of an earlier word does.
fn changed_words_need_a_reason(
    library: &Library,
    found: &[LaneTruth],
    reason: Option<&str>,
) -> Result<(), Failure> {
    if reason.is_some_and(|reason| !reason.trim().is_empty()) {
        return Ok(());
    }
    let kept = library.truth(None)?;
    let changed: Vec<String> = found
        .iter()
        .filter_map(|new| {
            let same_lane = |old: &&LaneTruth| {
                (&old.sheet, &old.paper, old.lane) == (&new.sheet, &new.paper, new.lane)
            };
            let old = kept
                .iter()
                .find(same_lane)
                .filter(|old| old.dyes != new.dyes)?;
            Some(format!(
                "{}, paper {}, lane {}: {} becomes {}",
                new.sheet,
                new.paper,
                new.lane,
                old.dyes.join(" + "),
                new.dyes.join(" + ")
            ))
        })
        .collect();
    if changed.is_empty() {
        return Ok(());
    }
    Err(Failure::refused(
        "truth.no-reason",
        format!(
            "{} lanes are recorded to hold something else",
            changed.len()
        ),
    )
    .details(changed)
    .hint("nothing was written; say why with --reason \"…\""))
}

/// The sheet that a line means: by its id, else the one sheet of that group that has the lane.
/// A line without a sheet means the one sheet that has the paper.
fn place(library: &Library, lines: &[SheetLine], line: &LaneTruth) -> Result<String, Failure> {
    let has_lane = |id: &str| -> Result<bool, Failure> {
        let kept = find_sheet(library, id)?;
        Ok(kept
            .sheet
            .lanes
            .iter()
            .any(|l| l.paper == line.paper && l.lane == line.lane))
    };
    let mut candidates = Vec::new();
    let by_id = lines.iter().filter(|sheet| sheet.id == line.sheet);
    let by_group = lines
        .iter()
        .filter(|sheet| line.sheet.is_empty() || sheet.group == line.sheet);
    for sheet in by_id.chain(by_group) {
        if has_lane(&sheet.id)? {
            candidates.push(sheet.id.clone());
        }
    }
    match candidates.as_slice() {
        [one] => Ok(one.clone()),
        [] => Err(Failure::refused(
            "truth.no-such-lane",
            format!(
                "no kept sheet of `{}` has a lane {} on paper {}",
                line.sheet, line.lane, line.paper
            ),
        )),
        several => Err(Failure::refused(
            "truth.ambiguous",
            format!("the lane may be on {}", several.join(" or ")),
        )),
    }
}

fn read_lines(dyes: &DyeRegister, file: &str, bytes: &[u8]) -> Result<Vec<LaneTruth>, Failure> {
    let mut reader = csv::ReaderBuilder::new()
        .trim(csv::Trim::All)
        .comment(Some(b'#'))
        .from_reader(bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes));
    let not_readable = |detail: String| {
        Failure::refused("truth.not-readable", format!("`{file}` was not taken"))
            .detail(detail)
            .hint("the first line is `sheet,paper,lane,dyes`; two dyes of a lane are joined by +")
    };
    let header = reader
        .headers()
        .map_err(|error| not_readable(error.to_string()))?
        .clone();
    let mut at = [None; 4];
    for (place, column) in at.iter_mut().zip(COLUMNS) {
        *place = header.iter().position(|h| h.eq_ignore_ascii_case(column));
        if place.is_none() && column != "sheet" {
            return Err(not_readable(format!("the column `{column}` is missing")));
        }
    }
    let (mut lines, mut problems) = (Vec::new(), Vec::new());
    for record in reader.records() {
        let record = record.map_err(|error| not_readable(error.to_string()))?;
        let number = record.position().map_or(0, csv::Position::line);
        let [sheet, paper, lane, held] = at.map(|column| {
            column
                .and_then(|c| record.get(c))
                .unwrap_or_default()
                .to_owned()
        });
        match (lane.parse(), known_dyes(dyes, &held)) {
            (Ok(lane), Ok(dyes)) => lines.push(LaneTruth {
                sheet,
                paper,
                lane,
                dyes,
            }),
            (lane, dyes) => {
                if lane.is_err() {
                    problems.push(format!("line {number}: `lane` is not a number"));
                }
                problems.extend(dyes.err().map(|why| format!("line {number}: {why}")));
            }
        }
    }
    if problems.is_empty() {
        return Ok(lines);
    }
    Err(
        Failure::refused("truth.not-readable", format!("`{file}` was not taken"))
            .details(problems)
            .hint("nothing was written; `dyebook dye list` shows the known names"),
    )
}

fn known_dyes(dyes: &DyeRegister, text: &str) -> Result<Vec<String>, String> {
    let mut ids = text
        .split(['+', ';'])
        .map(str::trim)
        .filter(|name| !name.is_empty())
        .map(|name| match dyes.find(name) {
            DyeLookup::Found(dye) => Ok(dye.id.clone()),
            DyeLookup::Ambiguous(several) => {
                let ids: Vec<&str> = several.iter().map(|dye| dye.id.as_str()).collect();
                Err(format!("`{name}` may be {}", ids.join(" or ")))
            }
            DyeLookup::Unknown { near } if near.is_empty() => {
                Err(format!("no dye is called `{name}`"))
            }
            DyeLookup::Unknown { near } => Err(format!(
                "no dye is called `{name}`; near it: {}",
                near.join(", ")
            )),
        })
        .collect::<Result<Vec<_>, _>>()?;
    ids.sort_unstable();
    ids.dedup();
    Ok(ids)
}
