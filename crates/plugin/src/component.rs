//! What the shims call: a component without its types.

use std::fmt;
use std::io::Write;

use serde::Serialize;
use serde::de::DeserializeOwned;

use crate::sink::Sink;
use crate::{Context, Error, Result};

/// An instance of a component. Implemented by the adapters of strategies and importers.
pub trait Component: Send {
    /// Answers one call.
    ///
    /// # Errors
    /// The status and the text to return.
    fn call(&mut self, call: &mut Call<'_>) -> Result<()>;
}

/// Makes an instance of a component from its configuration.
pub type Create = fn(&[u8]) -> Result<Box<dyn Component>>;

/// The components of a plug-in. Implemented by [`plugin!`](crate::plugin!).
pub trait Components {
    /// Name and maker of each.
    const TABLE: &'static [(&'static str, Create)];
}

/// One call as the adapters see it.
pub struct Call<'a> {
    /// The operation.
    pub op: u32,
    /// The request, JSON or binary by the operation.
    pub request: &'a [u8],
    /// Bytes of a file.
    pub blob: &'a [u8],
    /// The host's services.
    pub context: Context<'a>,
    pub(crate) out: Sink,
}

impl Call<'_> {
    /// The request as a value of this type.
    ///
    /// # Errors
    /// When it isn't one.
    pub fn read_request<T: DeserializeOwned>(&self) -> Result<T> {
        serde_json::from_slice(self.request)
            .map_err(|error| Error::invalid(format!("the request can't be read: {error}")))
    }

    /// The binary request as a value of this type.
    ///
    /// # Errors
    /// When it isn't one.
    pub fn read_binary<T: DeserializeOwned>(&self) -> Result<T> {
        crate::binary::read(self.request)
            .map_err(|error| Error::invalid(format!("the request can't be read: {error}")))
    }

    /// Writes bytes of the response.
    ///
    /// # Errors
    /// When the host takes no more.
    pub fn write(&mut self, bytes: &[u8]) -> Result<()> {
        self.out.write_all(bytes).map_err(|_refused| Error::limit())
    }

    /// Writes a value of the response.
    ///
    /// # Errors
    /// When the host takes no more, or the value has no JSON.
    pub fn write_json<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<()> {
        serde_json::to_writer(&mut self.out, value).map_err(|error| {
            if error.is_io() {
                Error::limit()
            } else {
                Error::internal(error.to_string())
            }
        })
    }

    /// Writes a value of a binary response.
    ///
    /// # Errors
    /// When the host takes no more.
    pub fn write_binary<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<()> {
        self.out
            .append(|bytes| crate::binary::write_behind(value, bytes))
    }

    pub(crate) fn without_host() -> Self {
        let context = Context::without_host();
        Self {
            op: 0,
            request: &[],
            blob: &[],
            context,
            out: Sink::in_memory(),
        }
    }

    pub(crate) fn written(&self) -> &[u8] {
        self.out.kept()
    }

    pub(crate) fn finish(&mut self) -> Result<()> {
        self.out.flush().map_err(|_refused| Error::limit())
    }
}

impl fmt::Debug for Call<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Call")
            .field("op", &self.op)
            .finish_non_exhaustive()
    }
}

/// A configuration; none at all is the default one.
pub(crate) fn config<C: DeserializeOwned + Default>(json: &[u8]) -> Result<C> {
    if json.is_empty() {
        return Ok(C::default());
    }
    serde_json::from_slice(json)
        .map_err(|error| Error::invalid(format!("the configuration can't be used: {error}")))
}
