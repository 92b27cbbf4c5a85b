//! The embedded schemas, one constant each. A test compares this list with the folder.

/// A named, embedded JSON Schema.
#[derive(Debug, Clone, Copy)]
pub struct Schema {
    /// Name of the document, as in `schemas/<name>.schema.json`.
    pub name: &'static str,
    /// Text of the schema.
    pub text: &'static str,
}

impl Schema {
    /// The identifier by which schemas refer to each other; nothing is ever fetched from it.
    pub fn uri(&self) -> String {
        format!("https://dyebook.invalid/schemas/{}.schema.json", self.name)
    }
}

macro_rules! embedded {
    ($name:literal) => {
        Schema {
            name: $name,
            text: include_str!(concat!("../../../schemas/", $name, ".schema.json")),
        }
    };
}

/// Answer of `demo`.
pub const ANSWER_DEMO: Schema = embedded!("answer-demo");
/// Answer of `dye add`.
pub const ANSWER_DYE_ADD: Schema = embedded!("answer-dye-add");
/// Answer of `dye list`.
pub const ANSWER_DYE_LIST: Schema = embedded!("answer-dye-list");
/// Answer of `dye show`.
pub const ANSWER_DYE_SHOW: Schema = embedded!("answer-dye-show");
/// Answer of `error`.
pub const ANSWER_ERROR: Schema = embedded!("answer-error");
/// Answer of `history`.
pub const ANSWER_HISTORY: Schema = embedded!("answer-history");
/// Answer of `identify`.
pub const ANSWER_IDENTIFY: Schema = embedded!("answer-identify");
/// Answer of `layout`.
pub const ANSWER_LAYOUT: Schema = embedded!("answer-layout");
/// Answer of `library backup`.
pub const ANSWER_LIBRARY_BACKUP: Schema = embedded!("answer-library-backup");
/// Answer of `library export`.
pub const ANSWER_LIBRARY_EXPORT: Schema = embedded!("answer-library-export");
/// Answer of `library import`.
pub const ANSWER_LIBRARY_IMPORT: Schema = embedded!("answer-library-import");
/// Answer of `library init`.
pub const ANSWER_LIBRARY_INIT: Schema = embedded!("answer-library-init");
/// Answer of `library restore`.
pub const ANSWER_LIBRARY_RESTORE: Schema = embedded!("answer-library-restore");
/// Answer of `library status`.
pub const ANSWER_LIBRARY_STATUS: Schema = embedded!("answer-library-status");
/// Answer of `library verify`.
pub const ANSWER_LIBRARY_VERIFY: Schema = embedded!("answer-library-verify");
/// Answer of `lot impact`.
pub const ANSWER_LOT_IMPACT: Schema = embedded!("answer-lot-impact");
/// Answer of `lot list`.
pub const ANSWER_LOT_LIST: Schema = embedded!("answer-lot-list");
/// Answer of `lot verify`.
pub const ANSWER_LOT_VERIFY: Schema = embedded!("answer-lot-verify");
/// Answer of `method add`.
pub const ANSWER_METHOD_ADD: Schema = embedded!("answer-method-add");
/// Answer of `method approve`.
pub const ANSWER_METHOD_APPROVE: Schema = embedded!("answer-method-approve");
/// Answer of `method check`.
pub const ANSWER_METHOD_CHECK: Schema = embedded!("answer-method-check");
/// Answer of `method diff`.
pub const ANSWER_METHOD_DIFF: Schema = embedded!("answer-method-diff");
/// Answer of `method history`.
pub const ANSWER_METHOD_HISTORY: Schema = embedded!("answer-method-history");
/// Answer of `method list`.
pub const ANSWER_METHOD_LIST: Schema = embedded!("answer-method-list");
/// Answer of `method show`.
pub const ANSWER_METHOD_SHOW: Schema = embedded!("answer-method-show");
/// Answer of `method withdraw`.
pub const ANSWER_METHOD_WITHDRAW: Schema = embedded!("answer-method-withdraw");
/// Answer of `reference chart`.
pub const ANSWER_REFERENCE_CHART: Schema = embedded!("answer-reference-chart");
/// Answer of `reference establish`.
pub const ANSWER_REFERENCE_ESTABLISH: Schema = embedded!("answer-reference-establish");
/// Answer of `plugin approve`.
pub const ANSWER_PLUGIN_APPROVE: Schema = embedded!("answer-plugin-approve");
/// Answer of `plugin inspect`.
pub const ANSWER_PLUGIN_INSPECT: Schema = embedded!("answer-plugin-inspect");
/// Answer of `plugin list`.
pub const ANSWER_PLUGIN_LIST: Schema = embedded!("answer-plugin-list");
/// Answer of `plugin new`.
pub const ANSWER_PLUGIN_NEW: Schema = embedded!("answer-plugin-new");
/// Answer of `plugin revoke`.
pub const ANSWER_PLUGIN_REVOKE: Schema = embedded!("answer-plugin-revoke");
/// Answer of `plugin seal`.
pub const ANSWER_PLUGIN_SEAL: Schema = embedded!("answer-plugin-seal");
/// Answer of `plugin test`.
pub const ANSWER_PLUGIN_TEST: Schema = embedded!("answer-plugin-test");
/// Answer of `reference show`.
pub const ANSWER_REFERENCE_SHOW: Schema = embedded!("answer-reference-show");
/// Answer of `reference verify`.
pub const ANSWER_REFERENCE_VERIFY: Schema = embedded!("answer-reference-verify");
/// Answer of `report`.
pub const ANSWER_REPORT: Schema = embedded!("answer-report");
/// Answer of `sheet amend`.
pub const ANSWER_SHEET_AMEND: Schema = embedded!("answer-sheet-amend");
/// Answer of `sheet claims`.
pub const ANSWER_SHEET_CLAIMS: Schema = embedded!("answer-sheet-claims");
/// Answer of `sheet exclude`.
pub const ANSWER_SHEET_EXCLUDE: Schema = embedded!("answer-sheet-exclude");
/// Answer of `sheet import`.
pub const ANSWER_SHEET_IMPORT: Schema = embedded!("answer-sheet-import");
/// Answer of `sheet list`.
pub const ANSWER_SHEET_LIST: Schema = embedded!("answer-sheet-list");
/// Answer of `sheet show`.
pub const ANSWER_SHEET_SHOW: Schema = embedded!("answer-sheet-show");
/// Answer of `sheet template`.
pub const ANSWER_SHEET_TEMPLATE: Schema = embedded!("answer-sheet-template");
/// Answer of `sheet truth`.
pub const ANSWER_SHEET_TRUTH: Schema = embedded!("answer-sheet-truth");
/// Answer of `solvent compare`.
pub const ANSWER_SOLVENT_COMPARE: Schema = embedded!("answer-solvent-compare");
/// Answer of `solvent plan`.
pub const ANSWER_SOLVENT_PLAN: Schema = embedded!("answer-solvent-plan");
/// Answer of `solvent predict`.
pub const ANSWER_SOLVENT_PREDICT: Schema = embedded!("answer-solvent-predict");
/// Answer of `solvent recipe`.
pub const ANSWER_SOLVENT_RECIPE: Schema = embedded!("answer-solvent-recipe");
/// Answer of `strategy compare`.
pub const ANSWER_STRATEGY_COMPARE: Schema = embedded!("answer-strategy-compare");
/// Answer of `strategy list`.
pub const ANSWER_STRATEGY_LIST: Schema = embedded!("answer-strategy-list");
/// Answer of `suitability`.
pub const ANSWER_SUITABILITY: Schema = embedded!("answer-suitability");
/// Answer of `term plan`.
pub const ANSWER_TERM_PLAN: Schema = embedded!("answer-term-plan");
/// A bundle for another lab.
pub const BUNDLE: Schema = embedded!("bundle");
/// One change record in an answer.
pub const CHANGE: Schema = embedded!("change");
/// One finding of a check.
pub const CHECK: Schema = embedded!("check");
/// A developing solvent.
pub const COMPOSITION: Schema = embedded!("composition");
/// A dye.
pub const DYE: Schema = embedded!("dye");
/// Request of IMPORT, `importer/1`.
pub const IMPORTER_1_IMPORT_REQUEST: Schema = embedded!("importer-1-import-request");
/// Response of IMPORT, `importer/1`.
pub const IMPORTER_1_IMPORT_RESPONSE: Schema = embedded!("importer-1-import-response");
/// Request of PROBE, `importer/1`.
pub const IMPORTER_1_PROBE_REQUEST: Schema = embedded!("importer-1-probe-request");
/// Response of PROBE, `importer/1`.
pub const IMPORTER_1_PROBE_RESPONSE: Schema = embedded!("importer-1-probe-response");
/// Error text of a refused file, `importer/1`.
pub const IMPORTER_1_REFUSAL: Schema = embedded!("importer-1-refusal");
/// A method version.
pub const METHOD: Schema = embedded!("method");
/// The manifest of a plug-in.
pub const PLUGIN_MANIFEST: Schema = embedded!("plugin-manifest");
/// What a method version expects of one dye.
pub const REFERENCE: Schema = embedded!("reference");
/// A data sheet.
pub const SHEET: Schema = embedded!("sheet");
/// Request of MATCH, `strategy/1`.
pub const STRATEGY_1_MATCH_REQUEST: Schema = embedded!("strategy-1-match-request");
/// Response of MATCH, `strategy/1`.
pub const STRATEGY_1_MATCH_RESPONSE: Schema = embedded!("strategy-1-match-response");
/// Request of PREPARE, `strategy/1`.
pub const STRATEGY_1_PREPARE_REQUEST: Schema = embedded!("strategy-1-prepare-request");
/// Response of PREPARE, `strategy/1`.
pub const STRATEGY_1_PREPARE_RESPONSE: Schema = embedded!("strategy-1-prepare-response");

/// All of them, by name.
pub const ALL: &[Schema] = &[
    ANSWER_DEMO,
    ANSWER_DYE_ADD,
    ANSWER_DYE_LIST,
    ANSWER_DYE_SHOW,
    ANSWER_ERROR,
    ANSWER_HISTORY,
    ANSWER_IDENTIFY,
    ANSWER_LAYOUT,
    ANSWER_LIBRARY_BACKUP,
    ANSWER_LIBRARY_EXPORT,
    ANSWER_LIBRARY_IMPORT,
    ANSWER_LIBRARY_INIT,
    ANSWER_LIBRARY_RESTORE,
    ANSWER_LIBRARY_STATUS,
    ANSWER_LIBRARY_VERIFY,
    ANSWER_LOT_IMPACT,
    ANSWER_LOT_LIST,
    ANSWER_LOT_VERIFY,
    ANSWER_METHOD_ADD,
    ANSWER_METHOD_APPROVE,
    ANSWER_METHOD_CHECK,
    ANSWER_METHOD_DIFF,
    ANSWER_METHOD_HISTORY,
    ANSWER_METHOD_LIST,
    ANSWER_METHOD_SHOW,
    ANSWER_METHOD_WITHDRAW,
    ANSWER_REFERENCE_CHART,
    ANSWER_REFERENCE_ESTABLISH,
    ANSWER_PLUGIN_APPROVE,
    ANSWER_PLUGIN_INSPECT,
    ANSWER_PLUGIN_LIST,
    ANSWER_PLUGIN_NEW,
    ANSWER_PLUGIN_REVOKE,
    ANSWER_PLUGIN_SEAL,
    ANSWER_PLUGIN_TEST,
    ANSWER_REFERENCE_SHOW,
    ANSWER_REFERENCE_VERIFY,
    ANSWER_REPORT,
    ANSWER_SHEET_AMEND,
    ANSWER_SHEET_CLAIMS,
    ANSWER_SHEET_EXCLUDE,
    ANSWER_SHEET_IMPORT,
    ANSWER_SHEET_LIST,
    ANSWER_SHEET_SHOW,
    ANSWER_SHEET_TEMPLATE,
    ANSWER_SHEET_TRUTH,
    ANSWER_SOLVENT_COMPARE,
    ANSWER_SOLVENT_PLAN,
    ANSWER_SOLVENT_PREDICT,
    ANSWER_SOLVENT_RECIPE,
    ANSWER_STRATEGY_COMPARE,
    ANSWER_STRATEGY_LIST,
    ANSWER_SUITABILITY,
    ANSWER_TERM_PLAN,
    BUNDLE,
    CHANGE,
    CHECK,
    COMPOSITION,
    DYE,
    IMPORTER_1_IMPORT_REQUEST,
    IMPORTER_1_IMPORT_RESPONSE,
    IMPORTER_1_PROBE_REQUEST,
    IMPORTER_1_PROBE_RESPONSE,
    IMPORTER_1_REFUSAL,
    METHOD,
    PLUGIN_MANIFEST,
    REFERENCE,
    SHEET,
    STRATEGY_1_MATCH_REQUEST,
    STRATEGY_1_MATCH_RESPONSE,
    STRATEGY_1_PREPARE_REQUEST,
    STRATEGY_1_PREPARE_RESPONSE,
];

/// The schema of that name.
pub fn by_name(name: &str) -> Option<&'static Schema> {
    ALL.iter().find(|schema| schema.name == name)
}
