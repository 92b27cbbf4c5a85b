//! `reference verify`

use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use dyebook_workflows::{
    DyeVerdict, Failure, Verdict, Verification, VerifyRequest, verify_references,
};
use serde_json::{Value, json};

/// Did a change that should not matter move Rf?
///
/// Another lot of paper or dye, another batch: the 90 % interval of the difference must lie inside
/// ± δ. With few papers nothing is decided, and it is said how many would decide.
#[derive(Debug, clap::Args)]
pub(crate) struct ReferenceVerify {
    /// The version by which the old sheets are read
    #[arg(value_name = "OLD")]
    old: String,
    /// The version by which the new sheets are read; the same for another lot
    #[arg(value_name = "NEW")]
    new: String,
    /// Old sheets [default: all bound to OLD]
    #[arg(long, num_args = 1.., value_name = "SHEET")]
    from_old: Vec<String>,
    /// New sheets [default: all bound to NEW]
    #[arg(long, num_args = 1.., value_name = "SHEET")]
    from_new: Vec<String>,
    /// Lanes that hold the new lot, where both ran side by side on the same papers
    #[arg(long, value_delimiter = ',', value_name = "LANE")]
    new_lanes: Vec<u32>,
    /// The difference in Rf that would matter [default: 0.03, but below half the smallest gap of
    /// like colour]
    #[arg(long, value_name = "RF")]
    delta: Option<f64>,
}

impl ReferenceVerify {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let library = desk.open()?;
        let dyes = library.dye_register()?;
        let found = verify_references(
            &library,
            &dyes,
            VerifyRequest {
                old: &self.old,
                new: &self.new,
                from_old: &self.from_old,
                from_new: &self.from_new,
                new_lanes: &self.new_lanes,
                delta: self.delta,
            },
        )?;
        let passes = found.passes();
        Ok(Outcome::new(answer(&found), text(&found)).needing_person(!passes))
    }
}

fn answer(found: &Verification) -> Value {
    json!({
        "old": found.old.name(),
        "new": found.new.name(),
        "old_sheets": found.old_sheets,
        "new_sheets": found.new_sheets,
        "delta": found.delta,
        "delta_from": found.delta_from,
        "passes": found.passes(),
        "dyes": found.dyes,
        "notes": found.notes,
    })
}

fn text(found: &Verification) -> String {
    let mut page = Page::default();
    page.line(format!(
        "{} against {}: a difference of {:.3} in Rf would matter ({}).",
        found.new.name(),
        found.old.name(),
        found.delta,
        found.delta_from
    ));
    page.gap();
    for dye in &found.dyes {
        page.line(format!("{}: {}", dye.dye, sentence(dye, found.delta)));
    }
    page.gap();
    caveats(&mut page, found);
    for note in &found.notes {
        page.line(note);
    }
    let count = |verdict| {
        found
            .dyes
            .iter()
            .filter(|dye| dye.verdict == verdict)
            .count()
    };
    page.line(if found.passes() {
        "The change does not matter for any of these dyes.".to_owned()
    } else {
        format!(
            "Not verified: {} equivalent, {} different, {} undecided.",
            count(Verdict::Equivalent),
            count(Verdict::Different),
            count(Verdict::Undecided)
        )
    });
    page.text()
}

/// What limits the comparison, each once with the dyes it is about.
fn caveats(page: &mut Page, found: &Verification) {
    let mut said: Vec<&str> = Vec::new();
    for caveat in found
        .dyes
        .iter()
        .filter_map(|dye| dye.compared.caveat.as_deref())
    {
        if said.contains(&caveat) {
            continue;
        }
        said.push(caveat);
        let about: Vec<&str> = found
            .dyes
            .iter()
            .filter(|dye| dye.compared.caveat.as_deref() == Some(caveat))
            .map(|dye| dye.dye.as_str())
            .collect();
        if about.len() == found.dyes.len() {
            page.line(format!("For all dyes: {caveat}."));
        } else {
            page.line(format!("For {}: {caveat}.", about.join(", ")));
        }
    }
}

fn sentence(dye: &DyeVerdict, delta: f64) -> String {
    let compared = &dye.compared;
    let side = |count: usize| {
        if count == 1 {
            format!("1 {}", compared.unit)
        } else {
            plural(count, compared.unit)
        }
    };
    let Some(half_width) = compared.half_width else {
        let more = needed(dye, delta);
        return format!(
            "not decided from {} old and {} new.{more}",
            side(compared.old),
            side(compared.new)
        );
    };
    let interval = format!(
        "new less old {:+.3}, 90 % interval {:+.3} to {:+.3} from {} old and {} new",
        compared.difference,
        compared.difference - half_width,
        compared.difference + half_width,
        side(compared.old),
        side(compared.new)
    );
    match dye.verdict {
        Verdict::Equivalent => {
            format!("{interval}, inside ± {delta:.3}: the change does not matter.")
        }
        Verdict::Different => format!("{interval}, outside ± {delta:.3}: the change matters."),
        Verdict::Undecided => {
            format!(
                "{interval}, across ± {delta:.3}: not decided.{}",
                needed(dye, delta)
            )
        }
    }
}

fn needed(dye: &DyeVerdict, delta: f64) -> String {
    if dye.compared.half_width.is_some() && dye.compared.difference.abs() >= delta {
        return " The difference itself is not below the limit: more papers would rather show that \
                it matters."
            .to_owned();
    }
    match dye.needed {
        Some(count) => format!(
            " About {} would decide, if the difference is what it seems (4 times out of 5).",
            match dye.compared.unit {
                "paper" => format!("{} of each", plural(count, "paper")),
                "session" => format!("{} of each", plural(count, "session")),
                unit => plural(count, unit),
            }
        ),
        None => " No sensible number of papers would decide: the difference itself is about as \
                 large as the limit."
            .to_owned(),
    }
}

/// `4 papers`, `4 papers with both`.
fn plural(count: usize, unit: &str) -> String {
    match unit.split_once(' ') {
        Some((noun, rest)) => format!("{count} {noun}s {rest}"),
        None => format!("{count} {unit}s"),
    }
}
