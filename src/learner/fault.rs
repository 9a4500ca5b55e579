//! What is wrong with a learner file: every fault with its line, and the nearest thing that would have been right.

use std::fmt;

/// One fault.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Fault {
    /// Line of the file, from 1.
    pub line: usize,
    /// What was found and what was expected: lower case, no full stop.
    pub what: String,
    /// What was probably meant.
    pub hint: Option<String>,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}: {}", self.line, self.what)?;
        if let Some(hint) = &self.hint {
            write!(f, "; {hint}")?;
        }
        Ok(())
    }
}

/// All faults of a learner file, in the order of the file; never empty.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Faults(pub Vec<Fault>);

impl fmt::Display for Faults {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (index, fault) in self.0.iter().enumerate() {
            if index > 0 {
                writeln!(f)?;
            }
            write!(f, "{fault}")?;
        }
        Ok(())
    }
}

impl std::error::Error for Faults {}

/// Collects faults of one text.
pub(super) struct Collector<'a> {
    text: &'a str,
    faults: Vec<Fault>,
}

impl<'a> Collector<'a> {
    pub(super) fn new(text: &'a str) -> Self {
        Self { text, faults: Vec::new() }
    }

    /// Notes a fault at byte `offset` of the text.
    pub(super) fn add(&mut self, offset: usize, what: impl Into<String>, hint: Option<String>) {
        let before = self.text.as_bytes().iter().take(offset);
        let line = 1 + before.filter(|byte| **byte == b'\n').count();
        self.faults.push(Fault { line, what: what.into(), hint });
    }

    /// The value if nothing was wrong.
    pub(super) fn finish<T>(mut self, value: T) -> Result<T, Faults> {
        if self.faults.is_empty() {
            return Ok(value);
        }
        self.faults.sort();
        // A span of both hands is judged once for each.
        self.faults.dedup();
        Err(Faults(self.faults))
    }

    pub(super) fn is_clean(&self) -> bool {
        self.faults.is_empty()
    }
}

/// The known word nearest to `found`, as a hint, if any is near enough to have been meant.
pub(super) fn nearest(found: &str, known: &[&str]) -> Option<String> {
    let lower = found.to_lowercase().replace('-', "_");
    known
        .iter()
        .map(|word| (strsim::damerau_levenshtein(&lower, word), *word))
        // Chosen by us: half of the letters may differ, or one holds the other (`minutes` for `minutes_a_day`).
        .filter(|(distance, word)| {
            *distance * 2 <= word.len().max(3) || (lower.len() >= 3 && (word.contains(&lower) || lower.contains(word)))
        })
        .min()
        .map(|(_, word)| format!("did you mean `{word}`?"))
}
