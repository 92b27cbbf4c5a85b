//! How exactly numbers are told.
//!
//! Logarithms, exponentials and their like differ in the last digits from one C library and
//! processor to the next, and the same question is to have the same bytes on all of them. So what
//! they went into is told to as many places as mean something, and a few more. What then still
//! differs is a number that lies on a tie, to within those last digits: none among 20,000 spots.

use super::{Candidate, LaneDye};

impl Candidate {
    /// The candidate as it is told: Rf to a millionth, which is a hundred nanometres on a paper of
    /// ten centimetres, and its probability as that of a [`LaneDye`].
    #[must_use]
    pub fn told(mut self) -> Self {
        self.probability = self.probability.map(probability);
        self.rf_difference = rf(self.rf_difference);
        self.expected.low = rf(self.expected.low);
        self.expected.high = rf(self.expected.high);
        self
    }
}

impl LaneDye {
    /// The dye as it is told: its probability to a thousand-millionth, so that even over a thousand
    /// candidates of a spot a sum stays within a millionth of 1.
    #[must_use]
    pub fn told(mut self) -> Self {
        self.probability = self.probability.map(probability);
        self
    }
}

fn rf(value: f64) -> f64 {
    rounded(value, 1e6)
}

fn probability(value: f64) -> f64 {
    rounded(value, 1e9)
}

/// The double that is nearest to a whole number of parts; nothing is 0 and not -0.
fn rounded(value: f64, parts: f64) -> f64 {
    (value * parts).round() / parts + 0.0
}

#[cfg(test)]
mod tests {
    use crate::strategy::{Candidate, ColourVerdict, LaneDye, Reference};

    #[test]
    fn last_digits_of_a_calculation_are_not_told() {
        let reference = Reference::new("dye-a", 0.1 + 0.2, 0.4);
        let mut candidate = Candidate::new(&reference, 0.35, ColourVerdict::Agrees);
        candidate.rf_difference = -0.014_497_647_124_937;
        let one_digit_on = f64::from_bits(0.996_027_889_122_524_7_f64.to_bits() + 3);
        candidate.probability = Some(one_digit_on);
        let told = candidate.told();
        let numbers = [told.expected.low, told.rf_difference];
        assert_eq!(numbers.map(|n| n.to_string()), ["0.3", "-0.014498"]);
        assert_eq!(told.probability, Some(0.996_027_889));
        let dye = LaneDye::new("dye-a", Some(one_digit_on)).told();
        assert_eq!(dye.probability, told.probability);
    }

    #[test]
    fn nothing_has_no_sign() {
        let reference = Reference::new("dye-a", 0.3, 0.4);
        let mut candidate = Candidate::new(&reference, 0.35, ColourVerdict::Agrees);
        candidate.rf_difference = -1e-9;
        assert!(candidate.told().rf_difference.is_sign_positive());
    }
}
