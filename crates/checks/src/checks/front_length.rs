//! A front that is too short, too long, or higher than the paper.

use crate::entry_check::{EntryCheck, Finding};
use crate::sheet_view::{PaperView, SheetView};
use crate::words;
use dyebook_documents::{LengthUnit, Method, Severity, Where};

/// A short run spreads reading errors over a short distance: at half the front the Rf is half as
/// well known. A front above the paper's edge was not measured on this paper from its start line.
pub(crate) const CHECK: EntryCheck = EntryCheck {
    id: "front-length",
    why: "A short front makes every reading error larger; one above the paper can't be.",
    find,
};

fn find(sheet: &SheetView<'_>) -> Vec<Finding> {
    sheet
        .papers
        .iter()
        .filter(|paper| paper.other_units.is_empty())
        .flat_map(|paper| of_paper(sheet.context.method, paper))
        .collect()
}

fn of_paper(method: &Method, paper: &PaperView<'_>) -> Vec<Finding> {
    let acceptance = method.acceptance.as_ref();
    let room = room(method);
    let top = room.map_or(f64::INFINITY, |(room, _)| room);
    let low = acceptance.and_then(|acceptance| acceptance.front_min_cm);
    let high = acceptance.and_then(|acceptance| acceptance.front_max_cm);
    let short = low.and_then(|low| short(method, paper, low));
    let long = high.and_then(|high| long(method, paper, high, top));
    let impossible = room.and_then(|(room, height)| impossible(paper, room, height));
    [short, long, impossible].into_iter().flatten().collect()
}

/// Lanes with a front above 0 that is wrong in some way; `None` without any.
fn pick(paper: &PaperView<'_>, is_wrong: impl Fn(f64) -> bool) -> Option<Vec<(u32, f64)>> {
    let fronts = paper.fronts.iter().copied();
    let wrong: Vec<(u32, f64)> = fronts
        .filter(|(_, front)| *front > 0.0 && is_wrong(*front))
        .collect();
    (!wrong.is_empty()).then_some(wrong)
}

fn short(method: &Method, paper: &PaperView<'_>, low: f64) -> Option<Finding> {
    let lanes = pick(paper, |front| front < low)?;
    let message = format!(
        "{} short of the {} that {} asks for",
        shown(&lanes),
        words::cm(low),
        method.name()
    );
    let (_, first) = lanes.first()?;
    let in_cm = LengthUnit::Inch.ratio_to(LengthUnit::Centimetre);
    let finding = Finding::new(Severity::Warn, place(paper.name, &lanes), message);
    Some(finding.or(format!(
        "an inch ruler was used: the front would then be {}",
        words::cm(first * in_cm)
    )))
}

fn long(method: &Method, paper: &PaperView<'_>, high: f64, top: f64) -> Option<Finding> {
    let lanes = pick(paper, |front| front > high && front <= top)?;
    let message = format!(
        "{} beyond the {} that {} allows",
        shown(&lanes),
        words::cm(high),
        method.name()
    );
    let place = place(paper.name, &lanes);
    Some(Finding::new(Severity::Warn, place, message))
}

fn impossible(paper: &PaperView<'_>, room: f64, height: f64) -> Option<Finding> {
    let lanes = pick(paper, |front| front > room)?;
    let message = format!(
        "{} not possible: above the start line a paper of {} has only {}",
        shown(&lanes),
        words::cm(height),
        words::cm(room)
    );
    let finding = Finding::new(Severity::Stop, place(paper.name, &lanes), message);
    Some(finding.or("measured from the paper's edge instead of the start line"))
}

/// The paper above its start line, and its height.
fn room(method: &Method) -> Option<(f64, f64)> {
    let layout = method.layout.as_ref()?;
    let height = layout.paper_height_cm?;
    Some((height - layout.baseline_cm.unwrap_or(0.0), height))
}

fn place(paper: &str, lanes: &[(u32, f64)]) -> Where {
    match lanes {
        [(lane, _)] => Where::lane(paper, *lane),
        _ => Where::paper(paper),
    }
}

fn shown(lanes: &[(u32, f64)]) -> String {
    let numbers: Vec<u32> = lanes.iter().map(|(lane, _)| *lane).collect();
    let low = lanes
        .iter()
        .map(|(_, front)| *front)
        .fold(f64::INFINITY, f64::min);
    let high = lanes.iter().map(|(_, front)| *front).fold(0.0, f64::max);
    let lengths = if words::cm(low) == words::cm(high) {
        words::cm(low)
    } else {
        format!("{} to {}", words::cm(low), words::cm(high))
    };
    let verb = if numbers.len() == 1 {
        "the front is"
    } else {
        "the fronts are"
    };
    format!("in {} {verb} {lengths},", words::lanes(&numbers))
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::example::Example;
    use dyebook_documents::Severity;

    #[test]
    fn a_short_run_warns_once_for_the_paper() {
        let lines = "1|1||Blue 1|2.95|3.10|blue\n1|2||Red 40|1.26|3.12|red";
        let (severity, place, check) = Example::table(lines).only(&CHECK);
        assert_eq!((severity, place.as_str()), (Severity::Warn, "paper 1"));
        assert!(check.alternatives[0].contains("7.87 cm"), "{check:?}");
    }

    #[test]
    fn a_front_above_the_paper_stops() {
        // 13 cm of paper less 1.5 cm below the start line leave 11.5 cm.
        let lines = "1|1||Blue 1|11.2|11.8|blue\n1|2||Red 40|4.4|11.0|red";
        let (severity, place, _) = Example::table(lines).only(&CHECK);
        assert_eq!(
            (severity, place.as_str()),
            (Severity::Stop, "paper 1, lane 1")
        );
    }

    #[test]
    fn a_usual_front_does_not_fire() {
        assert!(Example::clean().check(&CHECK).is_empty());
    }
}
