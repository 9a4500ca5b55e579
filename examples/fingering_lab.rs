//! A bench for the weights of the fingering search: scores it against people's digits, in one process.
//!
//! usage: `fingering_lab [--published] [NAME=VALUE...] [-v SET] [--tune [SET...] | --leave-out] [--free A,B] [--ablate]
//! [--also FILE...]`
//!
//! Reads DATA/fingering (`THUMBUNDER_DATA`, else `../shared/data` beside the checkout), takes the printed digits away and
//! compares what the search finds with them; adds the scales and arpeggios of the handbooks and exercises of Hanon.
//! `-v` prints a set note by note, with the digits of people after `!` where they differ; `--tune` climbs from the
//! weights given, leaving out the sets named (so that they measure what it learnt elsewhere), `--leave-out` does so for
//! each fingered file in turn; `--published` starts from published weights; `--ablate` sets one weight
//! after another to nothing; `--also` adds scores whose printed digits count as a set of their own.
#![allow(clippy::disallowed_methods, clippy::print_stdout, clippy::print_stderr, clippy::unwrap_used)]

#[path = "../src/fingering/phrases/table.rs"]
mod phrases;
// The lines of text of the unit tests, whose mistakes may panic here as there.
#[allow(dead_code, clippy::expect_used)]
#[path = "../src/testing.rs"]
mod testing;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

// The lines of text of the unit tests name these as their own crate's.
use thumbunder::{fingering, hands, score, tempo, units};

use thumbunder::Limits;
use thumbunder::error::Remarks;
use thumbunder::fingering::{Settings, Weights, estimate_with, explain_fingering};
use thumbunder::hands::{Line, assign_hands};
use thumbunder::keys::{LocalKeys, find_keys};
use thumbunder::musicxml::read_score;
use thumbunder::player::Player;
use thumbunder::scales::{Key, Scale, accepted_fingerings, arpeggio_fingerings};
use thumbunder::score::{KeyMark, Measure, Mode, Note, NoteMarks, Score};
use thumbunder::tempo::{Tempo, TempoSource, choose_tempo};
use thumbunder::units::{Finger, Hand, Motion, Pitch, Quarters};

/// One line of one hand, with the digits of people.
struct Item {
    set: String,
    score: Score,
    line: Line,
    keys: LocalKeys,
    tempo: Tempo,
    /// For each note of the line, a digit of each person; empty where nobody wrote one.
    wanted: Vec<Vec<u8>>,
    /// One of the digits is enough (accepted fingerings of a handbook).
    any: bool,
}

fn data() -> PathBuf {
    let beside = || Path::new(env!("CARGO_MANIFEST_DIR")).join("../shared/data");
    std::env::var_os("THUMBUNDER_DATA").map_or_else(beside, PathBuf::from)
}

fn rows(path: &Path) -> Vec<Vec<String>> {
    let text = std::fs::read_to_string(path).unwrap();
    text.lines().skip(1).map(|row| row.split(',').map(str::to_owned).collect()).collect()
}

fn read(path: &Path) -> (Score, Vec<Vec<u8>>) {
    let (mut score, _) = read_score(&std::fs::read(path).unwrap(), &Limits::default()).unwrap();
    let printed = score.notes.iter().map(|n| n.written.first().map(|w| w.finger.number()).into_iter().collect());
    let printed = printed.collect();
    score.notes.iter_mut().for_each(|note| note.written.clear());
    (score, printed)
}

fn items_of(set: &str, score: &Score, wanted: &[Vec<u8>]) -> Vec<Item> {
    let mut remarks = Remarks::default();
    let hands = assign_hands(score, &mut remarks).unwrap();
    let tempo = choose_tempo(score, &hands, None, &mut remarks);
    let keys = find_keys(score);
    let item = |line: Line| {
        let wanted = line.notes.iter().map(|id| wanted[*id].clone()).collect();
        Item {
            set: set.into(),
            score: score.clone(),
            line,
            keys: keys.clone(),
            tempo: tempo.clone(),
            wanted,
            any: false,
        }
    };
    vec![item(hands.right), item(hands.left)]
}

fn fingered_scores() -> Vec<Item> {
    let folder = data().join("fingering");
    let mut truths: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for row in rows(&folder.join("index.csv")) {
        truths.entry(row[0].clone()).or_default().push(row[1].clone());
    }
    let mut items = Vec::new();
    for (path, people) in truths {
        let path = data().join(path);
        let (score, _) = read(&path);
        let mut wanted = vec![Vec::new(); score.notes.len()];
        for person in &people {
            for row in rows(&folder.join("truth").join(person)) {
                let onset: f64 = row[1].parse().unwrap();
                let grace = row.get(5).is_some_and(|g| g == "1");
                // The hand is that of the staff in these scores.
                let same = |n: &Note| {
                    n.midi.number().to_string() == row[2]
                        && (n.onset.to_f64() - onset).abs() < 0.05
                        && n.is_grace() == grace
                };
                if let Some(id) = score.notes.iter().position(same) {
                    wanted[id].push(row[4].parse().unwrap());
                }
            }
        }
        for digits in &mut wanted {
            if digits.len() < people.len() {
                digits.clear();
            }
        }
        items.extend(items_of(path.file_stem().unwrap().to_str().unwrap(), &score, &wanted));
    }
    items
}

/// Sixteenths of one hand, in measures of four quarters.
fn run(set: &str, hand: Hand, fifths: i8, pitches: &[Pitch], wanted: Vec<Vec<u8>>) -> Item {
    let mut score = Score::default();
    score.keys.push(KeyMark { onset: Quarters::ZERO, measure: 0, part: 0, fifths, mode: None });
    for number in 0..=pitches.len() / 16 {
        score.measures.push(Measure {
            number: (number + 1).to_string(),
            onset: Quarters::whole(4 * number as i64),
            duration: Quarters::whole(4),
            repeat_start: false,
            repeat_end: false,
            ending: None,
        });
    }
    for (index, pitch) in pitches.iter().enumerate() {
        score.notes.push(Note {
            part: 0,
            staff: 1,
            voice: 1,
            element: 0,
            measure: index / 16,
            onset: Quarters::new(index as i64, 4).unwrap(),
            duration: Quarters::new(1, 4).unwrap(),
            grace: 0,
            pitch: *pitch,
            midi: pitch.midi().unwrap(),
            staff_position: pitch.staff_position() as i16,
            cue: false,
            tuplet: (1, 1),
            marks: NoteMarks::default(),
            written: Vec::new(),
        });
    }
    let line = Line::from_notes(hand, (0..pitches.len()).collect(), &score);
    let tempo = Tempo::constant(100.0, TempoSource::Written);
    let keys = find_keys(&score);
    Item { set: set.into(), score, line, keys, tempo, wanted, any: true }
}

/// Up and down again, the turn once.
fn up_and_down(set: &str, hand: Hand, fifths: i8, legs: [(Vec<Pitch>, Vec<Vec<Finger>>); 2]) -> Item {
    let (mut pitches, mut wanted) = (Vec::new(), Vec::new());
    for (leg, (run, accepted)) in legs.into_iter().enumerate() {
        for place in leg..run.len() {
            pitches.push(run[place]);
            wanted.push(accepted.iter().map(|fingers| fingers[place].number()).collect());
        }
    }
    run(set, hand, fifths, &pitches, wanted)
}

fn handbooks() -> Vec<Item> {
    let mut items = Vec::new();
    for hand in Hand::BOTH {
        for scale in Scale::all() {
            let leg = |motion| {
                let lowest = scale.lowest_key(hand, 2);
                (scale.run(motion, 2, lowest), accepted_fingerings(scale, hand, motion, 2))
            };
            let set = match scale.key() {
                Some(_) => "scales",
                None => "chromatic",
            };
            items.push(up_and_down(set, hand, scale.fifths(), [leg(Motion::Up), leg(Motion::Down)]));
        }
        for key in Key::twelve(Mode::Major).chain(Key::twelve(Mode::Minor)) {
            let form = Scale::all().into_iter().find(|scale| scale.key() == Some(key)).unwrap();
            let leg = |motion| {
                let all = form.run(Motion::Up, 2, form.lowest_key(hand, 2));
                let mut run: Vec<Pitch> =
                    all.into_iter().enumerate().filter(|(i, _)| [0, 2, 4].contains(&(i % 7))).map(|(_, p)| p).collect();
                if motion == Motion::Down {
                    run.reverse();
                }
                (run, arpeggio_fingerings(key, hand, motion, 2))
            };
            items.push(up_and_down("arpeggios", hand, key.fifths(), [leg(Motion::Up), leg(Motion::Down)]));
        }
    }
    items
}

/// Hanon (1873), nos. 1 to 7, ascending: degrees of one measure, digits of the right and left hand (from memory).
const HANON: [([usize; 8], [u8; 8], [u8; 8]); 5] = [
    ([0, 2, 3, 4, 5, 4, 3, 2], [1, 2, 3, 4, 5, 4, 3, 2], [5, 4, 3, 2, 1, 2, 3, 4]),
    ([0, 2, 5, 4, 3, 4, 3, 2], [1, 2, 5, 4, 3, 4, 3, 2], [5, 4, 1, 2, 3, 2, 3, 4]),
    ([0, 2, 5, 4, 3, 2, 3, 4], [1, 2, 5, 4, 3, 2, 3, 4], [5, 4, 1, 2, 3, 4, 3, 2]),
    ([0, 5, 4, 5, 3, 4, 2, 3], [1, 5, 4, 5, 3, 4, 2, 3], [5, 1, 2, 1, 3, 2, 4, 3]),
    ([0, 5, 4, 5, 3, 5, 2, 5], [1, 5, 4, 5, 3, 5, 2, 5], [5, 1, 2, 1, 3, 1, 4, 1]),
];

/// The phrases of common practice, a hand each.
fn phrases() -> Vec<Item> {
    let item = |(_, quarter_bpm, text): &(&str, f64, &str)| {
        let (mut score, line) = testing::line(text);
        let digits = |id: &usize| score.notes[*id].written.iter().take(1).map(|w| w.finger.number()).collect();
        let wanted = line.notes.iter().map(digits).collect();
        score.notes.iter_mut().for_each(|note| note.written.clear());
        let keys = find_keys(&score);
        Item { set: "phrases".into(), score, line, keys, tempo: testing::steady(*quarter_bpm), wanted, any: false }
    };
    phrases::PHRASES.iter().map(item).collect()
}

fn hanon() -> Vec<Item> {
    let c_major = Scale::all()[0];
    let mut items = Vec::new();
    for hand in Hand::BOTH {
        let keys = c_major.run(Motion::Up, 3, c_major.lowest_key(hand, 3));
        for (degrees, right, left) in HANON {
            let (mut pitches, mut wanted) = (Vec::new(), Vec::new());
            for start in 0..10 {
                for place in 0..8 {
                    pitches.push(keys[start + degrees[place]]);
                    wanted.push(vec![if hand == Hand::Right { right[place] } else { left[place] }]);
                }
            }
            items.push(run("hanon", hand, 0, &pitches, wanted));
        }
    }
    items
}

#[derive(Default, Clone, Copy)]
struct Tally {
    right: u32,
    digits: u32,
    agreed_right: u32,
    agreed: u32,
    any: u32,
    notes: u32,
}

fn percent(part: u32, whole: u32) -> f64 {
    100.0 * f64::from(part) / f64::from(whole.max(1))
}

fn judge(item: &Item, settings: &Settings, tally: &mut Tally, verbose: bool) {
    let (score, line, player) = (&item.score, &item.line, Player::default());
    let found = estimate_with(score, line, &item.keys, &item.tempo, &player, settings);
    let mut measure = usize::MAX;
    for (place, id) in item.line.notes.iter().enumerate() {
        let (note, wanted) = (&item.score.notes[*id], &item.wanted[place]);
        let got = found.fingers[place].map_or(0, Finger::number);
        let hits = wanted.iter().map(|digit| u32::from(*digit == got)).sum::<u32>();
        if verbose {
            if note.measure != measure {
                measure = note.measure;
                let number = item.score.measures.get(measure).map_or("", |m| m.number.as_str());
                print!("\n{}{number} ", item.line.hand.letter());
            }
            let chord = place > 0 && item.score.notes[item.line.notes[place - 1]].onset == note.onset;
            let digits: String = wanted.iter().map(u8::to_string).collect();
            let people = if wanted.iter().all(|d| *d == wanted[0]) { digits.get(..1).unwrap_or("") } else { &digits };
            let fine = hits == wanted.len() as u32 || item.any && hits > 0;
            let sign = if wanted.is_empty() {
                ""
            } else if fine {
                "="
            } else {
                "!"
            };
            print!("{}{}:{got}{sign}{} ", if chord { "+" } else { "" }, note.pitch, if fine { "" } else { people });
        }
        if wanted.is_empty() {
            continue;
        }
        tally.notes += 1;
        tally.any += u32::from(hits > 0);
        if item.any {
            tally.right += u32::from(hits > 0);
            tally.digits += 1;
            continue;
        }
        tally.right += hits;
        tally.digits += wanted.len() as u32;
        if wanted.iter().all(|digit| *digit == wanted[0]) {
            tally.agreed += 1;
            tally.agreed_right += u32::from(hits > 0);
        }
    }
    if verbose {
        println!();
        if std::env::var_os("EXPLAIN").is_some() {
            let all = 0..=usize::MAX;
            for slice in explain_fingering(score, line, &item.keys, &item.tempo, &player, settings, all) {
                let notes = item.line.slice_notes(slice.slice);
                let first = item.line.slices[slice.slice].first;
                for (place, id) in notes.iter().enumerate() {
                    let note = &item.score.notes[*id];
                    print!(
                        "m{} {}:{} ",
                        note.measure + 1,
                        note.pitch,
                        found.fingers[first + place].map_or(0, Finger::number)
                    );
                }
                println!("{:?}", slice.costs);
            }
        }
    }
}

fn judge_all(items: &[Item], settings: &Settings, show: Option<&str>) -> BTreeMap<String, Tally> {
    let mut tallies = BTreeMap::new();
    for item in items {
        judge(item, settings, tallies.entry(item.set.clone()).or_default(), show == Some(&item.set));
    }
    tallies
}

/// The figure that is tuned: the mean of groups of sets, in percent; the one-editor scores count as one.
fn objective(items: &[Item], settings: &Settings, without: &[String]) -> f64 {
    let mut groups: BTreeMap<&str, (f64, u32, u32)> = BTreeMap::new();
    for (set, tally) in judge_all(items, settings, None) {
        if without.contains(&set) {
            continue;
        }
        let (group, weight) = match set.as_str() {
            "invention" => ("invention", 1.0),
            "scales" | "arpeggios" | "chromatic" => ("handbooks", 0.6),
            // Exercises for the weak fingers use them on purpose, so they show and do not steer.
            "hanon" => continue,
            "phrases" => ("phrases", 1.0),
            _ => ("editors", 1.0),
        };
        let sum = groups.entry(group).or_insert((weight, 0, 0));
        (sum.1, sum.2) = (sum.1 + tally.right, sum.2 + tally.digits);
    }
    let weights: f64 = groups.values().map(|group| group.0).sum();
    groups.values().map(|(weight, right, digits)| weight * percent(*right, *digits)).sum::<f64>() / weights
}

/// What a weight must gain, in percent of the objective, to move by a factor of e. Chosen by us, so that no weight moves
/// for a handful of digits; halving or doubling it moves the figures left out by less than three points.
const STAY: f64 = 0.5;

/// Climbs weight by weight; leaving the start costs a little, so that a weight moves only for a reason.
fn tune(items: &[Item], start: &Settings, without: &[String], free: &[String]) -> Settings {
    let away = |settings: &Settings| -> f64 {
        let ratio = |name: &&str| {
            let (mut here, mut there) = (settings.weights.clone(), start.weights.clone());
            let of = |weights: &mut Weights| f64::from(*weights.by_name(name).unwrap()) + 50.0;
            (of(&mut here) / of(&mut there)).ln().abs()
        };
        Weights::NAMES.iter().map(|name| STAY * ratio(name)).sum()
    };
    let mut settings = start.clone();
    let mut best = objective(items, &settings, without);
    for round in 1..=4 {
        let before = best;
        for name in Weights::NAMES.iter().filter(|name| free.is_empty() || free.iter().any(|free| free == *name)) {
            let now = *settings.weights.by_name(name).unwrap();
            let factors = [0.0, 0.5, 0.7, 1.4, 2.0].map(|factor| (f64::from(now) * factor).round() as i32);
            for value in factors.into_iter().chain([50]).filter(|value| *value != now) {
                let mut other = settings.clone();
                *other.weights.by_name(name).unwrap() = value;
                let figure = objective(items, &other, without) - away(&other);
                if figure > best + 0.02 {
                    (best, settings) = (figure, other);
                }
            }
        }
        eprintln!("round {round}: {best:.2}");
        if best < before + 0.05 {
            break;
        }
    }
    for name in Weights::NAMES {
        let value = *settings.weights.by_name(name).unwrap();
        if value != *start.weights.clone().by_name(name).unwrap() {
            print!("{name}={value} ");
        }
    }
    println!();
    settings
}

fn line(tallies: &BTreeMap<String, Tally>) -> String {
    let mut parts = Vec::new();
    let (mut right, mut digits) = (0, 0);
    for (set, tally) in tallies {
        let figure = percent(tally.right, tally.digits);
        parts.push(format!("{set} {figure:.1}"));
        if set == "invention" {
            let agreed = percent(tally.agreed_right, tally.agreed);
            parts.push(format!("(agreed {agreed:.1}, any {:.1})", percent(tally.any, tally.notes)));
        }
        if set.starts_with("f0") {
            (right, digits) = (right + tally.right, digits + tally.digits);
        }
    }
    parts.push(format!("| editors {:.1}", percent(right, digits)));
    parts.join(" ")
}

/// The weights that Parncutt et al. (1997) print, and round values where they print none: what was known before any file.
const PUBLISHED: &[(&str, i32)] = &[
    ("reach_open", 100),
    ("position_far", 50),
    ("stretch", 200),
    ("large_span", 100),
    ("small_span_thumb", 100),
    ("weak_fourth", 100),
    ("weak_fifth", 100),
    ("thumb_black", 100),
    ("thumb_black_white", 200),
    ("passing", 100),
    ("passing_far", 100),
    ("leap", 1000),
    ("same_finger", 1000),
    ("slide", 500),
    ("chord_reach", 50),
    ("block", 50),
    ("haste", 25),
];

/// Chooses the weights without each fingered file in turn and prints what they are worth on it.
fn leave_each_out(items: &[Item], start: &Settings, free: &[String]) {
    let mut editors = Tally::default();
    for set in ["invention", "f01", "f02", "f03"] {
        let settings = tune(items, start, &[set.to_owned()], free);
        let tally = judge_all(items, &settings, None)[set];
        println!("{set}: {}", line(&BTreeMap::from([(set.to_owned(), tally)])));
        if set != "invention" {
            (editors.right, editors.digits) = (editors.right + tally.right, editors.digits + tally.digits);
        }
    }
    println!("editors: {:.1}", percent(editors.right, editors.digits));
}

fn main() {
    let mut args = std::env::args().skip(1).peekable();
    let mut settings = Settings::default();
    let (mut show, mut without, mut ablate, mut again) = (None, None, false, 0);
    let mut free = Vec::new();
    let mut leave_out = false;
    let mut items = fingered_scores();
    items.extend(handbooks());
    items.extend(hanon());
    items.extend(phrases());
    while let Some(arg) = args.next() {
        if let Some((name, value)) = arg.split_once('=') {
            *settings.weights.by_name(name).unwrap_or_else(|| panic!("no weight `{name}`")) = value.parse().unwrap();
            continue;
        }
        match arg.as_str() {
            "-v" => show = args.next(),
            "--free" => free = args.next().map_or_else(Vec::new, |list| list.split(',').map(str::to_owned).collect()),
            "--published" => {
                for (name, value) in PUBLISHED {
                    *settings.weights.by_name(name).unwrap() = *value;
                }
            }
            "--ablate" => ablate = true,
            "--leave-out" => leave_out = true,
            "--again" => again = args.next().map_or(0, |times| times.parse().unwrap()),
            "--also" => {
                for path in args.by_ref() {
                    let (score, printed) = read(Path::new(&path));
                    let set = Path::new(&path).file_stem().unwrap().to_string_lossy().into_owned();
                    // The scores of a folder called `phrases` are one set.
                    let set = if path.contains("/phrases/") { "phrases".into() } else { set };
                    items.extend(items_of(&set, &score, &printed));
                }
            }
            "--tune" => {
                let mut sets = Vec::new();
                while let Some(set) = args.next_if(|next| !next.contains('=') && !next.starts_with('-')) {
                    sets.push(set);
                }
                without = Some(sets);
            }
            other => panic!("no option `{other}`"),
        }
    }
    if leave_out {
        leave_each_out(&items, &settings, &free);
        return;
    }
    if let Some(without) = without {
        settings = tune(&items, &settings, &without, &free);
    }
    for _ in 0..again {
        judge_all(&items, &settings, None);
    }
    println!("{}", line(&judge_all(&items, &settings, show.as_deref())));
    if ablate {
        for name in Weights::NAMES {
            let mut other = settings.clone();
            *other.weights.by_name(name).unwrap() = 0;
            println!("{name}: {}", line(&judge_all(&items, &other, None)));
        }
    }
}
