//! Is this file on a file system where SQLite's write-ahead log works?

use crate::connect::folder_of;
use std::path::Path;

/// Magic numbers (linux/magic.h) of file systems that other machines may write at the same time.
/// Shared memory between machines does not work, and so neither does the write-ahead log
/// (sqlite.org/wal.html, "All processes using a database must be on the same host computer").
const NETWORK: &[(i64, &str)] = &[
    (0x6969, "NFS"),
    (0x517b, "SMB"),
    (0xff53_4d42, "CIFS"),
    (0xfe53_4d42, "SMB2"),
    (0x0102_1997, "9P"),
    (0x7375_7245, "Coda"),
    (0x5346_414f, "AFS"),
    (0x6b41_4653, "AFS"),
    (0x00c3_6400, "Ceph"),
    (0x564c, "NCP"),
    (0x7461_636f, "OCFS2"),
    // A folder that a program mounted: as a rule one over SSH or another wire.
    (0x6573_5546, "FUSE"),
];

/// The network file system that a path lies on, if it does.
pub(crate) fn network_file_system(path: &Path) -> Option<&'static str> {
    // The file itself where it is there: a link may lead to another file system than its folder's.
    let answer = rustix::fs::statfs(path).or_else(|_| rustix::fs::statfs(folder_of(path)));
    name_of(answer.ok()?.f_type)
}

/// Magic numbers are unsigned 32-bit; the field is wider and may carry a sign.
fn name_of(magic: i64) -> Option<&'static str> {
    let magic = magic & 0xffff_ffff;
    NETWORK
        .iter()
        .find(|(number, _)| *number == magic)
        .map(|(_, name)| *name)
}

#[cfg(test)]
mod tests {
    use super::{name_of, network_file_system};

    // Numbers: linux/magic.h, retyped by name from the header, not from the table above.
    #[test]
    fn network_file_systems_are_known_by_their_numbers() {
        for (number, name) in [
            (0x6969, "NFS"),
            (0x517B, "SMB"),
            (0xFF53_4D42, "CIFS"),
            (0xFE53_4D42, "SMB2"),
            (0x0102_1997, "9P"),
            (0x7375_7245, "Coda"),
            (0x5346_414F, "AFS"),
            (0x6B41_4653, "AFS"),
            (0x00C3_6400, "Ceph"),
            (0x564C, "NCP"),
            (0x7461_636F, "OCFS2"),
            (0x6573_5546, "FUSE"),
        ] {
            assert_eq!(name_of(number), Some(name));
        }
        // The same number as a 32-bit field with a sign has it.
        assert_eq!(name_of(-11_317_950), Some("CIFS"));
    }

    #[test]
    fn local_file_systems_are_not_network_ones() {
        // EXT4, BTRFS, XFS, TMPFS, OVERLAYFS: linux/magic.h.
        for number in [0xEF53, 0x9123_683E, 0x5846_5342, 0x0102_1994, 0x794c_7630] {
            assert_eq!(name_of(number), None);
        }
        assert_eq!(network_file_system(&std::env::temp_dir()), None);
    }
}
