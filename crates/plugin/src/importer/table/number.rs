//! Numbers and dates as people write them into a sheet.

/// No ruler gives more digits.
const MOST_DIGITS: usize = 20;

/// The sign between the whole and the fraction of a plain decimal number, where there is one; else
/// how it should be written.
pub(super) fn decimal_sign(text: &str) -> Result<Option<char>, &'static str> {
    const PLAIN: &str = "write the number alone; its unit stands in the header";
    let digits = text.strip_prefix('+').unwrap_or(text);
    let end = digits.bytes().position(|byte| !byte.is_ascii_digit());
    let (whole, rest) = digits.split_at(end.unwrap_or(digits.len()));
    let (sign, fraction) = match rest.as_bytes() {
        [] => (None, ""),
        [b',', ..] => (Some(','), &rest[1..]),
        [b'.', ..] => (Some('.'), &rest[1..]),
        _ if is_negative(digits) => {
            return Err("distances are measured from the start line upwards, so none is negative");
        }
        _ => return Err(PLAIN),
    };
    let plain = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit());
    if !plain(fraction) && fraction.contains(['.', ',']) {
        return Err("use one decimal sign, and none between thousands");
    }
    let written = whole.len() + fraction.len();
    if !plain(fraction) || written == 0 || written > MOST_DIGITS {
        return Err(PLAIN);
    }
    Ok(sign)
}

fn is_negative(number: &str) -> bool {
    let rest = number.strip_prefix(['-', '\u{2212}']);
    rest.is_some_and(|rest| rest.starts_with(|c| matches!(c, '0'..='9' | '.' | ',')))
}

/// Is this a day of the calendar, written YYYY-MM-DD?
///
/// ```
/// use dyebook_plugin::importer::table::is_iso_date;
/// assert!(is_iso_date("2024-02-29") && !is_iso_date("2026-02-29") && !is_iso_date("26-2-9"));
/// ```
pub fn is_iso_date(text: &str) -> bool {
    let &[y1, y2, y3, y4, b'-', m1, m2, b'-', d1, d2] = text.as_bytes() else {
        return false;
    };
    if ![y1, y2, y3, y4, m1, m2, d1, d2]
        .iter()
        .all(u8::is_ascii_digit)
    {
        return false;
    }
    let number = |digits: &[u8]| {
        let digits = digits.iter().map(|digit| u32::from(digit - b'0'));
        digits.fold(0, |number, digit| 10 * number + digit)
    };
    let (year, month, day) = (
        number(&[y1, y2, y3, y4]),
        number(&[m1, m2]),
        number(&[d1, d2]),
    );
    let leap = year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
    let days = match month {
        2 if leap => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        1..=12 => 31,
        _ => return false,
    };
    (1..=days).contains(&day)
}
