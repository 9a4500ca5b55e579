//! Runs the program and checks what a person would see.

use std::ffi::OsString;
use std::path::Path;

use assert_cmd::Command;

/// One run of the program: arguments, input, and what is expected of it.
pub struct Run {
    command: Command,
    shown: Vec<OsString>,
}

/// What a run printed.
pub struct Ran {
    /// Exit status.
    pub code: i32,
    /// Standard output.
    pub out: String,
    /// Standard error.
    pub err: String,
    shown: Vec<OsString>,
}

impl Run {
    /// A run with these arguments, away from the settings of the person who runs the tests.
    pub fn new<A: Into<OsString>>(args: impl IntoIterator<Item = A>) -> Self {
        let mut command = Command::cargo_bin("thumbunder").unwrap();
        command.env_remove("NO_COLOR").env("TERM", "xterm").env("COLUMNS", "80");
        let shown: Vec<OsString> = args.into_iter().map(Into::into).collect();
        command.args(&shown);
        Self { command, shown }
    }

    /// Runs in this folder.
    pub fn in_folder(mut self, folder: &Path) -> Self {
        self.command.current_dir(folder);
        self
    }

    /// Gives these bytes on standard input.
    pub fn stdin(mut self, bytes: impl Into<Vec<u8>>) -> Self {
        self.command.write_stdin(bytes);
        self
    }

    /// Sets a variable of the environment.
    pub fn env(mut self, name: &str, value: &str) -> Self {
        self.command.env(name, value);
        self
    }

    /// Runs it and expects this exit status.
    #[track_caller]
    pub fn code(mut self, expected: i32) -> Ran {
        let done = self.command.output().unwrap();
        let ran = Ran {
            code: done.status.code().unwrap_or(-1),
            out: String::from_utf8_lossy(&done.stdout).into_owned(),
            err: String::from_utf8_lossy(&done.stderr).into_owned(),
            shown: self.shown,
        };
        assert_eq!(ran.code, expected, "exit status of {:?}\n{}", ran.shown, ran.framed());
        ran
    }
}

impl Ran {
    /// Expects exactly this on standard error.
    #[track_caller]
    pub fn stderr(self, expected: &str) -> Self {
        assert_eq!(self.err, expected, "standard error of {:?}\n{}", self.shown, self.framed());
        self
    }

    /// Expects exactly this on standard output.
    #[track_caller]
    pub fn stdout(self, expected: &str) -> Self {
        assert_eq!(self.out, expected, "standard output of {:?}\n{}", self.shown, self.framed());
        self
    }

    /// Expects this somewhere on standard output.
    #[track_caller]
    pub fn says(self, expected: &str) -> Self {
        assert!(self.out.contains(expected), "{:?} should say {expected:?}\n{}", self.shown, self.framed());
        self
    }

    /// Expects this somewhere on standard error.
    #[track_caller]
    pub fn says_in_error(self, expected: &str) -> Self {
        assert!(self.err.contains(expected), "{:?} should complain of {expected:?}\n{}", self.shown, self.framed());
        self
    }

    fn framed(&self) -> String {
        format!("--- standard output\n{}--- standard error\n{}---", self.out, self.err)
    }
}
