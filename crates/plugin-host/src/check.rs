//! Is what an entry function returned a descriptor that this host can use?
#![expect(unsafe_code, reason = "reads a table that another language filled")]

use std::ffi::c_char;

use dyebook_plugin_abi::{DYB_ABI_MAJOR, DYB_ABI_MINOR, DYB_MAGIC, dyb_plugin};

use crate::failure::{Failure, Stage, Versioned};
use crate::limits::MOST_DESCRIBE_BYTES;

/// A descriptor that was looked at.
#[derive(Clone, Debug)]
pub(crate) struct Descriptor {
    pub(crate) table: &'static dyb_plugin,
    pub(crate) describe: String,
}

/// Looks at a descriptor in the order in which its fields may be believed.
///
/// # Safety
/// `table` is null or points at 24 readable bytes, and at as many as its `struct_size` says; all
/// that it points at lives as long as the process.
pub(crate) unsafe fn check(table: *const dyb_plugin) -> Result<Descriptor, Failure> {
    let refused = |text: String| Failure::LoadFailed {
        stage: Stage::Abi,
        text,
    };
    let other_abi = |text: String| Failure::Incompatible {
        part: Versioned::Abi,
        text,
    };
    if table.is_null() || !table.is_aligned() {
        return Err(refused("the entry function returned no descriptor".into()));
    }
    // SAFETY: these fields are in the 24 bytes that every major has.
    let (magic, size, major, minimum, reserved) = unsafe {
        (
            (*table).magic,
            (*table).struct_size,
            (*table).abi_major,
            (*table).abi_minor_min,
            (*table).reserved,
        )
    };
    if magic != DYB_MAGIC {
        return Err(refused(
            "the descriptor does not begin with its magic".into(),
        ));
    }
    if major != DYB_ABI_MAJOR {
        return Err(other_abi(format!(
            "it speaks ABI {major} and this host {DYB_ABI_MAJOR}"
        )));
    }
    if minimum > DYB_ABI_MINOR {
        return Err(other_abi(format!(
            "it needs ABI {major}.{minimum} and this host has {DYB_ABI_MAJOR}.{DYB_ABI_MINOR}"
        )));
    }
    if (size as usize) < size_of::<dyb_plugin>() {
        return Err(refused(format!(
            "the descriptor has {size} bytes, fewer than the {} of ABI 1.0",
            size_of::<dyb_plugin>()
        )));
    }
    if reserved != 0 {
        return Err(refused(
            "a reserved field of the descriptor is not 0".into(),
        ));
    }
    // SAFETY: the size was just seen to cover the whole structure.
    let table: &'static dyb_plugin = unsafe { &*table };
    if table.create.is_none() || table.call.is_none() || table.destroy.is_none() {
        return Err(refused("a function of the descriptor is missing".into()));
    }
    // SAFETY: by the header, `describe` is null or ends with NUL.
    let describe = unsafe { text(table.describe) }.map_err(refused)?;
    Ok(Descriptor { table, describe })
}

/// Reads a text up to its NUL, but never past the longest that is allowed.
unsafe fn text(start: *const c_char) -> Result<String, String> {
    if start.is_null() {
        return Err("`describe` is missing".into());
    }
    let mut bytes = Vec::new();
    for place in 0..=MOST_DESCRIBE_BYTES {
        // SAFETY: every byte up to and with the NUL is readable, and none is read beyond it.
        let byte = unsafe { start.cast::<u8>().add(place).read() };
        if byte == 0 {
            return String::from_utf8(bytes)
                .map_err(|error| format!("`describe` is not UTF-8: {error}"));
        }
        bytes.push(byte);
    }
    Err(format!(
        "`describe` is longer than {} KiB",
        MOST_DESCRIBE_BYTES / 1024
    ))
}
