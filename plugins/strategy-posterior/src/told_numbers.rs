//! How exactly numbers are told.
//!
//! Logarithms and exponentials differ in their last digits from one processor and C library to the
//! next, and the same question is to have the same bytes on all of them. So what they went into is
//! told to as many places as mean something, and a few more.

/// An Rf, or a difference of two, to a millionth: a hundred nanometres on a paper of ten
/// centimetres.
pub(crate) fn told_rf(rf: f64) -> f64 {
    rounded(rf, 1e6)
}

/// A probability to a thousand-millionth, so that even of a thousand dyes a spot's sum stays within
/// a millionth of 1.
pub(crate) fn told_probability(probability: f64) -> f64 {
    rounded(probability, 1e9)
}

/// The double that is nearest to a whole number of parts; nothing is 0 and not -0.
fn rounded(value: f64, parts: f64) -> f64 {
    (value * parts).round() / parts + 0.0
}

#[cfg(test)]
mod tests {
    use super::{told_probability, told_rf};

    #[test]
    fn last_digits_of_a_calculation_are_not_told() {
        assert_eq!(told_rf(0.1 + 0.2).to_string(), "0.3");
        assert_eq!(told_rf(-0.014_497_647_124_937).to_string(), "-0.014498");
        let next = f64::from_bits(0.996_027_889_122_524_7_f64.to_bits() + 3);
        assert_eq!(told_probability(next).to_string(), "0.996027889");
        assert!(told_rf(-1e-9).is_sign_positive());
    }
}
