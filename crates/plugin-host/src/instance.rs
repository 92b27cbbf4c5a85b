//! An instance of a component behind the C table: the same for a plug-in that is linked in and for
//! one that a worker loaded.
#![expect(unsafe_code, reason = "calls through the C table")]

use std::ffi::{CString, c_void};
use std::fmt;
use std::io::Write;
use std::ptr;
use std::slice;
use std::time::Instant;

use dyebook_plugin_abi::{
    DYB_ABI_MAJOR, DYB_ABI_MINOR, DYB_E_INVALID, DYB_E_LIMIT, DYB_LOG_DEBUG, DYB_LOG_ERROR,
    DYB_LOG_INFO, DYB_LOG_WARN, DYB_OK, DYB_OP_IMPORT, DYB_OP_IMPORT_BINARY, dyb_bytes, dyb_call,
    dyb_create, dyb_host, dyb_instance, dyb_out, dyb_plugin, dyb_status,
};
use std::sync::{Mutex, PoisonError};

use crate::limits::{MOST_ERROR_BYTES, MOST_REFUSAL_BYTES};
use crate::log::Log;

/// What a function of the table returned and wrote.
#[derive(Debug)]
pub(crate) struct Returned {
    pub(crate) status: dyb_status,
    pub(crate) out: Vec<u8>,
    pub(crate) err: Vec<u8>,
    /// The output sink refused: the answer is lost whatever the status says.
    pub(crate) refused: bool,
}

/// An instance, destroyed with this value.
pub(crate) struct Instance {
    table: &'static dyb_plugin,
    raw: *mut dyb_instance,
    services: Box<Services>,
}

// SAFETY: by the header an instance may be called by any thread, as long as it is one at a time,
// which `&mut self` makes sure of.
unsafe impl Send for Instance {}

/// What the host does for an instance. Its address must not change while the instance lives.
struct Services {
    host: dyb_host,
    state: Mutex<State>,
}

#[derive(Default)]
struct State {
    log: Log,
    /// Write log lines to standard error at once, which in a worker is the host's log: what was
    /// said before a crash is then not lost.
    echo: bool,
    deadline: Option<Instant>,
}

impl Instance {
    /// Makes an instance of a component. The table must have passed `check`.
    pub(crate) fn create(
        table: &'static dyb_plugin,
        component: &str,
        config: &[u8],
    ) -> Result<Self, Returned> {
        let invalid = |text: &str| Returned {
            status: DYB_E_INVALID,
            out: Vec::new(),
            err: text.as_bytes().to_vec(),
            refused: false,
        };
        let component = CString::new(component).map_err(|_nul| invalid("a NUL in the name"))?;
        let services = Services::new();
        let mut err = Sink::new(MOST_ERROR_BYTES);
        let mut err_out = err.as_out();
        let args = dyb_create {
            struct_size: size(size_of::<dyb_create>()),
            reserved: 0,
            host: &raw const services.host,
            component: component.as_ptr(),
            config: borrowed(config),
            err: &raw mut err_out,
        };
        let mut raw = ptr::null_mut();
        let create = table.create.ok_or_else(|| invalid("no `create`"))?;
        // SAFETY: all arguments live through the call; the host's table lives as long as `self`.
        let status = unsafe { create(&raw const args, &raw mut raw) };
        if status != DYB_OK {
            return Err(Returned {
                status,
                out: Vec::new(),
                err: err.taken,
                refused: false,
            });
        }
        if raw.is_null() {
            return Err(invalid("`create` returned 0 and no instance"));
        }
        Ok(Self {
            table,
            raw,
            services,
        })
    }

    /// Calls the instance.
    pub(crate) fn call(
        &mut self,
        op: u32,
        request: &[u8],
        blob: &[u8],
        most_out: usize,
        deadline: Option<Instant>,
    ) -> Returned {
        self.services.lock().deadline = deadline;
        let mut out = Sink::new(most_out);
        let mut err = Sink::new(error_bytes(op));
        let (mut out_out, mut err_out) = (out.as_out(), err.as_out());
        let call = dyb_call {
            struct_size: size(size_of::<dyb_call>()),
            op,
            request: borrowed(request),
            blob: borrowed(blob),
            out: &raw mut out_out,
            err: &raw mut err_out,
        };
        let status = match self.table.call {
            // SAFETY: the instance is the plug-in's own; all arguments live through the call.
            Some(function) => unsafe { function(self.raw, &raw const call) },
            None => DYB_E_INVALID,
        };
        Returned {
            status,
            out: out.taken,
            err: err.taken,
            refused: out.refused,
        }
    }

    /// The end of what the instance logged.
    pub(crate) fn log_tail(&self) -> String {
        self.services.lock().log.tail()
    }

    /// Writes log lines to standard error from now on.
    pub(crate) fn echo_log(&mut self) {
        self.services.lock().echo = true;
    }
}

impl Drop for Instance {
    fn drop(&mut self) {
        if let Some(destroy) = self.table.destroy {
            // SAFETY: `raw` came from `create` and is destroyed once.
            unsafe { destroy(self.raw) }
        }
    }
}

impl fmt::Debug for Instance {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Instance").finish_non_exhaustive()
    }
}

/// How much error text an operation may write.
pub(crate) fn error_bytes(op: u32) -> usize {
    match op {
        DYB_OP_IMPORT | DYB_OP_IMPORT_BINARY => MOST_REFUSAL_BYTES,
        _ => MOST_ERROR_BYTES,
    }
}

impl Services {
    #[expect(clippy::unnecessary_box_returns, reason = "its address is handed out")]
    fn new() -> Box<Self> {
        let mut services = Box::new(Self {
            host: dyb_host {
                struct_size: size(size_of::<dyb_host>()),
                abi_major: DYB_ABI_MAJOR,
                abi_minor: DYB_ABI_MINOR,
                ctx: ptr::null_mut(),
                log: Some(log),
                should_stop: Some(should_stop),
            },
            state: Mutex::default(),
        });
        services.host.ctx = (&raw const services.state).cast_mut().cast();
        services
    }

    fn lock(&self) -> std::sync::MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// Finds the state behind the pointer that a plug-in hands back.
unsafe fn state<'a>(host: *const dyb_host) -> Option<&'a Mutex<State>> {
    // SAFETY: the plug-in passes the table it was given, which lives as long as the instance.
    unsafe { host.as_ref()?.ctx.cast::<Mutex<State>>().as_ref() }
}

unsafe extern "C" fn log(host: *const dyb_host, level: u32, text: *const u8, len: usize) {
    // SAFETY: by the header.
    let Some(state) = (unsafe { state(host) }).filter(|_| !text.is_null()) else {
        return;
    };
    let level = match level {
        DYB_LOG_ERROR => "error",
        DYB_LOG_WARN => "warn",
        DYB_LOG_INFO => "info",
        DYB_LOG_DEBUG => "debug",
        _ => "log",
    };
    // SAFETY: by the header the text is readable during the call.
    let text = unsafe { slice::from_raw_parts(text, len) };
    let mut state = state.lock().unwrap_or_else(PoisonError::into_inner);
    let line = [level.as_bytes(), b": ", text, b"\n"].concat();
    if state.echo {
        // A log that nobody reads any more is no reason to fail.
        let _ = std::io::stderr().write_all(&line);
    } else {
        state.log.write(&line);
    }
}

unsafe extern "C" fn should_stop(host: *const dyb_host) -> i32 {
    // SAFETY: by the header.
    let Some(state) = (unsafe { state(host) }) else {
        return 0;
    };
    let deadline = state
        .lock()
        .unwrap_or_else(PoisonError::into_inner)
        .deadline;
    i32::from(deadline.is_some_and(|deadline| Instant::now() >= deadline))
}

/// A sink: takes up to so many bytes and none after a refusal.
struct Sink {
    taken: Vec<u8>,
    most: usize,
    refused: bool,
}

impl Sink {
    fn new(most: usize) -> Self {
        Self {
            taken: Vec::new(),
            most,
            refused: false,
        }
    }

    fn as_out(&mut self) -> dyb_out {
        dyb_out {
            struct_size: size(size_of::<dyb_out>()),
            reserved: 0,
            ctx: ptr::from_mut(self).cast::<c_void>(),
            write: Some(write),
        }
    }
}

unsafe extern "C" fn write(out: *mut dyb_out, data: *const u8, len: usize) -> dyb_status {
    // SAFETY: the plug-in passes the sink it was given, during the call.
    let sink = unsafe { out.as_ref().and_then(|out| out.ctx.cast::<Sink>().as_mut()) };
    let Some(sink) = sink else {
        return DYB_E_INVALID;
    };
    if len == 0 && !sink.refused {
        return DYB_OK;
    }
    if data.is_null() {
        return DYB_E_INVALID;
    }
    if sink.refused || len > sink.most - sink.taken.len() {
        sink.refused = true;
        return DYB_E_LIMIT;
    }
    // SAFETY: by the header the data is readable during the call.
    sink.taken
        .extend_from_slice(unsafe { slice::from_raw_parts(data, len) });
    DYB_OK
}

fn borrowed(bytes: &[u8]) -> dyb_bytes {
    let ptr = if bytes.is_empty() {
        ptr::null()
    } else {
        bytes.as_ptr()
    };
    dyb_bytes {
        ptr,
        len: bytes.len(),
    }
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "sizes of these structures are below 100"
)]
fn size(of: usize) -> u32 {
    of as u32
}
