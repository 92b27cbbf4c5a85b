//! Which spot is meant, and a person's word that it does not count.

use crate::failure::Failure;
use crate::find_sheet::find_sheet;
use crate::methods::needs_reason;
use dyebook_library::{Exclusion, Library, Stamp};
use serde::{Deserialize, Serialize};
use std::fmt;
use std::str::FromStr;

/// One spot of one sheet.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct SpotPlace {
    /// Sheet identifier.
    pub sheet: String,
    /// Paper.
    pub paper: String,
    /// Lane.
    pub lane: u32,
    /// Spot.
    pub spot: u32,
}

impl SpotPlace {
    /// The spot that a kept exclusion means.
    pub fn of(exclusion: &Exclusion) -> Self {
        Self {
            sheet: exclusion.sheet.clone(),
            paper: exclusion.paper.clone(),
            lane: exclusion.lane,
            spot: exclusion.spot,
        }
    }

    /// The exclusion of this spot.
    pub(crate) fn exclusion(&self, reason: &str) -> Exclusion {
        Exclusion {
            sheet: self.sheet.clone(),
            paper: self.paper.clone(),
            lane: self.lane,
            spot: self.spot,
            reason: reason.to_owned(),
        }
    }
}

impl fmt::Display for SpotPlace {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "sheet {}, paper {}, lane {}, spot {}",
            self.sheet, self.paper, self.lane, self.spot
        )
    }
}

impl FromStr for SpotPlace {
    type Err = String;

    /// Reads `SHEET:PAPER:LANE:SPOT`; only the paper's name may hold colons of its own.
    fn from_str(text: &str) -> Result<Self, String> {
        let wanted = || format!("`{text}` is not a spot; write SHEET:PAPER:LANE:SPOT");
        let (sheet, rest) = text.split_once(':').ok_or_else(wanted)?;
        let (rest, spot) = rest.rsplit_once(':').ok_or_else(wanted)?;
        let (paper, lane) = rest.rsplit_once(':').ok_or_else(wanted)?;
        let number = |text: &str| text.trim().parse().map_err(|_not_whole| wanted());
        if sheet.trim().is_empty() || paper.trim().is_empty() {
            return Err(wanted());
        }
        Ok(Self {
            sheet: sheet.trim().to_owned(),
            paper: paper.trim().to_owned(),
            lane: number(lane)?,
            spot: number(spot)?,
        })
    }
}

/// Keeps for ever that a spot counts for no assigned value. Answers the spot with its full sheet id.
///
/// # Errors
/// No reason, no such spot, and what the library says.
pub fn exclude_spot(
    library: &mut Library,
    place: &SpotPlace,
    reason: &str,
    stamp: &Stamp,
) -> Result<SpotPlace, Failure> {
    needs_reason("reference.no-reason", reason)?;
    let kept = find_sheet(library, &place.sheet)?;
    let bound = crate::resolve_method::resolve_method(
        library,
        &format!("{}@{}", kept.method_id, kept.method_version),
    )?;
    let dyes = library.dye_register()?;
    let evaluated = dyebook_checks::evaluate(&kept.sheet, &bound.method()?, &dyes);
    let there = evaluated.lanes.iter().any(|lane| {
        lane.paper == place.paper
            && lane.lane == place.lane
            && lane.spots.iter().any(|spot| spot.spot == place.spot)
    });
    let place = SpotPlace {
        sheet: kept.id,
        ..place.clone()
    };
    if !there {
        return Err(no_such_spot(&place));
    }
    let change = library.change(stamp.clone())?;
    change.keep_exclusion(&place.exclusion(reason))?;
    change.commit()?;
    Ok(place)
}

/// There is no such spot.
pub(crate) fn no_such_spot(place: &SpotPlace) -> Failure {
    Failure::refused(
        "reference.no-such-spot",
        format!("there is no spot `{place}`"),
    )
    .hint(format!("dyebook sheet show {}", place.sheet))
}

#[cfg(test)]
mod tests {
    use super::SpotPlace;

    #[test]
    fn a_paper_may_hold_a_colon_and_numbers_must_be_whole() {
        let place: SpotPlace = "bench-1:D1: left:3:1".parse().unwrap();
        assert_eq!(
            (place.paper.as_str(), place.lane, place.spot),
            ("D1: left", 3, 1)
        );
        assert_eq!(
            place.to_string(),
            "sheet bench-1, paper D1: left, lane 3, spot 1"
        );
        for bad in ["", "a:b", "a:b:c", "a:b:1:x", ":b:1:1", "a::1:1"] {
            assert!(bad.parse::<SpotPlace>().is_err(), "{bad}");
        }
    }
}
