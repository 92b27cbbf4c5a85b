//! The two macros of a plug-in. They are two on purpose: a plug-in that is linked into the program
//! must not export the symbol (two of them would collide), so the symbol has a macro of its own
//! that only a library uses.

/// Defines `pub static PLUGIN`, the descriptor of a plug-in with these components.
///
/// The version is that of the crate in which the macro stands. Id, version and components must be
/// those of the manifest; the host compares.
#[macro_export]
macro_rules! plugin {
    (id: $id:literal, components: {
        $first:literal => $first_kind:ident $First:ty
        $(, $name:literal => $kind:ident $Type:ty)* $(,)?
    } $(,)?) => {
        /// The descriptor of this plug-in.
        pub static PLUGIN: $crate::abi::dyb_plugin = {
            #[derive(Debug)]
            struct Table;
            impl $crate::component::Components for Table {
                const TABLE: &'static [(&'static str, $crate::component::Create)] = &[
                    ($first, $crate::component!($first_kind $First)),
                    $(($name, $crate::component!($kind $Type)),)*
                ];
            }
            const DESCRIBE: &::core::ffi::CStr = $crate::describe(concat!(
                "{\"id\":\"", $id, "\",\"version\":\"", env!("CARGO_PKG_VERSION"),
                "\",\"components\":[{\"kind\":\"", stringify!($first_kind), "\",\"name\":\"",
                $first, "\",\"contract\":\"", stringify!($first_kind), "/1\"}",
                $(",{\"kind\":\"", stringify!($kind), "\",\"name\":\"", $name,
                "\",\"contract\":\"", stringify!($kind), "/1\"}",)*
                "]}\0"
            ));
            $crate::shim::descriptor::<Table>(DESCRIBE)
        };
    };
}

#[doc(hidden)]
#[macro_export]
macro_rules! component {
    (strategy $Type:ty) => {
        $crate::strategy::StrategyComponent::<$Type>::create
    };
    (importer $Type:ty) => {
        $crate::importer::ImporterComponent::<$Type>::create
    };
}

/// Exports the function by which a host finds this descriptor. Once in a library, never in a crate
/// that is linked into a program.
#[macro_export]
macro_rules! export_plugin {
    ($plugin:path) => {
        /// The function by which a host finds the plug-in.
        #[allow(unsafe_code, reason = "the name of the symbol is the contract")]
        #[unsafe(no_mangle)]
        pub extern "C" fn dyb_plugin_entry_v1() -> *const $crate::abi::dyb_plugin {
            &raw const $plugin
        }
    };
}

#[doc(hidden)]
pub const fn describe(text: &'static str) -> &'static core::ffi::CStr {
    match core::ffi::CStr::from_bytes_with_nul(text.as_bytes()) {
        Ok(text) => text,
        Err(_) => c"{}",
    }
}
