//! The layouts on both sides of the C border are one.
//!
//! Expected numbers: the header's own `_Static_assert`s (64-bit), written down by hand from the
//! System V ABI rules for these fields; the C side is compiled from the header and asked.

#![expect(
    clippy::unwrap_used,
    reason = "a test may stop at once, in its helpers too"
)]

use core::mem::{align_of, offset_of, size_of};
use std::path::Path;
use std::process::Command;

use dyebook_plugin_abi::*;

#[test]
fn sizes_and_places_are_those_of_abi_1_0() {
    assert_eq!(
        (size_of::<dyb_plugin>(), offset_of!(dyb_plugin, describe)),
        (56, 24)
    );
    assert_eq!((size_of::<dyb_out>(), size_of::<dyb_host>()), (24, 32));
    assert_eq!((size_of::<dyb_create>(), size_of::<dyb_call>()), (48, 56));
    assert_eq!((size_of::<dyb_bytes>(), align_of::<dyb_plugin>()), (16, 8));
}

/// A C program that prints every size and offset, one a line.
const DUMP: &str = r#"
#include "dyebook_plugin.h"
#include <stdio.h>
#define AT(t, f) printf(#t "." #f " %zu\n", offsetof(t, f))
int main(void) {
  AT(dyb_bytes, ptr); AT(dyb_bytes, len);
  AT(dyb_out, struct_size); AT(dyb_out, reserved); AT(dyb_out, ctx); AT(dyb_out, write);
  AT(dyb_host, struct_size); AT(dyb_host, abi_major); AT(dyb_host, abi_minor); AT(dyb_host, ctx);
  AT(dyb_host, log); AT(dyb_host, should_stop);
  AT(dyb_create, struct_size); AT(dyb_create, reserved); AT(dyb_create, host);
  AT(dyb_create, component); AT(dyb_create, config); AT(dyb_create, err);
  AT(dyb_call, struct_size); AT(dyb_call, op); AT(dyb_call, request); AT(dyb_call, blob);
  AT(dyb_call, out); AT(dyb_call, err);
  AT(dyb_plugin, magic); AT(dyb_plugin, struct_size); AT(dyb_plugin, abi_major);
  AT(dyb_plugin, abi_minor); AT(dyb_plugin, abi_minor_min); AT(dyb_plugin, reserved);
  AT(dyb_plugin, flags); AT(dyb_plugin, describe); AT(dyb_plugin, create); AT(dyb_plugin, call);
  AT(dyb_plugin, destroy);
  printf("status %d %d %d %d %d %d %d\n", DYB_E_INVALID, DYB_E_UNSUPPORTED, DYB_E_DATA,
         DYB_E_INTERNAL, DYB_E_PANIC, DYB_E_LIMIT, DYB_E_CANCELLED);
  printf("ops %d %d %d %d\n", DYB_OP_PREPARE, DYB_OP_MATCH, DYB_OP_PROBE, DYB_OP_IMPORT);
  return 0;
}
"#;

macro_rules! at {
    ($($structure:ident . $field:ident),* $(,)?) => {
        [$(format!("{}.{} {}", stringify!($structure), stringify!($field),
                   offset_of!($structure, $field))),*]
    };
}

#[test]
fn c_sees_the_same_offsets_and_numbers() {
    let folder = tempfile::tempdir().unwrap();
    let source = folder.path().join("dump.c");
    let program = folder.path().join("dump");
    std::fs::write(&source, DUMP).unwrap();
    compile(
        "cc",
        &["-std=c11"],
        &source,
        &["-o", program.to_str().unwrap()],
    );
    let printed = String::from_utf8(Command::new(&program).output().unwrap().stdout).unwrap();
    let mut expected: Vec<String> = at!(
        dyb_bytes.ptr,
        dyb_bytes.len,
        dyb_out.struct_size,
        dyb_out.reserved,
        dyb_out.ctx,
        dyb_out.write,
        dyb_host.struct_size,
        dyb_host.abi_major,
        dyb_host.abi_minor,
        dyb_host.ctx,
        dyb_host.log,
        dyb_host.should_stop,
        dyb_create.struct_size,
        dyb_create.reserved,
        dyb_create.host,
        dyb_create.component,
        dyb_create.config,
        dyb_create.err,
        dyb_call.struct_size,
        dyb_call.op,
        dyb_call.request,
        dyb_call.blob,
        dyb_call.out,
        dyb_call.err,
        dyb_plugin.magic,
        dyb_plugin.struct_size,
        dyb_plugin.abi_major,
        dyb_plugin.abi_minor,
        dyb_plugin.abi_minor_min,
        dyb_plugin.reserved,
        dyb_plugin.flags,
        dyb_plugin.describe,
        dyb_plugin.create,
        dyb_plugin.call,
        dyb_plugin.destroy,
    )
    .into();
    expected.push(format!(
        "status {DYB_E_INVALID} {DYB_E_UNSUPPORTED} {DYB_E_DATA} {DYB_E_INTERNAL} {DYB_E_PANIC} \
         {DYB_E_LIMIT} {DYB_E_CANCELLED}"
    ));
    expected.push(format!(
        "ops {DYB_OP_PREPARE} {DYB_OP_MATCH} {DYB_OP_PROBE} {DYB_OP_IMPORT}"
    ));
    assert_eq!(printed.lines().collect::<Vec<_>>(), expected);
}

#[test]
fn the_header_compiles_without_a_warning_as_c99_c11_and_cpp17() {
    let folder = tempfile::tempdir().unwrap();
    let object = folder.path().join("out.o");
    let c = folder.path().join("only.c");
    let cpp = folder.path().join("only.cpp");
    for file in [&c, &cpp] {
        std::fs::write(file, "#include \"dyebook_plugin.h\"\n").unwrap();
    }
    let out = ["-c", "-o", object.to_str().unwrap()];
    compile("cc", &["-std=c99"], &c, &out);
    compile("cc", &["-std=c11"], &c, &out);
    compile("c++", &["-std=c++17"], &cpp, &out);
}

fn compile(compiler: &str, standard: &[&str], source: &Path, rest: &[&str]) {
    let include = concat!(env!("CARGO_MANIFEST_DIR"), "/include");
    let ran = Command::new(compiler)
        .args(standard)
        .args(["-Wall", "-Wextra", "-Wpedantic", "-Werror", "-I", include])
        .arg(source)
        .args(rest)
        .output()
        .unwrap();
    assert!(
        ran.status.success(),
        "{}",
        String::from_utf8_lossy(&ran.stderr)
    );
}
