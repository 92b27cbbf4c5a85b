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
        .filter(|paper| paper.other_units(sheet.context).is_empty())
        .flat_map(|paper| of_paper(sheet.context.method, paper))
        .collect()
}

fn of_paper(method: &Method, paper: &PaperView<'_>) -> Vec<Finding> {
    let fronts = paper.fronts();
    let mut found = vec![];
    let mut say = |severity, lanes: Vec<(u32, f64)>, what: String, alternatives: Vec<String>| {
        if let Some(place) = place(paper.name, &lanes) {
            let message = format!("{} {what}", shown(&lanes));
            found.push(Finding::new(severity, place, message).or_all(alternatives));
        }
    };
    let pick = |is_wrong: &dyn Fn(f64) -> bool| -> Vec<(u32, f64)> {
        fronts
            .iter()
            .copied()
            .filter(|(_, front)| *front > 0.0 && is_wrong(*front))
            .collect()
    };
    let (low, high) = method
        .acceptance
        .as_ref()
        .map_or((None, None), |acceptance| {
            (acceptance.front_min_cm, acceptance.front_max_cm)
        });
    if let Some(low) = low {
        let short = pick(&|front| front < low);
        let inches = short
            .first()
            .map(|(_, front)| front * in_cm(LengthUnit::Inch));
        let inches = inches.map(|front| {
            format!(
                "an inch ruler was used: the front would then be {}",
                words::cm(front)
            )
        });
        say(
            Severity::Warn,
            short,
            format!(
                "short of the {} that {} asks for",
                words::cm(low),
                method.name()
            ),
            inches.into_iter().collect(),
        );
    }
    let room = room(method);
    let top = room.map_or(f64::INFINITY, |(room, _)| room);
    if let Some(high) = high {
        let long = pick(&|front| front > high && front <= top);
        let what = format!(
            "beyond the {} that {} allows",
            words::cm(high),
            method.name()
        );
        say(Severity::Warn, long, what, vec![]);
    }
    if let Some((room, height)) = room {
        let what = format!(
            "not possible: above the start line a paper of {} has only {}",
            words::cm(height),
            words::cm(room)
        );
        let from_edge = "measured from the paper's edge instead of the start line".to_owned();
        say(
            Severity::Stop,
            pick(&|front| front > room),
            what,
            vec![from_edge],
        );
    }
    found
}

/// The paper above its start line, and its height.
fn room(method: &Method) -> Option<(f64, f64)> {
    let layout = method.layout.as_ref()?;
    let height = layout.paper_height_cm?;
    Some((height - layout.baseline_cm.unwrap_or(0.0), height))
}

fn place(paper: &str, lanes: &[(u32, f64)]) -> Option<Where> {
    match lanes {
        [] => None,
        [(lane, _)] => Some(Where::lane(paper, *lane)),
        _ => Some(Where::paper(paper)),
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

fn in_cm(unit: LengthUnit) -> f64 {
    crate::scale_slip::ratio(unit, LengthUnit::Centimetre)
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
