//! The check digit of CAS Registry Numbers.

/// Whether a text is a CAS Registry Number with the right check digit.
///
/// # Formula
/// ```text
/// N(i) … N(2) N(1) before the check digit:  (Σ i·N(i)) mod 10 = check digit
/// ```
///
/// # Source
/// CAS, "Check Digit Verification of CAS Registry Numbers" (`CASRule`).
///
/// # Examples
/// ```
/// assert!(dyebook_documents::is_cas_number("7732-18-5"));
/// assert!(!dyebook_documents::is_cas_number("7732-18-6"));
/// ```
pub fn is_cas_number(text: &str) -> bool {
    let parts: Vec<&str> = text.split('-').collect();
    let [first, second, check] = parts.as_slice() else {
        return false;
    };
    let shape = (2..=7).contains(&first.len()) && second.len() == 2 && check.len() == 1;
    let digits = |part: &str| part.bytes().all(|b| b.is_ascii_digit());
    if !shape || !digits(first) || !digits(second) || !digits(check) {
        return false;
    }
    let sum: u32 = (1u32..)
        .zip(first.bytes().chain(second.bytes()).rev())
        .map(|(weight, digit)| weight * u32::from(digit - b'0'))
        .sum();
    check.parse() == Ok(sum % 10)
}
