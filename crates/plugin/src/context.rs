//! What the host does for a plug-in while it works.

use dyebook_plugin_abi::{DYB_LOG_DEBUG, DYB_LOG_ERROR, DYB_LOG_INFO, DYB_LOG_WARN, dyb_host};
use std::fmt;

/// How urgent a line in the host's log is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Level {
    /// Something failed.
    Error,
    /// Something looks wrong.
    Warn,
    /// Worth knowing.
    Info,
    /// For the plug-in author.
    Debug,
}

/// The host's services during one call.
pub struct Context<'a> {
    host: Option<&'a dyb_host>,
}

impl Context<'_> {
    /// A context without a host, for tests of a plug-in: logs nothing, never stops.
    pub fn without_host() -> Self {
        Self { host: None }
    }

    /// Writes a line to the host's log.
    #[expect(unsafe_code, reason = "calls a function of the host's table")]
    pub fn log(&self, level: Level, text: &str) {
        let level = match level {
            Level::Error => DYB_LOG_ERROR,
            Level::Warn => DYB_LOG_WARN,
            Level::Info => DYB_LOG_INFO,
            Level::Debug => DYB_LOG_DEBUG,
        };
        if let Some((host, log)) = self.host.and_then(|host| Some((host, host.log?))) {
            // SAFETY: the host keeps its table and functions valid until destroy has returned.
            unsafe { log(host, level, text.as_ptr(), text.len()) }
        }
    }

    /// Does the host want this call to end soon?
    #[expect(unsafe_code, reason = "calls a function of the host's table")]
    pub fn should_stop(&self) -> bool {
        self.host
            .and_then(|host| Some((host, host.should_stop?)))
            .is_some_and(|(host, ask)| {
                // SAFETY: as in `log`.
                unsafe { ask(host) != 0 }
            })
    }
}

impl<'a> Context<'a> {
    pub(crate) fn of(host: Option<&'a dyb_host>) -> Self {
        Self { host }
    }
}

impl fmt::Debug for Context<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Context")
            .field("host", &self.host.is_some())
            .finish()
    }
}
