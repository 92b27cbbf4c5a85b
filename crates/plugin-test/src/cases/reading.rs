//! E. Does an importer read its own files, and survive all others?
//!
//! An importer brings files in its folder: `samples/accepted/` and `samples/refused/`.

use dyebook_plugin_abi::{DYB_E_DATA, DYB_OK};
use dyebook_plugin_host::kit::{self, Exercise};

use crate::bench::{Bench, good, probe};
use crate::random::Random;
use crate::report::{Grade, Verdict};
use crate::samples;

/// A large file of nothing, but no larger than the importer takes.
const LARGE: u64 = 64 * 1024 * 1024;

pub(super) fn own_samples(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    let accepted = bench.files("accepted");
    for (path, bytes) in &accepted {
        let name = path
            .file_name()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned();
        let steps = vec![bench.create(), probe(0, &name, bytes.len())];
        let head = bytes.get(..bytes.len().min(64 * 1024)).unwrap_or_default();
        let report = bench.exercise(
            &Exercise {
                steps,
                ..Exercise::default()
            },
            head,
        )?;
        let sure = kit::judge_probe(&good(&report, 1, "probe")?.out)?;
        if sure.confidence < 0.5 {
            let text = format!(
                "it is only {} sure that `{name}` is its own",
                sure.confidence
            );
            return Ok(Verdict::new(Grade::Fail, text));
        }
        let said = bench.import(bytes)?;
        if said.status != DYB_OK {
            return Ok(Verdict::new(
                Grade::Fail,
                format!("it refused `{name}`: {}", said.err),
            ));
        }
        kit::judge_import(&said.out)?;
    }
    for (path, bytes) in bench.files("refused") {
        if bench.import(&bytes)?.status == DYB_OK {
            return Ok(Verdict::new(
                Grade::Fail,
                format!("it took `{}`", path.display()),
            ));
        }
    }
    Ok(Verdict::rule(
        !accepted.is_empty(),
        Grade::Warn,
        "it brings no files in `samples/accepted`",
    ))
}

/// Either rows that fit the schema, or an error that says that the data can't be used.
fn survives(bench: &Bench<'_>, name: &str, bytes: &[u8]) -> Result<(), Verdict> {
    let said = bench.import(bytes)?;
    if said.refused {
        return Ok(());
    }
    match said.status {
        DYB_OK => kit::judge_import(&said.out)
            .map(|_| ())
            .map_err(Verdict::from),
        status if status < 0 && !said.err.is_empty() => Ok(()),
        DYB_E_DATA => Err(Verdict::new(
            Grade::Warn,
            format!("{name} was refused without a text"),
        )),
        status => Err(Verdict::new(
            Grade::Fail,
            format!("{name} returned {status}"),
        )),
    }
}

pub(super) fn strange_files(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    let mut random = Random::new(bench.options.seed);
    let noise: Vec<u8> = (0..100_000)
        .map(|_| random.next().to_le_bytes()[0])
        .collect();
    let large = bench.component.max_bytes.unwrap_or(LARGE).min(LARGE);
    let zeros = vec![0; usize::try_from(large).unwrap_or(0)];
    for (name, bytes) in [
        ("an empty file", &[][..]),
        ("a file of one byte", &b"x"[..]),
        ("a line without an end", &b"group,method"[..]),
        ("noise", &noise),
        ("a large file of zeros", &zeros),
        ("a picture", &b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR"[..]),
        ("an archive", &b"PK\x03\x04\x14\0\0\0\x08\0"[..]),
    ] {
        survives(bench, name, bytes)?;
    }
    Ok(Verdict::pass())
}

fn sample(bench: &Bench<'_>) -> Vec<u8> {
    let own = bench
        .files("accepted")
        .into_iter()
        .next()
        .map(|(_, bytes)| bytes);
    own.unwrap_or_else(|| samples::SHEET.into())
}

pub(super) fn cut_files(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    let whole = sample(bench);
    for part in 0..16 {
        let cut = whole.get(..whole.len() * part / 16).unwrap_or_default();
        survives(bench, &format!("a file cut to {part}/16"), cut)?;
    }
    Ok(Verdict::pass())
}

pub(super) fn dialects(bench: &Bench<'_>) -> Result<Verdict, Verdict> {
    let bytes = sample(bench);
    let Ok(text) = String::from_utf8(bytes) else {
        return Ok(Verdict::new(Grade::Skip, "its files are no text"));
    };
    let utf16 = |of: fn(u16) -> [u8; 2]| -> Vec<u8> {
        std::iter::once(0xfeff)
            .chain(text.encode_utf16())
            .flat_map(of)
            .collect()
    };
    for (name, bytes) in [
        (
            "line ends as CR LF",
            text.replace('\n', "\r\n").into_bytes(),
        ),
        ("a byte order mark", format!("\u{feff}{text}").into_bytes()),
        ("UTF-16, little endian", utf16(u16::to_le_bytes)),
        ("UTF-16, big endian", utf16(u16::to_be_bytes)),
        (
            "no line end at the end",
            text.trim_end().as_bytes().to_vec(),
        ),
    ] {
        survives(bench, name, &bytes)?;
    }
    Ok(Verdict::pass())
}
