//! How many lanes stand between the margins of a paper.

/// How many lanes stand between the margins of a paper.
///
/// # Shape and units
/// Width, margin at each side and pitch in one unit, pitch above 0. 0 where the margins leave
/// nothing.
///
/// # Formula
/// ```text
/// n = floor( (W − 2·m) / p ) + 1
/// ```
/// A millionth is allowed for: 3.0/0.3 is a little less than 10 in binary, and ten gaps fit.
///
/// # Source
/// Arithmetic; the layouts it is checked with are published student procedures.
///
/// # Examples
/// ```
/// assert_eq!(dyebook_methods::layout::lanes_that_fit(21.5, 2.0, 2.0), 9);
/// ```
pub fn lanes_that_fit(width: f64, margin: f64, pitch: f64) -> u32 {
    let room = width - 2.0 * margin;
    if room < -1e-9 || pitch <= 0.0 {
        return 0;
    }
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a paper holds a few dozen lanes"
    )]
    let gaps = (room / pitch + 1e-6).floor() as u32;
    gaps + 1
}

#[cfg(test)]
mod tests {
    use super::lanes_that_fit;

    #[test]
    fn lanes_of_the_fixtures() {
        // Layout fixtures (calculated): width, margin, pitch, lanes.
        for (width, margin, pitch, lanes) in [
            (21.5, 2.0, 1.5, 12),
            (21.5, 2.0, 2.0, 9),
            (20.0, 2.0, 1.5, 11),
            (15.0, 1.5, 1.5, 9),
            (7.5, 1.0, 1.25, 5),
            // The published ten lanes at 2 cm need a margin of 1.75 cm.
            (21.5, 1.75, 2.0, 10),
        ] {
            assert_eq!(
                lanes_that_fit(width, margin, pitch),
                lanes,
                "{width} {margin} {pitch}"
            );
        }
        assert_eq!(lanes_that_fit(3.0, 2.0, 1.0), 0);
    }
}
