//! The command line.

use crate::commands::Command;
use std::path::PathBuf;

/// Methods and reference values for the paper chromatography of food dyes.
///
/// Keeps versioned methods and expected Rf values per dye and per recipe of the developing solvent,
/// takes in the data sheets that groups hand in, says what looks wrong in them, and finds which dyes
/// the samples hold, with reasons.
#[derive(Debug, clap::Parser)]
#[command(name = "dyebook", version, max_term_width = 100)]
pub(crate) struct Program {
    #[command(flatten)]
    pub(crate) global: Global,
    #[command(subcommand)]
    pub(crate) command: Command,
}

/// Options of every command.
#[derive(Debug, clap::Args)]
pub(crate) struct Global {
    /// The reference library [default: dyebook.sqlite in the user's data folder]
    #[arg(
        long,
        global = true,
        env = "DYEBOOK_LIBRARY",
        value_name = "FILE",
        hide_env_values = true
    )]
    pub(crate) library: Option<PathBuf>,
    /// One JSON document on standard output, nothing else there
    #[arg(long, global = true)]
    pub(crate) json: bool,
    /// Nothing on standard output but JSON
    #[arg(long, short, global = true)]
    pub(crate) quiet: bool,
    /// Who is acting, for the history [default: the login name]
    #[arg(
        long,
        global = true,
        env = "DYEBOOK_BY",
        value_name = "NAME",
        hide_env_values = true
    )]
    pub(crate) by: Option<String>,
    /// A folder to look for plug-ins in, before the usual ones
    #[arg(long, global = true, value_name = "DIR")]
    pub(crate) plugin_dir: Vec<PathBuf>,
}
