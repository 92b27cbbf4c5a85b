//! Strategy `nearest` as a library of its own: nothing but the exported symbol.

dyebook_plugin::export_plugin!(dyebook_strategy_nearest::PLUGIN);
