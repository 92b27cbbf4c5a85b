//! One module a danger.

mod killed;
mod kills;
