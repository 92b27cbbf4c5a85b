//! The C table between dyebook and a plug-in, as Rust sees it.
//!
//! The hand-written header [`HEADER`] is the source of truth; the structures here have its names
//! and its layout, and the tests compare the two. The rules that go with them (who owns what, what
//! a sink promises, threads, state) stand at the head of that header.
#![no_std]
#![expect(
    non_camel_case_types,
    reason = "the names are those of the C header, so that a search finds both sides"
)]

use core::ffi::{c_char, c_void};

/// The C header, for `plugin new` and for the layout tests.
pub const HEADER: &str = include_str!("../include/dyebook_plugin.h");

/// Major of this ABI: also in the name of the exported function.
pub const DYB_ABI_MAJOR: u16 = 1;
/// Minor of this ABI: grows when fields, operations or flags are appended.
pub const DYB_ABI_MINOR: u16 = 1;
/// The first eight bytes of every descriptor.
pub const DYB_MAGIC: [u8; 8] = *b"DYEBOOK1";
/// Name of the function a library exports.
pub const DYB_ENTRY: &str = "dyb_plugin_entry_v1";

/// 0 done, negative failed, positive is a fault of the plug-in.
pub type dyb_status = i32;
/// Done.
pub const DYB_OK: dyb_status = 0;
/// Called out of order, or with arguments that make no sense.
pub const DYB_E_INVALID: dyb_status = -1;
/// An operation this component does not have.
pub const DYB_E_UNSUPPORTED: dyb_status = -2;
/// The data given can't be used; the error text says why.
pub const DYB_E_DATA: dyb_status = -3;
/// The plug-in's own bug.
pub const DYB_E_INTERNAL: dyb_status = -4;
/// A panic or exception was caught at the border.
pub const DYB_E_PANIC: dyb_status = -5;
/// A sink refused, or a limit of the plug-in's own was reached.
pub const DYB_E_LIMIT: dyb_status = -6;
/// The host asked to stop.
pub const DYB_E_CANCELLED: dyb_status = -7;

/// Strategy: take in the reference set of one method version.
pub const DYB_OP_PREPARE: u32 = 1;
/// Strategy: answer lanes.
pub const DYB_OP_MATCH: u32 = 2;
/// Importer: is this file one of yours?
pub const DYB_OP_PROBE: u32 = 3;
/// Importer: read this file.
pub const DYB_OP_IMPORT: u32 = 4;
/// Strategy: answer lanes, asked and answered in binary (since 1.1).
pub const DYB_OP_MATCH_BINARY: u32 = 5;
/// Importer: read this file, asked and answered in binary (since 1.1).
pub const DYB_OP_IMPORT_BINARY: u32 = 6;

/// Log level: something failed.
pub const DYB_LOG_ERROR: u32 = 1;
/// Log level: something looks wrong.
pub const DYB_LOG_WARN: u32 = 2;
/// Log level: worth knowing.
pub const DYB_LOG_INFO: u32 = 3;
/// Log level: for the plug-in author.
pub const DYB_LOG_DEBUG: u32 = 4;

/// Two instances may be called by two threads at the same time.
pub const DYB_FLAG_PARALLEL_INSTANCES: u32 = 0x1;

/// Borrowed bytes, valid during the call.
#[repr(C)]
#[derive(Clone, Copy, Debug)]
pub struct dyb_bytes {
    /// First byte, or null when empty.
    pub ptr: *const u8,
    /// How many.
    pub len: usize,
}

/// A sink of the host: the only way a plug-in hands bytes over.
#[repr(C)]
#[derive(Debug)]
pub struct dyb_out {
    /// Size of this structure as the host was built.
    pub struct_size: u32,
    /// 0.
    pub reserved: u32,
    /// The host's own.
    pub ctx: *mut c_void,
    /// Takes all bytes or none.
    pub write: Option<unsafe extern "C" fn(*mut dyb_out, *const u8, usize) -> dyb_status>,
}

/// What the host does for a plug-in.
#[repr(C)]
#[derive(Debug)]
pub struct dyb_host {
    /// Size of this structure as the host was built.
    pub struct_size: u32,
    /// The host's ABI major.
    pub abi_major: u16,
    /// The host's ABI minor.
    pub abi_minor: u16,
    /// The host's own.
    pub ctx: *mut c_void,
    /// Writes a line to the host's log.
    pub log: Option<unsafe extern "C" fn(*const dyb_host, u32, *const u8, usize)>,
    /// Not 0 when the plug-in should return [`DYB_E_CANCELLED`] soon.
    pub should_stop: Option<unsafe extern "C" fn(*const dyb_host) -> i32>,
}

/// The plug-in's own state, opaque to the host.
#[repr(C)]
#[derive(Debug)]
pub struct dyb_instance {
    opaque: [u8; 0],
}

/// Arguments of `create`.
#[repr(C)]
#[derive(Debug)]
pub struct dyb_create {
    /// Size of this structure as the host was built.
    pub struct_size: u32,
    /// 0.
    pub reserved: u32,
    /// Valid until `destroy` has returned.
    pub host: *const dyb_host,
    /// A component's name, ending with NUL.
    pub component: *const c_char,
    /// A JSON object that fits the component's `config_schema`.
    pub config: dyb_bytes,
    /// For the text of a failure.
    pub err: *mut dyb_out,
}

/// Arguments of `call`.
#[repr(C)]
#[derive(Debug)]
pub struct dyb_call {
    /// Size of this structure as the host was built.
    pub struct_size: u32,
    /// One of the `DYB_OP_…`.
    pub op: u32,
    /// JSON in UTF-8.
    pub request: dyb_bytes,
    /// Bytes of a file, or null and 0.
    pub blob: dyb_bytes,
    /// For the JSON of the answer.
    pub out: *mut dyb_out,
    /// For the text of a failure.
    pub err: *mut dyb_out,
}

/// The descriptor a library returns from its entry function.
#[repr(C)]
#[derive(Debug)]
pub struct dyb_plugin {
    /// [`DYB_MAGIC`].
    pub magic: [u8; 8],
    /// Size of this structure as the plug-in was built.
    pub struct_size: u32,
    /// Major of the header the plug-in was built with.
    pub abi_major: u16,
    /// Minor of the header the plug-in was built with.
    pub abi_minor: u16,
    /// The oldest host minor the plug-in can live with.
    pub abi_minor_min: u16,
    /// 0.
    pub reserved: u16,
    /// `DYB_FLAG_…`.
    pub flags: u32,
    /// Static JSON ending with NUL, at most 64 KiB.
    pub describe: *const c_char,
    /// Makes an instance of a component.
    pub create:
        Option<unsafe extern "C" fn(*const dyb_create, *mut *mut dyb_instance) -> dyb_status>,
    /// Answers one request.
    pub call: Option<unsafe extern "C" fn(*mut dyb_instance, *const dyb_call) -> dyb_status>,
    /// Ends an instance.
    pub destroy: Option<unsafe extern "C" fn(*mut dyb_instance)>,
}

#[expect(
    unsafe_code,
    reason = "a static that holds a pointer needs it; it is the table's own promise"
)]
// SAFETY: a descriptor is never written after it was made, and what it points at is static.
unsafe impl Sync for dyb_plugin {}

/// Type of the exported function.
pub type dyb_entry = unsafe extern "C" fn() -> *const dyb_plugin;
