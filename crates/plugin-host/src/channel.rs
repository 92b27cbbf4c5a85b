//! One way to call a component, wherever it runs.

use std::fmt;
use std::time::Instant;

use dyebook_plugin_abi::DYB_OK;

use crate::failure::Failure;
use crate::instance::{Instance, Returned};
use crate::limits::Limits;

/// One call.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Call<'a> {
    pub(crate) op: u32,
    pub(crate) request: &'a [u8],
    pub(crate) blob: &'a [u8],
    /// How many items it is about, which its time depends on.
    pub(crate) items: usize,
}

/// An instance of a component that can be called.
pub(crate) trait Channel: Send + fmt::Debug {
    /// The bytes of the answer, not yet looked at.
    fn call(&mut self, call: Call<'_>) -> Result<Vec<u8>, Failure>;
    /// The end of what the plug-in said beside its answers.
    fn log_tail(&self) -> String;
    /// How the plug-in is kept apart, in words.
    fn sandbox(&self) -> String;
    /// Is it time to start another one?
    fn is_worn(&mut self) -> bool {
        false
    }
}

/// A component that is linked into the program.
#[derive(Debug)]
pub(crate) struct InProcess {
    pub(crate) instance: Instance,
    pub(crate) limits: Limits,
}

impl Channel for InProcess {
    fn call(&mut self, call: Call<'_>) -> Result<Vec<u8>, Failure> {
        let deadline = Instant::now() + self.limits.budget(call.items);
        let most = self.limits.output_bytes();
        judge(
            self.instance
                .call(call.op, call.request, call.blob, most, Some(deadline)),
            most,
        )
    }

    fn log_tail(&self) -> String {
        self.instance.log_tail()
    }

    fn sandbox(&self) -> String {
        "in process".into()
    }
}

/// The answer, or why there is none.
pub(crate) fn judge(returned: Returned, most_out: usize) -> Result<Vec<u8>, Failure> {
    if returned.refused {
        return Err(Failure::OutputLimit {
            bytes: most_out as u64,
        });
    }
    if returned.status == DYB_OK {
        return Ok(returned.out);
    }
    let text = String::from_utf8_lossy(&returned.err).into_owned();
    let text = if text.is_empty() {
        "it gave no text".into()
    } else {
        text
    };
    Err(Failure::Error {
        status: returned.status,
        text,
    })
}
