//! A spot that is said to have run further than the liquid.

use crate::entry_check::{EntryCheck, Finding};
use crate::sheet_view::SheetView;
use crate::words;
use dyebook_documents::{Severity, Where};

/// No spot runs ahead of the liquid that carries it. A little beyond is the reading of a spot at
/// the front; more is two exchanged values, another lane's front or two units.
pub(crate) const CHECK: EntryCheck = EntryCheck {
    id: "spot-beyond-front",
    why: "No spot runs ahead of the liquid; the values are exchanged, of two lanes or two units.",
    find,
};

/// Reading explains a spot so many standard uncertainties beyond the front.
const BY_READING: f64 = 3.0;

fn find(sheet: &SheetView<'_>) -> Vec<Finding> {
    let mut found = vec![];
    for paper in &sheet.papers {
        for view in &paper.lanes {
            for spot in &view.lane.spots {
                let Some(rf) = spot.rf.filter(|rf| *rf > 1.0) else {
                    continue;
                };
                if paper.explains(view.lane.lane, spot.spot) {
                    continue;
                }
                let place = Where::spot(paper.name, view.lane.lane, spot.spot);
                let lengths = format!(
                    "the spot at {} lies beyond the front at {} (Rf {rf:.3})",
                    words::cm(spot.distance_cm.unwrap_or_default()),
                    words::cm(spot.front_cm.unwrap_or_default()),
                );
                found.push(if rf <= 1.0 + BY_READING * spot.u.unwrap_or(0.0) {
                    let message = format!("{lengths}, no further than reading explains");
                    Finding::new(Severity::Info, place, message)
                } else {
                    Finding::new(Severity::Stop, place, lengths)
                        .or("distance and front are exchanged")
                        .or("one of the two is of another lane or in another unit")
                        .or("the distance alone was measured from the paper's edge")
                });
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::example::Example;
    use dyebook_documents::Severity;

    #[test]
    fn a_spot_well_beyond_the_front_stops() {
        let example =
            Example::clean().row("1", 1, |row| row.distance = Some("8.9".parse().unwrap()));
        let (severity, place, check) = example.only(&CHECK);
        assert_eq!(
            (severity, place.as_str()),
            (Severity::Stop, "paper 1, lane 1, spot 1")
        );
        assert!(
            check.message.contains("8.9 cm") && check.message.contains("8.04 cm"),
            "{check:?}"
        );
    }

    #[test]
    fn what_reading_explains_is_info() {
        let example =
            Example::clean().row("1", 1, |row| row.distance = Some("8.10".parse().unwrap()));
        assert_eq!(example.only(&CHECK).0, Severity::Info);
    }

    #[test]
    fn a_spot_on_the_front_does_not_fire() {
        // Rf exactly 1.00 is reported in student set A (Blue 1, 50 mm of 50 mm).
        assert!(
            Example::table("1|1||Blue 1|5.0|5.0|blue")
                .check(&CHECK)
                .is_empty()
        );
    }
}
