//! Which pieces to show, and in which order.
//!
//! In: filters and orders as typed. Out: a [`Query`] that lets rows through and sorts them, or what was not understood
//! with the nearest word that would be.

use std::cmp::Ordering;

use super::{Entry, Range};
use crate::drills::candidate;
use crate::edition::Preparation;
use crate::readiness::Verdict;
use crate::scales::{Key, Scale};
use crate::score::Mode;
use crate::summary::{Era, Milli};
use crate::units::Hand;

/// A word that is not understood.
#[derive(Clone, PartialEq, Eq, Debug, thiserror::Error)]
#[error("{0}")]
pub struct QueryError(pub String);

/// What a piece must have; everything given must hold.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Filter {
    /// Level.
    pub level: Option<Range>,
    /// Key signature anywhere in the piece.
    pub key: Option<KeyFilter>,
    /// The hand that passages and drills must be in; alone, the hand that bears more of the effort.
    pub hand: Option<Hand>,
    /// Kind of a passage.
    pub passage: Option<String>,
    /// A drill.
    pub drill: Option<Scale>,
    /// Minutes of playing.
    pub minutes: Option<Range>,
    /// Any of these verdicts.
    pub readiness: Vec<Verdict>,
    /// Any of these eras.
    pub era: Vec<Era>,
    /// Any of these states of the print.
    pub edition: Vec<Preparation>,
    /// Text within title, composer or file name.
    pub text: Option<String>,
}

/// A key, or a mode alone.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum KeyFilter {
    /// `E-flat major`.
    Key(Key),
    /// `minor`.
    Mode(Mode),
}

/// What to sort by.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Order {
    /// What comes next: stretches by how little they ask, then what is ready, then the rest.
    Next,
    /// Level, the easiest first.
    Level,
    /// Title.
    Title,
    /// Composer.
    Composer,
    /// Era.
    Era,
    /// Key around the circle of fifths, from flats to sharps.
    Key,
    /// Tempo, the slowest first.
    Tempo,
    /// Length, the shortest first.
    Length,
    /// Readiness, what is ready first.
    Readiness,
    /// Print, the best prepared first.
    Edition,
    /// Share of the effort on the right hand, the least first.
    Hand,
    /// File name.
    File,
}

/// Filters and orders.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Query {
    /// What to show.
    pub filter: Filter,
    /// By what to sort, the most important first; true turns an order around.
    pub orders: Vec<(Order, bool)>,
}

impl Order {
    const ALL: [(&'static str, Self); 12] = [
        ("next", Self::Next),
        ("level", Self::Level),
        ("title", Self::Title),
        ("composer", Self::Composer),
        ("era", Self::Era),
        ("key", Self::Key),
        ("tempo", Self::Tempo),
        ("length", Self::Length),
        ("readiness", Self::Readiness),
        ("edition", Self::Edition),
        ("hand", Self::Hand),
        ("file", Self::File),
    ];

    /// An order by name; a `-` before it turns it around.
    ///
    /// # Errors
    /// With the nearest name.
    pub fn parse(text: &str) -> Result<(Self, bool), QueryError> {
        let name = text.trim();
        let (name, turned) = name.strip_prefix('-').map_or((name, false), |name| (name, true));
        one_of(name, &Self::ALL, "order").map(|order| (order, turned))
    }

    fn compare(self, a: &Entry, b: &Entry) -> Ordering {
        let (p, q) = (&a.piece, &b.piece);
        match self {
            Self::Next => next_rank(a).cmp(&next_rank(b)),
            Self::Level => p.level.value.cmp(&q.level.value),
            Self::Title => folded(a.title()).cmp(&folded(b.title())),
            Self::Composer => missing_last(p.composer.as_deref().map(surname), q.composer.as_deref().map(surname)),
            Self::Era => missing_last(p.era, q.era),
            Self::Key => missing_last(fifths(p.key.as_deref()), fifths(q.key.as_deref())),
            Self::Tempo => p.quarter_bpm.total_cmp(&q.quarter_bpm),
            Self::Length => p.seconds.total_cmp(&q.seconds),
            Self::Readiness => missing_last(verdict(a).map(std::cmp::Reverse), verdict(b).map(std::cmp::Reverse)),
            Self::Edition => q.edition.preparation.cmp(&p.edition.preparation),
            Self::Hand => p.right_share.cmp(&q.right_share),
            Self::File => a.file.cmp(&b.file),
        }
    }
}

fn verdict(entry: &Entry) -> Option<Verdict> {
    entry.standing.as_ref().map(|standing| standing.verdict)
}

/// Stretches first, by how far above the player they are; then ready pieces, the hardest first; then the others, the
/// nearest first. Without a player, by level.
fn next_rank(entry: &Entry) -> (u8, Milli) {
    match &entry.standing {
        None => (0, entry.piece.level.value),
        Some(standing) => match standing.verdict {
            Verdict::Stretch => (0, standing.above.max(0)),
            Verdict::Ready => (1, -standing.above),
            Verdict::Later => (2, standing.above),
        },
    }
}

fn missing_last<T: Ord>(a: Option<T>, b: Option<T>) -> Ordering {
    match (a, b) {
        (Some(a), Some(b)) => a.cmp(&b),
        (Some(_), None) => Ordering::Less,
        (None, Some(_)) => Ordering::Greater,
        (None, None) => Ordering::Equal,
    }
}

fn folded(text: &str) -> String {
    text.trim().to_lowercase()
}

/// What a composer is filed under: the last word of the name that has a letter and is not in brackets.
fn surname(name: &str) -> String {
    let name = name.split(['(', '\n']).next().unwrap_or(name);
    let name = name.split(',').next().unwrap_or(name);
    let last = name.split_whitespace().rev().find(|word| word.chars().any(char::is_alphabetic));
    folded(last.unwrap_or(name))
}

fn fifths(key: Option<&str>) -> Option<i8> {
    key.and_then(|key| Key::parse(key).ok()).map(Key::fifths)
}

impl Filter {
    /// `E-flat major`, `minor`.
    ///
    /// # Errors
    /// With the nearest key.
    pub fn parse_key(text: &str) -> Result<KeyFilter, QueryError> {
        match text.trim().to_lowercase().as_str() {
            "major" => Ok(KeyFilter::Mode(Mode::Major)),
            "minor" => Ok(KeyFilter::Mode(Mode::Minor)),
            _ => Key::parse(text).map(KeyFilter::Key).map_err(|error| QueryError(error.to_string())),
        }
    }

    /// A kind of passage out of `kinds`.
    ///
    /// # Errors
    /// With the nearest kind.
    pub fn parse_passage(text: &str, kinds: &[&'static str]) -> Result<String, QueryError> {
        let named: Vec<(&str, &str)> = kinds.iter().map(|kind| (*kind, *kind)).collect();
        let text = text.trim().to_lowercase().replace(['-', '_'], " ");
        one_of(&text, &named, "kind of passage").map(str::to_owned)
    }

    /// `ready,stretch`.
    ///
    /// # Errors
    /// With the nearest word.
    pub fn parse_readiness(text: &str) -> Result<Vec<Verdict>, QueryError> {
        let known = Verdict::ALL.map(|verdict| (verdict.name(), verdict));
        text.split(',').map(|word| one_of(word.trim(), &known, "readiness")).collect()
    }

    /// `baroque,classical`.
    ///
    /// # Errors
    /// With the nearest word.
    pub fn parse_era(text: &str) -> Result<Vec<Era>, QueryError> {
        let known = Era::ALL.map(|era| (era.name(), era));
        text.split(',').map(|word| one_of(word.trim(), &known, "era")).collect()
    }

    /// `well,partly`.
    ///
    /// # Errors
    /// With the nearest word.
    pub fn parse_edition(text: &str) -> Result<Vec<Preparation>, QueryError> {
        let known = [("well", Preparation::Well), ("partly", Preparation::Partly), ("bare", Preparation::Bare)];
        text.split(',').map(|word| one_of(word.trim(), &known, "edition")).collect()
    }

    fn holds(&self, entry: &Entry) -> bool {
        let piece = &entry.piece;
        let heavier = if piece.right_share >= 500 { Hand::Right } else { Hand::Left };
        let by_hand = self.passage.is_some() || self.drill.is_some();
        let in_hand = |hand: Hand| self.hand.is_none_or(|wanted| wanted == hand);
        let passage = |kind: &String| piece.passages.iter().any(|p| p.kind == *kind && in_hand(p.hand));
        let drill = |scale: Scale| {
            let wanted = candidate(scale);
            piece.drills.iter().any(|drill| {
                Scale::parse(&drill.scale, None).is_ok_and(|scale| candidate(scale) == wanted)
                    && Hand::BOTH.into_iter().any(|hand| drill.hands[hand as usize] && in_hand(hand))
            })
        };
        let text = |wanted: &String| {
            let wanted = folded(wanted);
            [entry.title(), piece.composer.as_deref().unwrap_or(""), &entry.file]
                .iter()
                .any(|text| text.to_lowercase().contains(&wanted))
        };
        self.level.is_none_or(|range| range.holds(piece.level.value as f64 / 1000.0))
            && self.key.is_none_or(|wanted| {
                let keys = piece.key.iter().chain(&piece.later_keys);
                keys.filter_map(|key| Key::parse(key).ok()).any(|key| match wanted {
                    KeyFilter::Key(wanted) => key.main() == wanted.main(),
                    KeyFilter::Mode(mode) => key.mode() == mode,
                })
            })
            && (by_hand || in_hand(heavier))
            && self.passage.as_ref().is_none_or(passage)
            && self.drill.is_none_or(drill)
            && self.minutes.is_none_or(|range| range.holds(piece.seconds / 60.0))
            && (self.readiness.is_empty() || verdict(entry).is_some_and(|verdict| self.readiness.contains(&verdict)))
            && (self.era.is_empty() || piece.era.is_some_and(|era| self.era.contains(&era)))
            && (self.edition.is_empty() || self.edition.contains(&piece.edition.preparation))
            && self.text.as_ref().is_none_or(text)
    }
}

impl Query {
    /// Whether a row is shown.
    pub fn lets_through(&self, entry: &Entry) -> bool {
        self.filter.holds(entry)
    }

    /// Sorts rows; those that are equal go by file name.
    pub fn sort(&self, entries: &mut [Entry]) {
        let orders = if self.orders.is_empty() { &[(Order::Next, false)][..] } else { &self.orders };
        entries.sort_by(|a, b| {
            let by = |(order, turned): &(Order, bool)| {
                let compared = order.compare(a, b);
                if *turned { compared.reverse() } else { compared }
            };
            orders.iter().map(by).find(|compared| compared.is_ne()).unwrap_or_else(|| a.file.cmp(&b.file))
        });
    }
}

/// The value of a known word, or the nearest one in the message.
fn one_of<T: Copy>(word: &str, known: &[(&str, T)], what: &str) -> Result<T, QueryError> {
    let lower = word.to_lowercase();
    if let Some((_, value)) = known.iter().find(|(name, _)| *name == lower) {
        return Ok(*value);
    }
    let shown: String = word.chars().take(40).collect();
    let lower: String = lower.chars().take(40).collect();
    let nearest = known.iter().map(|(name, _)| (strsim::damerau_levenshtein(&lower, name), *name)).min();
    let hint = match nearest {
        Some((distance, name)) if distance * 2 <= name.len() => format!("did you mean `{name}`?"),
        _ => format!("there are {}", known.iter().map(|(name, _)| *name).collect::<Vec<_>>().join(", ")),
    };
    Err(QueryError(format!("`{shown}` is no {what}; {hint}")))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::readiness::Ability;
    use crate::readiness::testing::{learner, piece};
    use crate::summary::{DrillNeed, PieceSummary};

    fn entry(file: &str, piece: PieceSummary) -> Entry {
        Entry::new(file.into(), piece, Some(&Ability::new(&learner("level = 4"), &[])))
    }

    fn shown(entries: &[Entry], query: &Query) -> Vec<String> {
        let mut entries: Vec<Entry> = entries.iter().filter(|entry| query.lets_through(entry)).cloned().collect();
        query.sort(&mut entries);
        entries.into_iter().map(|entry| entry.file).collect()
    }

    fn shelf() -> Vec<Entry> {
        let drill = |scale: &str, hands| DrillNeed {
            scale: scale.into(),
            hands,
            octaves: 2,
            rate: 4_000,
            covers: 500,
            isolate: None,
            measures: Vec::new(),
        };
        let mut a = piece(3_000).titled("Zephyr");
        a.composer = Some("Wolfgang Amadeus Mozart\n(1756 - 1791)".into());
        a.era = Some(Era::Classical);
        a.drills.push(drill("D-flat major", [true, false]));
        let mut b = piece(4_700).titled("aubade").runs("G major", 4_000);
        b.key = Some("C-sharp major".into());
        b.seconds = 200.0;
        let mut c = piece(7_000);
        c.later_keys.push("A minor".into());
        c.right_share = 200;
        c.composer = Some("Bach, J. S.".into());
        vec![entry("x/a.mxl", a), entry("x/b.mxl", b), entry("x/c.mxl", c)]
    }

    #[test]
    fn what_comes_next_is_the_stretch_then_the_ready_then_the_far() {
        assert_eq!(shown(&shelf(), &Query::default()), ["x/b.mxl", "x/a.mxl", "x/c.mxl"]);
    }

    #[test]
    fn orders_sort_and_turn_around() {
        let by = |orders: &str| {
            let orders = orders.split(',').map(|order| Order::parse(order).unwrap()).collect();
            shown(&shelf(), &Query { orders, ..Query::default() }).concat().replace("x/", "").replace(".mxl", "")
        };
        assert_eq!(by("level"), "abc");
        assert_eq!(by("-level"), "cba");
        assert_eq!(by("title"), "bca");
        assert_eq!(by("composer"), "cab");
        assert_eq!(by("readiness"), "abc");
        assert_eq!(by("tempo,-file"), "cba");
        assert_eq!(by("key"), "acb");
        assert_eq!(by("-length"), "bac");
        assert_eq!(by("era"), "abc");
        assert_eq!(by("hand"), "cab");
        assert!(Order::parse("lvel").unwrap_err().0.contains("did you mean `level`?"));
    }

    #[test]
    fn every_filter_lets_through_what_it_names() {
        let with = |filter: Filter| {
            shown(&shelf(), &Query { filter, orders: vec![(Order::File, false)] })
                .concat()
                .replace("x/", "")
                .replace(".mxl", "")
        };
        assert_eq!(with(Filter { level: Some("5-".parse().unwrap()), ..Filter::default() }), "bc");
        assert_eq!(with(Filter { key: Filter::parse_key("D-flat major").ok(), ..Filter::default() }), "b", "twins");
        assert_eq!(with(Filter { key: Filter::parse_key("minor").ok(), ..Filter::default() }), "c");
        assert_eq!(with(Filter { hand: Some(Hand::Left), ..Filter::default() }), "c");
        let runs = Filter::parse_passage("scale-run", &["scale run", "trill"]).unwrap();
        assert_eq!(with(Filter { passage: Some(runs), ..Filter::default() }), "b");
        let drill = Scale::parse("C#", None).ok();
        assert_eq!(with(Filter { drill, ..Filter::default() }), "a", "twins");
        assert_eq!(with(Filter { drill, hand: Some(Hand::Left), ..Filter::default() }), "");
        assert_eq!(with(Filter { minutes: Some("3-".parse().unwrap()), ..Filter::default() }), "b");
        assert_eq!(with(Filter { readiness: vec![Verdict::Ready, Verdict::Later], ..Filter::default() }), "ac");
        assert_eq!(with(Filter { era: vec![Era::Classical], ..Filter::default() }), "a");
        assert_eq!(with(Filter { text: Some("AUB".into()), ..Filter::default() }), "b");
        assert_eq!(with(Filter::default()), "abc");
    }

    #[test]
    fn words_that_are_not_known_are_refused_with_the_nearest() {
        let error = |result: Result<Vec<Verdict>, QueryError>| result.unwrap_err().0;
        assert_eq!(error(Filter::parse_readiness("redy")), "`redy` is no readiness; did you mean `ready`?");
        assert_eq!(error(Filter::parse_readiness("x")), "`x` is no readiness; there are later, stretch, ready");
        assert!(Filter::parse_era("barok").unwrap_err().0.contains("baroque"));
        assert!(Filter::parse_passage("scales run", &["scale run"]).unwrap_err().0.contains("scale run"));
        assert!(Filter::parse_key("H").is_err());
    }
}
