//! How deep a volume of liquid stands in a round chamber.

use std::f64::consts::PI;

/// How deep a volume of liquid stands in a round chamber.
///
/// # Shape and units
/// Volume in mL, inner diameter in cm, both above 0; depth in cm.
///
/// # Formula
/// ```text
/// h = V / (π · d² / 4)
/// ```
/// The paper's own volume and the liquid that it takes up are left out: both are below 2 mL.
///
/// # Source
/// Volume of a cylinder.
///
/// # Examples
/// ```
/// let depth = dyebook_methods::layout::depth_cm(50.0, 7.5);
/// assert!((depth - 1.13).abs() < 0.005);
/// ```
pub fn depth_cm(volume_ml: f64, inner_diameter_cm: f64) -> f64 {
    volume_ml / (PI * inner_diameter_cm * inner_diameter_cm / 4.0)
}

#[cfg(test)]
mod tests {
    use super::depth_cm;

    #[test]
    fn depths_of_the_fixtures() {
        // Layout fixtures (calculated): mL, cm inner diameter, cm deep.
        for (volume, diameter, depth) in [
            (50.0, 7.5, 1.13),
            (30.0, 7.5, 0.68),
            (50.0, 9.0, 0.79),
            (45.0, 9.0, 0.71),
        ] {
            assert!(
                (depth_cm(volume, diameter) - depth).abs() < 0.005,
                "{volume} {diameter}"
            );
        }
    }
}
