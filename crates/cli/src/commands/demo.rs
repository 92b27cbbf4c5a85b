//! `demo`

use super::method_diff::bump_words;
use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use crate::words::tally;
use dyebook_documents::{Decision, Severity};
use dyebook_methods::composition::digits;
use dyebook_workflows::{
    Chapter, Demo as Played, Failure, play_demo, shelf_life, volume_words, with_dye_names,
};
use serde_json::json;
use std::path::PathBuf;

/// The whole job on invented data.
#[derive(Debug, clap::Args)]
pub(crate) struct Demo {
    /// A folder that does not exist yet or is empty [default: dyebook-demo, dyebook-demo-2, …]
    dir: Option<PathBuf>,
}

impl Demo {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let directory = self.dir.unwrap_or_else(fresh_folder);
        let played = play_demo(&directory, &desk.plugins(), &desk.stamp())?;
        let identifications = [&played.first, &played.minor, &played.switch]
            .iter()
            .map(|chapter| chapter.identifications.len())
            .sum::<usize>();
        let files: Vec<_> = std::iter::once((&played.library, "reference library"))
            .chain(played.sheets.iter().map(|path| (path, "handed in")))
            .chain(
                played
                    .pages
                    .iter()
                    .map(|path| (path, "for the change of solvent")),
            )
            .chain(played.reports.iter().map(|path| (path, "report")))
            .map(|(path, what)| json!({ "path": path, "what": what }))
            .collect();
        let json = json!({
            "directory": played.directory,
            "library": played.library,
            "files": files,
            "sheets": played.reports.len(),
            "identifications": identifications,
            "report": played.reports.first(),
            "try_next": try_next(&played),
        });
        Ok(Outcome::new(json, story(&played)))
    }
}

/// `dyebook-demo`, or the first free one with a number.
fn fresh_folder() -> PathBuf {
    let mut folder = PathBuf::from("dyebook-demo");
    let mut number = 1u32;
    while folder.exists() {
        number += 1;
        folder = PathBuf::from(format!("dyebook-demo-{number}"));
    }
    folder
}

fn try_next(played: &Played) -> Vec<String> {
    let library = played.library.display();
    let sheet = played
        .first
        .import
        .sheets
        .get(1)
        .map(|s| s.id.clone())
        .unwrap_or_default();
    vec![
        format!("dyebook --library {library} sheet list"),
        format!("dyebook --library {library} sheet show {sheet}"),
        format!("dyebook --library {library} identify {sheet}"),
        format!("dyebook --library {library} method diff harrow-saline@1.0.0 harrow-saline@1.1.0"),
        format!(
            "dyebook --library {library} solvent compare harrow-saline@1.1.0 harrow-citrate@1.0.0"
        ),
        format!("dyebook --library {library} history"),
    ]
}

fn story(played: &Played) -> String {
    let mut page = Page::default();
    page.line(
        "INVENTED DATA: Harrowmere Upper School is no real place, and no value was measured.",
    );
    page.gap();
    page.line("1  A reference library, and the first method version in use");
    chapter(&mut page, &played.first);
    page.gap();
    page.line("2  In October a version with one dye more");
    chapter(&mut page, &played.minor);
    page.gap();
    page.line("3  In week 6 of the term, in October, another developing solvent");
    switch(&mut page, played);
    chapter(&mut page, &played.switch);
    page.line("   A September sheet held against the new references is refused:");
    page.line(format!("     {}", played.across.message));
    page.gap();
    page.line(format!(
        "4  What {} sample lanes really hold is recorded ({} new)",
        played.truth.lanes, played.truth.new
    ));
    page.gap();
    page.line("What is where");
    page.line(format!("   library  {}", played.library.display()));
    page.line(format!(
        "   sheets   {}",
        played.directory.join("sheets").display()
    ));
    for change in &played.pages {
        page.line(format!("   change   {}", change.display()));
    }
    for report in &played.reports {
        page.line(format!("   report   {}", report.display()));
    }
    page.gap();
    page.line("Try next");
    for command in try_next(played) {
        page.line(format!("   {command}"));
    }
    page.text()
}

/// What the change took, before it happened.
fn switch(page: &mut Page, played: &Played) {
    let planned = &played.planned;
    for solvent in &planned.compared.comparison.solvents {
        let worst = solvent
            .critical_pair_like_coloured
            .as_ref()
            .unwrap_or(&solvent.critical_pair);
        page.line(format!(
            "   {}: {}",
            solvent.method,
            with_dye_names(&worst.sentence, &played.dyes)
        ));
    }
    let plan = &planned.switch.plan;
    let lost: Vec<&str> = plan.invalid.iter().map(|lost| lost.what).collect();
    page.line(format!("   no longer valid: {}", lost.join(", ")));
    let untold = plan
        .mixtures
        .iter()
        .filter(|mixture| mixture.told_now != Some(true));
    let untold: Vec<String> = untold.map(|mixture| mixture.dyes.join(" + ")).collect();
    page.line(format!(
        "   mixtures to replace: {}",
        with_dye_names(&untold.join(", "), &played.dyes)
    ));
    page.line(format!(
        "   to do before: {} items",
        planned.switch.open_items()
    ));
    let recipe = &planned.recipe.answer.recipe;
    let record = &planned.recipe.answer.batch_record;
    let amounts: Vec<String> = record
        .lines
        .iter()
        .map(|line| format!("{} {} of {}", digits(line.planned), line.unit, line.from))
        .collect();
    page.line(format!(
        "   {} of it: {}, in water; it may be used {}",
        volume_words(recipe.volume_ml),
        amounts.join(", "),
        shelf_life(recipe)
    ));
}

fn chapter(page: &mut Page, chapter: &Chapter) {
    let step = chapter
        .approval
        .diff
        .as_ref()
        .map_or_else(String::new, |diff| {
            format!(
                "; against {} the changes need {}",
                diff.from,
                bump_words(diff.required.word())
            )
        });
    page.line(format!(
        "   approved {}{step}",
        chapter.approval.method.name()
    ));
    for (sheet, found) in chapter.import.sheets.iter().zip(&chapter.identifications) {
        page.line(format!(
            "   {}  {} spots: {}",
            sheet.id,
            sheet.spots,
            tally(&sheet.checks)
        ));
        for check in sheet
            .checks
            .iter()
            .filter(|check| check.severity >= Severity::Ask)
        {
            page.line(format!(
                "     {:4}  {}: {}",
                check.severity.word(),
                check.place.words(),
                check.message
            ));
        }
        let spots = found.lanes.iter().flat_map(|lane| &lane.spots);
        let counted = |decision| {
            spots
                .clone()
                .filter(|spot| spot.decision == decision)
                .count()
        };
        let parts: Vec<String> = [
            Decision::Identified,
            Decision::Indistinguishable,
            Decision::NotInReferenceSet,
            Decision::NotEvaluable,
        ]
        .into_iter()
        .map(|decision| (counted(decision), decision.words()))
        .filter(|(count, _)| *count > 0)
        .map(|(count, words)| format!("{count} {words}"))
        .collect();
        page.line(format!("     spots: {}", parts.join(", ")));
    }
}
