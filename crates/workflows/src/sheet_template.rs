//! A blank data sheet for a method version, lanes already labelled.

use crate::failure::{Failure, FailureClass};
use dyebook_documents::{DyeRegister, Method};

const COLUMNS: &[&str] = &[
    "section",
    "group",
    "date",
    "method",
    "batch",
    "paper",
    "role",
    "lane",
    "label",
    "spot",
    "distance_cm",
    "front_cm",
    "colour",
    "depth",
    "shape",
    "width_cm",
    "remark",
    "reported_rf",
    "reported_identity",
];

/// Lanes on a paper where the layout does not say.
const USUAL_LANES: u32 = 5;
/// Rows for each sample lane: a mixture rarely shows more spots.
const ROWS_FOR_A_SAMPLE: u32 = 3;

/// A blank sheet as CSV: papers of dye standards, then one of samples, with remark lines that say
/// how to measure.
///
/// # Errors
/// Only a mistake of this program.
pub fn sheet_template(method: &Method, dyes: &DyeRegister) -> Result<String, Failure> {
    let mut out = String::new();
    for line in instructions(method) {
        out.push_str("# ");
        out.push_str(&line);
        out.push('\n');
    }
    let mut writer = csv::Writer::from_writer(Vec::new());
    let lanes = method
        .layout
        .as_ref()
        .and_then(|l| l.lanes)
        .unwrap_or(USUAL_LANES)
        .max(1);
    let write = |writer: &mut csv::Writer<Vec<u8>>| -> csv::Result<()> {
        writer.write_record(COLUMNS)?;
        let mut paper = 1;
        let mut lane = 0;
        for reference in &method.references {
            if lane == lanes {
                (paper, lane) = (paper + 1, 0);
            }
            lane += 1;
            let label = dyes
                .by_id(&reference.dye)
                .map_or(reference.dye.as_str(), |dye| dye.name.as_str());
            writer.write_record(row(method, paper, "standard", lane, label, 1))?;
        }
        for lane in 1..=lanes {
            for spot in 1..=ROWS_FOR_A_SAMPLE {
                let label = format!("sample {lane}");
                writer.write_record(row(method, paper + 1, "sample", lane, &label, spot))?;
            }
        }
        Ok(())
    };
    let bug = |why: String| Failure::new(FailureClass::Bug, "template.not-writable", why);
    write(&mut writer).map_err(|error| bug(error.to_string()))?;
    let bytes = writer
        .into_inner()
        .map_err(|error| bug(error.to_string()))?;
    out.push_str(&String::from_utf8(bytes).map_err(|error| bug(error.to_string()))?);
    Ok(out)
}

fn instructions(method: &Method) -> Vec<String> {
    use dyebook_documents::Convention;
    let to = match method.measuring.convention {
        Convention::Centre => "the centre of the spot",
        Convention::MaximumIntensity => "the strongest point of the spot",
        Convention::LeadingEdge => "the edge of the spot nearest the front",
    };
    vec![
        format!("Data sheet for {}: {}", method.name(), method.title),
        format!("distance_cm: from the pencil start line, not the paper's edge, to {to}"),
        "front_cm: from the start line to the front above this lane, marked at once".to_owned(),
        "One row a spot. A lane without a visible spot keeps one row with an empty distance."
            .to_owned(),
        "colour: yellow, orange, red, pink, purple, blue, green, brown, black, colourless; leave it \
         empty if you can't judge it"
            .to_owned(),
    ]
}

fn row(method: &Method, paper: u32, role: &str, lane: u32, label: &str, spot: u32) -> Vec<String> {
    COLUMNS
        .iter()
        .map(|column| match *column {
            "method" => method.name(),
            "paper" => paper.to_string(),
            "role" => role.to_owned(),
            "lane" => lane.to_string(),
            "label" => label.to_owned(),
            "spot" => spot.to_string(),
            _ => String::new(),
        })
        .collect()
}
