//! What happened, folded into one exit status: 0 all reported, 1 some file failed, 2 wrong usage.

use std::process::ExitCode;

use super::screen::Screen;

/// One sentence about what went wrong, and what the person can do about it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Fault {
    /// What: lower case, no full stop.
    pub what: String,
    /// The remedy, where there is one.
    pub hint: Option<String>,
    /// True when the command was asked for something that cannot be, false when a file failed.
    pub usage: bool,
}

impl Fault {
    /// A file or a write that failed.
    pub fn failed(what: impl Into<String>) -> Self {
        Self { what: what.into(), hint: None, usage: false }
    }

    /// A wrong use of the command.
    pub fn usage(what: impl Into<String>) -> Self {
        Self { what: what.into(), hint: None, usage: true }
    }

    /// The same with a remedy.
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }
}

/// How a command over several files went.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Default)]
pub enum Outcome {
    /// Everything was reported.
    #[default]
    AllReported,
    /// Some file failed; its fault is already on the screen.
    SomeFailed,
}

impl Outcome {
    /// The outcome of both: one failure is enough.
    pub fn and(self, other: Self) -> Self {
        self.max(other)
    }
}

/// The exit status; a fault that ended the command is printed here.
pub fn status(done: Result<Outcome, Fault>, screen: Screen) -> ExitCode {
    match done {
        Ok(Outcome::AllReported) => ExitCode::SUCCESS,
        Ok(Outcome::SomeFailed) => ExitCode::from(1),
        Err(fault) => {
            screen.fault(None, &fault);
            ExitCode::from(if fault.usage { 2 } else { 1 })
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Outcome::{AllReported, SomeFailed};

    #[test]
    fn one_failed_file_decides_the_outcome_of_a_batch() {
        assert_eq!(AllReported.and(AllReported), AllReported);
        assert_eq!(SomeFailed.and(AllReported), SomeFailed);
        assert_eq!(AllReported.and(SomeFailed), SomeFailed);
    }
}
