//! The functions behind a descriptor. Only [`plugin!`](crate::plugin!) needs them.
#![expect(
    unsafe_code,
    reason = "the border to C: pointers in, pointers out, no panic across"
)]

use std::any::Any;
use std::ffi::CStr;
use std::io::Write;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::slice;

use dyebook_plugin_abi::{
    DYB_ABI_MAJOR, DYB_ABI_MINOR, DYB_MAGIC, DYB_OK, dyb_bytes, dyb_call, dyb_create, dyb_host,
    dyb_instance, dyb_out, dyb_plugin, dyb_status,
};

use crate::component::{Call, Component, Components};
use crate::sink::Sink;
use crate::{Context, Error, Result};

struct Instance {
    component: Box<dyn Component>,
    host: *const dyb_host,
}

/// The descriptor of a plug-in with these components.
pub const fn descriptor<P: Components>(describe: &'static CStr) -> dyb_plugin {
    #[expect(clippy::cast_possible_truncation, reason = "56 fits")]
    let struct_size = size_of::<dyb_plugin>() as u32;
    dyb_plugin {
        magic: DYB_MAGIC,
        struct_size,
        abi_major: DYB_ABI_MAJOR,
        abi_minor: DYB_ABI_MINOR,
        abi_minor_min: 0,
        reserved: 0,
        flags: dyebook_plugin_abi::DYB_FLAG_PARALLEL_INSTANCES,
        describe: describe.as_ptr(),
        create: Some(create::<P>),
        call: Some(call),
        destroy: Some(destroy),
    }
}

unsafe extern "C" fn create<P: Components>(
    args: *const dyb_create,
    out: *mut *mut dyb_instance,
) -> dyb_status {
    // SAFETY: the host passes null or a structure that is valid during the call.
    let Some(args) = (unsafe { args.as_ref() }).filter(|_| !out.is_null()) else {
        return Error::invalid("").status();
    };
    let made = guarded(|| {
        if args.component.is_null() {
            return Err(Error::invalid("no component was named"));
        }
        // SAFETY: by the header, the name ends with NUL and lives through the call.
        let name = unsafe { CStr::from_ptr(args.component) }
            .to_str()
            .unwrap_or_default();
        let known = P::TABLE.iter().find(|(known, _)| *known == name);
        let (_, maker) =
            known.ok_or_else(|| Error::invalid(format!("there is no component `{name}`")))?;
        // SAFETY: by the header, the configuration is readable during the call.
        maker(unsafe { bytes(args.config) })
    });
    match made {
        Ok(component) => {
            let instance = Box::new(Instance {
                component,
                host: args.host,
            });
            // SAFETY: checked above not to be null; the host gave it to be written.
            unsafe { *out = Box::into_raw(instance).cast() };
            DYB_OK
        }
        // SAFETY: the error sink is null or valid during the call.
        Err(error) => unsafe { fail(args.err, &error) },
    }
}

unsafe extern "C" fn call(instance: *mut dyb_instance, call: *const dyb_call) -> dyb_status {
    // SAFETY: the host passes null or what `create` made, to one thread at a time.
    let instance = unsafe { instance.cast::<Instance>().as_mut() };
    // SAFETY: null or a structure that is valid during the call.
    let (Some(instance), Some(call)) = (instance, unsafe { call.as_ref() }) else {
        return Error::invalid("").status();
    };
    let done = guarded(|| {
        // SAFETY: by the header, bytes, sinks and the host's table are valid during the call.
        let mut given = unsafe {
            Call {
                op: call.op,
                request: bytes(call.request),
                blob: bytes(call.blob),
                context: Context::of(instance.host.as_ref()),
                out: Sink::new(call.out),
            }
        };
        instance.component.call(&mut given)?;
        given.finish()
    });
    match done {
        Ok(()) => DYB_OK,
        // SAFETY: the error sink is null or valid during the call.
        Err(error) => unsafe { fail(call.err, &error) },
    }
}

unsafe extern "C" fn destroy(instance: *mut dyb_instance) {
    if !instance.is_null() {
        // SAFETY: the host passes what `create` made, once.
        let instance = unsafe { Box::from_raw(instance.cast::<Instance>()) };
        // Nobody is left to tell about a panic in a destructor.
        let _ = guarded(|| {
            drop(instance);
            Ok(())
        });
    }
}

unsafe fn bytes<'a>(bytes: dyb_bytes) -> &'a [u8] {
    if bytes.ptr.is_null() {
        return &[];
    }
    // SAFETY: the caller vouches for the pointer and the length.
    unsafe { slice::from_raw_parts(bytes.ptr, bytes.len) }
}

unsafe fn fail(err: *mut dyb_out, error: &Error) -> dyb_status {
    // SAFETY: the caller vouches for the sink.
    let mut sink = unsafe { Sink::new(err) };
    // A text that the host does not take is lost; the status still says what happened.
    let _ = sink
        .write_all(error.to_string().as_bytes())
        .and_then(|()| sink.flush());
    error.status()
}

fn guarded<T>(run: impl FnOnce() -> Result<T>) -> Result<T> {
    // What a panic may have left half done is never used again: the host ends the instance.
    catch_unwind(AssertUnwindSafe(run))
        .unwrap_or_else(|panic| Err(Error::panic(panic_text(&*panic))))
}

/// What a panic said.
pub(crate) fn panic_text(panic: &(dyn Any + Send)) -> String {
    let text = panic.downcast_ref::<&str>().copied();
    let text = text.or_else(|| panic.downcast_ref::<String>().map(String::as_str));
    format!("panic: {}", text.unwrap_or("without a text"))
}
