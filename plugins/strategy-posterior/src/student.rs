//! Constants of Student's t, worked out once: they depend on nothing but how many spots there are.

use std::f64::consts::PI;

use dyebook_statistics::distribution::student_t_log_density;

/// So many known spots and spots of a lane are prepared for; others are worked out when asked for.
const KNOWN: usize = 24;
const SPOTS: usize = 6;

/// Constants for so many degrees of freedom, one more for every known spot, and one more for every
/// spot of the lane that came before.
#[derive(Clone, Debug)]
pub(crate) struct Constants {
    df: f64,
    prepared: Vec<Constant>,
}

#[derive(Clone, Copy, Debug)]
struct Constant {
    at_zero: f64,
    step: f64,
}

impl Constants {
    pub(crate) fn new(df: f64) -> Self {
        let all = (0..KNOWN).flat_map(|known| (0..SPOTS).map(move |spot| (known, spot)));
        Self {
            df,
            prepared: all.map(|(known, spot)| constant(df, known, spot)).collect(),
        }
    }

    /// Logarithm of the density at 0, beside so many known spots.
    pub(crate) fn at_zero(&self, known: usize) -> f64 {
        self.of(known, 0).at_zero
    }

    /// ln Γ((ν+1)/2) - ln Γ(ν/2), beside so many known spots and after so many of the lane.
    pub(crate) fn ln_gamma_step(&self, known: usize, spot: usize) -> f64 {
        self.of(known, spot).step
    }

    fn of(&self, known: usize, spot: usize) -> Constant {
        if known < KNOWN && spot < SPOTS {
            return self.prepared[known * SPOTS + spot];
        }
        constant(self.df, known, spot)
    }
}

#[expect(clippy::cast_precision_loss, reason = "few spots")]
fn constant(df: f64, known: usize, spot: usize) -> Constant {
    let df = df + known as f64 + spot as f64;
    // there are always degrees of freedom
    let at_zero = student_t_log_density(0.0, df).unwrap_or(f64::NAN);
    Constant {
        at_zero,
        step: at_zero + (df * PI).ln() / 2.0,
    }
}
