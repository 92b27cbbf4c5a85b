//! The control chart of one dye: a page, the drawing alone, and text for a terminal.

use crate::drawings::chart_drawing::chart_drawing;
use crate::page::{Fact, Page};
use crate::parts::body::{Body, Table};
use crate::svg::label;
use crate::words::{count, decimals, list_with, signed};
use dyebook_documents::Range;

/// A control chart of one control dye in one method, broken at version changes.
#[derive(Debug, Clone, PartialEq)]
pub struct ControlChart {
    /// Name of the dye.
    pub dye: String,
    /// Method identifier.
    pub method: String,
    /// One stretch for each method version, oldest first.
    pub segments: Vec<ChartSegment>,
    /// What was found, in sentences.
    pub findings: Vec<String>,
    /// Whether the data is invented.
    pub demo: bool,
    /// Program and version.
    pub program: String,
}

/// The stretch of one method version.
#[derive(Debug, Clone, PartialEq)]
pub struct ChartSegment {
    /// The version.
    pub version: String,
    /// Its content digest, the first digits.
    pub digest: String,
    /// Assigned value.
    pub centre: f64,
    /// Warning limits.
    pub warning: Range,
    /// Action limits.
    pub action: Range,
    /// Where centre and limits are from, in a sentence.
    pub limits_from: String,
    /// Control values in order of time.
    pub points: Vec<ChartPoint>,
}

/// One control value.
#[derive(Debug, Clone, PartialEq)]
pub struct ChartPoint {
    /// Day, as text.
    pub date: String,
    /// Section or session.
    pub session: String,
    /// Rf.
    pub value: f64,
    /// Batch, lots, temperature or an action taken, as text.
    pub note: String,
    /// Whether it belongs to a finding.
    pub flagged: bool,
}

/// Where a control value lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Zone {
    Inside,
    BeyondWarning,
    BeyondAction,
}

impl Zone {
    /// In words.
    pub(crate) fn words(self) -> &'static str {
        match self {
            Self::Inside => "inside the warning limits",
            Self::BeyondWarning => "beyond the warning limit",
            Self::BeyondAction => "beyond the action limit",
        }
    }
}

impl ChartSegment {
    /// Where a value lies.
    pub(crate) fn zone(&self, value: f64) -> Zone {
        if !self.action.contains(value) {
            Zone::BeyondAction
        } else if !self.warning.contains(value) {
            Zone::BeyondWarning
        } else {
            Zone::Inside
        }
    }

    fn limits_in_words(&self) -> String {
        let pair =
            |range: Range| format!("{} to {}", decimals(range.low, 3), decimals(range.high, 3));
        format!(
            "centre {}, warning limits {}, action limits {}",
            decimals(self.centre, 3),
            pair(self.warning),
            pair(self.action)
        )
    }

    /// Warning and action limits are drawn as they are given; a standard deviation is a third of
    /// the distance to the upper action limit.
    fn in_sd(&self, value: f64) -> Option<f64> {
        let sd = (self.action.high - self.centre) / 3.0;
        (sd > 0.0).then(|| (value - self.centre) / sd)
    }
}

/// The chart as a page.
pub fn control_chart(chart: &ControlChart) -> String {
    let versions: Vec<String> = chart
        .segments
        .iter()
        .map(|segment| format!("{} ({})", segment.version, segment.digest))
        .collect();
    let stamp = format!(
        "Control chart of {} · method {} version {}",
        chart.dye,
        chart.method,
        list_with(&versions, "and")
    );
    Page {
        kicker: "Control chart".to_owned(),
        heading: format!("{} in {}", chart.dye, chart.method),
        marks: vec![],
        demo: chart.demo,
        facts: vec![
            Fact::new("Control dye", chart.dye.as_str()),
            Fact::new("Method", chart.method.as_str()),
            Fact::new("Versions", list_with(&versions, "and")),
        ],
        sections: vec![
            findings(chart).section("findings", "What was found"),
            body(chart).section("chart", "The chart"),
        ],
        stamp,
        program: chart.program.clone(),
    }
    .html()
}

/// The drawing alone, as an SVG file.
pub fn control_chart_svg(chart: &ControlChart) -> String {
    let mut drawing = chart_drawing(chart);
    if chart.demo {
        let at = (62.0, drawing.height - 6.0);
        drawing
            .body
            .push(label("small strong", at, "Invented demo data"));
    }
    // At 4 units a mm the letters are 3.25 mm high.
    drawing.standalone(drawing.width / 4.0, drawing.height / 4.0)
}

/// The chart for a terminal: one line a value, which reads well without the strip at its end.
pub fn control_chart_text(chart: &ControlChart) -> String {
    let mut lines = vec![format!(
        "Control chart of {} in {}",
        chart.dye, chart.method
    )];
    for segment in &chart.segments {
        lines.push(String::new());
        lines.push(format!(
            "Version {}: {}",
            segment.version,
            segment.limits_in_words()
        ));
        let name = |point: &ChartPoint| format!("{}  {}", point.date, point.session);
        let widest = segment.points.iter().map(|p| name(p).chars().count()).max();
        for point in &segment.points {
            lines.push(format!(
                "  {:<width$}  Rf {}  {:<25}  {}{}",
                name(point),
                decimals(point.value, 3),
                segment.zone(point.value).words(),
                strip(segment, point.value),
                remarks(point),
                width = widest.unwrap_or(0)
            ));
        }
        if segment.points.is_empty() {
            lines.push("  no control value yet".to_owned());
        }
    }
    lines.push(String::new());
    if chart.findings.is_empty() {
        lines.push("Nothing out of the ordinary was found.".to_owned());
    } else {
        lines.push("Findings:".to_owned());
        lines.extend(
            chart
                .findings
                .iter()
                .map(|finding| format!("  - {finding}")),
        );
    }
    lines.push("In each strip: a action limit, w warning limit, c centre, * value.".to_owned());
    lines.join("\n") + "\n"
}

/// What stands behind a value's strip.
fn remarks(point: &ChartPoint) -> String {
    let flagged = if point.flagged {
        "  see the findings"
    } else {
        ""
    };
    let space = if point.note.is_empty() { "" } else { "  " };
    format!("{flagged}{space}{}", point.note)
}

/// From a little below the lower action limit to a little above the upper one, in 33 places.
fn strip(segment: &ChartSegment, value: f64) -> String {
    const PLACES: u8 = 33;
    let (low, high) = (segment.action.low, segment.action.high);
    let place = |number: f64| {
        let share = (number - low) / (high - low);
        // Ten percent of the strip lie outside on either side; what is farther sticks to its end.
        let wanted = ((share * 0.8 + 0.1) * f64::from(PLACES - 1)).round();
        (0..PLACES)
            .find(|index| f64::from(*index) >= wanted)
            .unwrap_or(PLACES - 1)
    };
    let marks = [
        (low, 'a'),
        (high, 'a'),
        (segment.warning.low, 'w'),
        (segment.warning.high, 'w'),
        (segment.centre, 'c'),
        (value, '*'),
    ];
    (0..PLACES)
        .map(|index| {
            let here = marks
                .iter()
                .rev()
                .find(|(number, _)| place(*number) == index);
            here.map_or('.', |(_, mark)| *mark)
        })
        .collect()
}

fn findings(chart: &ControlChart) -> Body {
    if chart.findings.is_empty() {
        Body::default().paragraph("Nothing out of the ordinary was found.")
    } else {
        Body::default().list(&chart.findings)
    }
}

fn body(chart: &ControlChart) -> Body {
    let points: usize = chart.segments.iter().map(|s| s.points.len()).sum();
    let caption = format!(
        "{} in order of time. The solid line is the centre, dashed lines are warning limits, \
         dotted lines action limits; an upright line is a change of version. An open circle lies \
         inside the warning limits, a square beyond a warning limit, a triangle beyond an action \
         limit; a ring marks what a finding speaks of.",
        count(points, "control value", "control values")
    );
    let limits = Table::new(
        "Centre and limits",
        &[
            "Version",
            "Centre",
            "Warning limits",
            "Action limits",
            "Where they are from",
        ],
    )
    .rows(chart.segments.iter().map(|segment| {
        let pair =
            |range: Range| format!("{} to {}", decimals(range.low, 3), decimals(range.high, 3));
        vec![
            segment.version.clone(),
            decimals(segment.centre, 3),
            pair(segment.warning),
            pair(segment.action),
            segment.limits_from.clone(),
        ]
    }));
    let values = Table::new(
        "Control values",
        &[
            "Date",
            "Session",
            "Version",
            "Rf",
            "From the centre",
            "Where it lies",
            "Note",
        ],
    )
    .rows(chart.segments.iter().flat_map(|segment| {
        segment.points.iter().map(|point| {
            let away = signed(point.value - segment.centre, 3);
            let in_sd = segment
                .in_sd(point.value)
                .map_or_else(String::new, |sd| format!(" ({} SD)", signed(sd, 1)));
            let flag = if point.flagged { "; in a finding" } else { "" };
            vec![
                point.date.clone(),
                point.session.clone(),
                segment.version.clone(),
                decimals(point.value, 3),
                format!("{away}{in_sd}"),
                format!("{}{flag}", segment.zone(point.value).words()),
                point.note.clone(),
            ]
        })
    }));
    Body::default()
        .figure(&chart_drawing(chart), &caption)
        .table(&values)
        .table(&limits)
}

#[cfg(test)]
mod tests {
    use super::{ChartSegment, strip};
    use dyebook_documents::Range;

    #[test]
    fn the_strip_shows_where_a_value_lies() {
        let segment = ChartSegment {
            version: "1.0.0".into(),
            digest: String::new(),
            centre: 0.4,
            warning: Range {
                low: 0.38,
                high: 0.42,
            },
            action: Range {
                low: 0.37,
                high: 0.43,
            },
            limits_from: String::new(),
            points: vec![],
        };
        assert_eq!(strip(&segment, 0.4), "...a...w........*........w...a...");
        assert_eq!(strip(&segment, 0.5), "...a...w........c........w...a..*");
        assert_eq!(strip(&segment, 0.1), "*..a...w........c........w...a...");
    }
}
