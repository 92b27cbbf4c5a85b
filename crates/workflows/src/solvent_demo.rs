//! The demo's change of the developing solvent: compared, planned and made up before it happens.

use crate::failure::Failure;
use crate::paper_layout::{PaperLayout, TemplateForm, check_kept_layout, layout_template};
use crate::solvent_compare::{CompareSolvents, ComparedSolvents, compare_kept_solvents};
use crate::solvent_compare_page::comparison_page;
use crate::solvent_notice::switch_notice;
use crate::solvent_plan::{SolventSwitch, mixture_of, plan_solvent_switch};
use crate::solvent_recipe::{SolventRecipe, batch_pages, solvent_recipe};
use dyebook_library::{Library, Stamp};
use dyebook_methods::layout::LayoutQuestion;
use dyebook_methods::recipe::BatchDetails;
use dyebook_methods::solvents::SwitchQuestion;

/// What the change took.
#[derive(Debug)]
pub struct DemoSwitch {
    /// Both solvents beside each other.
    pub compared: ComparedSolvents,
    /// The plan.
    pub switch: SolventSwitch,
    /// The recipe of the new solvent.
    pub recipe: SolventRecipe,
    /// Whether the paper works under the new version.
    pub layout: PaperLayout,
    /// The pages, each with the name of its file.
    pub pages: Vec<(&'static str, Vec<u8>)>,
}

/// Litres for a week of two sections (invented), in mL.
const A_WEEK_ML: f64 = 2000.0;

/// Compares, plans, makes up and checks the paper; nothing is written.
pub(crate) fn demo_switch(
    library: &Library,
    old: &str,
    new: &str,
    mixtures: &[&str],
    stamp: &Stamp,
) -> Result<DemoSwitch, Failure> {
    let dyes = library.dye_register()?;
    let references = [old.to_owned(), new.to_owned()];
    let asked = CompareSolvents {
        references: &references,
        dyes: &[],
        window: 0.05,
    };
    let compared = compare_kept_solvents(library, &dyes, asked)?;
    let question = SwitchQuestion {
        sections: vec!["Tue-2".to_owned(), "Thu-1".to_owned()],
        mixtures: mixtures
            .iter()
            .map(|text| mixture_of(text, &dyes))
            .collect::<Result<_, _>>()?,
        ..SwitchQuestion::default()
    };
    let switch = plan_solvent_switch(library, &dyes, old, new, question)?;
    let details = BatchDetails {
        batch: Some("C26-01".to_owned()),
        made_on: switch.question.from_day,
        sections: Some("Tue-2, Thu-1".to_owned()),
        ..BatchDetails::default()
    };
    let recipe = solvent_recipe(library, new, A_WEEK_ML, &[], &details)?;
    let layout = check_kept_layout(library, new, &LayoutQuestion::default())?;
    let (record, label) = batch_pages(&recipe, 2);
    let pages = vec![
        (
            "comparison.html",
            comparison_page(&compared, &dyes).into_bytes(),
        ),
        (
            "notice.html",
            switch_notice(&switch, &dyes, stamp).into_bytes(),
        ),
        ("batch-record.html", record.into_bytes()),
        ("label.html", label.into_bytes()),
        ("template.svg", layout_template(&layout, TemplateForm::Svg)?),
        ("template.pdf", layout_template(&layout, TemplateForm::Pdf)?),
    ];
    Ok(DemoSwitch {
        compared,
        switch,
        recipe,
        layout,
        pages,
    })
}
