//! Each session's spots against the expected range of one dye.

use crate::documents::reference_sheet::{ReferencePage, SessionSpots, mean};
use crate::drawings::axis::{Axis, ends};
use crate::drawings::hatch;
use crate::drawings::marker::{Shape, marker};
use crate::svg::{Drawing, Element, fitted, label, line, rect};
use crate::words::range;
use dyebook_documents::show_rf;

const WIDTH: f64 = 900.0;
const LEFT: f64 = 190.0;
const RIGHT: f64 = WIDTH - 24.0;
const TOP: f64 = 34.0;
const ROW: f64 = 32.0;

/// Draws the plot of one dye; `index` keeps the identifiers of a page apart.
pub(crate) fn reference_plot(index: usize, page: &ReferencePage) -> Drawing {
    let id = format!("reference-{}", index + 1);
    let rows: f64 = page.sessions.iter().map(|_| ROW).sum();
    let bottom = TOP + rows + 8.0;
    let spots = page.sessions.iter().flat_map(SessionSpots::rf);
    let others = page.excluded.iter().map(|spot| spot.rf);
    let limits = [page.expected.low, page.expected.high];
    let (low, high) = ends(spots.chain(others).chain(limits), 0.05);
    let rf = Axis {
        from: (low, LEFT),
        to: (high, RIGHT),
    };
    let mut body = vec![hatch::definitions(&id, [0])];
    body.extend(rf.upright_grid(TOP, bottom));
    body.extend(band(&id, page, &rf, bottom));
    let mut y = TOP + ROW / 2.0 + 4.0;
    for session in &page.sessions {
        body.push(fitted(
            "end small",
            (LEFT - 14.0, y + 4.5),
            &session.session,
            12.0,
            LEFT - 20.0,
        ));
        body.push(line("grid", (LEFT, y), (RIGHT, y)));
        if let Some(mean) = mean(&session.rf()) {
            let x = rf.at(mean);
            body.push(line("front", (x, y - 11.0), (x, y + 11.0)));
        }
        for (paper, shape) in session.papers.iter().zip((0..).map(Shape::of)) {
            body.extend(
                paper
                    .rf
                    .iter()
                    .map(|v| marker(shape, "point", (rf.at(*v), y), 4.5)),
            );
        }
        let here = page
            .excluded
            .iter()
            .filter(|spot| spot.session == session.session);
        body.extend(here.map(|spot| marker(Shape::Cross, "curve", (rf.at(spot.rf), y), 5.0)));
        y += ROW;
    }
    body.push(label(
        "mid small quiet",
        (f64::midpoint(LEFT, RIGHT), bottom + 34.0),
        "Rf",
    ));
    Drawing {
        id,
        title: format!("Spots of {} by session", page.dye),
        description: format!(
            "Rf of each spot in {} sessions against the expected range {}. The table that follows \
             holds every value.",
            page.sessions.len(),
            range(page.expected)
        ),
        width: WIDTH,
        height: bottom + 42.0,
        body,
    }
}

fn band(id: &str, page: &ReferencePage, rf: &Axis, bottom: f64) -> Vec<Element> {
    let (from, to) = (rf.at(page.expected.low), rf.at(page.expected.high));
    let fill = format!("url(#{})", hatch::hatch_id(id, 0));
    let mut drawn = vec![
        rect("frame", (from, TOP), to - from, bottom - TOP)
            .set("fill", &fill)
            .set("style", &format!("fill:{fill};fill-opacity:.35")),
        label(
            "mid small",
            (f64::midpoint(from, to), TOP - 20.0),
            &format!("expected {}", range(page.expected)),
        ),
    ];
    if let Some(assigned) = page.assigned_rf {
        let x = rf.at(assigned);
        drawn.push(line("centre", (x, TOP - 3.0), (x, bottom)));
        drawn.push(label(
            "mid small strong halo",
            (x, TOP - 5.0),
            &show_rf(assigned),
        ));
    }
    drawn
}

#[cfg(test)]
mod tests {
    use super::reference_plot;
    use crate::documents::reference_sheet::{PaperSpots, ReferencePage, SessionSpots};
    use dyebook_documents::Range;

    #[test]
    fn the_mean_lies_between_its_spots_at_the_right_place() {
        let page = ReferencePage {
            dye: "Tartrazine".into(),
            assigned_rf: Some(0.5),
            assigned_u: None,
            expected: Range {
                low: 0.4,
                high: 0.6,
            },
            provisional: false,
            colours: vec![],
            behaviour: String::new(),
            numbers: vec![],
            sessions: vec![SessionSpots {
                session: "Tue-A".into(),
                papers: vec![PaperSpots {
                    paper: "S1".into(),
                    rf: vec![0.45, 0.55],
                }],
            }],
            excluded: vec![],
            more_papers: vec![],
        };
        let svg = reference_plot(0, &page).inline();
        let value = |element: &str, name: &str| -> f64 {
            let behind = element.split_once(&format!("{name}=\"")).unwrap().1;
            behind.split_once('"').unwrap().0.parse().unwrap()
        };
        let circles: Vec<f64> = svg
            .split("<circle class=\"point\"")
            .skip(1)
            .map(|c| value(c, "cx"))
            .collect();
        let mean = value(svg.split("<line class=\"front\"").nth(1).unwrap(), "x1");
        assert!((mean - f64::midpoint(circles[0], circles[1])).abs() < 0.02);
        let band = svg.split("<rect class=\"frame\"").nth(1).unwrap();
        let (left, width) = (value(band, " x"), value(band, " width"));
        assert!((left + width / 2.0 - mean).abs() < 0.02);
        assert!(((circles[1] - circles[0]) * 2.0 - width).abs() < 0.02);
    }
}
