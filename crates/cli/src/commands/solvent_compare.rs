//! `solvent compare`

use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use crate::table::Table;
use dyebook_documents::{DyeRegister, counted};
use dyebook_methods::solvents::{DyePair, OneSolvent};
use dyebook_workflows::{
    CompareSolvents, ComparedSolvents, Failure, compare_kept_solvents, comparison_page, dye_name,
    together_sentence, with_dye_names, write_file,
};
use serde_json::json;
use std::path::PathBuf;

/// Which dyes are told apart where.
#[derive(Debug, clap::Args)]
pub(crate) struct SolventCompare {
    /// Method versions: `id@version` or `id@requirement`
    #[arg(value_name = "REF", required = true)]
    references: Vec<String>,
    /// Only this dye and others named so; any of its names [default: all common dyes]
    #[arg(long = "dye", value_name = "NAME")]
    dyes: Vec<String>,
    /// Two dyes within this distance in Rf count as not separated
    #[arg(long, value_name = "RF", default_value_t = 0.05)]
    window: f64,
    /// Pairs of dyes shown for each version
    #[arg(long, value_name = "N", default_value_t = 5)]
    pairs: usize,
    /// Write a page with a chart
    #[arg(long, value_name = "FILE")]
    html: Option<PathBuf>,
}

impl SolventCompare {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let library = desk.open()?;
        let dyes = library.dye_register()?;
        let asked = CompareSolvents {
            references: &self.references,
            dyes: &self.dyes,
            window: self.window,
        };
        let compared = compare_kept_solvents(&library, &dyes, asked)?;
        let mut page = Page::default();
        for (version, solvent) in compared.methods.iter().zip(&compared.comparison.solvents) {
            page.gap();
            page.line(format!(
                "{} ({}, content {})",
                version.method,
                version.state,
                version.digest.short()
            ));
            one_solvent(&mut page, solvent, &dyes, self.pairs);
        }
        page.gap();
        together(&mut page, &compared, &dyes);
        if let Some(file) = &self.html {
            write_file(file, comparison_page(&compared, &dyes))?;
            page.line(format!("page in {}", file.display()));
        }
        let mut answer = json!(compared);
        answer["page"] = json!(self.html);
        Ok(Outcome::new(answer, page.text()))
    }
}

fn one_solvent(page: &mut Page, solvent: &OneSolvent, dyes: &DyeRegister, pairs: usize) {
    let mut table = Table::new(["  dye", "Rf", "to the next", "spread", "bridged", "colour"]);
    let next = solvent.dyes.iter().skip(1).map(Some).chain([None]);
    for (placed, next) in solvent.dyes.iter().zip(next) {
        table.row([
            format!("  {}", dye_name(&placed.dye, dyes)),
            format!("{:.3}", placed.rf),
            next.map_or_else(String::new, |next| format!("{:.3}", next.rf - placed.rf)),
            format!("{:.3}", placed.spread.library),
            placed
                .spread
                .bridged
                .map_or_else(|| "not known".to_owned(), |s| format!("{s:.3}")),
            placed.colours.join(", "),
        ]);
    }
    page.table(&table);
    page.line(format!(
        "  smallest gap {:.3}; among dyes that look alike {}; {} not separated",
        solvent.smallest_gap,
        solvent
            .smallest_gap_like_coloured
            .map_or_else(|| "no pair".to_owned(), |gap| format!("{gap:.3}")),
        counted(solvent.pairs_not_separated, "pair")
    ));
    page.line(format!(
        "  discriminating power {:.3}, mean list length {:.2}, {:.0} % of the dyes between Rf 0.1 and 0.9",
        solvent.discriminating_power,
        solvent.mean_list_length,
        100.0 * solvent.share_in_working_range
    ));
    page.line(format!(
        "  retention uniformity {:.3}, retention distance {:.3}, multispot response {:.3}",
        solvent.retention_uniformity, solvent.retention_distance, solvent.multispot_response
    ));
    page.line(format!(
        "  closest of all: {}",
        with_dye_names(&solvent.critical_pair.sentence, dyes)
    ));
    page.line("  taken for one another most often, those that look alike first:");
    for pair in critical(&solvent.pairs, pairs) {
        page.line(format!("    {}", with_dye_names(&pair.sentence, dyes)));
    }
}

/// Dyes that look alike first: colour can't tell them apart.
fn critical(pairs: &[DyePair], most: usize) -> impl Iterator<Item = &DyePair> {
    let alike = pairs.iter().filter(|pair| pair.like_coloured);
    let others = pairs.iter().filter(|pair| !pair.like_coloured);
    alike.chain(others).take(most)
}

fn together(page: &mut Page, compared: &ComparedSolvents, dyes: &DyeRegister) {
    let comparison = &compared.comparison;
    for two in &comparison.together {
        page.line(together_sentence(two));
    }
    if let Some([a, b]) = comparison
        .best_together
        .as_ref()
        .filter(|_| comparison.together.len() > 1)
    {
        page.line(format!("The best pair to use together: {a} and {b}."));
    }
    for two in &comparison.together {
        for [one, other] in &two.order_changes {
            page.line(format!(
                "{} and {} change places between {} and {}.",
                dye_name(one, dyes),
                dye_name(other, dyes),
                two.methods[0],
                two.methods[1]
            ));
        }
    }
    for left_out in &comparison.left_out {
        page.line(format!(
            "{} is left out: no reference in {}.",
            dye_name(&left_out.dye, dyes),
            left_out.missing_in.join(", ")
        ));
    }
}
