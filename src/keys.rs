//! In which key the music is, measure by measure.
//!
//! In: a score. Out: a [`Key`] for every measure: the sequence of keys that explains the notes and the bass best, where
//! changing the key costs something. The runs of a piece are named by it where their own notes leave a choice (the same seven notes
//! are a major scale and its relative minor).
//!
//! # References
//! Temperley (1999), What's Key for Key? The Krumhansl-Schmuckler Key-Finding Algorithm Reconsidered, Music Perception
//! 17(1), 65-100: the profiles, the flat input (a note of the scale is there or not, however often), and the price of a
//! change. The values are from memory.

use crate::scales::Key;
use crate::score::{MeasureIndex, Mode, Score};
use crate::units::Quarters;

/// How well each degree, in semitones above the tonic, fits a major key; twice the published values, to stay whole.
const MAJOR: [i32; 12] = [10, 4, 7, 4, 9, 8, 4, 9, 4, 7, 3, 8];
/// The same for a minor key.
const MINOR: [i32; 12] = [10, 4, 7, 9, 4, 8, 4, 9, 7, 4, 3, 8];
/// What a change of key between two measures costs, in the same halves.
///
/// Source: Temperley (1999): 12 points for segments of a measure or so. We use: 8, since the bass speaks too, and a phrase
/// of four measures in another key should show.
const CHANGE: i32 = 16;
/// What a measure gains in the two keys of its signature.
///
/// Chosen by us: a fraction of what one note that fits gives, so that the signature decides only near ties.
const SIGNED: i32 = 1;
/// What the first measure under a signature gains in the key that the file names, mode and all.
///
/// Chosen by us: for a minor key nearly as much as a change costs, so that the music is taken to begin there unless its
/// notes speak clearly against it; little for a major one, which programs write without being asked.
const NAMED_MAJOR: i32 = 3;
const NAMED_MINOR: i32 = 15;
/// What a measure gains in the keys whose tonic is its first bass note, or whose fifth that is, and the last measure in
/// the keys of its lowest note.
///
/// Chosen by us: the profiles take a piece in the natural minor for its relative major; the bass tells them apart. The
/// end of a piece counts nearly as much as a change.
const BASS_TONIC: i32 = 3;
const BASS_FIFTH: i32 = 1;
const LAST_BASS: i32 = 15;

/// Keys are numbered by tonic, 0 for C to 11 for B, and 12 more for minor.
const KEYS: usize = 24;

/// The keys of a score.
#[derive(Clone, Debug)]
pub struct LocalKeys {
    keys: Vec<Option<Key>>,
    masks: Vec<u16>,
}

impl LocalKeys {
    /// The key around a measure.
    pub fn at(&self, measure: MeasureIndex) -> Option<Key> {
        self.keys.get(measure).copied().flatten()
    }

    /// The key of the whole: the one in which it ends.
    pub fn home(&self) -> Option<Key> {
        self.keys.last().copied().flatten()
    }

    /// The keys of the signatures with the measures where they begin.
    ///
    /// Where the file does not say major or minor, it is the one that the music of that stretch is in more often; major
    /// when neither is.
    pub fn signatures(&self, score: &Score) -> Vec<(MeasureIndex, Key)> {
        let mut keys: Vec<(MeasureIndex, Key)> = Vec::new();
        for (at, mark) in score.keys.iter().enumerate() {
            let mode = mark.mode.unwrap_or_else(|| {
                let end = score.keys.iter().skip(at + 1).find(|next| next.measure > mark.measure);
                let stretch = mark.measure..end.map_or(score.measures.len(), |next| next.measure);
                let count = |mode| {
                    let key = Key::from_fifths(mark.fifths, mode);
                    stretch.clone().filter(|measure| key.is_some() && self.at(*measure) == key).count()
                };
                if count(Mode::Minor) > count(Mode::Major) { Mode::Minor } else { Mode::Major }
            });
            let Some(key) = Key::from_fifths(mark.fifths, mode) else { continue };
            match keys.last_mut() {
                // Several parts print the same signature; a second one in the same measure takes the place of the first.
                Some(last) if last.0 == mark.measure => last.1 = key,
                Some(last) if last.1 == key => {}
                _ => keys.push((mark.measure, key)),
            }
        }
        keys
    }

    /// The keys of all measures, in order; the same key comes again only after another one.
    pub fn used(&self) -> impl Iterator<Item = Key> {
        self.keys.chunk_by(|a, b| a == b).filter_map(|same| same.first().copied().flatten())
    }

    /// Which of the twelve notes sound in the measures, both hands together: bit 0 is C.
    pub fn notes_within(&self, first: MeasureIndex, last: MeasureIndex) -> u16 {
        self.masks.iter().take(last.saturating_add(1)).skip(first).fold(0, |all, mask| all | mask)
    }
}

/// Finds the keys of a score, in one pass over its notes and one over its measures each way.
pub fn find_keys(score: &Score) -> LocalKeys {
    let measures = read_measures(score);
    let signatures = signatures(score);
    let numbers = best_sequence(&measures, &signatures);
    let keys = numbers.iter().zip(&signatures).map(|(number, (fifths, _))| named(*number, *fifths)).collect();
    LocalKeys { keys, masks: measures.iter().map(|measure| measure.notes).collect() }
}

/// What a key is found from.
#[derive(Clone, Copy, Default)]
struct Content {
    /// Which of the twelve notes sound.
    notes: u16,
    /// Lowest note at the first onset, and when that is.
    first_bass: Option<(Quarters, u8)>,
    /// Lowest note of all.
    lowest: Option<u8>,
}

fn read_measures(score: &Score) -> Vec<Content> {
    let mut measures = vec![Content::default(); score.measures.len()];
    // Notes are sorted by onset.
    for note in score.notes.iter().filter(|note| !note.is_grace()) {
        let Some(measure) = measures.get_mut(note.measure) else { continue };
        let key = note.midi.number();
        measure.notes |= 1 << (key % 12);
        let lowest_there = |(onset, lowest): (Quarters, u8)| onset == note.onset && key < lowest;
        if measure.first_bass.is_none_or(lowest_there) {
            measure.first_bass = Some((note.onset, key));
        }
        measure.lowest = Some(measure.lowest.map_or(key, |lowest| lowest.min(key)));
    }
    measures
}

/// Signature in force at the start of every measure, and the mode where it is stated there.
fn signatures(score: &Score) -> Vec<(i8, Option<Mode>)> {
    let mut marks = score.keys.iter().peekable();
    let mut fifths = 0;
    let in_force = |measure: &crate::score::Measure| {
        let mut mode = None;
        // A mark in the middle of a measure counts from the next one; where parts differ, they do so by transposition,
        // and the last mark wins.
        while let Some(mark) = marks.next_if(|mark| mark.onset <= measure.onset.max(Quarters::ZERO)) {
            (fifths, mode) = (mark.fifths, mark.mode);
        }
        (fifths, mode)
    };
    score.measures.iter().map(in_force).collect()
}

/// What a measure gains beside its notes, as pairs of a key and a gain.
fn gains(measure: &Content, is_last: bool, signature: (i8, Option<Mode>)) -> [(usize, i32); 8] {
    let (fifths, mode) = signature;
    let tonic = (i32::from(fifths) * 7).rem_euclid(12) as usize;
    let named = |this, gain| SIGNED + if mode == Some(this) { gain } else { 0 };
    let bass = |bass: Option<u8>, semitones: usize, gain: i32| {
        let (class, gain) = bass.map_or((0, 0), |key| (usize::from(key) % 12, gain));
        [((class + semitones) % 12, gain), ((class + semitones) % 12 + 12, gain)]
    };
    let first_bass = measure.first_bass.map(|(_, key)| key);
    let first = bass(first_bass, 0, BASS_TONIC);
    let fifth = bass(first_bass, 5, BASS_FIFTH);
    let last = bass(measure.lowest.filter(|_| is_last), 0, LAST_BASS);
    let major = (tonic, named(Mode::Major, NAMED_MAJOR));
    let signed = [major, ((tonic + 9) % 12 + 12, named(Mode::Minor, NAMED_MINOR))];
    [first[0], first[1], fifth[0], fifth[1], last[0], last[1], signed[0], signed[1]]
}

/// The sequence of keys with the highest sum; of equal ones, the one that changes least, then the lowest number.
fn best_sequence(measures: &[Content], signatures: &[(i8, Option<Mode>)]) -> Vec<usize> {
    let last = measures.iter().rposition(|measure| measure.notes != 0);
    let mut sums = [0_i32; KEYS];
    let mut came_from: Vec<[u8; KEYS]> = Vec::with_capacity(measures.len());
    for (index, (measure, signature)) in measures.iter().zip(signatures).enumerate() {
        let best = best_of(&sums);
        let after_change = sums[best] - CHANGE;
        let mut from = [0_u8; KEYS];
        for key in 0..KEYS {
            let changes = after_change > sums[key];
            from[key] = if changes { best } else { key } as u8;
            sums[key] = if changes { after_change } else { sums[key] }.saturating_add(fit(measure.notes, key));
        }
        for (key, gain) in gains(measure, Some(index) == last, *signature) {
            sums[key] = sums[key].saturating_add(gain);
        }
        came_from.push(from);
    }
    let mut key = best_of(&sums);
    let mut numbers = vec![0; measures.len()];
    for (number, from) in numbers.iter_mut().zip(&came_from).rev() {
        *number = key;
        key = usize::from(from[key]);
    }
    numbers
}

fn best_of(sums: &[i32; KEYS]) -> usize {
    let mut best = 0;
    for (key, sum) in sums.iter().enumerate() {
        if *sum > sums[best] {
            best = key;
        }
    }
    best
}

fn fit(mask: u16, key: usize) -> i32 {
    let (profile, tonic) = if key < 12 { (&MAJOR, key) } else { (&MINOR, key - 12) };
    // The notes of the mask, turned so that the tonic is bit 0.
    let mut notes = u32::from(mask) | u32::from(mask) << 12;
    notes = notes >> tonic & 0xFFF;
    let mut sum = 0;
    while notes != 0 {
        sum += profile[notes.trailing_zeros() as usize];
        notes &= notes - 1;
    }
    sum
}

/// The key of a number, spelled as near as can be to the signature.
fn named(number: usize, signature: i8) -> Option<Key> {
    let (tonic, mode) = if number < 12 { (number, Mode::Major) } else { ((number + 3) % 12, Mode::Minor) };
    // Seven fifths up are a semitone up; of the names twelve fifths apart the nearer one is used.
    let around = (tonic as i32 * 7 - i32::from(signature) + 6).rem_euclid(12) - 6;
    let fifths = i32::from(signature) + around;
    let within = if fifths > 7 {
        fifths - 12
    } else if fifths < -7 {
        fifths + 12
    } else {
        fifths
    };
    Key::from_fifths(within as i8, mode)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::score;

    fn keys(text: &str) -> Vec<String> {
        let (score, _) = score(text);
        let keys = find_keys(&score);
        (0..score.measures.len()).map(|measure| keys.at(measure).unwrap().to_string()).collect()
    }

    #[test]
    fn a_relative_minor_is_told_by_its_leading_note() {
        assert_eq!(keys("R: key=0 C4/8 D4 E4 F4 G4 A4 B4 C5"), ["C major"]);
        assert_eq!(keys("R: key=0 A4/8 B4 C5 D5 E5 F5 G#5 A5"), ["A minor"]);
        assert_eq!(keys("R: key=-3 C4/8 D4 Eb4 F4 G4 Ab4 B4 C5"), ["C minor"]);
    }

    #[test]
    fn the_mode_in_the_file_decides_a_tie() {
        assert_eq!(keys("R: key=0minor E4/4 G4 E4 B4"), ["E minor"], "the notes come first");
        assert_eq!(keys("R: key=-6major Gb4/4 Bb4 Db5 Cb5"), ["G-flat major"]);
        assert_eq!(keys("R: key=6major F#4/4 A#4 C#5 B4"), ["F-sharp major"]);
    }

    #[test]
    fn the_bass_tells_a_natural_minor_from_its_relative_major() {
        let tune = "R: key=1 B4/4 G4 A4 B4 D5 B4 A4 F#4 G4 A4 B4 G4 E4/1";
        assert_eq!(keys(&format!("{tune}\nL: E3/1 D3 E3 E2")), ["E minor"; 4]);
        assert_eq!(keys(&format!("{tune}\nL: G2/1 D3 G2 G2")), ["G major"; 4]);
    }

    #[test]
    fn one_strange_note_changes_no_key_but_a_new_section_does() {
        let tune = "C4/8 E4 G4 F4 D4 B3 C4 G3";
        let chromatic = "C4/8 E4 G4 F#4 F4 B3 C4 G3";
        let away = "Ab4/8 C5 Eb5 Db5 Bb4 G4 Ab4 Eb4";
        let text =
            format!("R: key=0 {tune} {chromatic} {tune} {away} {away} {away} {away} {tune} {tune} {tune} {tune}");
        let found = keys(&text);
        assert_eq!(found[..3], ["C major"; 3]);
        assert_eq!(found[3..7], ["A-flat major"; 4]);
        assert_eq!(found[7..], ["C major"; 4]);
    }

    #[test]
    fn a_score_without_signature_or_notes_has_keys_all_the_same() {
        assert_eq!(keys("R: r/1 r/1"), ["C major", "C major"]);
        assert_eq!(find_keys(&Score::default()).at(0), None);
    }
}
