//! A. What is seen without loading anything.

use dyebook_plugin_host::Grade as Look;

use crate::bench::Bench;
use crate::report::{Grade, Verdict};

#[expect(clippy::unnecessary_wraps, reason = "all cases have one shape")]
pub(super) fn run(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    let findings = &bench.inspection.findings;
    let worst = findings
        .iter()
        .map(|finding| finding.grade)
        .max()
        .unwrap_or(Look::Pass);
    let grade = match worst {
        Look::Pass => Grade::Pass,
        Look::Note => Grade::Note,
        Look::Warn => Grade::Warn,
        Look::Refuse => Grade::Fail,
    };
    let worth_saying = findings
        .iter()
        .filter(|finding| finding.grade != Look::Pass);
    let texts: Vec<&str> = worth_saying.map(|finding| finding.text.as_str()).collect();
    Ok(Verdict::new(grade, texts.join("; ")))
}
