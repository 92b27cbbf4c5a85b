//! dyebook
fn main() {}
