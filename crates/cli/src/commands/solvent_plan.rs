//! `solvent plan`

use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use crate::table::Table;
use dyebook_documents::DyeRegister;
use dyebook_methods::solvents::{SwitchPlan, SwitchQuestion};
use dyebook_workflows::{
    Failure, SolventSwitch, mixture_of, plan_solvent_switch, set_switch_item, switch_notice,
    with_dye_names, write_file,
};
use jiff::civil::Date;
use std::path::PathBuf;

/// What a change of the developing solvent takes, as a checklist.
#[derive(Debug, clap::Args)]
pub(crate) struct SolventPlan {
    /// The version that ends
    #[arg(value_name = "OLD")]
    old: String,
    /// The version that begins
    #[arg(value_name = "NEW")]
    new: String,
    /// Day on which the new version begins
    #[arg(long, value_name = "DATE")]
    from_day: Option<Date>,
    /// A section that changes, for the notice
    #[arg(long = "section", value_name = "NAME")]
    sections: Vec<String>,
    /// A mixture in use: names of dyes joined by + [default: those recorded with `sheet truth`]
    #[arg(long = "mixture", value_name = "DYE+DYE")]
    mixtures: Vec<String>,
    /// A batch of the old solvent in store [default: those that sheets name]
    #[arg(long = "batch", value_name = "CODE")]
    batches: Vec<String>,
    /// Half-width of an expected range that is wanted
    #[arg(long, value_name = "RF", default_value_t = SwitchQuestion::default().wanted_half_width)]
    half_width: f64,
    /// Write the notice for the sections with the table for the hand-out
    #[arg(long, value_name = "FILE")]
    html: Option<PathBuf>,
    /// Tick an item off
    #[arg(long, value_name = "ITEM", requires = "note", group = "tick")]
    done: Option<String>,
    /// Drop an item
    #[arg(long, value_name = "ITEM", requires = "note", group = "tick")]
    dropped: Option<String>,
    /// Open an item again
    #[arg(long, value_name = "ITEM", requires = "note", group = "tick")]
    open: Option<String>,
    /// What was done, or why; kept in the history
    #[arg(long, value_name = "TEXT", requires = "tick")]
    note: Option<String>,
}

impl SolventPlan {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let mut library = desk.open()?;
        let dyes = library.dye_register()?;
        let question = SwitchQuestion {
            from_day: self.from_day,
            sections: self.sections,
            mixtures: self
                .mixtures
                .iter()
                .map(|text| mixture_of(text, &dyes))
                .collect::<Result<_, _>>()?,
            batches: self.batches,
            wanted_half_width: self.half_width,
            ..SwitchQuestion::default()
        };
        let mut switch = plan_solvent_switch(&library, &dyes, &self.old, &self.new, question)?;
        let ticked = [
            ("done", &self.done),
            ("dropped", &self.dropped),
            ("open", &self.open),
        ];
        for (state, item) in ticked {
            if let (Some(item), Some(note)) = (item, &self.note) {
                set_switch_item(&mut library, &mut switch, item, state, note, &desk.stamp())?;
            }
        }
        let mut page = Page::default();
        plan_text(&mut page, &switch, &dyes);
        if let Some(file) = &self.html {
            write_file(file, switch_notice(&switch, &dyes, &desk.stamp()))?;
            page.line(format!("notice and hand-out in {}", file.display()));
        }
        let mut answer = switch.answer();
        answer["page"] = serde_json::json!(self.html);
        Ok(Outcome::new(answer, page.text()))
    }
}

fn plan_text(page: &mut Page, switch: &SolventSwitch, dyes: &DyeRegister) {
    let plan = &switch.plan;
    page.line(format!(
        "From {} to {} ({}, content {}): {}",
        plan.from,
        plan.to,
        switch.to_state,
        switch.to_digest.short(),
        if plan.comparable {
            "Rf values of the two stay comparable"
        } else {
            "Rf values of the two can't be compared"
        }
    ));
    page.gap();
    page.line("No longer valid:");
    for lost in &plan.invalid {
        page.line(format!(
            "  {}: {} ({})",
            lost.what,
            lost.why,
            lost.rules.join(", ")
        ));
    }
    if plan.invalid.is_empty() {
        page.line("  nothing");
    }
    page.gap();
    page.line("Stays:");
    for stays in &plan.stays {
        page.line(format!("  {stays}"));
    }
    runs_and_mixtures(page, plan, dyes);
    page.gap();
    page.line(format!(
        "To do ({} of {} open); tick off with --done ITEM --note TEXT:",
        switch.open_items(),
        switch.items.len()
    ));
    let mut table = Table::new(["  state", "item", "who", "what"]);
    for item in &switch.items {
        let note = item
            .note
            .as_ref()
            .map_or_else(String::new, |note| format!(" ({note})"));
        table.row([
            format!("  {}", item.state),
            item.id.clone(),
            item.who.clone(),
            format!("{}{note}", with_dye_names(&item.what, dyes)),
        ]);
    }
    page.table(&table);
    page.gap();
    for paragraph in &plan.notice.paragraphs {
        page.line(with_dye_names(paragraph, dyes));
    }
}

fn runs_and_mixtures(page: &mut Page, plan: &SwitchPlan, dyes: &DyeRegister) {
    page.gap();
    page.line("To run:");
    for dye in &plan.runs.dyes {
        page.line(format!(
            "  {}",
            with_dye_names(&format!("{}: {}", dye.dye, dye.why), dyes)
        ));
    }
    for sentence in &plan.runs.sentences {
        page.line(format!("  {sentence}"));
    }
    page.gap();
    page.line("Unknown mixtures in use:");
    for mixture in &plan.mixtures {
        let verdict = match mixture.told_now {
            Some(true) => "can be told under the new version".to_owned(),
            Some(false) => format!("can NOT be told any more: {}", mixture.why.join("; ")),
            None => format!("not known: {}", mixture.why.join("; ")),
        };
        let line = format!("{}: {verdict}", mixture.dyes.join(" + "));
        page.line(format!("  {}", with_dye_names(&line, dyes)));
    }
    if plan.mixtures.is_empty() {
        page.line("  none is recorded; name them with --mixture DYE+DYE");
    }
    if !plan.quarantine.is_empty() {
        page.gap();
        page.line(format!(
            "Put aside what is left of batch {}.",
            plan.quarantine.join(", ")
        ));
    }
    page.gap();
    page.line("Approvals to get:");
    for approval in &plan.approvals {
        page.line(format!("  {} from the {}", approval.what, approval.role));
    }
}
