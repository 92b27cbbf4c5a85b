//! The commands, one file each. A new command is its file, one line in each of the two lists here,
//! and a session in `tests/cli/`.

mod completions;
mod demo;
mod dye_add;
mod dye_list;
mod dye_show;
mod history;
mod identify;
mod layout;
mod library_backup;
mod library_export;
mod library_import;
mod library_init;
mod library_restore;
mod library_status;
mod library_verify;
mod lot_impact;
mod lot_list;
mod lot_verify;
mod man_pages;
mod method_add;
mod method_approve;
mod method_check;
mod method_diff;
mod method_history;
mod method_list;
mod method_show;
mod method_withdraw;
mod plugin_approve;
mod plugin_inspect;
mod plugin_list;
mod plugin_new;
mod plugin_revoke;
mod plugin_seal;
mod plugin_test;
mod reference_chart;
mod reference_establish;
mod reference_show;
mod reference_verify;
mod report;
mod report_class;
mod sheet_amend;
mod sheet_claims;
mod sheet_exclude;
mod sheet_import;
mod sheet_list;
mod sheet_show;
mod sheet_template;
mod sheet_truth;
mod solvent_compare;
mod solvent_plan;
mod solvent_predict;
mod solvent_recipe;
mod strategy_compare;
mod strategy_list;
mod suitability;
mod term_plan;
pub(crate) mod worker;

use crate::desk::Desk;
use crate::outcome::Outcome;
use clap::Subcommand;
use dyebook_workflows::Failure;

/// Everything that can be asked.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// The whole job on invented data, in a fresh folder
    Demo(demo::Demo),
    /// Make, look after and move the reference library
    #[command(subcommand)]
    Library(LibraryCommand),
    /// Food dyes and the names they go by
    #[command(subcommand)]
    Dye(DyeCommand),
    /// Versioned methods with their expected values
    #[command(subcommand)]
    Method(MethodCommand),
    /// Data sheets that groups hand in
    #[command(subcommand)]
    Sheet(SheetCommand),
    /// Developing solvents: compared, predicted, planned, made up
    #[command(subcommand)]
    Solvent(SolventCommand),
    /// Whether a method's paper works, and a 1:1 template
    Layout(layout::Layout),
    /// A term's papers, developing solvent and vials
    #[command(subcommand)]
    Term(TermCommand),
    /// Find which dyes the lanes of sheets hold
    Identify(identify::Identify),
    /// Expected values: established, shown, watched, verified
    #[command(subcommand)]
    Reference(ReferenceCommand),
    /// May the class start? Judges a sheet by the limits of its method version
    Suitability(suitability::Suitability),
    /// Lots of paper and dye, batches of developing solvent
    #[command(subcommand)]
    Lot(LotCommand),
    /// Matching strategies
    #[command(subcommand)]
    Strategy(StrategyCommand),
    /// Plug-ins: look at them, let them run, take that back
    #[command(subcommand)]
    Plugin(PluginCommand),
    /// A sheet with its checks and identities as one HTML file
    Report(report::Report),
    /// Who changed what, when, why
    History(history::History),
    /// Write shell completions to standard output
    Completions(completions::Completions),
    /// Write manual pages into a folder
    ManPages(man_pages::ManPages),
}

/// Commands of `library`.
#[derive(Debug, Subcommand)]
pub(crate) enum LibraryCommand {
    /// Make a reference library with the bundled dyes and example methods
    Init,
    /// Which library is in use and what is in it
    Status,
    /// Check pages, digests and the history chain
    Verify,
    /// Copy the library while it is in use
    Backup(library_backup::LibraryBackup),
    /// Go back to a copy; the library in use is kept beside it
    Restore(library_restore::LibraryRestore),
    /// Pack method versions with the sheets behind them for another lab
    Export(library_export::LibraryExport),
    /// Take in a bundle from another lab, as external and unverified
    Import(library_import::LibraryImport),
}

/// Commands of `dye`.
#[derive(Debug, Subcommand)]
pub(crate) enum DyeCommand {
    /// All dyes
    List,
    /// One dye, by any of its names
    Show(dye_show::DyeShow),
    /// Add or change a dye
    Add(dye_add::DyeAdd),
}

/// Commands of `method`.
#[derive(Debug, Subcommand)]
pub(crate) enum MethodCommand {
    /// All method versions
    List,
    /// One method version
    Show(method_show::MethodShow),
    /// Check a method document without keeping it
    Check(method_check::MethodCheck),
    /// Keep a method document as a draft
    Add(method_add::MethodAdd),
    /// What changed between two versions and which version step that asks for
    Diff(method_diff::MethodDiff),
    /// Put a draft into use; the version before is superseded
    Approve(method_approve::MethodApprove),
    /// Take a version out of use; it stays readable
    Withdraw(method_withdraw::MethodWithdraw),
    /// Versions and changes of a method
    History(method_history::MethodHistory),
}

/// Commands of `sheet`.
#[derive(Debug, Subcommand)]
pub(crate) enum SheetCommand {
    /// A blank sheet for a method version, as CSV
    Template(sheet_template::SheetTemplate),
    /// Take in data sheets and say what looks wrong in them
    Import(sheet_import::SheetImport),
    /// All sheets
    List,
    /// One sheet with its checks
    Show(sheet_show::SheetShow),
    /// Correct a sheet; what was handed in is kept
    Amend(sheet_amend::SheetAmend),
    /// Record what the samples really hold
    Truth(sheet_truth::SheetTruth),
    /// Say that a spot counts for no assigned value, with the reason
    Exclude(sheet_exclude::SheetExclude),
    /// What groups claim, as evidence for the person who gives the mark
    Claims(sheet_claims::Claims),
}

/// Commands of `solvent`.
#[derive(Debug, Subcommand)]
pub(crate) enum SolventCommand {
    /// Which dyes are told apart where
    Compare(solvent_compare::SolventCompare),
    /// Expected Rf at a composition between measured ones
    Predict(solvent_predict::SolventPredict),
    /// What a change of the developing solvent takes, as a checklist
    Plan(solvent_plan::SolventPlan),
    /// Amounts to weigh and measure, with batch record and labels
    Recipe(solvent_recipe::SolventRecipeCommand),
}

/// Commands of `term`.
#[derive(Debug, Subcommand)]
pub(crate) enum TermCommand {
    /// How much a term needs, and what changes with another section
    Plan(term_plan::TermPlanCommand),
}

/// Commands of `reference`.
#[derive(Debug, Subcommand)]
pub(crate) enum ReferenceCommand {
    /// Work out assigned values and expected ranges from the dye standards of data sheets
    Establish(reference_establish::ReferenceEstablish),
    /// A reference set with the origin of every number
    Show(reference_show::ReferenceShow),
    /// Control charts: do the control dyes still run where they should?
    Chart(reference_chart::ReferenceChart),
    /// Did a change that should not matter move Rf?
    Verify(reference_verify::ReferenceVerify),
}

/// Commands of `lot`.
#[derive(Debug, Subcommand)]
pub(crate) enum LotCommand {
    /// Record that a lot or batch was verified for a method version
    Verify(lot_verify::LotVerify),
    /// Lots and batches that were verified
    List(lot_list::LotList),
    /// Everything that used a lot or batch
    Impact(lot_impact::LotImpact),
}

/// Commands of `strategy`.
#[derive(Debug, Subcommand)]
pub(crate) enum StrategyCommand {
    /// Installed strategies and the evidence each uses
    List,
    /// How often each strategy is right, and every verdict on which two differ
    Compare(strategy_compare::StrategyCompare),
}

/// Commands of `plugin`.
#[derive(Debug, Subcommand)]
pub(crate) enum PluginCommand {
    /// All plug-ins with their state; nothing is loaded
    List,
    /// Look at a plug-in without loading it
    Inspect(plugin_inspect::PluginInspect),
    /// Let a plug-in run, by the digest of its library
    Approve(plugin_approve::PluginApprove),
    /// Take an approval back
    Revoke(plugin_revoke::PluginRevoke),
    /// Try a plug-in case by case, each in a worker of its own
    Test(plugin_test::PluginTest),
    /// Write a new plug-in that builds and runs as it stands
    New(plugin_new::PluginNew),
    /// Write the digest of its library into a plug-in's manifest
    Seal(plugin_seal::PluginSeal),
}

/// Runs a command.
pub(crate) fn run(command: Command, desk: &Desk) -> Result<Outcome, Failure> {
    match command {
        Command::Demo(it) => it.run(desk),
        Command::Library(LibraryCommand::Init) => library_init::run(desk),
        Command::Library(LibraryCommand::Status) => library_status::run(desk),
        Command::Library(LibraryCommand::Verify) => library_verify::run(desk),
        Command::Library(LibraryCommand::Backup(it)) => it.run(desk),
        Command::Library(LibraryCommand::Restore(it)) => it.run(desk),
        Command::Library(LibraryCommand::Export(it)) => it.run(desk),
        Command::Library(LibraryCommand::Import(it)) => it.run(desk),
        Command::Dye(DyeCommand::List) => dye_list::run(desk),
        Command::Dye(DyeCommand::Show(it)) => it.run(desk),
        Command::Dye(DyeCommand::Add(it)) => it.run(desk),
        Command::Method(MethodCommand::List) => method_list::run(desk),
        Command::Method(MethodCommand::Show(it)) => it.run(desk),
        Command::Method(MethodCommand::Check(it)) => it.run(desk),
        Command::Method(MethodCommand::Add(it)) => it.run(desk),
        Command::Method(MethodCommand::Diff(it)) => it.run(desk),
        Command::Method(MethodCommand::Approve(it)) => it.run(desk),
        Command::Method(MethodCommand::Withdraw(it)) => it.run(desk),
        Command::Method(MethodCommand::History(it)) => it.run(desk),
        Command::Sheet(SheetCommand::Template(it)) => it.run(desk),
        Command::Sheet(SheetCommand::Import(it)) => it.run(desk),
        Command::Sheet(SheetCommand::List) => sheet_list::run(desk),
        Command::Sheet(SheetCommand::Show(it)) => it.run(desk),
        Command::Sheet(SheetCommand::Amend(it)) => it.run(desk),
        Command::Sheet(SheetCommand::Truth(it)) => it.run(desk),
        Command::Sheet(SheetCommand::Claims(it)) => it.run(desk),
        Command::Solvent(SolventCommand::Compare(it)) => it.run(desk),
        Command::Solvent(SolventCommand::Predict(it)) => it.run(desk),
        Command::Solvent(SolventCommand::Plan(it)) => it.run(desk),
        Command::Solvent(SolventCommand::Recipe(it)) => it.run(desk),
        Command::Layout(it) => it.run(desk),
        Command::Term(TermCommand::Plan(it)) => it.run(desk),
        Command::Sheet(SheetCommand::Exclude(it)) => it.run(desk),
        Command::Reference(ReferenceCommand::Establish(it)) => it.run(desk),
        Command::Reference(ReferenceCommand::Show(it)) => it.run(desk),
        Command::Reference(ReferenceCommand::Chart(it)) => it.run(desk),
        Command::Reference(ReferenceCommand::Verify(it)) => it.run(desk),
        Command::Suitability(it) => it.run(desk),
        Command::Lot(LotCommand::Verify(it)) => it.run(desk),
        Command::Lot(LotCommand::List(it)) => it.run(desk),
        Command::Lot(LotCommand::Impact(it)) => it.run(desk),
        Command::Identify(it) => it.run(desk),
        Command::Strategy(StrategyCommand::List) => Ok(strategy_list::run(desk)),
        Command::Strategy(StrategyCommand::Compare(it)) => it.run(desk),
        Command::Plugin(PluginCommand::List) => Ok(plugin_list::run(desk)),
        Command::Plugin(PluginCommand::Inspect(it)) => Ok(it.run()),
        Command::Plugin(PluginCommand::Approve(it)) => it.run(desk),
        Command::Plugin(PluginCommand::Revoke(it)) => it.run(desk),
        Command::Plugin(PluginCommand::Test(it)) => it.run(desk),
        Command::Plugin(PluginCommand::New(it)) => it.run(),
        Command::Plugin(PluginCommand::Seal(it)) => it.run(),
        Command::Report(it) => it.run(desk),
        Command::History(it) => it.run(desk),
        Command::Completions(it) => Ok(it.run()),
        Command::ManPages(it) => it.run(),
    }
}
