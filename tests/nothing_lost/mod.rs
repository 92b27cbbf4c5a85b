//! One module a danger.

mod bad_input;
mod far_apart;
mod faults;
mod interrupted;
mod killed;
mod kills;
mod moved;
mod old_files;
mod plain_files;
mod several_at_once;
