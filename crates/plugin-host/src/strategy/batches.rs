//! Cuts lanes into calls.

use dyebook_plugin::strategy::{Lane, MatchRequest, Sheet};

/// Lanes of one call. More gains nothing and costs more when one of them is poison.
const MOST_LANES: usize = 32;
/// A spot takes about this much JSON, a known lane or a lane besides its spots about as much again.
const SPOT_BYTES: usize = 160;
/// Requests are kept about this small.
const MOST_BYTES: usize = 64 * 1024;

/// Where each batch of the request's lanes ends.
pub(super) fn batches(request: &MatchRequest, one_by_one: bool) -> Vec<&[Lane]> {
    let mut batches = Vec::new();
    let mut begin = 0;
    let mut bytes = 0;
    let mut last_sheet: Option<&str> = None;
    for (end, lane) in request.lanes.iter().enumerate() {
        let mut more = (lane.spots.len() + 1) * SPOT_BYTES;
        if last_sheet != Some(&lane.sheet) {
            more += request
                .sheets
                .iter()
                .filter(|s| s.sheet == lane.sheet)
                .map(weight)
                .sum::<usize>();
            last_sheet = Some(&lane.sheet);
        }
        let full = end - begin >= MOST_LANES || bytes + more > MOST_BYTES || one_by_one;
        if full && end > begin {
            batches.push(request.lanes.get(begin..end).unwrap_or_default());
            begin = end;
            bytes = 0;
        }
        bytes += more;
    }
    batches.push(request.lanes.get(begin..).unwrap_or_default());
    batches.retain(|batch| !batch.is_empty());
    batches
}

/// The request for some of the lanes, with the sheets that these lanes stand on.
pub(super) fn request_for(lanes: &[Lane], sheets: &[Sheet]) -> MatchRequest {
    let mut request = MatchRequest::default();
    request.sheets = sheets
        .iter()
        .filter(|sheet| lanes.iter().any(|lane| lane.sheet == sheet.sheet))
        .cloned()
        .collect();
    request.lanes = lanes.to_vec();
    request
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
    use super::batches;
    use dyebook_plugin::strategy::{Lane, MatchRequest, Spot};

    fn request(lanes: usize, spots: u32) -> MatchRequest {
        let mut request = MatchRequest::default();
        for number in 0..lanes {
            let mut lane = Lane::default();
            lane.id = format!("L{number}");
            lane.spots = (1..=spots).map(|spot| Spot::new(spot, 0.5, 0.01)).collect();
            request.lanes.push(lane);
        }
        request
    }

    #[test]
    fn no_batch_is_larger_than_32_lanes_and_none_is_lost() {
        let lanes = request(70, 2);
        let sizes: Vec<usize> = batches(&lanes, false)
            .iter()
            .map(|batch| batch.len())
            .collect();
        assert_eq!(sizes, [32, 32, 6]);
        assert_eq!(batches(&lanes, true).len(), 70);
        assert!(batches(&request(0, 0), false).is_empty());
    }

    #[test]
    fn lanes_of_many_spots_go_in_smaller_batches() {
        let lanes = request(10, 150);
        assert!(batches(&lanes, false).iter().all(|batch| batch.len() == 2));
    }
}
