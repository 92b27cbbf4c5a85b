#![no_main]
#![allow(dead_code, reason = "each target uses one of the doors")]

#[path = "../../nothing_lost/bad_input/targets.rs"]
mod targets;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    targets::plugin_answer_binary(bytes);
});
