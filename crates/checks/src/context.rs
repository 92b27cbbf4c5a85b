//! What a check may look at.

use crate::evaluated_sheet::EvaluatedSheet;
use dyebook_documents::{DyeRegister, Method, MethodState, Sheet};
use jiff::civil::Date;
use rust_decimal::Decimal;

/// Everything a check may look at.
#[derive(Debug, Clone, Copy)]
pub struct Context<'a> {
    /// The data sheet as written.
    pub sheet: &'a Sheet,
    /// The same with lanes resolved and Rf computed.
    pub evaluated: &'a EvaluatedSheet,
    /// The method version that the sheet is bound to.
    pub method: &'a Method,
    /// Where that version stands.
    pub method_state: MethodState,
    /// All known dyes.
    pub dyes: &'a DyeRegister,
    /// Papers of this sheet, to be held against those of others.
    pub own_papers: &'a [&'a KnownPaper],
    /// Papers of other sheets, those of the same import included.
    pub known_papers: &'a [&'a KnownPaper],
    /// The same group's other sheets by the same method version, for habits of measuring.
    pub group_sheets: &'a [EvaluatedSheet],
    /// The day of the import.
    pub today: Date,
}

impl Context<'_> {
    /// The name shown for a dye.
    pub(crate) fn dye_name(&self, id: &str) -> String {
        self.dyes
            .by_id(id)
            .map_or_else(|| id.to_owned(), |dye| dye.name.clone())
    }
}

/// A paper of a sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KnownPaper {
    /// The sheet it stands on.
    pub sheet: String,
    /// Class section.
    pub section: Option<String>,
    /// Group.
    pub group: String,
    /// Day.
    pub date: Option<Date>,
    /// Name of the paper.
    pub paper: String,
    /// Lane, spot distance and front in cm of every spot, sorted.
    pub readings: Vec<(u32, Decimal, Decimal)>,
}

impl KnownPaper {
    /// The papers of a sheet.
    pub fn of_sheet(id: &str, sheet: &Sheet) -> Vec<Self> {
        sheet
            .papers()
            .into_iter()
            .map(|paper| Self {
                sheet: id.to_owned(),
                section: sheet.section.clone(),
                group: sheet.group.clone(),
                date: sheet.date,
                paper: paper.to_owned(),
                readings: readings(sheet, paper),
            })
            .collect()
    }
}

/// Lane, distance and front of every measured spot of a paper, sorted.
fn readings(sheet: &Sheet, paper: &str) -> Vec<(u32, Decimal, Decimal)> {
    let rows = sheet.lanes_of(paper).map(|lane| lane.rows.len()).sum();
    let mut readings = Vec::with_capacity(rows);
    for lane in sheet.lanes_of(paper) {
        let lane_front = lane.front_cm(sheet.units);
        readings.extend(lane.spots().filter_map(|row| {
            let front = row.front_cm(sheet.units).or(lane_front)?;
            Some((lane.lane, row.distance_cm(sheet.units)?, front))
        }));
    }
    readings.sort_unstable();
    readings
}
