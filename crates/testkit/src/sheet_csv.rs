//! Data sheets as groups hand them in.

use crate::dialect::Dialect;

/// One row: one spot, or a lane without one.
#[derive(Debug, Clone)]
pub struct SpotRow {
    /// Paper.
    pub paper: String,
    /// `standard`, `sample` or empty.
    pub role: String,
    /// Lane.
    pub lane: u32,
    /// What was written beside the lane.
    pub label: String,
    /// Distance of the spot from the start line, cm.
    pub distance_cm: Option<f64>,
    /// Distance of the front from the start line, cm.
    pub front_cm: f64,
    /// Colour word.
    pub colour: String,
}

/// A data sheet to be written as CSV.
#[derive(Debug, Clone)]
pub struct SheetCsv {
    /// Section.
    pub section: String,
    /// Group.
    pub group: String,
    /// Day.
    pub date: String,
    /// Method reference.
    pub method: String,
    /// Rows.
    pub rows: Vec<SpotRow>,
}

impl SheetCsv {
    /// A sheet without rows, by the bundled method, of a day on which that was in use.
    pub fn empty(group: &str) -> Self {
        Self {
            section: "tue-2".to_owned(),
            group: group.to_owned(),
            date: "2026-09-08".to_owned(),
            method: "harrow-saline@1.0.0".to_owned(),
            rows: Vec::new(),
        }
    }

    /// A clean sheet: a paper of three dye standards and a paper of two samples, each spot where
    /// the bundled method expects it, the fronts of neighbouring lanes a little apart.
    pub fn clean(group: &str) -> Self {
        let (standards, samples) = (format!("{group}-1"), format!("{group}-2"));
        Self::empty(group)
            .spot(&standards, "standard", 1, "Red 40", 3.24, 8.02, "red")
            .spot(&standards, "standard", 2, "Yellow 5", 4.83, 8.05, "yellow")
            .spot(&standards, "standard", 3, "Blue 1", 7.52, 8.08, "blue")
            .spot(&samples, "sample", 1, "green drink", 4.71, 7.91, "yellow")
            .spot(&samples, "sample", 1, "green drink", 7.33, 7.91, "blue")
            .spot(&samples, "sample", 2, "red sweet", 3.21, 7.94, "red")
    }

    /// The same with one spot more.
    #[must_use]
    #[expect(clippy::too_many_arguments, reason = "a row of a sheet reads as a row")]
    pub fn spot(
        mut self,
        paper: &str,
        role: &str,
        lane: u32,
        label: &str,
        distance_cm: f64,
        front_cm: f64,
        colour: &str,
    ) -> Self {
        self.rows.push(SpotRow {
            paper: paper.to_owned(),
            role: role.to_owned(),
            lane,
            label: label.to_owned(),
            distance_cm: Some(distance_cm),
            front_cm,
            colour: colour.to_owned(),
        });
        self
    }

    /// The same dyes on other papers: every front so many hundredths of a centimetre further on,
    /// every spot with it.
    #[must_use]
    pub fn other_readings(mut self, hundredths: u32) -> Self {
        let to_hundredths = |centimetres: f64| (centimetres * 100.0).round() / 100.0;
        for row in &mut self.rows {
            let front = to_hundredths(row.front_cm + f64::from(hundredths) / 100.0);
            row.distance_cm = row
                .distance_cm
                .map(|d| to_hundredths(d * front / row.front_cm));
            row.front_cm = front;
        }
        self
    }

    /// The same by another method reference.
    #[must_use]
    pub fn by_method(mut self, reference: &str) -> Self {
        reference.clone_into(&mut self.method);
        self
    }

    /// The same of another day.
    #[must_use]
    pub fn on(mut self, date: &str) -> Self {
        date.clone_into(&mut self.date);
        self
    }

    /// The file in the plainest dialect.
    pub fn text(&self) -> String {
        self.text_in(Dialect::default())
    }

    /// The bytes of the file in a dialect.
    pub fn bytes_in(&self, dialect: Dialect) -> Vec<u8> {
        dialect.encoding.bytes(&self.text_in(dialect))
    }

    fn text_in(&self, dialect: Dialect) -> String {
        let end = if dialect.crlf { "\r\n" } else { "\n" };
        let mut text = String::new();
        if dialect.remarks {
            text += "# copied from the board, rain all day";
            text += end;
        }
        text += &line(header(dialect), dialect);
        text += end;
        for row in &self.rows {
            text += &line(self.fields(row, dialect), dialect);
            text += end;
            if dialect.remarks {
                text += "# next spot";
                text += end;
            }
        }
        text
    }

    fn fields(&self, row: &SpotRow, dialect: Dialect) -> Vec<String> {
        let length = |centimetres: f64| {
            let text = dialect.unit.text(centimetres);
            match (dialect.decimal_comma, dialect.separator) {
                (false, _) => text,
                (true, ',') => format!("\"{}\"", text.replace('.', ",")),
                (true, _) => text.replace('.', ","),
            }
        };
        vec![
            self.section.clone(),
            self.group.clone(),
            self.date.clone(),
            self.method.clone(),
            row.paper.clone(),
            row.role.clone(),
            row.lane.to_string(),
            row.label.clone(),
            row.distance_cm.map(length).unwrap_or_default(),
            length(row.front_cm),
            row.colour.clone(),
        ]
    }
}

fn line(mut fields: Vec<String>, dialect: Dialect) -> String {
    if dialect.turned_header {
        fields.reverse();
    }
    fields.join(&dialect.separator.to_string())
}

fn header(dialect: Dialect) -> Vec<String> {
    let plain = [
        "section", "group", "date", "method", "paper", "role", "lane", "label",
    ];
    let mut names: Vec<String> = plain.map(str::to_owned).to_vec();
    names.push(dialect.unit.header("distance"));
    names.push(dialect.unit.header("front"));
    names.push("colour".to_owned());
    if dialect.turned_header {
        for name in &mut names {
            *name = name.to_uppercase();
        }
    }
    names
}
