//! The clock that stands still.

use dyebook_library::Stamp;

/// The time of every test, as given to the program in `DYEBOOK_NOW`: after every invented sheet.
pub const NOW: &str = "2026-11-12T09:30:00Z";

/// Who acts in every test.
pub const BY: &str = "coordinator";

/// Who and when, for a change of the library.
pub fn stamp() -> Stamp {
    Stamp {
        by: BY.to_owned(),
        at: NOW.parse().unwrap(),
    }
}
