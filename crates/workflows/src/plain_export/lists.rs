//! What people recorded beside the documents, and the history, as tables.

use super::Pile;
use crate::failure::Failure;
use dyebook_library::Library;

pub(super) fn write(library: &Library, pile: &mut Pile<'_>) -> Result<(), Failure> {
    truth(library, pile)?;
    notes(library, pile)?;
    history(library, pile)
}

fn head(names: &str) -> Vec<String> {
    names.split(',').map(str::to_owned).collect()
}

fn truth(library: &Library, pile: &mut Pile<'_>) -> Result<(), Failure> {
    // The columns that `sheet truth` takes in.
    let mut rows = vec![head("sheet,paper,lane,dyes")];
    for lane in library.truth(None)? {
        let dyes = lane.dyes.join("; ");
        rows.push(vec![lane.sheet, lane.paper, lane.lane.to_string(), dyes]);
    }
    pile.add_table("truth", &rows)
}

fn notes(library: &Library, pile: &mut Pile<'_>) -> Result<(), Failure> {
    let mut rows = vec![head("sheet,paper,lane,spot,reason")];
    for one in library.exclusions()? {
        let (lane, spot) = (one.lane.to_string(), one.spot.to_string());
        rows.push(vec![one.sheet, one.paper, lane, spot, one.reason]);
    }
    pile.add_table("exclusions", &rows)?;
    let mut rows = vec![head("method,version,kind,lot,note")];
    for one in library.all_applicability()? {
        rows.push(vec![
            one.method_id,
            one.method_version,
            one.kind,
            one.lot,
            one.note,
        ]);
    }
    pile.add_table("lots", &rows)?;
    let mut rows = vec![head("checklist,item,state,note")];
    for one in library.all_checklists()? {
        let note = one.note.unwrap_or_default();
        rows.push(vec![one.checklist, one.item, one.state, note]);
    }
    pile.add_table("checklists", &rows)
}

fn history(library: &Library, pile: &mut Pile<'_>) -> Result<(), Failure> {
    let mut rows = vec![head(
        "number,at,by,what,kind,subject,reason,digest before,digest after,hash before,hash",
    )];
    for record in library.history(None)? {
        rows.push(vec![
            record.seq.to_string(),
            record.at,
            record.by,
            record.action,
            record.kind,
            record.subject,
            record.reason.unwrap_or_default(),
            record.before_digest.unwrap_or_default(),
            record.after_digest.unwrap_or_default(),
            record.previous_hash,
            record.hash,
        ]);
    }
    pile.add_table("history", &rows)
}
