//! C. Making and ending instances.

use dyebook_plugin_abi::DYB_OK;
use dyebook_plugin_host::Kind;
use dyebook_plugin_host::kit::{Exercise, Step};

use crate::bench::{Bench, PATIENCE, ask, call, good, import, prepare};
use crate::report::{Grade, Verdict};
use crate::samples;

/// Instances made and ended, and how much memory that may cost in all.
const TIMES: u32 = 1000;
const MOST_GROWTH_KIB: u64 = 1024;

pub(super) fn churn(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    let mut worker = bench.worker()?;
    let mut churn = |times| -> Result<u64, Verdict> {
        let (component, config) = (bench.component.name.clone(), bench.config());
        let steps = vec![Step::Churn {
            component,
            config,
            times,
        }];
        let exercise = Exercise {
            steps,
            ..Exercise::default()
        };
        good(&worker.exercise(&exercise, &[], PATIENCE)?, 0, "create")?;
        Ok(worker.resident_kib())
    };
    // The first ones bring what every later one finds there.
    let before = churn(20)?;
    let growth = churn(TIMES)?.saturating_sub(before);
    let text = format!("{TIMES} instances made and ended cost {growth} KiB");
    Ok(Verdict::rule(growth <= MOST_GROWTH_KIB, Grade::Fail, text))
}

pub(super) fn unknown_component(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    refused(bench, "no-such-component", bench.config(), Grade::Fail)
}

pub(super) fn longer_component(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    refused(
        bench,
        &format!("{}x", bench.component.name),
        bench.config(),
        Grade::Fail,
    )
}

pub(super) fn bad_config(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    refused(bench, &bench.component.name, "{\"k\":".into(), Grade::Fail)
}

pub(super) fn unknown_config_key(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    // The host refuses it before, where the manifest's schema is closed.
    let config = "{\"no-such-key-x\":1}".into();
    refused(bench, &bench.component.name, config, Grade::Note)
}

fn refused(
    bench: &Bench<'_>,
    component: &str,
    config: String,
    otherwise: Grade,
) -> Result<Verdict, Verdict> {
    let report = bench.steps(vec![Step::Create {
        component: component.into(),
        config,
    }])?;
    let said = report.steps.first().cloned().unwrap_or_default();
    if said.status == DYB_OK {
        let text = format!("`create` took component `{component}` with that configuration");
        return Ok(Verdict::new(otherwise, text));
    }
    if said.status > 0 {
        let text = format!("`create` returned {}, which means nothing", said.status);
        return Ok(Verdict::new(Grade::Fail, text));
    }
    Ok(Verdict::rule(
        !said.err.is_empty(),
        Grade::Warn,
        "it was refused without a text",
    ))
}

pub(super) fn two_instances(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    let steps = vec![
        bench.create(),
        bench.create(),
        Step::Destroy { instance: 0 },
        first_call(bench, 1),
    ];
    let exercise = Exercise {
        steps,
        ..Exercise::default()
    };
    let report = bench.exercise(&exercise, samples::SHEET.as_bytes())?;
    good(&report, 0, "the first `create`")?;
    good(&report, 1, "the second `create`")?;
    if bench.component.kind == Kind::Strategy {
        good(&report, 3, "a call after the other instance had ended")?;
    }
    Ok(Verdict::pass())
}

fn first_call(bench: &Bench<'_>, instance: usize) -> Step {
    match bench.component.kind {
        Kind::Strategy => prepare(instance, &samples::set()),
        Kind::Importer => import(instance),
    }
}

pub(super) fn after_a_failed_call(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    let bad = call(0, 1, "not JSON".into(), false);
    let mut steps = vec![bench.create(), bad, first_call(bench, 0)];
    let request = samples::request(vec![samples::lane("a", Vec::new())]);
    if bench.component.kind == Kind::Strategy {
        steps.push(ask(0, &request));
    }
    let exercise = Exercise {
        steps,
        ..Exercise::default()
    };
    let report = bench.exercise(&exercise, samples::SHEET.as_bytes())?;
    if bench.component.kind == Kind::Strategy {
        good(&report, 2, "`prepare` after a failed call")?;
        good(&report, 3, "`match` after a failed call")?;
    }
    let failed = report.steps.get(1).is_some_and(|said| said.status < 0);
    // The host never sends such a request, so a plug-in may do without a parser that notices.
    Ok(Verdict::rule(
        failed,
        Grade::Note,
        "a request that is no JSON was taken",
    ))
}
