//! H. Does it leave its process as it found it?

use dyebook_plugin_host::Kind;
use dyebook_plugin_host::kit::{Exercise, Step, Surroundings};

use crate::bench::{Bench, PATIENCE, ask, import, prepare};
use crate::random::Random;
use crate::report::{Grade, Verdict};
use crate::samples::{self, drawn};

fn work(bench: &Bench<'_>) -> Exercise {
    let mut steps = vec![bench.create()];
    match bench.component.kind {
        Kind::Strategy => {
            let lanes = drawn(8, &mut Random::new(bench.options.seed));
            steps.extend([prepare(0, &samples::set()), ask(0, &lanes)]);
        }
        Kind::Importer => steps.push(import(0)),
    }
    steps.push(Step::Destroy { instance: 0 });
    Exercise {
        steps,
        ..Exercise::default()
    }
}

pub(super) fn surroundings(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    let report = bench.exercise(&work(bench), samples::SHEET.as_bytes())?;
    let (before, after) = (&report.before, &report.after);
    let changed: Vec<&str> = [
        ("the working directory", before.directory != after.directory),
        ("the environment", before.environment != after.environment),
        ("the signal mask", before.signals != after.signals),
        (
            "how the processor rounds",
            before.rounding != after.rounding,
        ),
        ("the locale", before.locale != after.locale),
    ]
    .into_iter()
    .filter(|(_, changed)| *changed)
    .map(|(what, _)| what)
    .collect();
    if !changed.is_empty() {
        return Ok(Verdict::new(
            Grade::Fail,
            format!("it changed {}", changed.join(", ")),
        ));
    }
    Ok(files(before, after))
}

fn files(before: &Surroundings, after: &Surroundings) -> Verdict {
    let text = format!("open files went from {} to {}", before.files, after.files);
    Verdict::rule(after.files <= before.files, Grade::Warn, text)
}

pub(super) fn threads_and_prints(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    let mut worker = bench.worker()?;
    worker.exercise(&work(bench), samples::SHEET.as_bytes(), PATIENCE)?;
    let mut notes = Vec::new();
    let threads = worker.threads();
    if threads > 1 {
        notes.push(format!("{} threads were left over", threads - 1));
    }
    let logged = worker.logged();
    if logged > 0 {
        notes.push(format!(
            "{logged} bytes were printed or logged: `{}`",
            worker.log_tail()
        ));
    }
    Ok(Verdict::rule(
        notes.is_empty(),
        Grade::Note,
        notes.join("; "),
    ))
}
