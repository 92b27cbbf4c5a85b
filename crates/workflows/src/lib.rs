//! The use cases of dyebook. Data flows one way: documents → checks → strategy → answer → store →
//! report. Nothing here knows a terminal; what a person sees is made of the data returned here.

mod bundle;
mod bundled_documents;
mod bundled_plugins;
mod claims;
mod claims_changed;
mod claims_lab;
mod class_figures;
mod class_figures_page;
mod demo;
mod dyes;
mod failure;
mod files;
mod find_sheet;
mod group_rows;
mod history;
mod identify;
mod identify_batches;
mod identify_kept;
mod import_bindings;
mod import_keep;
mod import_prepare;
mod import_report;
mod invented;
mod judge;
mod kept_lot;
mod lane_identity;
mod library_make;
mod lots;
mod match_request;
mod matcher;
mod method_document;
mod methods;
mod paper_layout;
mod plain_export;
mod plugin_matcher;
mod query_list;
mod read_files;
mod references;
mod resolve_method;
mod session_checks;
mod sheet_accept;
mod sheet_amend;
mod sheet_evidence;
mod sheet_files;
mod sheet_id;
mod sheet_import;
mod sheet_page;
mod sheet_show;
mod sheet_template;
mod sheet_truth;
mod solvent_compare;
mod solvent_compare_page;
mod solvent_demo;
mod solvent_notice;
mod solvent_plan;
mod solvent_predict;
mod solvent_recipe;
mod solvent_stock;
mod solvent_words;
mod stored_identification;
mod strategy_compare;
mod strategy_compare_cases;
mod strategy_compare_page;
mod strategy_compare_score;
mod strategy_compare_simulate;
mod strategy_compare_term;
mod strategy_compare_words;
mod term_plan;
mod watch;

pub use bundle::{BundleReport, Exported, Taken, TakenMethod, export_bundle, import_bundle};
pub use bundled_plugins::{BUNDLED, DEFAULT_STRATEGY};
pub use claims::{SheetClaims, sheet_claims};
pub use claims_changed::{
    ChangedBy, ChangedResult, ChangedSheet, ChangedWhat, MatcherOf, changed_by_version,
};
pub use claims_lab::LabEvidence;
pub use class_figures::{
    ClassFigures, ClassVersion, GroupFigures, IdentityLine, SectionFigures, StandardSpread, Tally,
    class_figures,
};
pub use class_figures_page::{
    class_decisions, class_figures_csv, class_figures_page, section_words, standard_cells,
    standards_left_out,
};
pub use demo::{Chapter, Demo, play_demo};
pub use dyes::{AddedDye, add_dye, find_dye};
pub use failure::{Failure, FailureClass};
pub use files::{read_bytes, read_text, write_file};
pub use find_sheet::find_sheet;
pub use history::change_json;
pub use identify::{IdentifyRequest, identify, keep_identifications};
pub use identify_kept::{KeptRequest, Told, identify_kept};
pub use import_report::{FileReport, ImportReport, ImporterStamp, SheetReport};
pub use kept_lot::Identifying;
pub use library_make::make_library;
pub use lots::{
    LotImpact, LotKind, LotUse, RestingReference, VerifiedLot, lot_impact, verified_lots,
    verify_lot,
};
pub use matcher::{Instance, Matcher};
pub use method_document::{CheckedMethod, check_method, with_hints};
pub use methods::{Approval, approve_method, diff_methods, keep_draft, withdraw_method};
pub use paper_layout::{PaperLayout, TemplateForm, check_kept_layout, layout_template};
pub use plain_export::{PlainExport, export_plain};
pub use plugin_matcher::{PluginMatcher, plugin_failure};
pub use query_list::{
    SectionQueries, SheetQueries, import_queries, import_sections, query_csv, query_page,
};
pub use read_files::read_file;
pub use references::{
    ChartRequest, Charts, DyeRuns, DyeVerdict, EstablishRequest, Established, Estimate, Evidence,
    EvidenceSheet, Flag, LeftOut, Noted, PaperRun, PlannedRange, Pooling, SMALLEST_HALF_WIDTH,
    SessionRun, ShownReferences, SpotPlace, StandardSpot, Suitability, Verdict, Verification,
    VerifyRequest, WhyLeftOut, check_suitability, control_charts, establish, exclude_spot,
    more_papers, show_references, verify_references,
};
pub use resolve_method::resolve_method;
pub use sheet_accept::{Acceptance, Accepted, accept_reading, suggestions};
pub use sheet_amend::{AmendedField, Amendment, amend_sheet, amendments};
pub use sheet_files::{FilesOnDisk, HandedIn, ReadFile, SheetFiles};
pub use sheet_id::sheet_id;
pub use sheet_import::{Replacement, import_and_identify, import_sheets};
pub use sheet_page::{sheet_page, stored_identification};
pub use sheet_show::{ShownSheet, show_sheet};
pub use sheet_template::sheet_template;
pub use sheet_truth::{NotFound, TruthReport, record_truth};
pub use solvent_compare::{
    CompareSolvents, ComparedSolvents, ComparedVersion, compare_kept_solvents,
};
pub use solvent_compare_page::{comparison_page, together_sentence};
pub use solvent_demo::DemoSwitch;
pub use solvent_notice::switch_notice;
pub use solvent_plan::{
    SolventSwitch, SwitchItem, mixture_of, plan_solvent_switch, set_switch_item,
};
pub use solvent_predict::predict_kept_solvent;
pub use solvent_recipe::{
    SolventRecipe, batch_pages, predicted_ph, shelf_life, signed_percent, solvent_recipe,
    taken_from, volume_words,
};
pub use solvent_stock::{stock_at_hand, volume_in_ml};
pub use solvent_words::{dye_name, percent, with_dye_names};
pub use strategy_compare::{
    ComparedOn, ComparedOnVersion, ComparedStrategies, ComparedStrategy, Difference,
    compare_strategies,
};
pub use strategy_compare_page::{
    score_sentence, strategy_comparison_page, truth_note, version_covers,
};
pub use strategy_compare_score::{CalibrationRow, Rates, Scores};
pub use strategy_compare_simulate::Simulation;
pub use strategy_compare_words::share_words;
pub use term_plan::{PlannedTerm, plan_terms, read_term, term_of_method};
pub use watch::{Progress, Unwatched, Watch};
