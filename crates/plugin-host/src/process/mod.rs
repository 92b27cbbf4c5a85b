//! A worker as the host sees it: started, spoken to against a deadline, and always ended.

mod end;
mod exchange;
mod sent;
mod spawn;

pub(crate) use sent::read_sent;
pub use spawn::WorkerProgram;

use std::io::PipeReader;
use std::os::unix::net::UnixStream;
use std::process::Child;
use std::time::{Duration, Instant};

use crate::channel::{Call, Channel};
use crate::failure::Failure;
use crate::frame::{Header, Kind};
use crate::greeting::{Greeting, Hello, Init};
use crate::instance::error_bytes;
use crate::limits::{Limits, MOST_DESCRIBE_BYTES};
use crate::log::Log;
use crate::worker::{Exercise, Report};

/// A worker may take so much longer to start than one call may take.
const START: Duration = Duration::from_secs(1);
/// After so many items a worker is replaced, so that what it leaks has an end.
const MOST_ITEMS: usize = 10_000;
/// How much memory it has is looked at after so many.
const LOOK_EVERY: usize = 500;
/// A greeting: `describe`, escaped, and a few words.
const MOST_HELLO_BYTES: usize = 8 * MOST_DESCRIBE_BYTES;

/// A running worker. Ended, with all that it started, with this value.
#[derive(Debug)]
pub(crate) struct Process {
    child: Child,
    socket: UnixStream,
    log_pipe: PipeReader,
    log: Log,
    seq: u32,
    items: usize,
    look_again_at: usize,
    limits: Limits,
    greeting: Greeting,
    /// Memory that the host had used when it started the worker.
    host_kib: u64,
    ended: bool,
}

impl Process {
    /// Starts a worker and waits for its greeting.
    pub(crate) fn start(program: &WorkerProgram, init: &Init) -> Result<Self, Failure> {
        let (child, socket, log_pipe) = spawn::spawn(program)?;
        let greeting = Greeting {
            describe: String::new(),
            sandbox: String::new(),
            confined: false,
            same_entry: true,
        };
        let (log, limits) = (Log::default(), init.limits);
        let mut process = Self {
            child,
            socket,
            log_pipe,
            log,
            seq: 0,
            items: 0,
            look_again_at: LOOK_EVERY,
            limits,
            greeting,
            host_kib: end::host_kib(),
            ended: false,
        };
        let json = serde_json::to_vec(init).map_err(|error| Failure::Protocol {
            text: error.to_string(),
        })?;
        let answer = process.exchange(
            Header::new(Kind::Init, 0),
            &json,
            &[],
            limits.budget(1) + START,
            MOST_HELLO_BYTES,
        )?;
        let hello: Hello = serde_json::from_slice(&answer.json)
            .map_err(|error| process.broken(&format!("no greeting: {error}")))?;
        process.greeting = hello?;
        Ok(process)
    }

    pub(crate) fn describe(&self) -> &str {
        &self.greeting.describe
    }

    pub(crate) fn greeting(&self) -> &Greeting {
        &self.greeting
    }

    /// Bytes that the plug-in logged or printed so far.
    pub(crate) fn logged(&self) -> u64 {
        self.log.total()
    }

    /// Memory that the worker has now, in KiB, from outside.
    pub(crate) fn resident_kib(&self) -> u64 {
        let status = std::fs::read_to_string(format!("/proc/{}/status", self.child.id()));
        let status = status.unwrap_or_default();
        let line = status.lines().find_map(|line| line.strip_prefix("VmRSS:"));
        let number = line.and_then(|line| line.split_whitespace().next());
        number.and_then(|number| number.parse().ok()).unwrap_or(0)
    }

    /// Threads of the worker, from outside.
    pub(crate) fn threads(&self) -> usize {
        std::fs::read_dir(format!("/proc/{}/task", self.child.id())).map_or(0, Iterator::count)
    }

    /// Has the kit's steps carried out.
    pub(crate) fn exercise(
        &mut self,
        exercise: &Exercise,
        blob: &[u8],
        budget: Duration,
    ) -> Result<Report, Failure> {
        let json = serde_json::to_vec(exercise).map_err(|error| Failure::Protocol {
            text: error.to_string(),
        })?;
        let header = Header {
            status: milliseconds(budget),
            ..Header::new(Kind::Exercise, 0)
        };
        let most = 4 * self.limits.output_bytes();
        let answer = self.exchange(header, &json, blob, budget, most)?;
        serde_json::from_slice(&answer.json)
            .map_err(|error| self.broken(&format!("no report: {error}")))
    }

    /// One frame there and one back.
    fn exchange(
        &mut self,
        header: Header,
        json: &[u8],
        blob: &[u8],
        budget: Duration,
        most: usize,
    ) -> Result<exchange::Answer, Failure> {
        self.seq = self.seq.wrapping_add(1);
        let header = Header {
            seq: self.seq,
            json: json.len(),
            blob: blob.len(),
            ..header
        };
        let deadline = Instant::now() + budget;
        let done = exchange::exchange(
            &self.socket,
            &self.log_pipe,
            &mut self.log,
            header,
            [json, blob],
            deadline,
            most,
        );
        done.map_err(|trouble| self.fault(trouble, budget))
    }

    fn broken(&mut self, text: &str) -> Failure {
        self.end();
        Failure::Protocol {
            text: text.to_owned(),
        }
    }
}

impl Channel for Process {
    fn call(&mut self, call: Call<'_>) -> Result<Vec<u8>, Failure> {
        let budget = self.limits.budget(call.items);
        self.items += call.items;
        let most = self.limits.output_bytes();
        let op = u16::try_from(call.op).unwrap_or(u16::MAX);
        let header = Header {
            op,
            status: milliseconds(budget),
            ..Header::new(Kind::Call, 0)
        };
        let answer = self.exchange(
            header,
            call.request,
            call.blob,
            budget,
            most.max(error_bytes(call.op)),
        )?;
        match answer.header.kind {
            Kind::Result => Ok(answer.json),
            Kind::Error if answer.header.op == 1 => {
                Err(Failure::OutputLimit { bytes: most as u64 })
            }
            Kind::Error => {
                let text = String::from_utf8_lossy(&answer.json).into_owned();
                let text = if text.is_empty() {
                    "it gave no text".into()
                } else {
                    text
                };
                Err(Failure::Error {
                    status: answer.header.status,
                    text,
                })
            }
            kind => Err(self.broken(&format!("a frame of kind {kind:?} out of order"))),
        }
    }

    fn log_tail(&self) -> String {
        self.log.tail()
    }

    fn sandbox(&self) -> String {
        self.greeting.sandbox.clone()
    }

    fn is_worn(&mut self) -> bool {
        if self.items < self.look_again_at {
            return false;
        }
        self.look_again_at = self.items + LOOK_EVERY;
        self.items >= MOST_ITEMS || self.resident_kib() > self.limits.memory_mb * 1024 * 3 / 4
    }
}

impl Drop for Process {
    fn drop(&mut self) {
        self.end();
    }
}

fn milliseconds(budget: Duration) -> i32 {
    i32::try_from(budget.as_millis()).unwrap_or(i32::MAX)
}
