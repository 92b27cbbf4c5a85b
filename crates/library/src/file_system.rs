//! Is this file on a file system where SQLite's write-ahead log works?

use std::path::Path;

/// Magic numbers of network file systems (linux/magic.h), on which shared memory between machines
/// does not work and so neither does the write-ahead log.
const NETWORK: &[(i64, &str)] = &[
    (0x6969, "NFS"),
    (0x517b, "SMB"),
    (0xff53_4d42, "CIFS"),
    (0xfe53_4d42, "SMB2"),
    (0x0102_1997, "9P"),
    (0x7375_7245, "Coda"),
    (0x5346_414f, "AFS"),
];

/// The network file system that a path lies on, if it does.
pub(crate) fn network_file_system(path: &Path) -> Option<&'static str> {
    let folder = path
        .parent()
        .filter(|p| !p.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    // Magic numbers are unsigned 32-bit; the field is wider and may carry a sign.
    let magic = rustix::fs::statfs(folder).ok()?.f_type & 0xffff_ffff;
    NETWORK
        .iter()
        .find(|(number, _)| *number == magic)
        .map(|(_, name)| *name)
}
