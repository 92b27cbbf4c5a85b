//! From JSON requests to an [`Importer`] and back.

use dyebook_plugin_abi::{DYB_OP_IMPORT, DYB_OP_IMPORT_BINARY, DYB_OP_PROBE};

use super::messages::{ImportRequest, ProbeRequest};
use super::{Importer, Output};
use crate::component::{Call, Component};
use crate::{Error, Result};

/// An importer as a component of a plug-in. Made by [`plugin!`](crate::plugin!).
#[derive(Debug)]
pub struct ImporterComponent<I: Importer> {
    importer: I,
}

impl<I: Importer + 'static> ImporterComponent<I> {
    /// An instance with this configuration.
    ///
    /// # Errors
    /// When the configuration is not one of this importer.
    pub fn create(config: &[u8]) -> Result<Box<dyn Component>> {
        Ok(Box::new(Self {
            importer: I::new(crate::component::config(config)?)?,
        }))
    }
}

impl<I: Importer + 'static> Component for ImporterComponent<I> {
    fn call(&mut self, call: &mut Call<'_>) -> Result<()> {
        match call.op {
            DYB_OP_PROBE => {
                let request: ProbeRequest = call.read_request()?;
                let confidence = self.importer.probe(&request, call.blob);
                call.write_json(&confidence)
            }
            DYB_OP_IMPORT | DYB_OP_IMPORT_BINARY => {
                let request: ImportRequest = if call.op == DYB_OP_IMPORT {
                    call.read_request()?
                } else {
                    call.read_binary()?
                };
                let blob = call.blob;
                let mut output = Output::new(call);
                self.importer.import(&request.name, blob, &mut output)?;
                output.finish()
            }
            op => Err(Error::unsupported(op)),
        }
    }
}
