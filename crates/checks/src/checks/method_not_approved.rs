//! A sheet bound to a method version that is not the approved one.

use crate::entry_check::{EntryCheck, Finding};
use crate::sheet_view::SheetView;
use dyebook_documents::{MethodState, Severity, Where};

/// A withdrawn version was taken out of use for a reason; results by it must not be given out
/// before somebody has looked.
pub(crate) const CHECK: EntryCheck = EntryCheck {
    id: "method-not-approved",
    why: "A withdrawn method version was taken out of use for a reason.",
    find,
};

fn find(sheet: &SheetView<'_>) -> Vec<Finding> {
    let (severity, what) = match sheet.context.method_state {
        MethodState::Approved => return vec![],
        MethodState::Withdrawn => (Severity::Stop, "has been withdrawn"),
        MethodState::Superseded => (Severity::Info, "has been superseded by a later version"),
        MethodState::Draft => (
            Severity::Info,
            "is a draft: what it expects may still change",
        ),
    };
    let message = format!("{} {what}", sheet.context.method.name());
    vec![Finding::new(severity, Where::sheet(), message)]
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::example::Example;
    use dyebook_documents::{MethodState, Severity};

    #[test]
    fn a_withdrawn_version_stops_and_a_superseded_one_is_said() {
        let withdrawn = Example::clean().with(|e| e.state = MethodState::Withdrawn);
        assert_eq!(withdrawn.only(&CHECK).0, Severity::Stop);
        let superseded = Example::clean().with(|e| e.state = MethodState::Superseded);
        assert_eq!(superseded.only(&CHECK).0, Severity::Info);
    }

    #[test]
    fn an_approved_version_does_not_fire() {
        assert!(Example::clean().check(&CHECK).is_empty());
    }
}
