//! `completions`: what a shell needs to complete the commands and options.

use clap::CommandFactory;

use super::args::{Args, CompletionsArgs};
use super::exit::{Fault, Outcome};
use super::files::Output;

/// Prints the script of one shell.
pub fn run(typed: &CompletionsArgs) -> Result<Outcome, Fault> {
    let mut script = Vec::new();
    clap_complete::generate(typed.shell, &mut Args::command(), "thumbunder", &mut script);
    Output::new(typed.output.as_deref())?.write(&script)?;
    Ok(Outcome::AllReported)
}
