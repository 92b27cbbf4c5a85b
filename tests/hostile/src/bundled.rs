//! What the worker of these tests has linked in: the plug-ins of dyebook, and two that panic.

use dyebook_plugin::strategy::{Answer, Question, ReferenceSet, Strategy};
use dyebook_plugin_abi::{
    DYB_OP_MATCH, DYB_OP_MATCH_BINARY, dyb_call, dyb_instance, dyb_plugin, dyb_status,
};
use dyebook_plugin_host::Bundled;

/// All of them.
pub const BUNDLED: Bundled = &[
    (
        &dyebook_strategy_range::PLUGIN,
        dyebook_strategy_range::MANIFEST,
    ),
    (
        &dyebook_strategy_nearest::PLUGIN,
        dyebook_strategy_nearest::MANIFEST,
    ),
    (
        &dyebook_importer_sheet::PLUGIN,
        dyebook_importer_sheet::MANIFEST,
    ),
    (
        &dyebook_importer_json::PLUGIN,
        dyebook_importer_json::MANIFEST,
    ),
    (&PLUGIN, PANICS),
    (&RAW, RAW_PANICS),
];

const PANICS: &str = r#"{ "manifest": 1, "id": "dyebook.panics", "name": "Panics",
    "version": "0.1.0", "license": "Apache-2.0", "abi": "1.0", "components":
    [ { "kind": "strategy", "name": "panics", "contract": "strategy/1" } ] }"#;

const RAW_PANICS: &str = r#"{ "manifest": 1, "id": "dyebook.raw-panics", "name": "Panics across C",
    "version": "0.1.0", "license": "Apache-2.0", "abi": "1.0", "components":
    [ { "kind": "strategy", "name": "raw-panics", "contract": "strategy/1" } ] }"#;

/// Panics at the lane `poison`, and answers the others.
#[derive(Debug)]
pub struct Panics;

impl Strategy for Panics {
    type Config = std::collections::BTreeMap<String, String>;

    fn prepare(_config: &Self::Config, _set: ReferenceSet) -> dyebook_plugin::Result<Self> {
        Ok(Self)
    }

    fn match_lane(&self, question: &Question<'_>) -> dyebook_plugin::Result<Answer> {
        assert!(question.lane.id != "poison", "boom at {}", question.lane.id);
        Ok(Answer::default())
    }
}

dyebook_plugin::plugin! {
    id: "dyebook.panics", components: { "panics" => strategy Panics }
}

mod raw {
    dyebook_plugin::plugin! {
        id: "dyebook.raw-panics", components: { "raw-panics" => strategy super::Panics }
    }
}

/// The same, but its `call` lets the panic reach the border to C.
pub(crate) static RAW: dyb_plugin = dyb_plugin {
    magic: raw::PLUGIN.magic,
    struct_size: raw::PLUGIN.struct_size,
    abi_major: raw::PLUGIN.abi_major,
    abi_minor: raw::PLUGIN.abi_minor,
    abi_minor_min: raw::PLUGIN.abi_minor_min,
    reserved: 0,
    flags: 0,
    describe: raw::PLUGIN.describe,
    create: raw::PLUGIN.create,
    call: Some(raw_call),
    destroy: raw::PLUGIN.destroy,
};

#[expect(
    unsafe_code,
    reason = "passes the call on, or panics where it must not"
)]
unsafe extern "C" fn raw_call(instance: *mut dyb_instance, call: *const dyb_call) -> dyb_status {
    // SAFETY: the host passes a valid call.
    let given = unsafe { &*call };
    // SAFETY: by the header, the request is readable during the call.
    let request = unsafe { std::slice::from_raw_parts(given.request.ptr, given.request.len) };
    let poisoned = request.windows(6).any(|bytes| bytes == b"poison");
    let asked = matches!(given.op, DYB_OP_MATCH | DYB_OP_MATCH_BINARY);
    assert!(!(asked && poisoned), "boom across the border");
    let call_on = raw::PLUGIN.call.unwrap_or(raw_call);
    // SAFETY: the host's own arguments.
    unsafe { call_on(instance, call) }
}
