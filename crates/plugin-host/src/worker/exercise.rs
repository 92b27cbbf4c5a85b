//! What the conformance kit asks of a library beyond calling one instance: it makes, calls and ends
//! instances in any order, and reports what came back and what the process looks like afterwards.

use std::time::{Duration, Instant};

use serde::{Deserialize, Serialize};

use crate::check::Descriptor;
use crate::instance::{Instance, Returned};

/// A list of steps, carried out in order in one process.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct Exercise {
    /// The steps.
    pub steps: Vec<Step>,
    /// The output of a call is refused beyond so many bytes, where it is to be tried.
    pub most_out: Option<usize>,
    /// Calls are asked to stop after so many ms.
    pub stop_after_ms: Option<u64>,
}

/// One step. Instances are numbered in the order in which they were made.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Step {
    /// Makes an instance.
    Create {
        /// Its component.
        component: String,
        /// Its configuration.
        config: String,
    },
    /// Calls an instance.
    Call {
        /// Which.
        instance: usize,
        /// The operation.
        op: u32,
        /// The request.
        request: Message,
        /// Give it the frame's blob.
        blob: bool,
    },
    /// Ends an instance.
    Destroy {
        /// Which.
        instance: usize,
    },
    /// Makes and ends an instance so many times.
    Churn {
        /// Its component.
        component: String,
        /// Its configuration.
        config: String,
        /// How often.
        times: u32,
    },
}

/// What a call is given, and what it gives: a text in the JSON form, bytes in the binary form.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(untagged)]
pub enum Message {
    /// The JSON form.
    Text(String),
    /// The binary form.
    Bytes(Vec<u8>),
}

impl Message {
    fn bytes(&self) -> &[u8] {
        match self {
            Self::Text(text) => text.as_bytes(),
            Self::Bytes(bytes) => bytes,
        }
    }
}

/// What came of an exercise.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct Report {
    /// What each step returned.
    pub steps: Vec<StepReport>,
    /// The process before.
    pub before: Surroundings,
    /// The process afterwards.
    pub after: Surroundings,
}

/// What a step returned.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct StepReport {
    /// The status.
    pub status: i32,
    /// Output as a text, where the request was one.
    pub out: String,
    /// Output as bytes, where the request was in the binary form.
    pub bytes: Vec<u8>,
    /// Error text.
    pub err: String,
    /// The output sink refused.
    pub refused: bool,
    /// How long it took.
    pub ms: u64,
}

/// Things of a process that a plug-in has no business changing.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Surroundings {
    /// Open files.
    pub files: usize,
    /// Working directory.
    pub directory: String,
    /// Environment.
    pub environment: Vec<String>,
    /// Signals blocked.
    pub signals: String,
    /// 1/3 and -1/3 rounded as the processor is set.
    pub rounding: (u32, u32),
    /// How a decimal is printed, which a locale changes.
    pub locale: String,
}

pub(super) fn run(descriptor: &Descriptor, json: &[u8], blob: &[u8], most_out: usize) -> Report {
    let exercise: Exercise = serde_json::from_slice(json).unwrap_or_default();
    let most_out = exercise.most_out.unwrap_or(most_out);
    let mut instances: Vec<Option<Instance>> = Vec::new();
    let mut report = Report {
        before: surroundings(),
        ..Report::default()
    };
    for step in &exercise.steps {
        let deadline = exercise
            .stop_after_ms
            .map(|ms| Instant::now() + Duration::from_millis(ms));
        let begun = Instant::now();
        let mut said = carry_out(descriptor, step, &mut instances, blob, most_out, deadline);
        said.ms = u64::try_from(begun.elapsed().as_millis()).unwrap_or(u64::MAX);
        report.steps.push(said);
    }
    report.after = surroundings();
    report
}

fn carry_out(
    descriptor: &Descriptor,
    step: &Step,
    instances: &mut Vec<Option<Instance>>,
    blob: &[u8],
    most_out: usize,
    deadline: Option<Instant>,
) -> StepReport {
    let make = |component: &str, config: &str| {
        Instance::create(descriptor.table, component, config.as_bytes())
    };
    match step {
        Step::Create { component, config } => match make(component, config) {
            Ok(instance) => {
                instances.push(Some(instance));
                StepReport::default()
            }
            Err(returned) => {
                instances.push(None);
                said(&returned)
            }
        },
        Step::Call {
            instance,
            op,
            request,
            blob: with_blob,
        } => {
            let blob = if *with_blob { blob } else { &[] };
            match instances.get_mut(*instance).and_then(Option::as_mut) {
                Some(instance) => {
                    let returned = instance.call(*op, request.bytes(), blob, most_out, deadline);
                    match request {
                        Message::Text(_) => said(&returned),
                        Message::Bytes(_) => StepReport {
                            out: String::new(),
                            bytes: returned.out.clone(),
                            ..said(&returned)
                        },
                    }
                }
                None => StepReport {
                    err: "no such instance".into(),
                    ..StepReport::default()
                },
            }
        }
        Step::Destroy { instance } => {
            if let Some(place) = instances.get_mut(*instance) {
                *place = None;
            }
            StepReport::default()
        }
        Step::Churn {
            component,
            config,
            times,
        } => {
            for _ in 0..*times {
                if let Err(returned) = make(component, config) {
                    return said(&returned);
                }
            }
            StepReport::default()
        }
    }
}

fn said(returned: &Returned) -> StepReport {
    StepReport {
        status: returned.status,
        out: String::from_utf8_lossy(&returned.out).into_owned(),
        bytes: Vec::new(),
        err: String::from_utf8_lossy(&returned.err).into_owned(),
        refused: returned.refused,
        ms: 0,
    }
}

#[expect(
    unsafe_code,
    reason = "asks the C library for its locale, which Rust does not"
)]
fn locale() -> String {
    // SAFETY: a null name only asks, and the text stays valid until the locale is changed.
    let name = unsafe { libc::setlocale(libc::LC_ALL, std::ptr::null()) };
    if name.is_null() {
        return String::new();
    }
    // SAFETY: as above; it ends with NUL.
    unsafe { std::ffi::CStr::from_ptr(name) }
        .to_string_lossy()
        .into_owned()
}

/// Looks through calls that are still allowed in the sandbox: `/proc` is closed to it.
#[expect(
    unsafe_code,
    reason = "asks the kernel about this process, which Rust does not"
)]
fn surroundings() -> Surroundings {
    let open = |number: &i32| {
        // SAFETY: asks about a number, which may be closed.
        unsafe { libc::fcntl(*number, libc::F_GETFD) >= 0 }
    };
    let blocked = {
        // SAFETY: all zeros is a valid value, which the call fills.
        let mut set: libc::sigset_t = unsafe { std::mem::zeroed() };
        // SAFETY: a null new set only asks.
        unsafe { libc::pthread_sigmask(libc::SIG_BLOCK, std::ptr::null(), &raw mut set) };
        // SAFETY: the set was filled above.
        let member = |signal: &i32| unsafe { libc::sigismember(&raw const set, *signal) == 1 };
        (1..32)
            .filter(member)
            .map(|signal| signal.to_string())
            .collect::<Vec<_>>()
            .join(" ")
    };
    let third = std::hint::black_box(1.0_f32) / std::hint::black_box(3.0_f32);
    let minus_third = std::hint::black_box(-1.0_f32) / std::hint::black_box(3.0_f32);
    Surroundings {
        files: (0..64).filter(open).count(),
        directory: std::env::current_dir()
            .map_or_else(|e| e.to_string(), |d| d.display().to_string()),
        environment: std::env::vars_os()
            .map(|(k, v)| format!("{}={}", k.display(), v.display()))
            .collect(),
        signals: blocked,
        rounding: (third.to_bits(), minus_third.to_bits()),
        locale: locale(),
    }
}
