//! The plug-ins that dyebook brings along. A new one is one line here.

use dyebook_plugin_host::Bundled;

/// Every bundled plug-in with its manifest.
pub const BUNDLED: Bundled = &[
    (
        &dyebook_strategy_posterior::PLUGIN,
        dyebook_strategy_posterior::MANIFEST,
    ),
    (
        &dyebook_strategy_co_run::PLUGIN,
        dyebook_strategy_co_run::MANIFEST,
    ),
    (
        &dyebook_strategy_range::PLUGIN,
        dyebook_strategy_range::MANIFEST,
    ),
    (
        &dyebook_strategy_nearest::PLUGIN,
        dyebook_strategy_nearest::MANIFEST,
    ),
    (
        &dyebook_importer_json::PLUGIN,
        dyebook_importer_json::MANIFEST,
    ),
    (
        &dyebook_importer_sheet::PLUGIN,
        dyebook_importer_sheet::MANIFEST,
    ),
    (
        &dyebook_importer_workbook::PLUGIN,
        dyebook_importer_workbook::MANIFEST,
    ),
];

/// The strategy used when none is named.
pub const DEFAULT_STRATEGY: &str = "posterior";
