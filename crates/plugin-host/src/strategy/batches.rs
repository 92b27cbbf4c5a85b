//! Cuts lanes into calls.

use dyebook_plugin::strategy::{Lane, Sheet};
use foldhash::fast::RandomState;
use serde::Serialize;
use std::collections::{HashMap, HashSet};

/// Lanes of one call. More gains nothing and costs more when one of them is poison.
const MOST_LANES: usize = 32;
/// A spot takes about this much JSON, a known lane or a lane besides its spots about as much again.
const SPOT_BYTES: usize = 160;
/// Requests are kept about this small.
const MOST_BYTES: usize = 64 * 1024;

/// A [`MatchRequest`](dyebook_plugin::strategy::MatchRequest) out of what somebody else holds.
#[derive(Debug, Serialize)]
pub(super) struct Request<'a> {
    sheets: Vec<&'a Sheet>,
    lanes: &'a [Lane],
}

/// Sheets by their name.
pub(super) struct Sheets<'a>(HashMap<&'a str, &'a Sheet, RandomState>);

impl<'a> Sheets<'a> {
    pub(super) fn new(sheets: &'a [Sheet]) -> Self {
        let named = |sheet: &'a Sheet| (sheet.sheet.as_str(), sheet);
        Self(sheets.iter().map(named).collect())
    }

    /// The request for some lanes, with the sheets that these lanes stand on.
    pub(super) fn request_for<'r>(&self, lanes: &'r [Lane]) -> Request<'r>
    where
        'a: 'r,
    {
        let mut sheets = Vec::new();
        let mut asked: HashSet<&str, RandomState> = HashSet::default();
        for lane in lanes {
            if asked.insert(&lane.sheet) {
                sheets.extend(self.0.get(lane.sheet.as_str()).copied());
            }
        }
        Request { sheets, lanes }
    }
}

/// Cuts lanes into batches.
pub(super) fn batches<'l>(
    lanes: &'l [Lane],
    sheets: &Sheets<'_>,
    one_by_one: bool,
) -> Vec<&'l [Lane]> {
    let mut batches = Vec::new();
    let mut begin = 0;
    let mut bytes = 0;
    let mut last_sheet: Option<&str> = None;
    for (end, lane) in lanes.iter().enumerate() {
        let mut more = (lane.spots.len() + 1) * SPOT_BYTES;
        if last_sheet != Some(&lane.sheet) {
            more += sheets.0.get(lane.sheet.as_str()).copied().map_or(0, weight);
            last_sheet = Some(&lane.sheet);
        }
        let full = end - begin >= MOST_LANES || bytes + more > MOST_BYTES || one_by_one;
        if full && end > begin {
            batches.push(lanes.get(begin..end).unwrap_or_default());
            begin = end;
            bytes = 0;
        }
        bytes += more;
    }
    batches.push(lanes.get(begin..).unwrap_or_default());
    batches.retain(|batch| !batch.is_empty());
    batches
}

fn weight(sheet: &Sheet) -> usize {
    sheet
        .known
        .iter()
        .map(|known| (known.spots.len() + 1) * SPOT_BYTES)
        .sum()
}

#[cfg(test)]
mod tests {
    use super::{Sheets, batches};
    use dyebook_plugin::strategy::{Lane, Sheet, Spot};

    fn lanes(count: usize, spots: u32) -> Vec<Lane> {
        let lane = |number| {
            let mut lane = Lane::default();
            lane.id = format!("L{number}").into();
            lane.sheet = format!("S{}", number / 5).into();
            lane.spots = (1..=spots).map(|spot| Spot::new(spot, 0.5, 0.01)).collect();
            lane
        };
        (0..count).map(lane).collect()
    }

    fn sizes(lanes: &[Lane], one_by_one: bool) -> Vec<usize> {
        let batches = batches(lanes, &Sheets::new(&[]), one_by_one);
        batches.iter().map(|batch| batch.len()).collect()
    }

    #[test]
    fn no_batch_is_larger_than_32_lanes_and_none_is_lost() {
        assert_eq!(sizes(&lanes(70, 2), false), [32, 32, 6]);
        assert_eq!(sizes(&lanes(70, 2), true).len(), 70);
        assert!(sizes(&lanes(0, 0), false).is_empty());
    }

    #[test]
    fn lanes_of_many_spots_go_in_smaller_batches() {
        assert!(sizes(&lanes(10, 150), false).iter().all(|size| *size == 2));
    }

    #[test]
    fn a_request_holds_the_sheets_of_its_lanes_once_and_no_others() {
        let sheets: Vec<Sheet> = (0..4)
            .map(|number| {
                let mut sheet = Sheet::default();
                sheet.sheet = format!("S{number}").into();
                sheet
            })
            .collect();
        let lanes = lanes(7, 1);
        let request = Sheets::new(&sheets).request_for(&lanes);
        let names: Vec<&str> = request.sheets.iter().map(|s| s.sheet.as_str()).collect();
        assert_eq!((request.lanes.len(), names), (7, vec!["S0", "S1"]));
    }
}
