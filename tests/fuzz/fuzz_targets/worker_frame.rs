#![no_main]
#![allow(dead_code, reason = "each target uses one of the doors")]

#[path = "../../nothing_lost/bad_input/targets.rs"]
mod targets;

libfuzzer_sys::fuzz_target!(
    // A pipe whose reader is gone is an error to a program of Rust, and the end of one of C++.
    init: {
        // SAFETY: no other thread runs yet.
        unsafe { libc::signal(libc::SIGPIPE, libc::SIG_IGN) };
    },
    |bytes: &[u8]| {
        targets::worker_frame(bytes);
    }
);
