//! What goes to stdout and stderr.

use std::io::{self, ErrorKind, Write};

use super::failure::Failure;

/// Writes data to stdout in one go. A reader that has closed its end has seen enough: no fault.
pub(super) fn data(text: &str) -> Result<(), Failure> {
    let mut stdout = io::stdout().lock();
    match stdout
        .write_all(text.as_bytes())
        .and_then(|()| stdout.flush())
    {
        Err(error) if error.kind() != ErrorKind::BrokenPipe => Err(Failure::Stdout(error)),
        _ => Ok(()),
    }
}

/// Writes a message to stderr. Where even that is closed nobody listens, and the work is done.
pub(super) fn message(text: &str) {
    let _ = writeln!(io::stderr(), "{text}");
}
