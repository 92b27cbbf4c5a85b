//! Reasons in a coordinator's words, shared by the strategies so that they speak alike.

use super::{
    Answer, ColourTable, ColourVerdict, Decision, Lane, Reference, ReferenceSet, RfRange, Spot,
    SpotAnswer,
};

/// Words for a spot that has no measurable centre.
const STREAKS: [&str; 5] = ["streak", "streaks", "streaked", "smear", "smeared"];
/// Words for a spot whose centre is measurable but not sharp.
const TAILS: [&str; 4] = ["tail", "tails", "tailed", "tailing"];

/// Judges the spots of a lane one by one: the set must hold a reference and the spot must be
/// evaluable, only then is `judge` asked. The lane's dyes are those of the identified spots.
pub fn judge_each(
    lane: &Lane,
    set: &ReferenceSet,
    judge: impl Fn(&Spot, f64) -> SpotAnswer,
) -> Answer {
    let answer = |spot| {
        if set.references.is_empty() {
            let reason = "The method version holds no expected values to compare with.";
            return SpotAnswer::new(spot, Decision::NoValidReference, Vec::new(), reason);
        }
        match evaluable(spot) {
            Ok(rf) => judge(spot, rf),
            Err(reason) => SpotAnswer::new(spot, Decision::NotEvaluable, Vec::new(), reason),
        }
    };
    Answer::from_spots(lane.spots.iter().map(answer).collect())
}

/// Why a spot can't be judged at all, or its Rf.
///
/// # Errors
/// The reason, as a sentence: the host's own where there is no Rf, or that the spot is a streak.
#[inline]
pub fn evaluable(spot: &Spot) -> Result<f64, String> {
    if let Some(shape) = spot
        .shape
        .as_deref()
        .filter(|shape| is_one_of(shape, &STREAKS))
    {
        return Err(format!(
            "The spot is noted as `{shape}`: it has no centre to measure."
        ));
    }
    match (spot.rf, spot.unusable.as_deref()) {
        (Some(rf), None) if rf.is_finite() => Ok(rf),
        (_, Some(why)) => Err(sentence(why)),
        (_, None) => Err("The spot has no Rf.".into()),
    }
}

/// What else to know when a spot was judged although its centre is not sharp: the behaviour that
/// the method notes of the nearest reference says whether that was to be expected.
#[inline]
pub fn tail_note(spot: &Spot, nearest: Option<&Reference>) -> Option<String> {
    let shape = spot
        .shape
        .as_deref()
        .filter(|shape| is_one_of(shape, &TAILS))?;
    let expected = nearest
        .and_then(|reference| Some((&reference.dye, reference.behaviour.as_deref()?)))
        .map(|(dye, behaviour)| format!(" Noted of {dye}: {behaviour}."))
        .unwrap_or_default();
    Some(format!(
        "The spot is noted as `{shape}`, so its centre is less certain than the ruler.{expected}"
    ))
}

/// Names the dyes that are expected to show a minor spot here, for a spot that fits no reference.
///
/// A minor spot has no range of its own: it counts as here when it is no farther away than half of
/// the dye's expected range is wide.
pub fn minor_spot_note(
    spot: &Spot,
    rf: f64,
    references: &[Reference],
    colours: &ColourTable,
) -> Option<String> {
    let here = |reference: &&Reference| {
        let reach = (reference.expected_rf.high - reference.expected_rf.low) / 2.0;
        reference.minor_spots.iter().any(|minor| {
            let expected: Vec<&String> = minor.colour.iter().collect();
            (minor.rf - rf).abs() <= reach
                && colours.judge(spot.colour.as_deref(), &expected) != ColourVerdict::Disagrees
        })
    };
    let dyes: Vec<&str> = references
        .iter()
        .filter(here)
        .map(|r| r.dye.as_str())
        .collect();
    (!dyes.is_empty()).then(|| {
        format!(
            "A minor spot is expected near here from {}.",
            one_or_other(&dyes)
        )
    })
}

/// `colour red agrees`, `colour not judged (none noted)` and so on.
pub fn colour_words(spot: &Spot, verdict: ColourVerdict, reference: &Reference) -> String {
    let seen = spot
        .colour
        .as_deref()
        .map(str::trim)
        .filter(|word| !word.is_empty());
    match (verdict, seen) {
        (ColourVerdict::Agrees, Some(seen)) => format!("colour {seen} agrees"),
        (ColourVerdict::Disagrees, Some(seen)) => {
            format!(
                "colour {seen} disagrees with {}",
                one_or_other(&reference.colours)
            )
        }
        (_, Some(seen)) if reference.colours.is_empty() => {
            format!("colour {seen} not judged, the reference names none")
        }
        (_, Some(seen)) => format!("colour {seen} not judged"),
        (_, None) => "colour not judged, none is noted".into(),
    }
}

/// Rf and range in as few decimals (two to four) as leave the Rf inside or outside of the range.
pub fn rf_beside(rf: f64, range: RfRange) -> (String, String) {
    let inside = |decimals: Option<usize>| {
        let read = |value: f64| match decimals {
            Some(decimals) => rounded(value, decimals).parse().unwrap_or(value),
            None => value,
        };
        (read(range.low)..=read(range.high)).contains(&read(rf))
    };
    let decimals = (2..4)
        .find(|&decimals| inside(Some(decimals)) == inside(None))
        .unwrap_or(4);
    let words = format!(
        "{} to {}",
        rounded(range.low, decimals),
        rounded(range.high, decimals)
    );
    (rounded(rf, decimals), words)
}

/// A number with so many decimals, a tie to the even digit, judged on the shortest decimal text of
/// the number: 0.405, which no double holds exactly, becomes 0.40 as it would by hand.
///
/// ```
/// use dyebook_plugin::strategy::reasons::rounded;
/// assert_eq!(rounded(3.24 / 8.0, 2), "0.40");
/// assert_eq!(rounded(0.415, 2), "0.42");
/// assert_eq!(rounded(-0.004, 2), "0.00");
/// assert_eq!(rounded(0.996, 2), "1.00");
/// ```
pub fn rounded(value: f64, decimals: usize) -> String {
    let mut text = String::new();
    push_rounded(&mut text, value, decimals);
    text
}

/// Writes a [`rounded`] number behind a text.
pub fn push_rounded(text: &mut String, value: f64, decimals: usize) {
    if push_at_once(text, value, decimals).is_none() {
        text.push_str(&rounded_as_text(value, decimals));
    }
}

const DIGITS: &[u8; 10] = b"0123456789";
/// Powers of ten that [`push_at_once`] scales by.
const POWERS: [u32; 5] = [1, 10, 100, 1_000, 10_000];

/// The same for numbers of everyday size that lie well off a tie, where one multiplication can't
/// round the other way: many times as fast as two trips through text.
fn push_at_once(text: &mut String, value: f64, decimals: usize) -> Option<()> {
    let power = *POWERS.get(decimals)?;
    let scaled = value.abs() * f64::from(power);
    let nearest = scaled.round();
    if scaled.is_nan() || scaled >= 1e9 || (scaled - nearest).abs() > 0.499_999 {
        return None;
    }
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a whole number below 1e9"
    )]
    let mut left = nearest as u32;
    let negative = value < 0.0 && left > 0;
    // from the last digit to the first: at most ten, a point and a sign
    let mut digits = [b'0'; 12];
    let mut start = digits.len();
    let mut written = 0;
    while left > 0 || written <= decimals {
        if written == decimals && decimals > 0 {
            start -= 1;
            digits[start] = b'.';
        }
        start -= 1;
        digits[start] = DIGITS[(left % 10) as usize];
        left /= 10;
        written += 1;
    }
    if negative {
        start -= 1;
        digits[start] = b'-';
    }
    text.push_str(str::from_utf8(&digits[start..]).ok()?);
    Some(())
}

/// By the shortest decimal text, which knows a tie when it is one.
fn rounded_as_text(value: f64, decimals: usize) -> String {
    let text = format!("{value}");
    let tie = text
        .split_once('.')
        .is_some_and(|(_, fraction)| fraction.len() == decimals + 1 && fraction.ends_with('5'));
    let rounded = if tie {
        half_even(&text)
    } else {
        format!("{value:.decimals$}")
    };
    let zero = rounded.chars().all(|c| matches!(c, '-' | '0' | '.'));
    if zero {
        rounded.trim_start_matches('-').into()
    } else {
        rounded
    }
}

/// Takes the last digit, a 5, off a decimal text and leaves the one before it even.
fn half_even(text: &str) -> String {
    let mut digits: Vec<u8> = text.bytes().collect();
    digits.pop();
    let odd = digits
        .last()
        .is_some_and(|digit| digit.is_ascii_digit() && digit % 2 == 1);
    let mut carry = odd;
    for digit in digits
        .iter_mut()
        .rev()
        .filter(|digit| digit.is_ascii_digit())
    {
        if !carry {
            break;
        }
        carry = *digit == b'9';
        *digit = if carry { b'0' } else { *digit + 1 };
    }
    let text = String::from_utf8(digits).unwrap_or_default();
    match (carry, text.strip_prefix('-')) {
        (false, _) => text,
        (true, None) => format!("1{text}"),
        (true, Some(rest)) => format!("-1{rest}"),
    }
}

/// `a`, `a or b`, `a, b or c`.
pub fn one_or_other<S: AsRef<str>>(names: &[S]) -> String {
    listed(names, " or ")
}

/// `a`, `a and b`, `a, b and c`.
pub fn all_of<S: AsRef<str>>(names: &[S]) -> String {
    listed(names, " and ")
}

fn listed<S: AsRef<str>>(names: &[S], last: &str) -> String {
    let names: Vec<&str> = names.iter().map(AsRef::as_ref).collect();
    match names.split_last() {
        None => String::new(),
        Some((only, [])) => (*only).into(),
        Some((end, rest)) => format!("{}{last}{end}", rest.join(", ")),
    }
}

/// With a capital and a full stop.
pub fn sentence(text: &str) -> String {
    let text = text.trim();
    let mut letters = text.chars();
    let Some(first) = letters.next() else {
        return String::new();
    };
    let stop = if text.ends_with(['.', '!', '?']) {
        ""
    } else {
        "."
    };
    format!("{}{}{stop}", first.to_uppercase(), letters.as_str())
}

fn is_one_of(written: &str, words: &[&str]) -> bool {
    let folded = written.trim().to_lowercase();
    folded
        .split(|c: char| !c.is_alphanumeric())
        .any(|word| words.contains(&word))
}

#[cfg(test)]
mod tests {
    use super::{rounded, rounded_as_text};

    /// Every thousandth and its neighbouring doubles, ties among them, and places between.
    #[test]
    fn the_short_way_writes_what_the_long_way_writes() {
        for thousandth in -12_000..=120_000 {
            let exact = f64::from(thousandth) / 1000.0;
            let between = f64::from(thousandth) / 1013.0;
            for value in [exact.next_down(), exact, exact.next_up(), between] {
                for decimals in 0..=5 {
                    assert_eq!(rounded(value, decimals), rounded_as_text(value, decimals));
                }
            }
        }
        for value in [
            f64::NAN,
            f64::INFINITY,
            -1e300,
            -999_999_999.8,
            -99_999.995_1,
            1e9,
            -0.0,
        ] {
            for decimals in 0..=5 {
                assert_eq!(rounded(value, decimals), rounded_as_text(value, decimals));
            }
        }
    }
}
