//! What a library's file says about itself: machine, needs, exports, and what would make it
//! dangerous even before a function of it is called.

use object::elf;
use object::read::elf::{FileHeader, ProgramHeader, SectionHeader, Sym};
use object::{LittleEndian, ReadRef};

use super::{Grade, Inspection};

type Header = elf::FileHeader64<LittleEndian>;
const LE: LittleEndian = LittleEndian;

#[cfg(target_arch = "aarch64")]
const HERE: elf::Machine = elf::EM_AARCH64;
#[cfg(not(target_arch = "aarch64"))]
const HERE: elf::Machine = elf::EM_X86_64;

/// Libraries that every system has and that bring nothing of their own.
const USUAL: [&str; 6] = [
    "libc.so.",
    "libm.so.",
    "libgcc_s.so.",
    "libpthread.so.",
    "libdl.so.",
    "librt.so.",
];

pub(super) fn look(bytes: &[u8], inspection: &mut Inspection) {
    if let Err(text) = try_look(bytes, inspection) {
        inspection.find("elf", Grade::Refuse, text);
    }
}

fn bad(error: object::Error) -> String {
    format!("the library is no whole shared library: {error}")
}

fn try_look(bytes: &[u8], inspection: &mut Inspection) -> Result<(), String> {
    let header = Header::parse(bytes).map_err(bad)?;
    if header.e_ident().data != elf::ELFDATA2LSB || !header.is_class_64() {
        return Err("the library is not of this kind of machine (64 bit, little endian)".into());
    }
    if header.e_type(LE) != elf::ET_DYN {
        return Err("the file is no shared library".into());
    }
    if header.e_machine(LE) != HERE {
        return Err(format!(
            "the library is for another machine ({:?})",
            header.e_machine(LE)
        ));
    }
    let segments = header.program_headers(LE, bytes).map_err(bad)?;
    whole(segments, bytes)?;
    inspection.find(
        "elf",
        Grade::Pass,
        "a whole shared library for this machine",
    );
    let sections = header.sections(LE, bytes).map_err(bad)?;
    same_table(segments, sections.iter())?;
    if segments
        .iter()
        .any(|s| s.p_type(LE) == elf::PT_GNU_STACK && s.p_flags(LE).0 & elf::PF_X.0 != 0)
    {
        inspection.find(
            "stack",
            Grade::Refuse,
            "the library wants a stack that can be executed",
        );
    }
    let table = sections.dynamic_table(LE, bytes).map_err(bad)?;
    let needed = dynamic(&table, inspection)?;
    needs(&needed, inspection);
    exports(
        &sections.symbols(LE, bytes, elf::SHT_DYNSYM).map_err(bad)?,
        inspection,
    );
    if let Some((needs, strings)) = sections.gnu_verneed(LE, bytes).map_err(bad)? {
        let strings = sections.strings(LE, bytes, strings).map_err(bad)?;
        glibc(needs, strings, inspection).map_err(bad)?;
    }
    Ok(())
}

/// What the table for the loader says; the libraries that are needed.
fn dynamic<'d, R: ReadRef<'d>>(
    table: &object::read::elf::DynamicTable<'d, Header, R>,
    inspection: &mut Inspection,
) -> Result<Vec<String>, String> {
    let mut needed = Vec::new();
    for entry in table {
        let text = || {
            let text = table.string(entry).map_err(bad)?;
            Ok::<String, String>(String::from_utf8_lossy(text).into_owned())
        };
        match entry.tag {
            elf::DT_NEEDED => needed.push(text()?),
            elf::DT_RPATH | elf::DT_RUNPATH => {
                let text = format!("the library brings its own search path `{}`", text()?);
                inspection.find("search-path", Grade::Refuse, text);
            }
            elf::DT_TEXTREL => {
                inspection.find(
                    "text-relocations",
                    Grade::Refuse,
                    "the library rewrites its code",
                );
            }
            _ => {}
        }
    }
    Ok(needed)
}

/// A library that was cut off kills the process that loads it, before any check.
fn whole(segments: &[elf::ProgramHeader64<LittleEndian>], bytes: &[u8]) -> Result<(), String> {
    for segment in segments {
        let (offset, size) = segment.file_range(LE);
        let end = offset.checked_add(size);
        if end.is_none_or(|end| end > bytes.len() as u64) {
            return Err(
                "the library is cut off: a segment reaches beyond the end of the file".into(),
            );
        }
    }
    Ok(())
}

/// The loader believes the segments, tools mostly the sections: a file in which they differ wants
/// to show one thing and do another.
fn same_table<'a>(
    segments: &[elf::ProgramHeader64<LittleEndian>],
    mut sections: impl Iterator<Item = &'a elf::SectionHeader64<LittleEndian>>,
) -> Result<(), String> {
    let segment = segments
        .iter()
        .find(|segment| segment.p_type(LE) == elf::PT_DYNAMIC);
    let section = sections.find(|section| section.sh_type(LE) == elf::SHT_DYNAMIC);
    let ranges = segment
        .map(|s| s.file_range(LE))
        .zip(section.and_then(|s| s.file_range(LE)));
    match ranges {
        Some((segment, section)) if segment == section => Ok(()),
        _ => Err("the library's sections don't describe what would be loaded".into()),
    }
}

fn needs(needed: &[String], inspection: &mut Inspection) {
    for name in needed {
        if USUAL.iter().any(|usual| name.starts_with(usual)) || name.starts_with("ld-linux") {
            continue;
        }
        let (grade, text) = if name.starts_with("libstdc++.so.") {
            (
                Grade::Warn,
                format!("it needs `{name}`, which not every system has"),
            )
        } else {
            (
                Grade::Refuse,
                format!("it needs `{name}`, which nobody has looked at"),
            )
        };
        inspection.find("needed", grade, text);
    }
    let words = if needed.is_empty() {
        "nothing".into()
    } else {
        needed.join(", ")
    };
    inspection.find("needed", Grade::Pass, format!("it needs {words}"));
}

fn exports<'d, R: ReadRef<'d>>(
    symbols: &object::read::elf::SymbolTable<'d, Header, R>,
    inspection: &mut Inspection,
) {
    let mut entries = Vec::new();
    let mut others = 0;
    for symbol in symbols
        .iter()
        .filter(|symbol| !symbol.is_undefined(LE) && !symbol.is_local())
    {
        let name = symbols.symbol_name(LE, symbol).map(String::from_utf8_lossy);
        match name {
            Ok(name) if name.starts_with("dyb_plugin_entry_v") => entries.push(name.into_owned()),
            Ok(name) if name.is_empty() => {}
            _ => others += 1,
        }
    }
    if entries
        .iter()
        .any(|name| name == dyebook_plugin_abi::DYB_ENTRY)
    {
        inspection.find(
            "entry",
            Grade::Pass,
            format!("it exports {}", entries.join(", ")),
        );
    } else if entries.is_empty() {
        let text = format!("it does not export `{}`", dyebook_plugin_abi::DYB_ENTRY);
        inspection.find("entry", Grade::Refuse, text);
    } else {
        let text = format!(
            "it speaks another ABI: it exports only {}",
            entries.join(", ")
        );
        inspection.find("entry", Grade::Refuse, text);
    }
    if others > 0 {
        let text = format!("it exports {others} names besides its entry function");
        inspection.find("exports", Grade::Note, text);
    }
}

fn glibc<'d, R: ReadRef<'d>>(
    mut needs: object::read::elf::VerneedIterator<'d, Header>,
    strings: object::StringTable<'d, R>,
    inspection: &mut Inspection,
) -> object::Result<()> {
    let mut highest: Option<(Vec<u32>, String)> = None;
    while let Some((_, mut versions)) = needs.next()? {
        while let Some(version) = versions.next()? {
            let name = String::from_utf8_lossy(version.name(LE, strings)?).into_owned();
            let Some(number) = name.strip_prefix("GLIBC_") else {
                continue;
            };
            let parts = number
                .split('.')
                .map(|part| part.parse().unwrap_or(0))
                .collect();
            if highest.as_ref().is_none_or(|(other, _)| parts > *other) {
                highest = Some((parts, number.to_owned()));
            }
        }
    }
    if let Some((_, number)) = highest {
        let text = format!("it needs the GNU C library {number} or newer");
        inspection.find("glibc", Grade::Note, text);
    }
    Ok(())
}
