//! The only place that reads the environment, the home folder and the clock.

use crate::arguments::Global;
use crate::desk::Desk;
use etcetera::BaseStrategy;
use std::io::IsTerminal;
use std::path::PathBuf;

/// What the surroundings say, the command line first.
#[expect(
    clippy::disallowed_methods,
    reason = "this is the place where it is allowed"
)]
pub(crate) fn desk(global: &Global) -> Desk {
    let folders = etcetera::choose_base_strategy().ok();
    let data = folders
        .as_ref()
        .map_or_else(|| PathBuf::from("."), |f| f.data_dir().join("dyebook"));
    let config = folders
        .as_ref()
        .map_or_else(|| PathBuf::from("."), |f| f.config_dir().join("dyebook"));
    // A worker starts in an empty folder of its own, so a relative path would lead nowhere there.
    let absolute = |dir: &PathBuf| std::path::absolute(dir).unwrap_or_else(|_none| dir.clone());
    let mut plugin_dirs: Vec<PathBuf> = global.plugin_dir.iter().map(absolute).collect();
    if let Some(paths) = std::env::var_os("DYEBOOK_PLUGIN_PATH") {
        plugin_dirs.extend(std::env::split_paths(&paths));
    }
    plugin_dirs.push(data.join("plugins"));
    plugin_dirs.push("/usr/local/lib/dyebook/plugins".into());
    plugin_dirs.push("/usr/lib/dyebook/plugins".into());
    Desk {
        library: global
            .library
            .clone()
            .unwrap_or_else(|| data.join("dyebook.sqlite")),
        by: global.by.clone().unwrap_or_else(login_name),
        now: now(),
        progress: std::io::stderr().is_terminal() && !global.quiet && !global.json,
        as_json: global.json,
        plugin_dirs,
        approvals: config.join("plugin-approvals.json"),
    }
}

fn login_name() -> String {
    whoami::username().unwrap_or_else(|_unknown| "unknown".to_owned())
}

/// The clock, to the second; a fixed time can be given so that documentation and tests repeat.
#[expect(
    clippy::disallowed_methods,
    reason = "this is the place where it is allowed"
)]
fn now() -> jiff::Timestamp {
    let fixed = std::env::var("DYEBOOK_NOW")
        .ok()
        .and_then(|text| text.parse().ok());
    let now = fixed.unwrap_or_else(jiff::Timestamp::now);
    jiff::Timestamp::from_second(now.as_second()).unwrap_or(now)
}
