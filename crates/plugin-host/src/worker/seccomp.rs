//! Refuses system calls by which a plug-in could start, attack or outlive processes, or reach the
//! network in ways that the file sandbox does not know. Refused calls fail with "not permitted";
//! nothing is killed, so that a plug-in which merely tries still answers.
#![expect(unsafe_code, reason = "hands a filter program to the kernel")]

use std::io;

use libc::{
    BPF_ABS, BPF_JEQ, BPF_JMP, BPF_JSET, BPF_K, BPF_LD, BPF_RET, BPF_W, SECCOMP_RET_ALLOW,
    SECCOMP_RET_ERRNO, c_long, sock_filter, sock_fprog,
};

/// Places in the kernel's `seccomp_data`; the low half of an argument comes first on these machines.
const NUMBER: u32 = 0;
const MACHINE: u32 = 4;
const FIRST_ARGUMENT: u32 = 16;

#[cfg(target_arch = "x86_64")]
const THIS_MACHINE: u32 = 0xc000_003e;
#[cfg(target_arch = "aarch64")]
const THIS_MACHINE: u32 = 0xc000_00b7;
#[cfg(not(any(target_arch = "x86_64", target_arch = "aarch64")))]
const THIS_MACHINE: u32 = 0;

/// Calls of the second table of x86-64, which numbers the same calls again.
const SECOND_TABLE: u32 = 0x4000_0000;

/// Calls that are refused whatever their arguments are.
const REFUSED: &[c_long] = &[
    #[cfg(target_arch = "x86_64")]
    libc::SYS_fork,
    #[cfg(target_arch = "x86_64")]
    libc::SYS_vfork,
    libc::SYS_execve,
    libc::SYS_execveat,
    libc::SYS_setsid,
    libc::SYS_setpgid,
    libc::SYS_socket,
    libc::SYS_socketpair,
    libc::SYS_kill,
    libc::SYS_tkill,
    libc::SYS_rt_sigqueueinfo,
    libc::SYS_rt_tgsigqueueinfo,
    libc::SYS_pidfd_open,
    libc::SYS_pidfd_send_signal,
    libc::SYS_pidfd_getfd,
    libc::SYS_ptrace,
    libc::SYS_process_vm_readv,
    libc::SYS_process_vm_writev,
    libc::SYS_io_uring_setup,
    libc::SYS_bpf,
    libc::SYS_perf_event_open,
    libc::SYS_userfaultfd,
    libc::SYS_unshare,
    libc::SYS_setns,
    libc::SYS_mount,
    libc::SYS_chroot,
    libc::SYS_keyctl,
    libc::SYS_add_key,
];

/// Puts the filter in force for this thread and all that it will start.
pub(super) fn filter() -> io::Result<()> {
    if THIS_MACHINE == 0 {
        return Err(io::ErrorKind::Unsupported.into());
    }
    rustix::thread::set_no_new_privs(true)?;
    let mut program = program(std::process::id());
    let length = u16::try_from(program.len()).map_err(|_long| io::ErrorKind::InvalidInput)?;
    let program = sock_fprog {
        len: length,
        filter: program.as_mut_ptr(),
    };
    // SAFETY: the kernel copies the program, which lives through the call.
    let done = unsafe {
        libc::prctl(
            libc::PR_SET_SECCOMP,
            libc::SECCOMP_MODE_FILTER,
            &raw const program,
            0,
            0,
        )
    };
    if done == 0 {
        Ok(())
    } else {
        Err(io::Error::last_os_error())
    }
}

fn program(own_process: u32) -> Vec<sock_filter> {
    let refuse = |errno: i32| ret(SECCOMP_RET_ERRNO | errno.unsigned_abs());
    let mut program = vec![
        load(MACHINE),
        jump(BPF_JEQ, THIS_MACHINE, 1, 0),
        refuse(libc::EPERM),
        load(NUMBER),
        jump(BPF_JSET, SECOND_TABLE, 0, 1),
        refuse(libc::EPERM),
    ];
    for call in REFUSED {
        program.extend([jump(BPF_JEQ, number(*call), 0, 1), refuse(libc::EPERM)]);
    }
    program.extend([
        // Its flags stand in memory, which a filter can't read; libraries fall back to `clone`.
        jump(BPF_JEQ, number(libc::SYS_clone3), 0, 1),
        refuse(libc::ENOSYS),
        // A thread, but no process.
        jump(BPF_JEQ, number(libc::SYS_clone), 0, 3),
        load(FIRST_ARGUMENT),
        jump(BPF_JSET, libc::CLONE_THREAD.unsigned_abs(), 1, 0),
        refuse(libc::EPERM),
        // Signals to its own threads, as `abort` sends one.
        load(NUMBER),
        jump(BPF_JEQ, number(libc::SYS_tgkill), 0, 3),
        load(FIRST_ARGUMENT),
        jump(BPF_JEQ, own_process, 1, 0),
        refuse(libc::EPERM),
        ret(SECCOMP_RET_ALLOW),
    ]);
    program
}

fn number(call: c_long) -> u32 {
    // Numbers of system calls are small.
    u32::try_from(call).unwrap_or(u32::MAX)
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "codes of the filter machine have 16 bits"
)]
fn load(place: u32) -> sock_filter {
    sock_filter {
        code: (BPF_LD | BPF_W | BPF_ABS) as u16,
        jt: 0,
        jf: 0,
        k: place,
    }
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "codes of the filter machine have 16 bits"
)]
fn jump(test: u32, value: u32, when: u8, otherwise: u8) -> sock_filter {
    sock_filter {
        code: (BPF_JMP | test | BPF_K) as u16,
        jt: when,
        jf: otherwise,
        k: value,
    }
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "codes of the filter machine have 16 bits"
)]
fn ret(what: u32) -> sock_filter {
    sock_filter {
        code: (BPF_RET | BPF_K) as u16,
        jt: 0,
        jf: 0,
        k: what,
    }
}
