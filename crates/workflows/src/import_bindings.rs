//! Which method versions the references of an import mean.

use crate::failure::Failure;
use crate::resolve_method::resolve_among;
use dyebook_documents::MethodState;
use dyebook_library::{Change, HandedInBefore, KeptMethod};
use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

/// The method versions that references mean, each found once.
#[derive(Debug, Default)]
pub(crate) struct Bindings(BTreeMap<String, KeptMethod>);

impl Bindings {
    /// The version that a reference means, for a sheet that comes in now.
    ///
    /// # Errors
    /// A reference that leads nowhere, or to a draft.
    pub(crate) fn now(
        &mut self,
        change: &Change<'_>,
        reference: &str,
    ) -> Result<&KeptMethod, Failure> {
        let kept = self.of(change, reference)?;
        if kept.state == MethodState::Draft {
            return Err(Failure::refused(
                "method.is-a-draft",
                format!(
                    "`{}` is a draft, so sheets can't be bound to it yet",
                    kept.name()
                ),
            )
            .hint(format!(
                "dyebook method approve {} --reason \"…\"",
                kept.name()
            )));
        }
        Ok(kept)
    }

    /// The version that a sheet was first bound to, and stays bound to.
    ///
    /// # Errors
    /// What the library says.
    pub(crate) fn before(
        &mut self,
        change: &Change<'_>,
        before: &HandedInBefore,
    ) -> Result<&KeptMethod, Failure> {
        self.of(
            change,
            &format!("{}@{}", before.method_id, before.method_version),
        )
    }

    fn of(&mut self, change: &Change<'_>, reference: &str) -> Result<&KeptMethod, Failure> {
        Ok(match self.0.entry(reference.to_owned()) {
            Entry::Occupied(there) => there.into_mut(),
            Entry::Vacant(free) => {
                let kept = resolve_among(reference, &|id| change.methods(id))?;
                free.insert(kept)
            }
        })
    }
}
