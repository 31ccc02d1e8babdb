//! The real program, run in a folder.

use std::{
    path::Path,
    process::{Command, Output},
};

/// Runs it with these arguments.
pub fn baystencil(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_baystencil"))
        .current_dir(folder)
        .args(arguments)
        .env_remove("SOURCE_DATE_EPOCH")
        .output()
        .expect("the program starts")
}

/// What it said to a person.
pub fn stderr(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}
