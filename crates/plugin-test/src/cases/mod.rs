//! The cases, by the part of the kit that they belong to.

mod calls;
mod determinism;
mod forms;
mod fuzz;
mod hygiene;
mod lifecycle;
mod limits;
mod load;
mod meaning;
mod reading;
mod static_look;

use crate::bench::Bench;
use crate::report::Verdict;

/// Which components a case concerns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum For {
    Both,
    Strategies,
    Importers,
}

/// One case.
#[derive(Debug)]
pub(crate) struct Case {
    pub(crate) part: char,
    pub(crate) name: &'static str,
    pub(crate) concerns: For,
    pub(crate) run: fn(&Bench<'_>) -> Result<Verdict, Verdict>,
}

const fn case(
    part: char,
    name: &'static str,
    concerns: For,
    run: fn(&Bench<'_>) -> Result<Verdict, Verdict>,
) -> Case {
    Case {
        part,
        name,
        concerns,
        run,
    }
}

/// All of them, in the order in which they are run.
pub(crate) const ALL: &[Case] = &[
    case('A', "static-look", For::Both, static_look::run),
    case('B', "greeting", For::Both, load::greeting),
    case('B', "same-entry", For::Both, load::same_entry),
    case('C', "churn", For::Both, lifecycle::churn),
    case(
        'C',
        "unknown-component",
        For::Both,
        lifecycle::unknown_component,
    ),
    case(
        'C',
        "longer-component",
        For::Both,
        lifecycle::longer_component,
    ),
    case('C', "bad-config", For::Both, lifecycle::bad_config),
    case(
        'C',
        "unknown-config-key",
        For::Both,
        lifecycle::unknown_config_key,
    ),
    case('C', "two-instances", For::Both, lifecycle::two_instances),
    case(
        'C',
        "after-a-failed-call",
        For::Both,
        lifecycle::after_a_failed_call,
    ),
    case(
        'D',
        "unknown-operation",
        For::Both,
        calls::unknown_operation,
    ),
    case(
        'D',
        "match-before-prepare",
        For::Strategies,
        calls::match_before_prepare,
    ),
    case('D', "empty-batch", For::Strategies, calls::empty_batch),
    case('D', "empty-set", For::Strategies, calls::empty_set),
    case(
        'D',
        "lane-without-spots",
        For::Strategies,
        calls::lane_without_spots,
    ),
    case(
        'D',
        "a-thousand-spots",
        For::Strategies,
        calls::a_thousand_spots,
    ),
    case(
        'D',
        "spots-in-one-place",
        For::Strategies,
        calls::spots_in_one_place,
    ),
    case(
        'D',
        "extreme-numbers",
        For::Strategies,
        calls::extreme_numbers,
    ),
    case('D', "strange-names", For::Strategies, calls::strange_names),
    case(
        'D',
        "unknown-fields",
        For::Strategies,
        calls::unknown_fields,
    ),
    case('D', "another-set", For::Strategies, calls::another_set),
    case('E', "answers-hold", For::Strategies, meaning::answers_hold),
    case('E', "exact-value", For::Strategies, meaning::exact_value),
    case('E', "without-rf", For::Strategies, meaning::without_rf),
    case('E', "own-samples", For::Importers, reading::own_samples),
    case('E', "strange-files", For::Importers, reading::strange_files),
    case('E', "cut-files", For::Importers, reading::cut_files),
    case('E', "dialects", For::Importers, reading::dialects),
    case('F', "twice", For::Both, determinism::twice),
    case(
        'F',
        "batch-or-single",
        For::Strategies,
        determinism::batch_or_single,
    ),
    case('F', "shuffled", For::Strategies, determinism::shuffled),
    case(
        'F',
        "fresh-or-used",
        For::Strategies,
        determinism::fresh_or_used,
    ),
    case(
        'F',
        "interleaved",
        For::Strategies,
        determinism::interleaved,
    ),
    case('F', "both-forms", For::Both, forms::both_forms),
    case('G', "sink-refuses", For::Both, limits::sink_refuses),
    case('G', "asked-to-stop", For::Both, limits::asked_to_stop),
    case('G', "little-memory", For::Both, limits::little_memory),
    case('G', "time-per-lane", For::Strategies, limits::time_per_lane),
    case('H', "surroundings", For::Both, hygiene::surroundings),
    case(
        'H',
        "threads-and-prints",
        For::Both,
        hygiene::threads_and_prints,
    ),
    case('I', "fuzz", For::Both, fuzz::run),
];
