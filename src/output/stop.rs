//! Ctrl-C and a polite request to end. While nothing is being written they end the program at once, as ever: nothing is on the disk
//! then. While a folder is being written they wait for the next file, so that what was begun is taken back.

use std::{
    io,
    sync::{
        Arc, LazyLock,
        atomic::{AtomicBool, Ordering},
    },
};

use signal_hook::{
    consts::{SIGINT, SIGTERM},
    flag, low_level,
};

/// Signals that ask a program to end.
const SIGNALS: [i32; 2] = [SIGINT, SIGTERM];

/// What was asked, and whether it takes effect at once.
struct Stop {
    asked: Arc<AtomicBool>,
    at_once: Arc<AtomicBool>,
}

static STOP: LazyLock<Stop> = LazyLock::new(|| Stop {
    asked: Arc::new(AtomicBool::new(false)),
    at_once: Arc::new(AtomicBool::new(true)),
});

/// Listens to the signals, for a program; a library leaves them to whoever uses it.
///
/// # Errors
/// When the system refuses.
pub fn listen() -> io::Result<()> {
    for signal in SIGNALS {
        flag::register_conditional_default(signal, Arc::clone(&STOP.at_once))?;
        flag::register(signal, Arc::clone(&STOP.asked))?;
    }
    Ok(())
}

/// Ends the program as the signal would have, once what was begun is taken back.
pub fn end() {
    // Where even that is refused the exit code says it.
    let _ = low_level::emulate_default_handler(SIGINT);
}

/// True once it was asked to stop.
#[must_use]
pub fn asked() -> bool {
    STOP.asked.load(Ordering::SeqCst)
}

/// From now on a signal waits, until this is dropped.
#[derive(Debug)]
pub(super) struct Held(());

impl Held {
    pub(super) fn begin() -> Self {
        STOP.at_once.store(false, Ordering::SeqCst);
        Self(())
    }
}

impl Drop for Held {
    fn drop(&mut self) {
        STOP.at_once.store(true, Ordering::SeqCst);
    }
}
