//! The program that becomes a worker in these tests, or a host that one of them kills:
//! `plugin-worker ask FOLDER APPROVALS FAULT`.

use dyebook_plugin_host::{Plugins, Settings, worker};

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    match arguments.as_slice() {
        [worker::ARGUMENT] => worker::main(dyebook_hostile::BUNDLED),
        ["ask", folder, approvals, fault] => ask(folder, approvals, fault),
        _ => {}
    }
}

fn ask(folder: &str, approvals: &str, fault: &str) {
    let mut settings = Settings::default();
    settings.search = vec![folder.into()];
    settings.approvals.user = Some(approvals.into());
    let plugins = Plugins::new(dyebook_hostile::BUNDLED, settings);
    // Whoever started this looks at what it does, not at what it says.
    let Ok(strategy) = plugins.strategy("hostile") else {
        return;
    };
    let Ok(mut strategy) = strategy.with_parameters(&[format!("fault={fault}")]) else {
        return;
    };
    if strategy.prepare(&dyebook_hostile::set()).is_ok() {
        let _ = strategy.match_lanes(&dyebook_hostile::zero_spots(&["poison"]));
    }
}
