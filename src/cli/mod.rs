//! The command line: arguments, files read, messages. Data goes to stdout, messages to stderr;
//! exit code 0 done and inside, 1 outside or undecided, 2 usage, 3 the input cannot be used.

mod args;
mod check;
mod check_report;
mod cut;
mod data;
mod failure;
mod kit;
mod levels;
mod levels_report;
mod library;
mod load;
mod measure;
mod paperwork;
mod practice;
mod practice_args;
mod printer;
mod printer_args;
mod progress;
mod report;
#[cfg(feature = "serve")]
mod serve;
mod show_plan;

use std::{env, process::ExitCode};

use clap::Parser;

use args::{Args, Command};
use failure::Failure;

use crate::output::{OutputError, stop};

/// Exit code of arguments that are not understood.
const USAGE: u8 = 2;

/// Runs the program on the process's arguments.
#[must_use]
pub fn run() -> ExitCode {
    // Without it a stopped run leaves a mark, which the next one takes back.
    let _ = stop::listen();
    let args = match Args::try_parse() {
        Ok(args) => args,
        Err(error) => return usage(&error),
    };
    match dispatch(args.command) {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            match &failure {
                Failure::Input(_) => data::messages(&failure.to_string()),
                other => data::message(&other.to_string()),
            }
            if matches!(failure, Failure::Output(OutputError::Stopped)) {
                stop::end();
            }
            ExitCode::from(failure.code())
        }
    }
}

/// Help that was asked for, or what is wrong with the arguments; it quotes them, so it leaves without colours, as any message does.
fn usage(error: &clap::Error) -> ExitCode {
    if error.use_stderr() {
        let mut text = error.render().to_string();
        for argument in env::args_os() {
            let argument = argument.to_string_lossy();
            let value = argument.split_once('=').map_or("", |(_, value)| value);
            for quoted in [&*argument, value] {
                if quoted.contains('\n') {
                    text = text.replace(quoted, &quoted.replace('\n', "\\n"));
                }
            }
        }
        data::messages(text.trim_end());
        return ExitCode::from(USAGE);
    }
    let _ = error.print();
    ExitCode::SUCCESS
}

fn dispatch(command: Command) -> Result<(), Failure> {
    match command {
        Command::Kit(args) => kit::kit(&args),
        Command::Plan(args) => show_plan::plan(&args),
        Command::Stencils(args) => kit::stencils(&args),
        Command::Cut(args) => kit::cut(&args),
        Command::Overview(args) => kit::overview(&args),
        Command::Levels(args) => levels::levels(&args),
        Command::Check(args) => check::check(&args),
        Command::Practice(args) => practice::practice(&args),
        Command::Library(args) => library::library(&args),
        Command::Measure(args) => measure::measure(&args),
        Command::Printer(args) => printer::printer(&args),
        #[cfg(feature = "serve")]
        Command::Serve(args) => serve::serve(&args),
    }
}
