//! Importer `@NAME@`: reads lines such as `P1 2 Red 3.40 8.05` (paper, lane, label, distance and
//! front in cm) below lines such as `group: A`. Make it yours.

use dyebook_plugin::Result;
use dyebook_plugin::importer::table::{Decimals, check_row};
use dyebook_plugin::importer::{
    Confidence, Importer, Output, ProbeRequest, Problem, Reading, Row, Unit, Units,
};

/// The first line of every file.
const FIRST: &str = "@NAME@ 1";

pub struct Mine;

impl Importer for Mine {
    type Config = std::collections::BTreeMap<String, String>;

    fn new(config: Self::Config) -> Result<Self> {
        if config.is_empty() { Ok(Mine) } else { Err("there are no parameters".into()) }
    }

    fn probe(&self, _request: &ProbeRequest, head: &[u8]) -> Confidence {
        let mine = head.starts_with(FIRST.as_bytes());
        Confidence::new(if mine { 0.95 } else { 0.0 }, format!("files of mine begin with `{FIRST}`"))
    }

    fn import(&self, _name: &str, bytes: &[u8], out: &mut Output<'_, '_>) -> Result<()> {
        let text = std::str::from_utf8(bytes).map_err(|error| error.to_string())?;
        let (mut head, mut decimals) = (Row::default(), Decimals::default());
        for (number, line) in (1..).zip(text.lines()) {
            if number == 1 {
                if line.trim() != FIRST {
                    out.problem(Problem::new(format!("the first line is not `{FIRST}`")).in_row(1));
                }
            } else if let Some((field, value)) = line.split_once(": ") {
                match head.field_mut(field) {
                    Some(place) => *place = Some(value.trim().into()),
                    None => out.problem(Problem::new(format!("no field `{field}`")).in_row(number)),
                }
            } else if !line.trim().is_empty() {
                let mut row = head.clone();
                row.row = number;
                let mut words = line.split_whitespace();
                for field in ["paper", "lane", "label", "distance", "front"] {
                    *row.field_mut(field).ok_or("a wrong field")? = words.next().map(Into::into);
                }
                check_row(&mut row, &|field: &str| field.to_owned(), &mut decimals, out);
                out.row(&row)?;
            }
        }
        let decimal = decimals.sign().map(Into::into);
        out.reading(Reading { separator: Some(" ".into()), decimal, encoding: Some("UTF-8".into()) });
        out.units(Units { distance: Unit::Cm, front: Unit::Cm, width: None });
        Ok(())
    }
}

dyebook_plugin::plugin! { id: "@ID@", components: { "@NAME@" => importer Mine } }
dyebook_plugin::export_plugin!(PLUGIN);

#[cfg(test)]
mod tests {
    use super::*;
    use dyebook_plugin::importer::read_without_host;

    #[test]
    fn a_line_becomes_a_row() {
        let text = format!("{FIRST}\ngroup: A\nmethod: kit-paper@1.0.0\nP1 2 Red 3.40 8.05\n");
        let read = read_without_host(&Mine, "a", text.as_bytes()).unwrap();
        assert_eq!(read.rows[0].distance.as_deref(), Some("3.40"));
        assert!(read_without_host(&Mine, "a", b"something else\n").is_err());
    }
}
