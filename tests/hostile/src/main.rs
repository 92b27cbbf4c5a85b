//! The program that becomes a worker in these tests.

fn main() {
    let only_argument = std::env::args()
        .nth(1)
        .filter(|_| std::env::args().len() == 2);
    if only_argument.as_deref() == Some(dyebook_plugin_host::worker::ARGUMENT) {
        dyebook_plugin_host::worker::main(dyebook_hostile::BUNDLED)
    }
}
