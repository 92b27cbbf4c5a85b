//! A drawing as a PDF of one page at its true size.

use crate::svg::{Drawing, Element, text_width};
use pdf_writer::{Content, Finish, Name, Pdf, Rect, Ref, Str, TextStr};

/// Points in a mm: 72 in an inch of 25.4 mm.
const POINTS_PER_MM: f64 = 72.0 / 25.4;
/// Fonts that every PDF reader brings along, by the name they have on the page.
const FONTS: [(Name<'_>, Name<'_>); 2] = [
    (Name(b"F1"), Name(b"Helvetica")),
    (Name(b"F2"), Name(b"Helvetica-Bold")),
];

/// The drawing as a page of this size in mm, which its view box fills.
///
/// An element that is neither line, rectangle nor text is left out.
pub(crate) fn pdf(drawing: &Drawing, width_mm: f64, height_mm: f64) -> Vec<u8> {
    let [catalog, pages, page, content, information] = [1, 2, 3, 4, 5].map(Ref::new);
    let fonts = FONTS.iter().zip((6..).map(Ref::new));
    let (width, height) = (width_mm * POINTS_PER_MM, height_mm * POINTS_PER_MM);
    let mut pdf = Pdf::new();
    let mut root = pdf.catalog(catalog);
    root.pages(pages).lang(TextStr("en"));
    // A reader that knows this prints at 100 % without being asked.
    root.viewer_preferences()
        .pair(Name(b"PrintScaling"), Name(b"None"));
    root.finish();
    pdf.pages(pages).kids([page]).count(1);
    let mut only = pdf.page(page);
    only.parent(pages).contents(content);
    only.media_box(Rect::new(0.0, 0.0, points(width), points(height)));
    let mut resources = only.resources();
    let mut named = resources.fonts();
    for ((name, _), font) in fonts.clone() {
        named.pair(*name, font);
    }
    named.finish();
    resources.finish();
    only.finish();
    for ((_, base), font) in fonts {
        pdf.type1_font(font)
            .base_font(*base)
            .encoding_predefined(Name(b"WinAnsiEncoding"));
    }
    let mut on_page = OnPage {
        scale: width / drawing.width,
        height,
        content: Content::new(),
    };
    for element in &drawing.body {
        on_page.draw(element);
    }
    pdf.stream(content, &on_page.content.finish());
    pdf.document_info(information)
        .title(TextStr(&drawing.title));
    pdf.finish()
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "a millionth of a page is finer than any printer"
)]
fn points(value: f64) -> f32 {
    value as f32
}

/// The page, drawn from the drawing's units, which run downwards, in points, which run upwards.
struct OnPage {
    scale: f64,
    height: f64,
    content: Content,
}

impl OnPage {
    fn length(&self, value: f64) -> f32 {
        points(value * self.scale)
    }

    fn y(&self, value: f64) -> f32 {
        points(self.height - value * self.scale)
    }

    fn draw(&mut self, element: &Element) {
        let at = |name| element.number(name).unwrap_or_default();
        let class = element.attribute("class").unwrap_or_default();
        match element.name() {
            "line" => {
                self.pen(class);
                let from = (self.length(at("x1")), self.y(at("y1")));
                let to = (self.length(at("x2")), self.y(at("y2")));
                self.content
                    .move_to(from.0, from.1)
                    .line_to(to.0, to.1)
                    .stroke();
            }
            "rect" => {
                self.pen(class);
                let corner = (self.length(at("x")), self.y(at("y") + at("height")));
                let size = (self.length(at("width")), self.length(at("height")));
                self.content
                    .rect(corner.0, corner.1, size.0, size.1)
                    .stroke();
            }
            "text" => self.text(element, class),
            _ => {}
        }
    }

    /// Width and dashes of a line, as `drawing.css` has them for the class.
    fn pen(&mut self, class: &str) {
        let (width, dashes): (f64, &[f64]) = match class {
            "front" => (2.4, &[]),
            "start" => (1.6, &[]),
            "break" => (1.4, &[10.0, 3.0, 2.0, 3.0]),
            "warning" => (1.2, &[7.0, 4.0]),
            "sheet" => (1.2, &[]),
            _ => (1.0, &[]),
        };
        let width = self.length(width);
        let dashes: Vec<f32> = dashes.iter().map(|dash| self.length(*dash)).collect();
        self.content
            .set_line_width(width)
            .set_dash_pattern(dashes, 0.0);
    }

    fn text(&mut self, element: &Element, class: &str) {
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
        let [(plain, _), (strong, _)] = FONTS;
        let size = self.length(size);
        let place = (
            self.length(left),
            self.y(element.number("y").unwrap_or_default()),
        );
        self.content
            .begin_text()
            .set_font(if has("strong") { strong } else { plain }, size)
            .set_horizontal_scaling(squeezed.map_or(100.0, |width| points(100.0 * width / natural)))
            .next_line(place.0, place.1)
            .show(Str(&code_page(text)))
            .end_text();
    }
}

/// A text in the fonts' code page, of which Latin-1 is the larger part. What is not in it becomes a
/// question mark.
fn code_page(text: &str) -> Vec<u8> {
    text.chars()
        .map(|letter| match u32::from(letter) {
            0x20..=0x7e | 0xa0..=0xff => u8::try_from(letter).unwrap_or(b'?'),
            _ => b'?',
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::{code_page, pdf};
    use crate::svg::{Drawing, label, line, rect};

    #[test]
    fn a_line_of_ten_mm_is_a_cm_in_points() {
        // 1 cm = 72 / 2.54 points = 28.3465.
        let drawing = Drawing {
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
        };
        let file = String::from_utf8_lossy(&pdf(&drawing, 100.0, 50.0)).into_owned();
        assert!(file.contains("0 0 m\n28.346"), "{file}");
        assert!(file.contains("/MediaBox [0 0 283.46"), "{file}");
    }

    #[test]
    fn what_the_code_page_lacks_becomes_a_question_mark() {
        assert_eq!(code_page("b µ 漢\n"), b"b \xb5 ??");
    }
}
