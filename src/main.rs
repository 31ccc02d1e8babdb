//! The `baystencil` command line.

use std::process::ExitCode;

fn main() -> ExitCode {
    baystencil::run()
}
