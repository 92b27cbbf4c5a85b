//! The machine that this host runs on, as plug-ins name it.

/// The target triple of libraries that this host can load; `None` where it loads none.
pub const TARGET: Option<&str> = if cfg!(all(target_os = "linux", target_env = "gnu")) {
    if cfg!(target_arch = "x86_64") {
        Some("x86_64-unknown-linux-gnu")
    } else if cfg!(target_arch = "aarch64") {
        Some("aarch64-unknown-linux-gnu")
    } else {
        None
    }
} else {
    None
};
