//! `reference establish`

use crate::commands::method_diff::bump_words;
use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use crate::table::Table;
use dyebook_documents::{Severity, counted};
use dyebook_methods::rules::{Diff, rules};
use dyebook_workflows::{
    EstablishRequest, Established, Estimate, Failure, Pooling, SMALLEST_HALF_WIDTH, SpotPlace,
    WhyLeftOut, establish, more_papers, write_file,
};
use serde_json::{Value, json};
use std::path::{Path, PathBuf};

/// Work out assigned values and expected ranges from the dye standards of data sheets.
///
/// Spots are counted by session, paper and spot. The draft of the method's next version that comes
/// of it is kept in the library and put into use like any other, with `method approve`.
#[derive(Debug, clap::Args)]
pub(crate) struct ReferenceEstablish {
    /// The method version to start from
    #[arg(value_name = "REF")]
    method: String,
    /// The sheets: an id, the beginning of one, or `beginning*` for all that begin so
    #[arg(long, required = true, num_args = 1.., value_name = "SHEET")]
    from: Vec<String>,
    /// A spot that does not count, SHEET:PAPER:LANE:SPOT; kept for ever with the reason
    #[arg(long, num_args = 1.., value_name = "SPOT", requires = "reason")]
    exclude: Vec<SpotPlace>,
    /// Why the excluded spots don't count
    #[arg(long, value_name = "TEXT")]
    reason: Option<String>,
    /// Which dyes take the spread pooled over all dyes: those with few sessions, all, or none
    #[arg(long, value_enum, default_value_t = Pool::Few)]
    pool: Pool,
    /// Also write the draft into a file
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
}

#[derive(Debug, Clone, Copy, clap::ValueEnum)]
enum Pool {
    Few,
    All,
    None,
}

impl ReferenceEstablish {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let mut library = desk.open()?;
        let dyes = library.dye_register()?;
        let request = EstablishRequest {
            method: &self.method,
            sheets: &self.from,
            exclude: &self.exclude,
            reason: self.reason.as_deref(),
            pooling: match self.pool {
                Pool::Few => Pooling::Few,
                Pool::All => Pooling::All,
                Pool::None => Pooling::None,
            },
        };
        let found = establish(&mut library, &dyes, request, &desk.stamp())?;
        if let Some(out) = &self.out {
            write_file(out, format!("{:#}\n", found.draft.document))?;
        }
        let mut json = answer(&found);
        json["out"] = json!(self.out);
        Ok(Outcome::new(json, text(&found, self.out.as_deref())))
    }
}

fn answer(found: &Established) -> Value {
    let more: Vec<Value> = found
        .estimates
        .iter()
        .map(|estimate| json!({ "dye": estimate.runs.dye, "designs": more_papers(estimate) }))
        .collect();
    let excluded: Vec<Value> = found
        .left_out
        .iter()
        .map(|spot| {
            json!({
                "sheet": spot.place.sheet, "paper": spot.place.paper, "lane": spot.place.lane,
                "spot": spot.place.spot, "dye": spot.dye, "rf": spot.rf, "kind": spot.kind,
                "why": spot.why,
            })
        })
        .collect();
    let not_estimated: Vec<Value> = found
        .not_estimated
        .iter()
        .map(|(dye, why)| json!({ "dye": dye, "why": why }))
        .collect();
    let provisional: Vec<&str> = found
        .estimates
        .iter()
        .filter(|estimate| found.is_provisional(estimate))
        .map(|estimate| estimate.runs.dye.as_str())
        .collect();
    json!({
        "method": found.base.name(),
        "draft": {
            "id": found.draft.id, "version": found.draft.version, "digest": found.draft.digest,
        },
        "state": found.draft.state,
        "new": found.new,
        "references": found.references(),
        "excluded": excluded,
        "flags": found.flags,
        "provisional": provisional,
        "minimum": found.minimum,
        "not_run": found.not_run,
        "not_estimated": not_estimated,
        "more_papers": more,
        "diff": found.diff,
        "findings": found.findings,
        "notes": found.notes,
    })
}

fn text(found: &Established, out: Option<&Path>) -> String {
    let mut page = Page::default();
    page.line(format!(
        "References of {} from {} of {}",
        counted(found.estimates.len(), "dye"),
        counted(found.sheets.len(), "sheet"),
        found.base.name()
    ));
    page.gap();
    page.table(&values(found));
    page.gap();
    how(&mut page, found);
    left_out(&mut page, found);
    flags(&mut page, found);
    three_more(&mut page, found);
    draft(&mut page, found);
    if let Some(out) = out {
        page.line(format!("The draft is in {}, too.", out.display()));
    }
    page.text()
}

fn values(found: &Established) -> Table {
    let mut table = Table::new([
        "dye", "assigned", "expected", "SD paper", "papers", "sessions", "df", "counts", "standing",
    ]);
    for estimate in &found.estimates {
        let sd = |value: Option<f64>| value.map_or_else(|| "-".to_owned(), |sd| format!("{sd:.3}"));
        let count = estimate.count();
        let number = |count: Option<u32>| count.unwrap_or_default();
        table.row([
            estimate.runs.dye.clone(),
            format!("{:.3} ± {:.3}", estimate.assigned, estimate.u),
            format!(
                "{:.3} to {:.3}",
                estimate.expected.low, estimate.expected.high
            ),
            sd(estimate.sd.within_paper),
            sd(estimate.sd.between_papers),
            sd(estimate.sd.between_sessions),
            estimate
                .df
                .map_or_else(|| "-".to_owned(), |df| format!("{df:.1}")),
            format!(
                "{}, {}, {}",
                counted(number(count.sessions), "session"),
                counted(number(count.papers), "paper"),
                counted(number(count.spots), "spot")
            ),
            standing(found, estimate),
        ]);
    }
    table
}

fn standing(found: &Established, estimate: &Estimate) -> String {
    let mut words = Vec::new();
    if found.is_provisional(estimate) {
        words.push("provisional");
    }
    if estimate.pooled_over.is_some() {
        words.push("pooled spread");
    }
    if estimate.at_floor() {
        words.push("at the floor");
    }
    if estimate.is_cut() {
        words.push("cut where no spot can lie");
    }
    if words.is_empty() {
        "meets the minimum".to_owned()
    } else {
        words.join(", ")
    }
}

fn how(page: &mut Page, found: &Established) {
    page.line(
        "assigned: mean of the session means ± its standard uncertainty. expected: 95 % for one \
         spot in a new session.",
    );
    page.line("SD paper, papers, sessions: within a paper, between papers, between sessions.");
    page.line(format!(
        "The minimum is {} papers over {} sessions ({}); below it a range is provisional. No range \
         is narrower than ± {SMALLEST_HALF_WIDTH}, where reading the ruler decides.",
        found.minimum.papers,
        found.minimum.sessions,
        if found.minimum_stated {
            "the method's own"
        } else {
            "the usual one; the method states none"
        }
    ));
    if let Some([sessions, papers]) = found.shared {
        page.line(format!(
            "Pooled spread: it is taken from all dyes of these runs together; a dye stands alone from \
             {} sessions on, unless --pool says otherwise.",
            Pooling::ENOUGH_SESSIONS
        ));
        page.line(if sessions < 1.0 {
            format!(
                "The dyes move together by {sessions:.2} from session to session and {papers:.2} \
                 from paper to paper (squared correlation), so their degrees of freedom don't simply \
                 add up."
            )
        } else {
            "The dyes are taken to move fully together from session to session, as too few common \
             sessions tell how far they do; so pooling adds no degrees of freedom there."
                .to_owned()
        });
    }
    for estimate in &found.estimates {
        if !estimate.set_to_zero.is_empty() {
            page.line(format!(
                "{}: the variance {} came out below 0 and was set to 0.",
                estimate.runs.dye,
                estimate.set_to_zero.join(" and ")
            ));
        }
    }
    page.gap();
    page.line("Colours seen:");
    for estimate in &found.estimates {
        let seen: Vec<String> = estimate
            .runs
            .colours()
            .into_iter()
            .map(|(word, count)| format!("{word} {count}"))
            .collect();
        page.line(format!("  {}: {}", estimate.runs.dye, seen.join(", ")));
    }
    for (dye, why) in &found.not_estimated {
        page.line(format!("{dye} gets no range: {why}."));
    }
    if !found.not_run.is_empty() {
        page.line(format!(
            "Not run, so as they were: {}.",
            found.not_run.join(", ")
        ));
    }
}

fn left_out(page: &mut Page, found: &Established) {
    page.gap();
    if found.left_out.is_empty() {
        page.line("No spot of a dye standard was left out.");
        return;
    }
    page.line("Left out of the values:");
    for spot in &found.left_out {
        let rf = spot
            .rf
            .map_or_else(|| "no Rf".to_owned(), |rf| format!("Rf {rf:.3}"));
        let who = if spot.kind == WhyLeftOut::Excluded {
            "excluded by a person: "
        } else {
            ""
        };
        page.line(format!(
            "  {}, {}, {rf}: {who}{}",
            spot.dye, spot.place, spot.why
        ));
    }
}

fn flags(page: &mut Page, found: &Established) {
    page.gap();
    if found.flags.is_empty() {
        page.line("Nothing stands apart from the other runs.");
        return;
    }
    page.line("These stand apart and do count; look for a cause before leaving anything out:");
    for flag in &found.flags {
        page.line(format!(
            "  {}: {} ({} {:.2}, limit {:.2})",
            flag.dye, flag.what, flag.test, flag.value, flag.limit
        ));
        page.line(format!(
            "    to leave out: --exclude {} --reason \"…\"",
            flag.spots.join(" ")
        ));
    }
}

fn three_more(page: &mut Page, found: &Established) {
    let mut table = Table::new([
        "dye",
        "half-width now",
        "in the same sessions",
        "in 1 new session",
        "in 3 new sessions",
    ]);
    for estimate in &found.estimates {
        let planned = more_papers(estimate);
        let at = |index: usize| {
            planned.get(index).map_or_else(
                || "-".to_owned(),
                |planned| format!("± {:.3}", planned.half_width),
            )
        };
        table.row([
            estimate.runs.dye.clone(),
            format!("± {:.3}", estimate.half_width()),
            at(0),
            at(1),
            at(2),
        ]);
    }
    page.gap();
    page.line("What three more papers would buy, if the spots go on scattering as they did:");
    page.table(&table);
}

fn draft(page: &mut Page, found: &Established) {
    page.gap();
    let name = found.draft.name();
    page.line(format!(
        "{name} is {}; against {} the changes need {}.",
        if found.new {
            "kept as a draft"
        } else {
            "there already, just so"
        },
        found.diff.from,
        bump_words(found.diff.required.word())
    ));
    by_rule(page, &found.diff);
    for note in &found.notes {
        page.line(note);
    }
    for finding in found
        .findings
        .iter()
        .filter(|f| f.severity != Severity::Info)
    {
        page.line(format!(
            "  {} {}: {} [{}]",
            finding.severity.word(),
            finding.path,
            finding.message,
            finding.lint
        ));
    }
    page.line(format!("next: dyebook reference show {name}"));
    page.line(format!(
        "      dyebook method approve {name} --reason \"…\""
    ));
}

/// The changes by rule; one by one they are the matter of `method diff`.
fn by_rule(page: &mut Page, diff: &Diff) {
    let mut rules: Vec<(&str, &str, usize)> = Vec::new();
    for change in &diff.changes {
        match rules.iter_mut().find(|(rule, ..)| *rule == change.rule) {
            Some((.., count)) => *count += 1,
            None => rules.push((&change.rule, change.bump.word(), 1)),
        }
    }
    for (rule, bump, count) in rules {
        let places = counted(count, "place");
        page.line(format!("  {bump:5}  {} in {places} ({rule})", title(rule)));
    }
    page.line(format!(
        "  each change: dyebook method diff {} {}",
        diff.from, diff.to
    ));
}

fn title(id: &str) -> &'static str {
    rules()
        .iter()
        .find(|rule| rule.id == id)
        .map_or("a change", |rule| rule.title.as_str())
}
