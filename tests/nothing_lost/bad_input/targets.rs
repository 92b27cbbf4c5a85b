//! Bytes from anywhere into each door of the program, without the program around it. What comes
//! back is taken or refused in words; a panic, or a refusal that calls itself a mistake of ours,
//! stops the test. The fuzz targets of `tests/fuzz` call the same functions.

use dyebook_documents::Composition;
use dyebook_methods::composition::canonical;
use dyebook_plugin::strategy::{MatchRequest, ReferenceSet};
use dyebook_plugin_host::{Plugins, Settings, kit};
use dyebook_schemas::{catalogue, check_text};
use dyebook_testkit::{TemporaryLibrary, stamp};
use dyebook_workflows::{
    BUNDLED, Failure, FailureClass, HandedIn, Replacement, Unwatched, add_dye, check_method,
    import_bundle, import_sheets, read_file,
};
use std::cell::RefCell;

/// A door: its name is that of its corpus's folder.
pub(crate) struct Target {
    /// What comes in.
    pub(crate) name: &'static str,
    /// Takes it. Answers whether it was taken.
    pub(crate) run: fn(&[u8]) -> bool,
}

/// All doors.
pub(crate) const TARGETS: &[Target] = &[
    Target {
        name: "bundle",
        run: bundle,
    },
    Target {
        name: "composition",
        run: composition,
    },
    Target {
        name: "dye_document",
        run: dye_document,
    },
    Target {
        name: "method_document",
        run: method_document,
    },
    Target {
        name: "plugin_answer",
        run: plugin_answer,
    },
    Target {
        name: "plugin_answer_binary",
        run: plugin_answer_binary,
    },
    Target {
        name: "sheet_document",
        run: sheet_document,
    },
    Target {
        name: "sheet_file",
        run: sheet_file,
    },
    Target {
        name: "worker_frame",
        run: worker_frame,
    },
];

thread_local! {
    static LAB: RefCell<TemporaryLibrary> =
        RefCell::new(TemporaryLibrary::new().approved("harrow-saline@1.0.0"));
}

/// A refusal must be one: words, a name, and no mistake of ours.
fn is_refusal(failure: &Failure) {
    assert!(
        !failure.message.is_empty() && failure.id.contains('.'),
        "{failure:?}"
    );
    assert_eq!(failure.class, FailureClass::Refused, "{failure:?}");
    let known_to_rust = ["Err(", "Some(", "None)", "unwrap", "panicked"];
    assert!(
        !known_to_rust
            .iter()
            .any(|word| failure.message.contains(word)),
        "{failure:?}"
    );
}

fn taken<T>(result: &Result<T, Failure>) -> bool {
    if let Err(failure) = result {
        is_refusal(failure);
    }
    result.is_ok()
}

fn imported(bytes: &[u8], importer: &str) -> bool {
    let plugins = Plugins::new(BUNDLED, Settings::default());
    let handed = HandedIn {
        name: "handed-in".to_owned(),
        bytes: bytes.to_vec(),
    };
    let read = match read_file(&plugins, &handed, Some(importer), &[]) {
        Ok(read) => read,
        Err(failure) => {
            is_refusal(&failure);
            return false;
        }
    };
    LAB.with_borrow_mut(|lab| {
        let leave = Replacement {
            allowed: true,
            reason: Some("handed in again by a test"),
        };
        let files = [(handed, read)];
        taken(&import_sheets(
            &mut lab.library,
            &stamp(),
            &files,
            leave,
            &Unwatched,
        ))
    })
}

/// A data sheet as a group hands it in.
pub(crate) fn sheet_file(bytes: &[u8]) -> bool {
    imported(bytes, "sheet")
}

/// A data sheet as a JSON document.
pub(crate) fn sheet_document(bytes: &[u8]) -> bool {
    imported(bytes, "json")
}

/// A method document, and what is worked out from it.
pub(crate) fn method_document(bytes: &[u8]) -> bool {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return false;
    };
    let dyes = LAB.with_borrow(|lab| lab.library.dye_register()).unwrap();
    taken(&check_method("a test's method", text, &dyes))
}

/// A dye document.
pub(crate) fn dye_document(bytes: &[u8]) -> bool {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return false;
    };
    LAB.with_borrow_mut(|lab| {
        taken(&add_dye(
            &mut lab.library,
            "a test's dye",
            text,
            None,
            &stamp(),
        ))
    })
}

/// A bundle from another lab.
pub(crate) fn bundle(bytes: &[u8]) -> bool {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return false;
    };
    LAB.with_borrow_mut(|lab| {
        taken(&import_bundle(
            &mut lab.library,
            "a test's bundle",
            text,
            &stamp(),
        ))
    })
}

/// A composition and what is in a litre of it.
pub(crate) fn composition(bytes: &[u8]) -> bool {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return false;
    };
    let document = match check_text(&catalogue::COMPOSITION, text) {
        Ok(document) => document,
        Err(problems) => {
            assert!(!problems.is_empty());
            return false;
        }
    };
    let composition: Composition = serde_json::from_value(document).unwrap();
    match canonical(&composition) {
        Ok(liquid) => liquid.to_composition() == liquid.to_composition(),
        Err(error) => {
            assert!(!error.to_string().is_empty() && error.id().contains('.'));
            false
        }
    }
}

/// What a plug-in wrote, to each of the questions it may be asked.
pub(crate) fn plugin_answer(bytes: &[u8]) -> bool {
    let text = String::from_utf8_lossy(bytes);
    let matched = kit::judge_match(&text, &MatchRequest::default(), &ReferenceSet::default());
    let probed = kit::judge_probe(&text);
    let imported = kit::judge_import(&text);
    for failure in [
        matched.as_ref().err(),
        probed.as_ref().err(),
        imported.as_ref().err(),
    ] {
        assert!(failure.is_none_or(|failure| !failure.to_string().is_empty()));
    }
    matched.is_ok() || probed.is_ok() || imported.is_ok()
}

/// The same in the binary form.
pub(crate) fn plugin_answer_binary(bytes: &[u8]) -> bool {
    let set = ReferenceSet::default();
    let matched = kit::judge_binary_match(bytes, &MatchRequest::default(), &set);
    let imported = kit::judge_binary_import(bytes);
    for failure in [matched.as_ref().err(), imported.as_ref().err()] {
        assert!(failure.is_none_or(|failure| !failure.to_string().is_empty()));
    }
    matched.is_ok() || imported.is_ok()
}

/// What a worker sends over the socket.
pub(crate) fn worker_frame(bytes: &[u8]) -> bool {
    match kit::judge_frame(bytes) {
        Ok(body) => bytes.ends_with(&body),
        Err(failure) => {
            let said = failure.to_string();
            assert!(!said.is_empty() && !said.contains("too late"), "{said}");
            false
        }
    }
}
