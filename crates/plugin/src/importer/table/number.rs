//! Numbers and dates as people write them into a sheet.

/// No ruler gives more digits.
const MOST_DIGITS: usize = 20;

/// The sign between the whole and the fraction of a plain decimal number, where there is one; else
/// how it should be written.
pub(super) fn decimal_sign(text: &str) -> Result<Option<char>, &'static str> {
    const PLAIN: &str = "write the number alone; its unit stands in the header";
    let digits = text.strip_prefix('+').unwrap_or(text);
    if digits
        .strip_prefix(['-', '\u{2212}'])
        .is_some_and(|rest| rest.starts_with(digit_or_sign))
    {
        return Err("distances are measured from the start line upwards, so none is negative");
    }
    let sign = digits.chars().find(|c| !c.is_ascii_digit());
    let (whole, fraction) = match sign {
        None => (digits, ""),
        Some(sign @ (',' | '.')) => digits.split_once(sign).unwrap_or((digits, "")),
        Some(_) => return Err(PLAIN),
    };
    let plain = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit());
    if !plain(fraction) && fraction.contains(['.', ',']) {
        return Err("use one decimal sign, and none between thousands");
    }
    let written = whole.len() + fraction.len();
    if !plain(whole) || !plain(fraction) || written == 0 || written > MOST_DIGITS {
        return Err(PLAIN);
    }
    Ok(sign)
}

fn digit_or_sign(c: char) -> bool {
    c.is_ascii_digit() || matches!(c, '.' | ',')
}

/// Is this a day of the calendar, written YYYY-MM-DD?
///
/// ```
/// use dyebook_plugin::importer::table::is_iso_date;
/// assert!(is_iso_date("2024-02-29") && !is_iso_date("2026-02-29") && !is_iso_date("26-2-9"));
/// ```
pub fn is_iso_date(text: &str) -> bool {
    let parts: Vec<&str> = text.split('-').collect();
    let &[year, month, day] = parts.as_slice() else {
        return false;
    };
    let number = |part: &str, length: usize| {
        let digits = part.len() == length && part.bytes().all(|byte| byte.is_ascii_digit());
        if digits {
            part.parse::<u32>().ok()
        } else {
            None
        }
    };
    let (Some(year), Some(month), Some(day)) = (number(year, 4), number(month, 2), number(day, 2))
    else {
        return false;
    };
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
