//! The learner file as it is written: its tables and keys, before their values are judged.
//!
//! In: TOML text. Out: [`File`], or faults with lines. Unknown keys are looked for first, since a misspelt key is the
//! commonest slip and would otherwise pass for a missing one.

use serde::Deserialize;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::fault::{Collector, Faults, nearest};

/// The whole file.
#[derive(Deserialize, Default)]
pub(super) struct File {
    pub name: Option<String>,
    pub minutes_a_day: Option<Spanned<f64>>,
    pub days_a_week: Option<Spanned<i64>>,
    pub level: Option<Spanned<f64>>,
    #[serde(default)]
    pub hands: HandsTable,
    #[serde(default)]
    pub scales: Vec<ScaleTable>,
    #[serde(default)]
    pub pieces: Vec<PieceTable>,
}

/// `[hands]`.
#[derive(Deserialize, Default)]
pub(super) struct HandsTable {
    pub comfortable_span: Option<Spanned<Interval>>,
    pub largest_span: Option<Spanned<Interval>>,
    #[serde(default)]
    pub right: HandTable,
    #[serde(default)]
    pub left: HandTable,
}

/// `[hands.right]` and `[hands.left]`.
#[derive(Deserialize, Default)]
pub(super) struct HandTable {
    pub comfortable_span: Option<Spanned<Interval>>,
    pub largest_span: Option<Spanned<Interval>>,
    #[serde(default)]
    pub avoid_fingers: Vec<Spanned<i64>>,
    #[serde(default)]
    pub avoid_spans: Vec<AvoidSpan>,
    pub plays: Option<bool>,
}

/// One of `avoid_spans`.
#[derive(Deserialize)]
pub(super) struct AvoidSpan {
    pub fingers: Spanned<String>,
    pub wider_than: Spanned<Interval>,
}

/// An interval by name or in semitones.
#[derive(Deserialize)]
#[serde(untagged, expecting = "expected an interval such as \"octave\", or a whole number of semitones")]
pub(super) enum Interval {
    Semitones(i64),
    Name(String),
}

/// One of `[[scales]]`.
#[derive(Deserialize)]
pub(super) struct ScaleTable {
    pub key: Spanned<String>,
    pub form: Option<Spanned<String>>,
    pub hands: Option<Spanned<String>>,
    pub octaves: Option<Spanned<i64>>,
    pub quarter_bpm: Option<Spanned<f64>>,
    pub notes_a_beat: Option<Spanned<i64>>,
}

/// One of `[[pieces]]`.
#[derive(Deserialize)]
pub(super) struct PieceTable {
    pub title: Option<Spanned<String>>,
    pub composer: Option<String>,
    pub file: Option<Spanned<String>>,
    pub level: Option<Spanned<f64>>,
    pub went: Option<Spanned<String>>,
}

/// The keys that a table may have, and the tables within it.
struct Known {
    name: &'static str,
    keys: &'static [&'static str],
    tables: &'static [(&'static str, &'static Known)],
}

const AVOID_SPAN: Known = Known { name: "`avoid_spans`", keys: &["fingers", "wider_than"], tables: &[] };
const HAND: Known = Known {
    name: "a hand",
    keys: &["comfortable_span", "largest_span", "avoid_fingers", "avoid_spans", "plays"],
    tables: &[("avoid_spans", &AVOID_SPAN)],
};
const HANDS: Known = Known {
    name: "`[hands]`",
    keys: &["comfortable_span", "largest_span", "right", "left"],
    tables: &[("right", &HAND), ("left", &HAND)],
};
const SCALE: Known = Known {
    name: "`[[scales]]`",
    keys: &["key", "form", "hands", "octaves", "quarter_bpm", "notes_a_beat"],
    tables: &[],
};
const PIECE: Known = Known { name: "`[[pieces]]`", keys: &["title", "composer", "file", "level", "went"], tables: &[] };
const TOP: Known = Known {
    name: "the file",
    keys: &["name", "minutes_a_day", "days_a_week", "level", "hands", "scales", "pieces"],
    tables: &[("hands", &HANDS), ("scales", &SCALE), ("pieces", &PIECE)],
};

/// Reads the text into its tables.
pub(super) fn read(text: &str) -> Result<File, Faults> {
    let mut faults = Collector::new(text);
    match DeTable::parse(text) {
        Ok(table) => refuse_unknown_keys(table.get_ref(), &TOP, &mut faults),
        Err(error) => faults.add(start(&error), one_line(error.message()), None),
    }
    if !faults.is_clean() {
        return faults.finish(File::default());
    }
    match toml::from_str::<File>(text) {
        Ok(file) => Ok(file),
        Err(error) => {
            faults.add(start(&error), one_line(error.message()), None);
            faults.finish(File::default())
        }
    }
}

fn start(error: &toml::de::Error) -> usize {
    error.span().map_or(0, |span| span.start)
}

fn one_line(message: &str) -> String {
    message.lines().map(str::trim).filter(|line| !line.is_empty()).collect::<Vec<_>>().join(", ")
}

fn refuse_unknown_keys(table: &DeTable<'_>, known: &Known, faults: &mut Collector<'_>) {
    for (key, value) in table {
        let name: &str = key.get_ref();
        if !known.keys.contains(&name) {
            let hint = nearest(name, known.keys)
                .unwrap_or_else(|| format!("{} may hold {}", known.name, known.keys.join(", ")));
            faults.add(key.span().start, format!("unknown key `{name}` in {}", known.name), Some(hint));
        } else if let Some((_, inner)) = known.tables.iter().find(|(table, _)| *table == name) {
            match value.get_ref() {
                DeValue::Table(inside) => refuse_unknown_keys(inside, inner, faults),
                DeValue::Array(items) => {
                    for item in items {
                        if let DeValue::Table(inside) = item.get_ref() {
                            refuse_unknown_keys(inside, inner, faults);
                        }
                    }
                }
                _ => {}
            }
        }
    }
}
