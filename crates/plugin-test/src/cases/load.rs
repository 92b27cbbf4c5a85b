//! B. Loading: descriptor, `describe`, greeting. That they agree with the manifest is checked
//! whenever a worker starts.

use std::time::{Duration, Instant};

use crate::bench::Bench;
use crate::report::{Grade, Verdict};

/// A plug-in that works when it is loaded makes every command wait.
const SLOW: Duration = Duration::from_millis(500);

pub(super) fn greeting(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    let begun = Instant::now();
    let worker = bench.worker()?;
    let took = begun.elapsed();
    let (sandbox, whole) = worker.sandbox();
    if took > SLOW {
        return Ok(Verdict::new(
            Grade::Fail,
            format!("loading took {} ms", took.as_millis()),
        ));
    }
    Ok(Verdict::rule(
        whole,
        Grade::Note,
        format!("this machine's sandbox is not whole: {sandbox}"),
    ))
}

pub(super) fn same_entry(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    let same = bench.worker()?.same_entry();
    Ok(Verdict::rule(
        same,
        Grade::Fail,
        "the entry function returned two different pointers",
    ))
}
