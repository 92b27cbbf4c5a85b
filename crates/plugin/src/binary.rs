//! The binary form of the messages that come by the million.
//!
//! It holds what the JSON form holds, field by field as the types of this crate declare them, in
//! the wire format of [`postcard`](https://postcard.jamesmunns.com/wire-format): numbers as they are
//! in memory, texts with their length. Neither names nor numbers are spelt out, so a lane goes to a
//! strategy and back in a fraction of the time. A plug-in without it is asked in JSON.

use postcard::de_flavors::Slice;
use serde::{Deserialize, Serialize};

/// Bytes that most messages have room in.
const USUAL_LENGTH: usize = 16 * 1024;

/// A message as bytes.
///
/// # Errors
/// Never for the messages of this crate.
pub fn write<T: Serialize + ?Sized>(message: &T) -> Result<Vec<u8>, String> {
    write_behind(message, Vec::with_capacity(USUAL_LENGTH))
}

/// A message behind others.
pub(crate) fn write_behind<T: Serialize + ?Sized>(
    message: &T,
    others: Vec<u8>,
) -> Result<Vec<u8>, String> {
    postcard::to_io(message, others).map_err(|error| error.to_string())
}

/// A message from bytes, all of which it has to take.
///
/// # Errors
/// Bytes that are no such message, or more than one.
pub fn read<'a, T: Deserialize<'a>>(bytes: &'a [u8]) -> Result<T, String> {
    let mut messages = Messages::new(bytes);
    let message = messages.next()?;
    match messages.left() {
        [] => Ok(message),
        rest => Err(format!("{} bytes stand behind the message", rest.len())),
    }
}

/// Messages one behind the other.
pub(crate) struct Messages<'a>(postcard::Deserializer<'a, Slice<'a>>);

impl<'a> Messages<'a> {
    pub(crate) fn new(bytes: &'a [u8]) -> Self {
        Self(postcard::Deserializer::from_bytes(bytes))
    }

    /// Reads the next one.
    pub(crate) fn next<T: Deserialize<'a>>(&mut self) -> Result<T, String> {
        T::deserialize(&mut self.0).map_err(|error| error.to_string())
    }

    /// The bytes behind those that were read.
    pub(crate) fn left(self) -> &'a [u8] {
        self.0.finalize().unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::{read, write};

    #[test]
    fn a_message_comes_back_and_bytes_behind_it_are_refused() {
        let mut bytes = write(&("Blue 1", 0.405, Some(3_u32))).unwrap();
        let back: (String, f64, Option<u32>) = read(&bytes).unwrap();
        assert_eq!(back, ("Blue 1".to_owned(), 0.405, Some(3)));
        bytes.push(0);
        let refused = read::<(String, f64, Option<u32>)>(&bytes).unwrap_err();
        assert_eq!(refused, "1 bytes stand behind the message");
        assert!(read::<(String, f64, Option<u32>)>(&bytes[..4]).is_err());
    }
}
