//! The hostile matrix: what a plug-in may do wrong, and what must come of it. In every row the
//! program lives on, the lanes beside the poisoned one are answered, the failure has its code, no
//! process and no file is left.
#![expect(
    clippy::unwrap_used,
    reason = "a test may stop at once, in its helpers too"
)]

use std::fs;
use std::time::{Duration, Instant};

use dyebook_hostile::{Lab, children};
use dyebook_plugin_host::{Failure, LaneOutcome, Look, Stage, State};

const WORKER: &str = env!("CARGO_BIN_EXE_plugin-worker");

fn lab() -> Lab {
    let lab = Lab::new(WORKER);
    fs::write(lab.path("bystander"), "untouched").unwrap();
    lab
}

/// The code of the lane `poison`, or `ok`; the other lanes must have answers.
fn code(outcomes: &[LaneOutcome]) -> String {
    let mut code = String::new();
    for outcome in outcomes {
        match (&outcome.answer, outcome.id.as_str()) {
            (Ok(_), "poison") => code = "ok".into(),
            (Err(failure), "poison") => code.clone_from(&failure.code),
            (answer, other) => assert!(answer.is_ok(), "lane {other}: {answer:?}"),
        }
    }
    code
}

fn left_clean(lab: &Lab) {
    let patience = Instant::now() + Duration::from_secs(2);
    while !children().is_empty() && Instant::now() < patience {
        std::thread::sleep(Duration::from_millis(5));
    }
    assert_eq!(children(), Vec::<String>::new());
    assert_eq!(
        fs::read_to_string(lab.path("bystander")).unwrap(),
        "untouched"
    );
    let left: Vec<String> = fs::read_dir("/tmp")
        .unwrap()
        .flatten()
        .map(|entry| entry.file_name().to_string_lossy().into_owned())
        .filter(|name| name.starts_with("dyebook-plugin-") || name.contains("hostile-was-here"))
        .collect();
    assert_eq!(left, Vec::<String>::new());
}

/// Faults of a call, each with the code that must come of it.
const CALLS: &[(&str, &str)] = &[
    ("none", "ok"),
    ("segfault", "plugin.crashed"),
    ("abort", "plugin.crashed"),
    ("exit", "plugin.crashed"),
    ("loop", "plugin.timeout"),
    ("sleep", "plugin.timeout"),
    ("stop", "plugin.timeout"),
    ("stack", "plugin.crashed"),
    ("memory", "plugin.memory"),
    ("mapping", "ok"),
    ("utf8", "plugin.bad_output"),
    ("json", "plugin.bad_output"),
    ("empty", "plugin.bad_output"),
    ("nan", "plugin.bad_output"),
    ("deep", "plugin.bad_output"),
    ("schema", "plugin.bad_output"),
    ("other-lane", "plugin.bad_output"),
    ("other-dye", "plugin.bad_output"),
    ("huge", "plugin.output_limit"),
    ("huge-ignoring", "plugin.output_limit"),
    ("print", "ok"),
    ("flood", "ok"),
    ("scribble", "plugin.protocol"),
    ("close", "plugin.crashed"),
    ("surroundings", "ok"),
    ("thread", "ok"),
    ("fork", "ok"),
    ("setsid", "ok"),
    ("ways-out", "ok"),
    ("status", "plugin.error"),
    ("no-text", "plugin.error"),
    ("half-frame", "plugin.crashed"),
    ("drip", "plugin.timeout"),
    ("other-seq", "plugin.protocol"),
];

#[test]
fn every_fault_of_a_call_costs_one_lane_and_nothing_else() {
    let lab = lab();
    lab.hostile(&[]);
    let mut wrong = Vec::new();
    for (fault, expected) in CALLS {
        let outcomes = lab.ask(fault, &["L1", "poison", "L3", "L4"]).unwrap();
        assert_eq!(outcomes.len(), 4, "{fault}");
        let found = code(&outcomes);
        if found != *expected {
            wrong.push(format!(
                "{fault}: {found}, expected {expected}: {:?}",
                outcomes[1].answer
            ));
        }
        left_clean(&lab);
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

fn alone(lab: &Lab, fault: &str) -> (String, String) {
    let outcomes = lab.ask(fault, &["poison"]).unwrap();
    match &outcomes[0].answer {
        Ok(_) => ("ok".into(), String::new()),
        Err(failure) => (failure.text.clone(), failure.log.clone()),
    }
}

#[test]
fn failures_say_what_happened() {
    let lab = lab();
    lab.hostile(&[]);
    for (fault, words) in [
        ("segfault", "signal 11"),
        ("abort", "signal 6"),
        ("exit", "exit code 0"),
        ("status", "status 12345"),
        ("no-text", "it gave no text"),
        ("schema", "/lanes/0/dyes/0/probability"),
        ("other-lane", "lane `poison` has no answer"),
        ("other-dye", "`nobody` is not in the reference set"),
        ("deep", "(json)"),
        ("utf8", "(utf8)"),
        ("loop", "within 1510 ms"),
        ("memory", "128 MiB"),
        ("scribble", "bad frame magic"),
        ("other-seq", "answered as call 77"),
        ("huge", "1048576 bytes"),
    ] {
        let (text, _) = alone(&lab, fault);
        assert!(text.contains(words), "{fault}: {text}");
    }
    left_clean(&lab);
}

/// A forged frame before the real one: the forged one is taken for the answer, which it can't be, or
/// both together are seen at once. What is left over in the socket costs no other lane its answer.
#[test]
fn a_forged_frame_costs_the_lane_that_it_came_with() {
    let lab = lab();
    lab.hostile(&[]);
    for _ in 0..10 {
        let outcomes = lab.ask("twice", &["L1", "poison", "L3", "L4"]).unwrap();
        assert!(
            ["plugin.bad_output", "plugin.protocol"].contains(&code(&outcomes).as_str()),
            "{outcomes:?}"
        );
    }
    left_clean(&lab);
}

#[test]
fn the_deadline_holds() {
    let lab = lab();
    lab.hostile(&[]);
    let begun = Instant::now();
    let _ = alone(&lab, "loop");
    let took = begun.elapsed();
    // A busy machine may be late, but never early.
    assert!(
        took > Duration::from_millis(1500) && took < Duration::from_secs(10),
        "{took:?}"
    );
}

#[test]
fn the_sandbox_lets_nothing_through() {
    let lab = lab();
    lab.hostile(&[]);
    // The log goes with a failure only, so the plug-in fails after it tried.
    let mut strategy = lab.plugins().strategy("hostile").unwrap();
    let file = format!("file={}", lab.path("bystander").display());
    strategy = strategy
        .with_parameters(&["fault=ways-out".into(), file])
        .unwrap();
    strategy.prepare(&dyebook_hostile::set()).unwrap();
    let words = strategy.provenance().sandbox;
    assert_eq!(
        words, "own process; files, network and signals closed; no new processes or sockets",
        "this kernel has Landlock and seccomp"
    );
    strategy
        .match_lanes(&dyebook_hostile::zero_spots(&["poison"]))
        .unwrap();
    assert_eq!(strategy.log_tail(), "info: through:.");
    drop(strategy);
    left_clean(&lab);
}

#[test]
fn a_background_thread_that_crashes_later_costs_the_call_that_it_hits() {
    let lab = lab();
    lab.hostile(&[]);
    let mut strategy = lab.plugins().strategy("hostile").unwrap();
    strategy = strategy
        .with_parameters(&["fault=later-segfault".into()])
        .unwrap();
    strategy.prepare(&dyebook_hostile::set()).unwrap();
    let poison = dyebook_hostile::zero_spots(&["poison"]);
    assert!(strategy.match_lanes(&poison).unwrap()[0].answer.is_ok());
    std::thread::sleep(Duration::from_millis(400));
    let two = dyebook_hostile::zero_spots(&["L1", "L2"]);
    let outcomes = strategy.match_lanes(&two).unwrap();
    assert!(
        outcomes.iter().all(|outcome| outcome.answer.is_ok()),
        "{outcomes:?}"
    );
    drop(strategy);
    left_clean(&lab);
}

#[test]
fn three_faults_without_an_answer_switch_it_off_and_three_runs_quarantine_it() {
    let lab = lab();
    lab.hostile(&[]);
    for _ in 0..3 {
        let outcomes = lab
            .ask("segfault", &["poison", "poison", "poison", "L4"])
            .unwrap();
        let codes: Vec<String> = outcomes
            .iter()
            .map(|o| {
                o.answer
                    .as_ref()
                    .map_or_else(|f| f.code.clone(), |_| "ok".into())
            })
            .collect();
        assert_eq!(
            codes,
            [
                "plugin.crashed",
                "plugin.crashed",
                "plugin.disabled",
                "plugin.disabled"
            ]
        );
    }
    assert!(matches!(
        lab.ask("none", &["L1"]),
        Err(Failure::Quarantined { .. })
    ));
    lab.approve("org.example.hostile");
    assert!(lab.ask("none", &["L1"]).unwrap()[0].answer.is_ok());
    left_clean(&lab);
}

/// Is this the failure that was to come?
type Expected = Box<dyn Fn(&Failure) -> bool>;

/// Faults that strike on loading, by what is built in.
#[test]
fn every_fault_of_loading_is_refused_at_its_stage() {
    let lab = lab();
    let at = |stage: Stage| move |failure: &Failure| matches!(failure, Failure::LoadFailed { stage: found, .. } if *found == stage);
    let cases: Vec<(&str, Expected)> = vec![
        (
            "MAJOR=2",
            Box::new(|f| matches!(f, Failure::Incompatible { .. })),
        ),
        (
            "MINIMUM=5",
            Box::new(|f| matches!(f, Failure::Incompatible { .. })),
        ),
        ("SIZE=40", Box::new(at(Stage::Abi))),
        ("NO_DESCRIPTOR", Box::new(at(Stage::Abi))),
        ("NO_SYMBOL", Box::new(at(Stage::Symbol))),
        ("UNDEFINED", Box::new(at(Stage::Dlopen))),
        ("ID=\"org.example.other\"", Box::new(at(Stage::Abi))),
        (
            "CONSTRUCTOR_CRASHES",
            Box::new(|f| matches!(f, Failure::Crashed { .. })),
        ),
        (
            "CONSTRUCTOR_LOOPS",
            Box::new(|f| matches!(f, Failure::Timeout { .. })),
        ),
    ];
    for (define, expected) in cases {
        lab.hostile(&[define]);
        let failure = lab.ask("none", &["L1"]).unwrap_err();
        assert!(expected(&failure), "{define}: {failure:?}");
        left_clean(&lab);
    }
    for define in ["MINOR=7", "SIZE=96"] {
        lab.hostile(&[define]);
        assert!(
            lab.ask("none", &["L1"]).unwrap()[0].answer.is_ok(),
            "{define}"
        );
    }
    left_clean(&lab);
}

#[test]
fn a_panic_in_the_sdk_costs_a_lane_and_one_across_c_a_process() {
    let mut lab = lab();
    lab.settings.isolate = dyebook_plugin_host::Isolate::All;
    for (name, expected, words) in [
        ("panics", "plugin.error", "panic: boom at poison"),
        ("raw-panics", "plugin.crashed", "signal 6"),
    ] {
        let mut strategy = lab.plugins().strategy(name).unwrap();
        strategy.prepare(&dyebook_hostile::set()).unwrap();
        let request = dyebook_hostile::zero_spots(&["L1", "poison", "L3"]);
        let outcomes = strategy.match_lanes(&request).unwrap();
        assert_eq!(code(&outcomes), expected);
        let text = outcomes[1].answer.as_ref().unwrap_err().text.clone();
        assert!(text.contains(words), "{text}");
    }
    left_clean(&lab);
}

#[test]
fn a_bad_plugin_shows_in_the_list_and_stops_nothing_else() {
    let lab = lab();
    fs::create_dir_all(lab.plugin("org.example.broken")).unwrap();
    fs::write(lab.plugin("org.example.broken").join("manifest.json"), "{").unwrap();
    let list = lab.plugins().list();
    let broken = list
        .iter()
        .find(|info| info.id == "org.example.broken")
        .unwrap();
    assert_eq!(broken.state, State::Invalid);
    let mut strategy = lab.plugins().strategy("range").unwrap();
    strategy.prepare(&dyebook_hostile::set()).unwrap();
    let outcomes = strategy
        .match_lanes(&dyebook_hostile::zero_spots(&["L1"]))
        .unwrap();
    assert!(outcomes[0].answer.is_ok());
    assert_eq!(
        lab.plugins().strategy("hostile").unwrap_err().id(),
        "plugin.not_found"
    );
}

#[test]
fn bad_output_names_the_look_at_which_it_failed() {
    let lab = lab();
    lab.hostile(&[]);
    for (fault, look) in [
        ("utf8", Look::Utf8),
        ("nan", Look::Json),
        ("deep", Look::Json),
        ("schema", Look::Schema),
        ("other-dye", Look::Semantic),
    ] {
        let (text, _) = alone(&lab, fault);
        assert!(
            text.contains(&format!("({})", look.word())),
            "{fault}: {text}"
        );
    }
}
