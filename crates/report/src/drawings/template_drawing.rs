//! The 1:1 template of a paper.

use crate::documents::paper_template::PaperTemplate;
use crate::svg::{Drawing, Element, fitted, label, line, rect};
use crate::words::decimals;

/// Units of the drawing in a mm: the drawing style's letters are then 3.25 mm high.
const PER_MM: f64 = 4.0;
/// Room around the paper, mm.
pub(crate) const MARGIN: f64 = 8.0;
/// Room below the paper for notes and scale bar, mm.
pub(crate) const FOOT: f64 = 34.0;

/// The drawing with its true width and height in mm.
pub(crate) fn template_drawing(template: &PaperTemplate) -> (Drawing, f64, f64) {
    // Notes and scale bar need some width even where the paper is small.
    let width_mm = (template.width_mm + 2.0 * MARGIN).max(110.0);
    let height_mm = template.height_mm + MARGIN + FOOT;
    let x = |mm: f64| (MARGIN + mm) * PER_MM;
    let y = |mm: f64| (MARGIN + template.height_mm - mm) * PER_MM;
    let (right, top) = (x(template.width_mm), y(template.height_mm));
    let mut body = vec![rect(
        "sheet",
        (x(0.0), top),
        template.width_mm * PER_MM,
        template.height_mm * PER_MM,
    )];
    let start = y(template.baseline_mm);
    body.push(line("start", (x(0.0), start), (right, start)));
    body.push(label(
        "small",
        (x(1.5), start - 5.0),
        "start line, pencil only",
    ));
    if let Some(stop) = template.stop_mm {
        body.push(line("warning", (x(0.0), y(stop)), (right, y(stop))));
        body.push(label(
            "small",
            (x(1.5), y(stop) - 5.0),
            "stop the front here",
        ));
    }
    for fold in &template.folds_mm {
        body.push(line("break", (x(*fold), top), (x(*fold), y(0.0))));
        body.push(label("small halo", (x(*fold) + 4.0, top + 16.0), "fold"));
    }
    for lane in &template.lanes {
        body.extend(lane_marks(
            template,
            lane.number,
            &lane.label,
            x(lane.x_mm),
            start,
        ));
    }
    body.extend(foot(template, y(0.0), x(0.0), width_mm));
    let drawing = Drawing {
        id: "template".to_owned(),
        title: format!("Paper template for {}", template.method),
        description: format!(
            "Start line, {} lanes and the scale bar at true size. The text description says the \
             same in words.",
            template.lanes.len()
        ),
        width: width_mm * PER_MM,
        height: height_mm * PER_MM,
        body,
    };
    (drawing, width_mm, height_mm)
}

/// A cross on the start line, with number and label below.
fn lane_marks(
    template: &PaperTemplate,
    number: u32,
    text: &str,
    x: f64,
    start: f64,
) -> Vec<Element> {
    let mut places: Vec<f64> = template.lanes.iter().map(|lane| lane.x_mm).collect();
    places.sort_by(f64::total_cmp);
    let pitch = places
        .windows(2)
        .map(|pair| pair[1] - pair[0])
        .fold(template.width_mm, f64::min);
    let room = pitch * PER_MM - 4.0;
    let mut drawn = vec![
        line("front", (x, start - 8.0), (x, start + 8.0)),
        label("mid strong", (x, start + 23.0), &number.to_string()),
    ];
    if !text.is_empty() {
        drawn.push(fitted("mid small", (x, start + 39.0), text, 12.0, room));
    }
    drawn
}

/// Notes and the scale bar, below the paper.
fn foot(template: &PaperTemplate, edge: f64, left: f64, width_mm: f64) -> Vec<Element> {
    let bar_mm = if width_mm >= 120.0 { 100.0 } else { 50.0 };
    let bar_y = edge + 44.0;
    let bar_end = left + bar_mm * PER_MM;
    let demo = if template.demo {
        "Invented demo data. "
    } else {
        ""
    };
    let room = (width_mm - 2.0 * MARGIN) * PER_MM;
    let large = if template.needs_more_than_a4() {
        " Larger than A4: print on larger paper or in parts, at 100 %."
    } else {
        ""
    };
    let size = format!(
        "{demo}{}: paper {} by {} mm.{large}",
        template.method,
        decimals(template.width_mm, 1),
        decimals(template.height_mm, 1)
    );
    let mut drawn = vec![
        line("start", (left, bar_y), (bar_end, bar_y)),
        fitted(
            "",
            (left, bar_y - 16.0),
            &format!("This bar is {bar_mm} mm long: measure it before use, and print at 100 %."),
            13.0,
            room,
        ),
        fitted(
            "",
            (left, bar_y + 36.0),
            "Lies under the paper, not on it: ink runs.",
            13.0,
            room,
        ),
        fitted("", (left, bar_y + 56.0), &size, 13.0, room),
    ];
    let mut mm = 0.0;
    while mm <= bar_mm {
        let at = left + mm * PER_MM;
        drawn.push(line("tick", (at, bar_y - 6.0), (at, bar_y + 6.0)));
        mm += 10.0;
    }
    drawn
}

#[cfg(test)]
mod tests {
    use super::{PER_MM, template_drawing};
    use crate::documents::paper_template::{
        PaperTemplate, TemplateLane, paper_template, paper_template_pdf,
    };

    fn template(width_mm: f64) -> PaperTemplate {
        PaperTemplate {
            method: "saline-paper@1.2.0".into(),
            width_mm,
            height_mm: 130.0,
            baseline_mm: 16.0,
            stop_mm: Some(115.0),
            folds_mm: vec![18.0],
            lanes: vec![TemplateLane {
                number: 1,
                label: "Red 40".into(),
                x_mm: 35.0,
            }],
            demo: true,
        }
    }

    #[test]
    fn a_mm_of_the_drawing_is_a_mm_on_paper() {
        let svg = paper_template(&template(160.0));
        let number = |name: &str| -> f64 {
            let behind = svg.split_once(&format!(" {name}=\"")).unwrap().1;
            behind
                .split_once('"')
                .unwrap()
                .0
                .trim_end_matches("mm")
                .parse()
                .unwrap()
        };
        let view = svg.split_once("viewBox=\"0 0 ").unwrap().1;
        let view_width: f64 = view.split_once(' ').unwrap().0.parse().unwrap();
        // The file's width over its view box is what a unit is in mm.
        assert!((number("width") / view_width - 1.0 / PER_MM).abs() < 1e-9);
        let sheet = svg.split("<rect class=\"sheet\"").nth(1).unwrap();
        let width = sheet
            .split_once(" width=\"")
            .unwrap()
            .1
            .split_once('"')
            .unwrap()
            .0;
        assert_eq!(width, "640");
        assert!(svg.contains("This bar is 100 mm long"));
        let start = svg.split("<line class=\"start\"").collect::<Vec<_>>();
        let bar = start.last().unwrap();
        let end = |name: &str| -> f64 {
            let behind = bar.split_once(&format!(" {name}=\"")).unwrap().1;
            behind.split_once('"').unwrap().0.parse().unwrap()
        };
        assert!((end("x2") - end("x1") - 100.0 * PER_MM).abs() < 1e-9);
    }

    #[test]
    fn a_mm_of_the_pdf_is_a_mm_on_paper() {
        // 1 mm = 72 / 25.4 points, by the definition of inch and point (ISO 32000-1, 8.3.2.3).
        let point = 72.0 / 25.4;
        let file = paper_template_pdf(&template(160.0));
        let file = String::from_utf8_lossy(&file);
        let numbers = |text: &str| -> Vec<f64> {
            let words = text.split_whitespace();
            words.filter_map(|word| word.parse().ok()).collect()
        };
        let page = file.split("/MediaBox [").nth(1).unwrap();
        let page = numbers(page.split(']').next().unwrap());
        // 160 mm of paper with 8 mm at each side; 130 mm with 8 above and 34 below.
        assert!((page[2] - 176.0 * point).abs() < 1e-3, "{page:?}");
        assert!((page[3] - 172.0 * point).abs() < 1e-3, "{page:?}");
        let sheet = file.lines().find(|line| line.ends_with(" re")).unwrap();
        let sheet = numbers(sheet);
        assert!((sheet[2] - 160.0 * point).abs() < 2e-3, "{sheet:?}");
        assert!((sheet[3] - 130.0 * point).abs() < 2e-3, "{sheet:?}");
        // The scale bar: level, below the paper, and ten cm of 28.3465 points each.
        let ends: Vec<&str> = file
            .lines()
            .filter(|line| line.ends_with(" m") || line.ends_with(" l"))
            .collect();
        let below = ends
            .chunks(2)
            .map(|ends| numbers(&ends.join(" ")))
            .filter(|at| at[1] < sheet[1] && (at[1] - at[3]).abs() < 1e-9);
        let lengths: Vec<f64> = below.map(|at| at[2] - at[0]).collect();
        assert_eq!(lengths.len(), 1);
        assert!((lengths[0] - 10.0 * 28.3465).abs() < 2e-3, "{lengths:?}");
        for words in [
            "This bar is 100 mm long",
            "Lies under the paper, not on it",
            "Invented demo data",
            "/PrintScaling /None",
        ] {
            assert!(file.contains(words), "{words}");
        }
        // All that the drawing holds is in the file.
        let (drawing, ..) = template_drawing(&template(160.0));
        let drawn = file
            .lines()
            .filter(|line| [" l", " re", "ET"].iter().any(|end| line.ends_with(end)));
        assert_eq!(drawn.count(), drawing.body.len());
    }

    #[test]
    fn a_small_paper_gets_the_short_bar() {
        let (drawing, width, _) = template_drawing(&template(75.0));
        assert!((width - 110.0).abs() < 1e-9);
        assert!(drawing.inline().contains("This bar is 50 mm long"));
    }
}
