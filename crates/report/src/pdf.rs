//! A drawing as a PDF of one page at its true size.
//!
//! Lines, rectangles and text in one of the fonts that every PDF reader brings along: what a
//! template for paper needs, so no library is taken in. The file is plain ASCII.
//!
//! Source of the format: ISO 32000-1 (PDF 1.7), 7.5 file structure, 8.4 and 8.5 graphics, 9.3 and
//! 9.4 text, 12.2 viewer preferences.

use crate::svg::{Drawing, Element, text_width};
use std::fmt::Write as _;

/// Points in a mm: 72 in an inch of 25.4 mm.
const POINTS_PER_MM: f64 = 72.0 / 25.4;

/// The drawing as a page of this size in mm, which its view box fills.
///
/// An element that is neither line, rectangle nor text is left out.
pub(crate) fn pdf(drawing: &Drawing, width_mm: f64, height_mm: f64) -> String {
    let (width, height) = (width_mm * POINTS_PER_MM, height_mm * POINTS_PER_MM);
    let page = Page {
        points: width / drawing.width,
        height,
    };
    let mut content = String::new();
    for element in &drawing.body {
        page.draw(element, &mut content);
    }
    let font = |name: &str| {
        format!("<< /Type /Font /Subtype /Type1 /BaseFont /{name} /Encoding /WinAnsiEncoding >>")
    };
    file(&[
        // A reader that knows this prints at 100 % without being asked.
        "<< /Type /Catalog /Pages 2 0 R /Lang (en) /ViewerPreferences << /PrintScaling /None >> >>"
            .to_owned(),
        "<< /Type /Pages /Kids [3 0 R] /Count 1 >>".to_owned(),
        format!(
            "<< /Type /Page /Parent 2 0 R /MediaBox [0 0 {width:.4} {height:.4}] /Contents 4 0 R \
             /Resources << /Font << /F1 5 0 R /F2 6 0 R >> >> >>"
        ),
        format!(
            "<< /Length {} >>\nstream\n{content}endstream",
            content.len()
        ),
        font("Helvetica"),
        font("Helvetica-Bold"),
        format!("<< /Title {} >>", string(&drawing.title)),
    ])
}

/// Objects numbered from 1, the first the catalogue and the last the information about the file.
fn file(objects: &[String]) -> String {
    let mut out = "%PDF-1.7\n".to_owned();
    let mut table = String::new();
    for (number, object) in (1..).zip(objects) {
        // Writing into a string can't fail.
        let _ = writeln!(table, "{:010} 00000 n ", out.len());
        let _ = write!(out, "{number} 0 obj\n{object}\nendobj\n");
    }
    let (start, count) = (out.len(), objects.len());
    let _ = write!(
        out,
        "xref\n0 {}\n0000000000 65535 f \n{table}trailer\n<< /Size {} /Root 1 0 R /Info {count} 0 R >>\n\
         startxref\n{start}\n%%EOF\n",
        count + 1,
        count + 1
    );
    out
}

/// From the drawing's units, downwards, to points, upwards.
struct Page {
    points: f64,
    height: f64,
}

impl Page {
    fn x(&self, value: f64) -> f64 {
        value * self.points
    }

    fn y(&self, value: f64) -> f64 {
        self.height - value * self.points
    }

    fn draw(&self, element: &Element, out: &mut String) {
        let at = |name| element.number(name).unwrap_or_default();
        let class = element.attribute("class").unwrap_or_default();
        let _ = match element.name() {
            "line" => writeln!(
                out,
                "{}{:.3} {:.3} m {:.3} {:.3} l S",
                self.pen(class),
                self.x(at("x1")),
                self.y(at("y1")),
                self.x(at("x2")),
                self.y(at("y2"))
            ),
            "rect" => writeln!(
                out,
                "{}{:.3} {:.3} {:.3} {:.3} re S",
                self.pen(class),
                self.x(at("x")),
                self.y(at("y") + at("height")),
                self.x(at("width")),
                self.x(at("height"))
            ),
            "text" => self.text(element, class, out),
            _ => Ok(()),
        };
    }

    /// Width and dashes of a line, as `drawing.css` has them for the class.
    fn pen(&self, class: &str) -> String {
        let (width, dashes): (f64, &[f64]) = match class {
            "front" => (2.4, &[]),
            "start" => (1.6, &[]),
            "break" => (1.4, &[10.0, 3.0, 2.0, 3.0]),
            "warning" => (1.2, &[7.0, 4.0]),
            "sheet" => (1.2, &[]),
            _ => (1.0, &[]),
        };
        let dashes: Vec<String> = dashes
            .iter()
            .map(|dash| format!("{:.3}", self.x(*dash)))
            .collect();
        format!("{:.3} w [{}] 0 d ", self.x(width), dashes.join(" "))
    }

    fn text(&self, element: &Element, class: &str, out: &mut String) -> std::fmt::Result {
        let has = |word| class.split(' ').any(|one| one == word);
        let size = if has("small") { 12.0 } else { 13.0 };
        let text = element.plain_text();
        let natural = text_width(text, size);
        let squeezed = element.number("textLength");
        let width = squeezed.unwrap_or(natural);
        let x = element.number("x").unwrap_or_default();
        let left = if has("mid") {
            x - width / 2.0
        } else if has("end") {
            x - width
        } else {
            x
        };
        writeln!(
            out,
            "BT /{} {:.3} Tf {:.1} Tz {:.3} {:.3} Td {} Tj ET",
            if has("strong") { "F2" } else { "F1" },
            self.x(size),
            squeezed.map_or(100.0, |width| 100.0 * width / natural),
            self.x(left),
            self.y(element.number("y").unwrap_or_default()),
            string(text)
        )
    }
}

/// A text string. What is not in the font's code page, of which Latin-1 is the larger part, becomes
/// a question mark.
fn string(text: &str) -> String {
    let mut out = "(".to_owned();
    for letter in text.chars() {
        let _ = match (letter, u32::from(letter)) {
            ('(' | ')' | '\\', _) => write!(out, "\\{letter}"),
            (_, 0x20..=0x7e) => write!(out, "{letter}"),
            (_, code @ 0xa0..=0xff) => write!(out, "\\{code:03o}"),
            _ => write!(out, "?"),
        };
    }
    out.push(')');
    out
}

#[cfg(test)]
mod tests {
    use super::{pdf, string};
    use crate::svg::{Drawing, label, line, rect};

    fn drawing() -> Drawing {
        Drawing {
            id: "x".into(),
            title: "A (small) page".into(),
            description: String::new(),
            width: 400.0,
            height: 200.0,
            body: vec![
                line("start", (0.0, 200.0), (40.0, 200.0)),
                rect("sheet", (4.0, 8.0), 100.0, 50.0),
                label("mid strong", (50.0, 20.0), "1"),
            ],
        }
    }

    #[test]
    fn every_offset_of_the_table_leads_to_its_object() {
        // ISO 32000-1, 7.5.4: ten digits, the byte at which `N 0 obj` begins.
        let file = pdf(&drawing(), 100.0, 50.0);
        let start = file.rsplit("startxref\n").next().unwrap();
        let start: usize = start.lines().next().unwrap().parse().unwrap();
        assert!(file[start..].starts_with("xref\n0 8\n"));
        for (number, entry) in file[start..].lines().skip(3).take(7).enumerate() {
            assert_eq!(entry.len(), 19, "{entry:?} and a line end are 20 bytes");
            let offset: usize = entry[..10].parse().unwrap();
            let object = format!("{} 0 obj\n", number + 1);
            assert!(file[offset..].starts_with(&object), "{object}");
        }
        let stream = file.split("stream\n").nth(1).unwrap();
        let stream = stream.strip_suffix("end").unwrap();
        assert!(file.contains(&format!("/Length {} ", stream.len())));
    }

    #[test]
    fn a_line_of_ten_mm_is_a_cm_in_points() {
        // 1 cm = 72 / 2.54 points = 28.3465.
        let file = pdf(&drawing(), 100.0, 50.0);
        assert!(file.contains("0.000 0.000 m 28.346 0.000 l S"), "{file}");
        assert!(file.contains("/MediaBox [0 0 283.4646 141.7323]"));
    }

    #[test]
    fn a_text_can_not_end_its_string() {
        assert_eq!(string("a) \\ (b µ 漢"), "(a\\) \\\\ \\(b \\265 ?)");
        assert!(pdf(&drawing(), 100.0, 50.0).is_ascii());
    }
}
