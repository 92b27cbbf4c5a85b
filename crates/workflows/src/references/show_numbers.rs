//! The numbers of a reference, each with its formula and what it was worked out from.

use super::design::DyeRuns;
use super::estimate::{Estimate, SMALLEST_HALF_WIDTH};
use super::evidence::Evidence;
use dyebook_documents::{Range, Reference, counted};
use dyebook_report::NumberOrigin;

/// How numbers that were established here came about.
pub(crate) const HOW: &[&str] = &[
    "Spots lie on papers, papers in sessions (one class meeting or bench day). The assigned value is \
     the mean of the session means, so that no session outvotes another.",
    "The standard deviations come from the mean squares of spots about their paper, papers about \
     their session, and sessions about their mean (analysis of variance; a variance below 0 is set \
     to 0 and said).",
    "The expected range is for one spot in a new session: assigned value ± t(0.975; df) · SD of such \
     a spot, the uncertainty of the assigned value in it. It should hold 95 of 100 such spots, and \
     is never narrower than ± 0.02, where reading the ruler decides.",
    "A dye with few sessions may take the spread that all dyes of the same runs share; it is said \
     where that was done, with the degrees of freedom that remain.",
    "Values are kept with four decimals.",
];

/// The same for numbers that were not.
pub(crate) const AS_WRITTEN: &str = "None of this was established from sheets of this library: the numbers are as written in the \
     method, each with the source that the method gives.";

fn origin(name: &str, value: String, from: impl Into<String>) -> NumberOrigin {
    NumberOrigin {
        name: name.to_owned(),
        value,
        from: from.into(),
    }
}

/// Numbers of a reference that can't be worked out here.
pub(crate) fn numbers_as_written(
    reference: &Reference,
    evidence: Option<&Evidence>,
) -> Vec<NumberOrigin> {
    let source = reference.source.as_deref().unwrap_or("no source given");
    let from = match evidence {
        Some(_) => format!("as kept in the method; {source}"),
        None => format!("as written in the method; source: {source}"),
    };
    let mut numbers = Vec::new();
    let mut add = |name: &str, value: Option<String>| {
        numbers.push(origin(
            name,
            value.unwrap_or_else(|| "not known".to_owned()),
            from.as_str(),
        ));
    };
    add(
        "Assigned Rf",
        reference.assigned_rf.map(|rf| rf.to_string()),
    );
    add("Expected range", Some(range(reference.expected_rf)));
    let sd = reference.sd;
    add(
        "SD within a paper",
        sd.and_then(|sd| sd.within_paper).map(three),
    );
    add(
        "SD between papers",
        sd.and_then(|sd| sd.between_papers).map(three),
    );
    add(
        "SD between sessions",
        sd.and_then(|sd| sd.between_sessions).map(three),
    );
    let count = reference.count;
    add(
        "Sessions",
        count
            .and_then(|count| count.sessions)
            .map(|n| n.to_string()),
    );
    add(
        "Papers",
        count.and_then(|count| count.papers).map(|n| n.to_string()),
    );
    add(
        "Spots",
        count.and_then(|count| count.spots).map(|n| n.to_string()),
    );
    numbers
}

/// Numbers of a reference that were worked out again.
pub(crate) fn numbers_worked_out(estimate: &Estimate, written: &Reference) -> Vec<NumberOrigin> {
    let runs = &estimate.runs;
    let sheets = sheets(runs);
    let mut numbers = vec![
        origin(
            "Assigned Rf",
            format!("{:.4}", estimate.assigned),
            format!(
                "mean of {} of sheets {sheets}",
                counted(runs.sessions.len(), "session mean")
            ),
        ),
        origin(
            "Standard uncertainty of it",
            format!("{:.4}", estimate.u),
            format!("√(MS sessions / {})", runs.sessions.len()),
        ),
    ];
    numbers.extend(spread(estimate));
    numbers.extend(range_numbers(estimate));
    let same = written.assigned_rf == Some(super::estimate::kept(estimate.assigned))
        && written.expected_rf == estimate.expected;
    numbers.push(origin(
        "Worked out again",
        if same { "the same" } else { "not the same" }.to_owned(),
        if same {
            "from the sheets as they stood, this gives what the method says".to_owned()
        } else {
            format!(
                "the method says {} in {}; the exclusions of these sheets or the way of working \
                 out have changed since",
                written
                    .assigned_rf
                    .map_or_else(|| "no value".to_owned(), |rf| rf.to_string()),
                range(written.expected_rf)
            )
        },
    ));
    numbers
}

fn spread(estimate: &Estimate) -> Vec<NumberOrigin> {
    let table = &estimate.table;
    let whose = match &estimate.pooled_over {
        Some(dyes) => format!("pooled over {}; ", dyes.join(", ")),
        None => String::new(),
    };
    let level = |level: &str| {
        if estimate.set_to_zero.contains(&level) {
            "; came out below 0 and was set to 0"
        } else {
            ""
        }
    };
    let sd = estimate.sd;
    let value = |sd: Option<f64>, missing: &str| sd.map_or_else(|| missing.to_owned(), three);
    vec![
        origin(
            "SD within a paper",
            value(sd.within_paper, "not known"),
            if sd.within_paper.is_some() {
                format!("{whose}√(MS spots), {} df", df(table.spots.df))
            } else {
                "no paper has two spots of it, so this spread is in the next level".to_owned()
            },
        ),
        origin(
            "SD between papers",
            value(sd.between_papers, "not known"),
            if sd.between_papers.is_some() {
                format!(
                    "{whose}√(MS papers − {:.2} · MS spots), {} df{}",
                    table.spots_in_papers,
                    df(table.papers.df),
                    level("between papers")
                )
            } else {
                "no session has two papers of it, so this spread is in the next level".to_owned()
            },
        ),
        origin(
            "SD between sessions",
            value(sd.between_sessions, "not known"),
            format!(
                "{whose}√(MS sessions − {:.2} · variance between papers − {:.2} · MS spots), {} df{}",
                table.papers_in_sessions,
                table.spots_in_sessions,
                df(table.sessions.df),
                level("between sessions")
            ),
        ),
    ]
}

fn range_numbers(estimate: &Estimate) -> Vec<NumberOrigin> {
    let half_width = estimate.computed_half_width;
    let mut numbers = Vec::new();
    match estimate.df {
        Some(freedom) => numbers.push(origin(
            "Half-width of the range",
            three(half_width),
            format!(
                "t(0.975; {}) · SD of one spot in a new session about the assigned value, effective \
                 df {} (Satterthwaite)",
                df(freedom),
                df(freedom)
            ),
        )),
        None => numbers.push(origin(
            "Half-width of the range",
            three(half_width),
            "the spots do not differ at all",
        )),
    }
    let mut from = "assigned value ± half-width".to_owned();
    if estimate.at_floor() {
        from =
            format!("assigned value ± {SMALLEST_HALF_WIDTH}: the half-width worked out is smaller");
    }
    if estimate.is_cut() {
        from.push_str("; cut where no spot can lie");
    }
    numbers.push(origin("Expected range", range(estimate.expected), from));
    let runs = &estimate.runs;
    numbers.push(origin(
        "Counts",
        format!(
            "{}, {}, {}",
            counted(runs.sessions.len(), "session"),
            counted(runs.papers().count(), "paper"),
            counted(runs.spots().count(), "spot")
        ),
        "the dye standards of these sheets",
    ));
    numbers
}

fn sheets(runs: &DyeRuns) -> String {
    let mut sheets: Vec<&str> = runs.papers().map(|paper| paper.sheet.as_str()).collect();
    sheets.sort_unstable();
    sheets.dedup();
    sheets.join(", ")
}

fn three(value: f64) -> String {
    format!("{value:.3}")
}

fn range(range: Range) -> String {
    format!("{:.3} to {:.3}", range.low, range.high)
}

/// Degrees of freedom: whole ones without a decimal.
fn df(value: f64) -> String {
    let one = format!("{value:.1}");
    one.strip_suffix(".0").map_or(one.clone(), str::to_owned)
}
