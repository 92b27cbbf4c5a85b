//! A term as large as one likes through the program, as a user runs it:
//! `cargo bench -p dyebook --bench large_term` for 1,000 to 1,000,000 spots, or
//! `… -- 20000` for other numbers of spots.
//!
//! Told: seconds and peak memory of `sheet import --identify`, and of `sheet import` and
//! `identify --all` one after the other (each with all that it stores), the microseconds a spot of
//! the first, and the seconds that a bare insert of the same rows into an SQLite table of one text
//! column a field takes on the same machine in the same run.

#![expect(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "stops where the program fails, and prints what it measured"
)]

use dyebook_testkit::Lab;
use dyebook_testkit::large_term::{LargeTerm, TermFile};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

const SEED: u64 = 20_261_128;

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    // Run as a test it only has to build.
    if arguments.iter().any(|argument| argument == "--test") {
        return;
    }
    let mut sizes: Vec<usize> = arguments.iter().filter_map(|a| a.parse().ok()).collect();
    if sizes.is_empty() {
        sizes = vec![1_000, 10_000, 100_000, 1_000_000];
    }
    println!(
        "{:>9} {:>6} {:>9} {:>5} {:>9} {:>5} {:>9} {:>5} {:>8} {:>9} {:>8}",
        "spots",
        "files",
        "in one s",
        "MiB",
        "import s",
        "MiB",
        "identify",
        "MiB",
        "µs/spot",
        "bare ins.",
        "import÷"
    );
    for spots in sizes {
        measure(spots);
    }
}

fn measure(spots: usize) {
    let (lab, files) = lab_with(spots);
    let bare = bare_insert(&lab, &files);
    let import = run(&lab, &["sheet", "import", "--quiet"], &files);
    let identify = run(&lab, &["identify", "--all", "--quiet"], &[]);
    drop(lab);
    let (lab, files) = lab_with(spots);
    let in_one = run(&lab, &["sheet", "import", "--identify", "--quiet"], &files);
    let count = u32::try_from(spots).unwrap();
    println!(
        "{spots:>9} {:>6} {:>9.2} {:>5.0} {:>9.2} {:>5.0} {:>9.2} {:>5.0} {:>8.1} {:>9.2} {:>8.1}",
        files.len(),
        in_one.time.as_secs_f64(),
        in_one.mebibytes,
        import.time.as_secs_f64(),
        import.mebibytes,
        identify.time.as_secs_f64(),
        identify.mebibytes,
        in_one.time.as_secs_f64() * 1e6 / f64::from(count),
        bare.as_secs_f64(),
        import.time.as_secs_f64() / bare.as_secs_f64(),
    );
}

/// A library, and the files of a term beside it.
fn lab_with(spots: usize) -> (Lab, Vec<String>) {
    let lab = Lab::empty(env!("CARGO_BIN_EXE_dyebook"));
    lab.done(&["library", "init"]);
    lab.done(&[
        "method",
        "approve",
        "harrow-saline@1.1.0",
        "--reason",
        "for a bench",
    ]);
    let write = |file: TermFile| {
        lab.write(&file.name, &file.text);
        file.name
    };
    let files = LargeTerm::new(spots, SEED).map(write).collect();
    (lab, files)
}

struct Ran {
    time: Duration,
    mebibytes: f64,
}

/// Runs the program and watches the high-water mark of its memory.
fn run(lab: &Lab, arguments: &[&str], files: &[String]) -> Ran {
    let begun = Instant::now();
    let mut child = Command::new(env!("CARGO_BIN_EXE_dyebook"))
        .args(arguments)
        .args(files)
        .current_dir(lab.folder())
        .env("DYEBOOK_LIBRARY", lab.library())
        .env("DYEBOOK_BY", "bench")
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .spawn()
        .unwrap();
    let status = format!("/proc/{}/status", child.id());
    let mut kibibytes = 0.0_f64;
    let ended = loop {
        if let Some(ended) = child.try_wait().unwrap() {
            break ended;
        }
        kibibytes = kibibytes.max(high_water_mark(Path::new(&status)).unwrap_or_default());
        std::thread::sleep(Duration::from_millis(2));
    };
    let time = begun.elapsed();
    // 1: something needs a person, which in a term of this size it does.
    assert!(
        matches!(ended.code(), Some(0 | 1)),
        "{arguments:?} ended with {ended}"
    );
    Ran {
        time,
        mebibytes: kibibytes / 1024.0,
    }
}

fn high_water_mark(status: &Path) -> Option<f64> {
    let text = std::fs::read_to_string(status).ok()?;
    let line = text.lines().find(|line| line.starts_with("VmHWM:"))?;
    line.split_whitespace().nth(1)?.parse().ok()
}

/// The same rows into a table, one transaction, nothing else.
fn bare_insert(lab: &Lab, files: &[String]) -> Duration {
    let texts: Vec<String> = files
        .iter()
        .map(|file| std::fs::read_to_string(lab.path(file)).unwrap())
        .collect();
    let mut database = rusqlite::Connection::open(lab.path("bare.sqlite")).unwrap();
    database.pragma_update(None, "journal_mode", "WAL").unwrap();
    let header = texts[0].lines().next().unwrap();
    let columns = header.split(',').map(|name| format!("\"{name}\" TEXT"));
    let columns = columns.collect::<Vec<_>>().join(",");
    database
        .execute_batch(&format!("CREATE TABLE spot ({columns})"))
        .unwrap();
    let begun = Instant::now();
    let transaction = database.transaction().unwrap();
    {
        let marks = vec!["?"; header.split(',').count()].join(",");
        let mut insert = transaction
            .prepare(&format!("INSERT INTO spot VALUES ({marks})"))
            .unwrap();
        for row in texts.iter().flat_map(|text| text.lines().skip(1)) {
            insert
                .execute(rusqlite::params_from_iter(row.split(',')))
                .unwrap();
        }
    }
    transaction.commit().unwrap();
    begun.elapsed()
}
