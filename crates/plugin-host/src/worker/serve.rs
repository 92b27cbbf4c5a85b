//! Loads what the host asks for, and answers calls until the host is gone.

use std::io;
use std::time::{Duration, Instant};

use dyebook_plugin_abi::DYB_OK;
use rustix::process::{Signal, getppid, set_parent_process_death_signal};

use super::confine::{self, Confined};
use super::exercise;
use super::library::{self, Sealed};
use super::streams::{Conversation, Frame};
use crate::bundled::{Bundled, find};
use crate::check::Descriptor;
use crate::failure::{Failure, Stage};
use crate::frame::{Header, Kind};
use crate::greeting::{Greeting, Hello, Init, Load};
use crate::instance::Instance;
use crate::launcher::create;

pub(super) fn run(bundled: Bundled) -> io::Result<()> {
    let mut conversation = Conversation::open()?;
    set_parent_process_death_signal(Some(Signal::KILL))?;
    let Some(first) = conversation.receive()? else {
        return Ok(());
    };
    let init: Init = serde_json::from_slice(&first.json)?;
    // The host may have gone before the signal was asked for.
    if getppid().is_none_or(|parent| parent.as_raw_nonzero().get() != init.host) {
        return Ok(());
    }
    let (hello, loaded) = match load(&init, bundled) {
        Ok((greeting, loaded)) => (Hello::Ok(greeting), Some(loaded)),
        Err(failure) => (Hello::Err(failure), None),
    };
    conversation.send(
        Header::new(Kind::Hello, first.header.seq),
        &serde_json::to_vec(&hello)?,
    )?;
    let Some(mut loaded) = loaded else {
        return Ok(());
    };
    while let Some(frame) = conversation.receive()? {
        let (header, answer) = answer(&mut loaded, &frame, init.limits.output_bytes())?;
        conversation.send(header, &answer)?;
    }
    Ok(())
}

struct Loaded {
    descriptor: Descriptor,
    instance: Option<Instance>,
}

fn load(init: &Init, bundled: Bundled) -> Result<(Greeting, Loaded), Failure> {
    enum Ready {
        Sealed(Sealed),
        Linked(Descriptor),
    }
    let failed = |text: String| Failure::LoadFailed {
        stage: Stage::Sandbox,
        text,
    };
    let ready = match &init.load {
        Load::Library { path, size, sha256 } => Ready::Sealed(library::seal(path, *size, sha256)?),
        Load::Bundled { id } => Ready::Linked(find(bundled, id)?),
    };
    nowhere().map_err(|error| failed(error.to_string()))?;
    confine::limit(init.limits).map_err(|error| failed(error.to_string()))?;
    confine::limit_cpu(init.limits.budget(1)).map_err(|error| failed(error.to_string()))?;
    let Confined { words, whole } = confine::sandbox();
    if init.sandbox_required && !whole {
        return Err(failed(format!(
            "the sandbox is required and not whole: {words}"
        )));
    }
    let (descriptor, same_entry) = match ready {
        Ready::Sealed(sealed) => library::load(sealed)?,
        Ready::Linked(descriptor) => (descriptor, true),
    };
    let make = |component: &String| create(&descriptor, component, &init.config);
    let mut instance = init.component.as_ref().map(make).transpose()?;
    if let Some(instance) = &mut instance {
        instance.echo_log();
    }
    let describe = descriptor.describe.clone();
    let greeting = Greeting {
        describe,
        sandbox: words,
        confined: whole,
        same_entry,
    };
    Ok((
        greeting,
        Loaded {
            descriptor,
            instance,
        },
    ))
}

/// Goes to a folder that does not exist any more: nothing can be made in it, and nothing is left
/// of it, whatever becomes of this process.
fn nowhere() -> io::Result<()> {
    let gone = tempfile::Builder::new()
        .prefix("dyebook-plugin-")
        .tempdir_in("/tmp")?;
    std::env::set_current_dir(gone.path())?;
    gone.close()
}

fn answer(loaded: &mut Loaded, frame: &Frame, most_out: usize) -> io::Result<(Header, Vec<u8>)> {
    let budget = Duration::from_millis(u64::try_from(frame.header.status).unwrap_or(0));
    confine::limit_cpu(budget)?;
    let header = |kind| Header::new(kind, frame.header.seq);
    if frame.header.kind == Kind::Exercise {
        let report = exercise::run(&loaded.descriptor, &frame.json, &frame.blob, most_out);
        return Ok((header(Kind::Result), serde_json::to_vec(&report)?));
    }
    let Some(instance) = loaded
        .instance
        .as_mut()
        .filter(|_| frame.header.kind == Kind::Call)
    else {
        return Err(io::Error::other("a frame out of order"));
    };
    let op = u32::from(frame.header.op);
    let deadline = Some(Instant::now() + budget);
    let returned = instance.call(op, &frame.json, &frame.blob, most_out, deadline);
    if returned.status == DYB_OK && !returned.refused {
        return Ok((header(Kind::Result), returned.out));
    }
    let refused = u16::from(returned.refused);
    let status = returned.status;
    Ok((
        Header {
            op: refused,
            status,
            ..header(Kind::Error)
        },
        returned.err,
    ))
}
