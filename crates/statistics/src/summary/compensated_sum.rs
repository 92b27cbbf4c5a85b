//! A sum that loses no small terms beside large ones.

/// Sum of a series with a second, compensating sum of the rounding errors.
///
/// # Shape and units
/// Any number of finite values in one unit; the sum has that unit. An empty series sums to 0.
///
/// # Formula
/// ```text
/// t = s + x;   c += (s - t) + x  if |s| >= |x|,  else  (x - t) + s;   s = t
/// sum = s + c
/// ```
///
/// The plain sum of 1, 1e100, 1, -1e100 is 0; Kahan's own correction also gives 0, because a term
/// may be larger than the running sum. This form gives 2. The error is about one rounding of the
/// result as long as the condition number stays below 1/ε.
///
/// # Source
/// Neumaier1974, algorithm IV
///
/// # Examples
/// ```
/// use dyebook_statistics::summary::compensated_sum;
/// assert_eq!(compensated_sum([1.0, 1e100, 1.0, -1e100]), 2.0);
/// ```
pub fn compensated_sum(values: impl IntoIterator<Item = f64>) -> f64 {
    let mut sum = 0.0_f64;
    let mut compensation = 0.0_f64;
    for value in values {
        let next = sum + value;
        compensation += if sum.abs() >= value.abs() {
            (sum - next) + value
        } else {
            (value - next) + sum
        };
        sum = next;
    }
    sum + compensation
}
