//! A paper rolled to a cylinder.

use std::f64::consts::PI;

/// Diameter of a paper rolled to a cylinder.
///
/// # Shape and units
/// Width of the paper and gap left between its edges, cm; diameter in cm.
///
/// # Formula
/// ```text
/// D = (W − gap) / π
/// ```
/// The gap is counted off the paper's width where the edges are drawn together with staples over
/// it; with the gap at 0 it is the circle that the paper just closes.
///
/// # Source
/// Circumference of a circle.
///
/// # Examples
/// ```
/// let diameter = dyebook_methods::layout::rolled_diameter_cm(15.0, 0.0);
/// assert!((diameter - 4.77).abs() < 0.005);
/// ```
pub fn rolled_diameter_cm(width_cm: f64, gap_cm: f64) -> f64 {
    (width_cm - gap_cm) / PI
}

#[cfg(test)]
mod tests {
    use super::rolled_diameter_cm;

    #[test]
    fn cylinders_of_the_fixtures() {
        // Layout fixtures (calculated): width, diameter.
        for (width, diameter) in [(15.0, 4.77), (20.0, 6.37), (21.5, 6.84)] {
            assert!(
                (rolled_diameter_cm(width, 0.0) - diameter).abs() < 0.005,
                "{width}"
            );
        }
    }
}
