//! What can go wrong, and what was odd but could be mended.
//!
//! An [`Error`] is fatal for its file: there is nothing to report. Everything that can be repaired becomes a
//! [`Remark`], printed in the report with what was assumed and what it may change; `strict` turns remarks into errors.

use std::fmt;

use serde::Serialize;

/// Where in a score something is. Every part is optional, since a broken file may not get that far.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug, Default, Serialize)]
pub struct Place {
    /// Name or id of the part.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub part: Option<String>,
    /// Printed measure number.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub measure: Option<String>,
    /// Staff of the part, from 1 at the top.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub staff: Option<u8>,
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut pieces = Vec::new();
        if let Some(measure) = &self.measure {
            pieces.push(format!("measure {measure}"));
        }
        if let Some(part) = &self.part {
            pieces.push(format!("part `{part}`"));
        }
        if let Some(staff) = self.staff {
            pieces.push(format!("staff {staff}"));
        }
        write!(f, "{}", pieces.join(", "))
    }
}

/// Something odd or missing in the file that did not stop the reading.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug, Serialize)]
pub struct Remark {
    /// Where, as far as known; repeated oddities are gathered into one remark at their first place.
    pub place: Place,
    /// What was found: lower case, no full stop.
    pub found: String,
    /// What was assumed instead, and what that may change in the report.
    pub assumed: String,
    /// How many times the same oddity was met.
    pub times: usize,
}

impl fmt::Display for Remark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let place = self.place.to_string();
        if !place.is_empty() {
            write!(f, "{place}: ")?;
        }
        write!(f, "{}", self.found)?;
        if self.times > 1 {
            write!(f, " ({} times)", self.times)?;
        }
        if !self.assumed.is_empty() {
            write!(f, "; {}", self.assumed)?;
        }
        Ok(())
    }
}

/// Gathers remarks, one for each kind of oddity, so that a file with the same fault in every measure says it once.
#[derive(Clone, Debug, Default)]
pub struct Remarks {
    list: Vec<Remark>,
}

impl Remarks {
    /// Most kinds kept; later ones are counted in none. Chosen by us: a report with more is not read.
    const MOST: usize = 200;

    /// Notes an oddity; the same `found` text again only counts up.
    pub fn add(&mut self, place: Place, found: impl Into<String>, assumed: impl Into<String>) {
        let found = found.into();
        if let Some(same) = self.list.iter_mut().find(|r| r.found == found) {
            same.times += 1;
        } else if self.list.len() < Self::MOST {
            self.list.push(Remark { place, found, assumed: assumed.into(), times: 1 });
        }
    }

    /// The remarks, in the order first met.
    pub fn into_list(self) -> Vec<Remark> {
        self.list
    }

    /// The first of them.
    pub fn first(&self) -> Option<&Remark> {
        self.list.first()
    }

    /// True when nothing was odd.
    pub fn is_empty(&self) -> bool {
        self.list.is_empty()
    }
}

impl Error {
    /// More of `what` than the limit allows; `option` raises it.
    pub(crate) fn over_limit(what: impl Into<String>, limit: u64, option: &'static str) -> Self {
        Self::Limit { what: what.into(), limit, option }
    }
}

/// Why a file gives no report.
#[derive(Clone, PartialEq, Eq, Debug, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// The bytes are not XML, or break off; nothing after that place can be trusted.
    #[error("not well-formed XML at line {line}: {what}")]
    Xml {
        /// Line, from 1.
        line: usize,
        /// What the parser met.
        what: String,
    },
    /// XML, but no MusicXML score.
    #[error("{0}")]
    NotMusicXml(String),
    /// A `.mxl` archive without a readable score.
    #[error("{0}")]
    Archive(String),
    /// A score without what the program works on: no measures, no notes, no piano part.
    #[error("{0}")]
    NothingToRead(String),
    /// A stated limit was passed; see [`crate::Limits`].
    #[error("{what} is over the limit of {limit}; raise it with `{option}` if the file is trusted")]
    Limit {
        /// What was counted.
        what: String,
        /// The limit in force.
        limit: u64,
        /// The option that raises it.
        option: &'static str,
    },
    /// A remark, in strict mode.
    #[error("{0}")]
    Strict(Remark),
    /// The options do not fit the score (an excerpt beyond its end, for instance).
    #[error("{0}")]
    Options(String),
}
