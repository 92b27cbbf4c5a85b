//! From a library's file to a descriptor: read once, compare, seal, load.
#![expect(
    unsafe_code,
    reason = "loading a library is trust; the digest says whose"
)]

use std::fs::File;
use std::io::{Read, Write};
use std::mem::ManuallyDrop;
use std::os::fd::{AsRawFd, OwnedFd};
use std::path::Path;

use dyebook_plugin_abi::{DYB_ENTRY, dyb_entry};
use libloading::os::unix::{Library, RTLD_LOCAL, RTLD_NOW};
use rustix::fs::{MemfdFlags, OFlags, SealFlags, fcntl_add_seals, memfd_create};

use crate::check::{Descriptor, check};
use crate::digest::sha256_hex;
use crate::failure::{Failure, Stage};

/// No plug-in is larger; a sparse file is refused before it is read.
pub(crate) const MOST_BYTES: u64 = 256 * 1024 * 1024;

/// A sealed copy of bytes whose digest was right.
#[derive(Debug)]
pub(super) struct Sealed {
    copy: OwnedFd,
}

/// Reads a library once, compares exactly these bytes and copies them to memory that nobody can
/// write to any more: what happens to the file afterwards changes nothing.
pub(super) fn seal(path: &str, size: u64, sha256: &str) -> Result<Sealed, Failure> {
    let bytes = read(Path::new(path), size).map_err(|text| Failure::LoadFailed {
        stage: Stage::Open,
        text,
    })?;
    let found = sha256_hex(&bytes);
    if found != sha256 {
        return Err(Failure::Changed {
            part: "library".into(),
            approved: sha256.into(),
            found,
        });
    }
    copy(&bytes).map_err(|error| Failure::LoadFailed {
        stage: Stage::Open,
        text: format!("its sealed copy could not be made: {error}"),
    })
}

fn read(path: &Path, size: u64) -> Result<Vec<u8>, String> {
    let flags = OFlags::RDONLY | OFlags::NOFOLLOW | OFlags::CLOEXEC | OFlags::NONBLOCK;
    let file = rustix::fs::open(path, flags, rustix::fs::Mode::empty())
        .map_err(|error| format!("`{}`: {error}", path.display()))?;
    let file = File::from(file);
    let found = file.metadata().map_err(|error| error.to_string())?;
    if !found.is_file() {
        return Err(format!("`{}` is no regular file", path.display()));
    }
    if found.len() != size || size > MOST_BYTES {
        return Err(format!(
            "it has {} bytes, expected were {size}",
            found.len()
        ));
    }
    let mut bytes = Vec::new();
    file.take(size + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| error.to_string())?;
    Ok(bytes)
}

fn copy(bytes: &[u8]) -> std::io::Result<Sealed> {
    let flags = MemfdFlags::CLOEXEC | MemfdFlags::ALLOW_SEALING;
    let copy = memfd_create("dyebook-plugin", flags)?;
    let mut file = File::from(copy);
    file.write_all(bytes)?;
    let seals = SealFlags::WRITE | SealFlags::GROW | SealFlags::SHRINK | SealFlags::SEAL;
    fcntl_add_seals(&file, seals)?;
    Ok(Sealed { copy: file.into() })
}

/// Loads the sealed copy and looks at its descriptor. The library is never unloaded: its thread
/// destructors would be left pointing nowhere.
pub(super) fn load(sealed: Sealed) -> Result<(Descriptor, bool), Failure> {
    let failed = |stage: Stage, text: String| Failure::LoadFailed { stage, text };
    let path = format!("/proc/self/fd/{}", sealed.copy.as_raw_fd());
    let flags = RTLD_NOW | RTLD_LOCAL | libc::RTLD_NODELETE;
    // SAFETY: the code was approved by its digest, and this process is confined around it.
    let library = unsafe { Library::open(Some(&path), flags) }
        .map_err(|error| failed(Stage::Dlopen, said(&error, &path)))?;
    let library = ManuallyDrop::new(library);
    // A plug-in that scribbles on file descriptors must not meet its own code there.
    drop(sealed);
    // SAFETY: the header fixes the function's type.
    let entry = unsafe { library.get::<dyb_entry>(DYB_ENTRY) }.map_err(|_missing| {
        failed(
            Stage::Symbol,
            format!("the function `{DYB_ENTRY}` is not exported"),
        )
    })?;
    // SAFETY: by the header, the function is cheap and returns a static table or null.
    let (first, second) = unsafe { (entry(), entry()) };
    // SAFETY: as the header promises; a table that breaks the promise ends this process only.
    let descriptor = unsafe { check(first) }?;
    Ok((descriptor, std::ptr::eq(first, second)))
}

/// What the loader said, without the name of our copy.
fn said(error: &libloading::Error, path: &str) -> String {
    let said =
        std::error::Error::source(error).map_or_else(|| error.to_string(), ToString::to_string);
    said.replace(&format!("{path}: "), "")
        .replace(path, "the library")
}
