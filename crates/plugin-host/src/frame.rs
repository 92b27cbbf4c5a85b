//! What goes over the socket between host and worker: a header of 24 bytes in little endian, JSON,
//! raw bytes. Lengths stand before the bytes, so that nothing is searched for and a stray byte is
//! seen at once.

/// The first four bytes of every frame.
const MAGIC: [u8; 4] = *b"DYF1";
/// Bytes of a header.
pub(crate) const HEADER: usize = 24;

/// What a frame is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    /// Host: load this.
    Init,
    /// Worker: loaded, or why not.
    Hello,
    /// Host: call the instance; `status` is the time in ms.
    Call,
    /// Worker: what the plug-in wrote, untouched.
    Result,
    /// Worker: the status and text of a failure; `op` is 1 when the output sink refused.
    Error,
    /// Host: do what the conformance kit asks.
    Exercise,
}

/// A frame's header.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Header {
    pub(crate) kind: Kind,
    pub(crate) op: u16,
    pub(crate) status: i32,
    pub(crate) seq: u32,
    pub(crate) json: usize,
    pub(crate) blob: usize,
}

const KINDS: [Kind; 6] = [
    Kind::Init,
    Kind::Hello,
    Kind::Call,
    Kind::Result,
    Kind::Error,
    Kind::Exercise,
];

impl Header {
    pub(crate) fn new(kind: Kind, seq: u32) -> Self {
        Self {
            kind,
            op: 0,
            status: 0,
            seq,
            json: 0,
            blob: 0,
        }
    }

    /// `None` when a length does not fit 32 bits.
    pub(crate) fn encode(&self) -> Option<[u8; HEADER]> {
        let kind = KINDS.iter().position(|kind| *kind == self.kind)?;
        let mut bytes = [0; HEADER];
        let parts: [&[u8]; 7] = [
            &MAGIC,
            &u16::try_from(kind + 1).ok()?.to_le_bytes(),
            &self.op.to_le_bytes(),
            &self.status.to_le_bytes(),
            &self.seq.to_le_bytes(),
            &u32::try_from(self.json).ok()?.to_le_bytes(),
            &u32::try_from(self.blob).ok()?.to_le_bytes(),
        ];
        for (place, byte) in bytes.iter_mut().zip(parts.into_iter().flatten()) {
            *place = *byte;
        }
        Some(bytes)
    }

    /// # Errors
    /// What is wrong with the bytes.
    pub(crate) fn decode(bytes: [u8; HEADER]) -> Result<Self, &'static str> {
        let [
            m0,
            m1,
            m2,
            m3,
            k0,
            k1,
            o0,
            o1,
            t0,
            t1,
            t2,
            t3,
            s0,
            s1,
            s2,
            s3,
            j0,
            j1,
            j2,
            j3,
            b0,
            b1,
            b2,
            b3,
        ] = bytes;
        if [m0, m1, m2, m3] != MAGIC {
            return Err("bad frame magic");
        }
        let kind = usize::from(u16::from_le_bytes([k0, k1]));
        let kind = kind
            .checked_sub(1)
            .and_then(|kind| KINDS.get(kind))
            .ok_or("bad frame kind")?;
        let length = |bytes| usize::try_from(u32::from_le_bytes(bytes)).unwrap_or(usize::MAX);
        Ok(Self {
            kind: *kind,
            op: u16::from_le_bytes([o0, o1]),
            status: i32::from_le_bytes([t0, t1, t2, t3]),
            seq: u32::from_le_bytes([s0, s1, s2, s3]),
            json: length([j0, j1, j2, j3]),
            blob: length([b0, b1, b2, b3]),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::{Header, Kind};

    #[test]
    fn a_header_survives_the_way_and_a_stray_byte_does_not() {
        let header = Header {
            op: 4,
            status: -3,
            json: 70_000,
            blob: 9,
            ..Header::new(Kind::Call, 7)
        };
        let mut bytes = header.encode().unwrap();
        assert_eq!(Header::decode(bytes), Ok(header));
        assert_eq!(bytes[16..18], [0x70, 0x11]);
        bytes[3] = b'2';
        assert_eq!(Header::decode(bytes), Err("bad frame magic"));
    }
}
