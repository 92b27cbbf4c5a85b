//! Which method versions the references of an import mean.

use crate::failure::Failure;
use crate::resolve_method::resolve_among;
use dyebook_documents::{Method, MethodState};
use dyebook_library::{Change, HandedInBefore, KeptMethod};
use std::collections::BTreeMap;
use std::collections::btree_map::Entry;
use std::sync::Arc;

/// The method versions that references mean, each found once.
#[derive(Debug, Default)]
pub(crate) struct Bindings(BTreeMap<String, Arc<Bound>>);

/// A method version that sheets are bound to.
#[derive(Debug)]
pub(crate) struct Bound {
    pub(crate) kept: KeptMethod,
    /// Its name, `id@version`.
    pub(crate) name: String,
    /// As the checks read it.
    pub(crate) method: Method,
}

impl Bindings {
    /// The version that a reference means, for a sheet that comes in now.
    ///
    /// # Errors
    /// A reference that leads nowhere, or to a draft.
    pub(crate) fn now(
        &mut self,
        change: &Change<'_>,
        reference: &str,
    ) -> Result<Arc<Bound>, Failure> {
        let bound = self.of(change, reference)?;
        if bound.kept.state == MethodState::Draft {
            let name = &bound.name;
            return Err(Failure::refused(
                "method.is-a-draft",
                format!("`{name}` is a draft, so sheets can't be bound to it yet"),
            )
            .hint(format!("dyebook method approve {name} --reason \"…\"")));
        }
        Ok(bound)
    }

    /// The version that a sheet was first bound to, and stays bound to.
    ///
    /// # Errors
    /// What the library says.
    pub(crate) fn before(
        &mut self,
        change: &Change<'_>,
        before: &HandedInBefore,
    ) -> Result<Arc<Bound>, Failure> {
        self.of(
            change,
            &format!("{}@{}", before.method_id, before.method_version),
        )
    }

    fn of(&mut self, change: &Change<'_>, reference: &str) -> Result<Arc<Bound>, Failure> {
        let bound = match self.0.entry(reference.to_owned()) {
            Entry::Occupied(there) => there.into_mut(),
            Entry::Vacant(free) => {
                let kept = resolve_among(reference, &|id| change.methods(id))?;
                let method = kept.method()?;
                let name = kept.name();
                free.insert(Arc::new(Bound { kept, name, method }))
            }
        };
        Ok(Arc::clone(bound))
    }
}
