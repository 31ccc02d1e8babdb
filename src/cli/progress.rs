//! What the program is at, on a terminal, where it takes longer than somebody waits without a sign.

use std::{thread, time::Duration};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

/// Whoever waits less than this needs no sign.
const PATIENCE: Duration = Duration::from_millis(500);

/// How often the sign moves.
const TICK: Duration = Duration::from_millis(120);

/// Does `work` and meanwhile says what it is, as in "laying and drawing sheets", on a terminal; nowhere else, and not at all where it
/// is done within half a second. The line is gone when the work is done, before anything else is said.
pub(super) fn working<T>(what: &'static str, work: impl FnOnce() -> T) -> T {
    let style = ProgressStyle::default_spinner().tick_chars("|/-\\ ");
    let sign = ProgressBar::with_draw_target(None, ProgressDrawTarget::hidden()).with_style(style);
    sign.set_message(format!(
        "{what} … (Ctrl-C stops; nothing is left half written)"
    ));
    let late = sign.downgrade();
    thread::spawn(move || {
        thread::sleep(PATIENCE);
        if let Some(sign) = late.upgrade().filter(|sign| !sign.is_finished()) {
            sign.set_draw_target(ProgressDrawTarget::stderr());
            sign.enable_steady_tick(TICK);
        }
    });
    let done = work();
    sign.finish_and_clear();
    done
}
