//! What the person sees besides the report: faults, one line each, in colour only where colour is wanted.

use std::ffi::OsStr;
use std::io::{IsTerminal, Write};

use clap::ValueEnum;

use thumbunder::report::text::Style;

use super::exit::Fault;
use super::files::Output;

/// When to use colour.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default, ValueEnum)]
pub enum When {
    /// On a terminal, unless `NO_COLOR` is set.
    #[default]
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}

/// How to speak to the person.
#[derive(Clone, Copy, Debug)]
pub struct Screen {
    when: When,
    colour_allowed: bool,
}

impl Screen {
    /// Looks at the environment once: `NO_COLOR` (<https://no-color.org>: any value but the empty one) and `TERM=dumb`.
    pub fn new(when: When) -> Self {
        let no_color = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
        let dumb = std::env::var_os("TERM").is_some_and(|value| value == "dumb");
        Self { when, colour_allowed: !no_color && !dumb }
    }

    fn colour(self, terminal: bool) -> bool {
        match self.when {
            When::Always => true,
            When::Never => false,
            When::Auto => self.colour_allowed && terminal,
        }
    }

    /// How a text report should look: in colour on a terminal, never in a file unless asked for.
    pub fn style(self, output: &Output) -> Style {
        let terminal = matches!(output, Output::Stdout) && std::io::stdout().is_terminal();
        Style { colour: self.colour(terminal), ..Style::default() }
    }

    /// Prints one fault on one line: `error: FILE: what; hint: remedy`.
    ///
    /// A fault of standard error itself has nowhere to go, so it is ignored.
    pub fn fault(self, file: Option<&OsStr>, fault: &Fault) {
        let (on, off) = if self.colour(std::io::stderr().is_terminal()) { ("\x1b[1;31m", "\x1b[0m") } else { ("", "") };
        let mut line = format!("{on}error:{off} ");
        if let Some(file) = file {
            line.push_str(&printable(&file.to_string_lossy()));
            line.push_str(": ");
        }
        line.push_str(&printable(&fault.what));
        if let Some(hint) = &fault.hint {
            line.push_str("; hint: ");
            line.push_str(&printable(hint));
        }
        line.push('\n');
        let _ = std::io::stderr().write_all(line.as_bytes());
    }
}

/// Text on one line and without control characters, so that neither a file name nor a file can steer the terminal.
fn printable(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { '\u{fffd}' } else { c }).collect()
}
