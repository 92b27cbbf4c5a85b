//! F. A plug-in that has the binary form says in it what it says in JSON.

use dyebook_plugin::importer::ImportRequest;
use dyebook_plugin_abi::{DYB_E_UNSUPPORTED, DYB_OK, DYB_OP_IMPORT_BINARY, DYB_OP_MATCH_BINARY};
use dyebook_plugin_host::Kind;
use dyebook_plugin_host::kit::{self, Exercise, Report, StepReport};

use super::determinism::of_a_difference;
use crate::bench::{Bench, ask, call_in_binary, good, import, prepare};
use crate::random::Random;
use crate::report::{Grade, Verdict};
use crate::samples::{self, drawn};

pub(super) fn both_forms(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    match bench.component.kind {
        Kind::Strategy => lanes(bench),
        Kind::Importer => files(bench),
    }
}

fn lanes(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    let set = samples::set();
    let lanes = drawn(32, &mut Random::new(bench.options.seed));
    let report = bench.steps(vec![
        bench.create(),
        prepare(0, &set),
        ask(0, &lanes),
        call_in_binary(DYB_OP_MATCH_BINARY, &lanes, false),
    ])?;
    if has_no_binary_form(&report) {
        return Ok(no_binary_form());
    }
    let text = kit::judge_match(&good(&report, 2, "match in JSON")?.out, &lanes, &set)?;
    let said = good(&report, 3, "match in binary")?;
    let binary = kit::judge_binary_match(&said.bytes, &lanes, &set)?;
    let other = text
        .iter()
        .zip(&binary)
        .find(|(text, binary)| text != binary);
    Ok(other.map_or_else(Verdict::pass, |(lane, _)| {
        let text = format!(
            "`{}` is answered otherwise in binary than in JSON",
            lane.id()
        );
        Verdict::new(of_a_difference(bench), text)
    }))
}

/// Its own files, and a data sheet, which it may refuse, but in both forms.
fn files(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    let own = bench
        .files("accepted")
        .into_iter()
        .chain(bench.files("refused"));
    let own = own.map(|(path, bytes)| (path.display().to_string(), bytes));
    let sheet = ("a data sheet".to_owned(), samples::SHEET.into());
    for (name, bytes) in own.chain([sheet]) {
        let exercise = Exercise {
            steps: vec![
                bench.create(),
                import(0),
                call_in_binary(DYB_OP_IMPORT_BINARY, &ImportRequest::new("sample"), true),
            ],
            ..Exercise::default()
        };
        let report = bench.exercise(&exercise, &bytes)?;
        if has_no_binary_form(&report) {
            return Ok(no_binary_form());
        }
        if !same_reading(&report)? {
            let text = format!("{name} is read otherwise in binary than in JSON");
            return Ok(Verdict::new(of_a_difference(bench), text));
        }
    }
    Ok(Verdict::pass())
}

fn same_reading(report: &Report) -> Result<bool, Verdict> {
    let [_, text, binary] = report.steps.as_slice() else {
        return Err(Verdict::new(
            Grade::Fail,
            "the file was not asked for twice",
        ));
    };
    if text.status != DYB_OK {
        return Ok((text.status, &text.err) == (binary.status, &binary.err));
    }
    good(report, 2, "import in binary")?;
    Ok(kit::judge_import(&text.out)? == kit::judge_binary_import(&binary.bytes)?)
}

fn has_no_binary_form(report: &Report) -> bool {
    let last = report.steps.last().map(|said: &StepReport| said.status);
    last == Some(DYB_E_UNSUPPORTED)
}

fn no_binary_form() -> Verdict {
    Verdict::new(Grade::Skip, "it has no binary form, and is asked in JSON")
}
