//! A scale: its tonic and form, spelled.

use std::fmt;

use serde::{Serialize, Serializer};

use super::key::Key;
use super::note_name::NoteName;
use crate::score::Mode;
use crate::units::{Hand, Midi, Motion, Pitch, Step};

/// The shape of a scale.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Serialize)]
pub enum Form {
    /// Major.
    #[serde(rename = "major")]
    Major,
    /// Minor as signed.
    #[serde(rename = "natural minor")]
    NaturalMinor,
    /// Minor with the seventh degree raised: the gap between sixth and seventh is its mark.
    #[serde(rename = "harmonic minor")]
    HarmonicMinor,
    /// Minor with sixth and seventh raised going up, and as signed coming down.
    #[serde(rename = "melodic minor")]
    MelodicMinor,
    /// All twelve keys.
    #[serde(rename = "chromatic")]
    Chromatic,
}

impl Form {
    /// All forms, in the order they are taught.
    pub const ALL: [Self; 5] =
        [Self::Major, Self::NaturalMinor, Self::HarmonicMinor, Self::MelodicMinor, Self::Chromatic];

    /// The three minor forms.
    pub const MINORS: [Self; 3] = [Self::NaturalMinor, Self::HarmonicMinor, Self::MelodicMinor];

    /// `major`, `natural minor`, `harmonic minor`, `melodic minor`, `chromatic`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Major => "major",
            Self::NaturalMinor => "natural minor",
            Self::HarmonicMinor => "harmonic minor",
            Self::MelodicMinor => "melodic minor",
            Self::Chromatic => "chromatic",
        }
    }

    /// The mode of the key it belongs to; none for the chromatic scale.
    pub fn mode(self) -> Option<Mode> {
        match self {
            Self::Major => Some(Mode::Major),
            Self::NaturalMinor | Self::HarmonicMinor | Self::MelodicMinor => Some(Mode::Minor),
            Self::Chromatic => None,
        }
    }

    /// Notes in an octave, the upper tonic not counted.
    pub fn size(self) -> usize {
        if self == Self::Chromatic { 12 } else { 7 }
    }
}

impl fmt::Display for Form {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

/// A scale on a tonic.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Scale {
    tonic: NoteName,
    form: Form,
}

impl Scale {
    /// Most octaves in which two hands an octave apart stay on the 88 keys from any tonic.
    pub const MOST_OCTAVES: u8 = 5;

    /// The scale of `form` in `key`; `None` where the mode of the key is another. A chromatic scale starts on the
    /// tonic of any key.
    pub fn new(key: Key, form: Form) -> Option<Self> {
        form.mode().is_none_or(|mode| mode == key.mode()).then_some(Self { tonic: key.tonic(), form })
    }

    /// The 48 scales of the twelve major and twelve minor keys under their main names (36 of them minor), and the
    /// chromatic scale from C.
    pub fn all() -> Vec<Self> {
        let mut scales: Vec<Self> = Key::twelve(Mode::Major).filter_map(|key| Self::new(key, Form::Major)).collect();
        for form in Form::MINORS {
            scales.extend(Key::twelve(Mode::Minor).filter_map(|key| Self::new(key, form)));
        }
        scales.push(Self { tonic: NoteName { step: Step::C, alter: 0 }, form: Form::Chromatic });
        scales
    }

    /// First note.
    pub fn tonic(self) -> NoteName {
        self.tonic
    }

    /// Shape.
    pub fn form(self) -> Form {
        self.form
    }

    /// The key it belongs to; none for the chromatic scale.
    pub fn key(self) -> Option<Key> {
        self.form.mode().and_then(|mode| Key::of_tonic(self.tonic, mode))
    }

    /// Sharps or flats of the key signature it is written with; the chromatic scale is written without.
    pub fn fifths(self) -> i8 {
        self.key().map_or(0, Key::fifths)
    }

    /// Semitones of each degree above the tonic, going `motion`, the upper tonic not counted.
    pub fn intervals(self, motion: Motion) -> &'static [i32] {
        match (self.form, motion) {
            (Form::Major, _) => &[0, 2, 4, 5, 7, 9, 11],
            (Form::NaturalMinor, _) | (Form::MelodicMinor, Motion::Down) => &[0, 2, 3, 5, 7, 8, 10],
            (Form::HarmonicMinor, _) => &[0, 2, 3, 5, 7, 8, 11],
            (Form::MelodicMinor, Motion::Up) => &[0, 2, 3, 5, 7, 9, 11],
            (Form::Chromatic, _) => &[0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11],
        }
    }

    /// The note names of one octave, from the tonic upwards, as spelled going `motion`.
    ///
    /// Major and minor scales use every letter once. The chromatic scale keeps its tonic as named, and has sharps on
    /// the other black keys going up and flats coming down (common practice, no source).
    pub fn degrees(self, motion: Motion) -> Vec<NoteName> {
        let tonic_class = i32::from(self.tonic.pitch_class());
        let name = |(degree, interval): (usize, &i32)| {
            let class = (tonic_class + interval).rem_euclid(12);
            if self.form == Form::Chromatic {
                return if *interval == 0 { self.tonic } else { plain_name(class, motion) };
            }
            let step = Step::ALL[(self.tonic.step as usize + degree) % 7];
            // The accidental nearest to none: -6 to 5 semitones around the natural, in practice -1 to 2.
            let alter = (class - step.semitones() + 6).rem_euclid(12) - 6;
            NoteName { step, alter: alter as i8 }
        };
        self.intervals(motion).iter().enumerate().map(name).collect()
    }

    /// The key on which a hand begins a run of so many octaves: around middle C for the right hand with one or two,
    /// further down with more, and an octave lower for the left, as scale manuals print them (common practice, no
    /// source). Up to [`Scale::MOST_OCTAVES`] both hands stay on the 88 keys.
    pub fn lowest_key(self, hand: Hand, octaves: u8) -> Midi {
        let bound = match octaves {
            0..=2 => 55,
            3 | 4 => 43,
            _ => 33,
        };
        let right = bound + (i32::from(self.tonic.pitch_class()) - bound).rem_euclid(12);
        let number = if hand == Hand::Right { right } else { right - 12 };
        Midi::new(number).unwrap_or(Midi::MIDDLE_C)
    }

    /// The notes of a run over `octaves` in playing order, the lowest tonic being the key `lowest` (its pitch class
    /// is what matters; the nearest tonic at or above is taken). Notes beyond the keys of MIDI are left out.
    pub fn run(self, motion: Motion, octaves: u8, lowest: Midi) -> Vec<Pitch> {
        let tonic_class = i32::from(self.tonic.pitch_class());
        let start = i32::from(lowest.number());
        let start = start + (tonic_class - start).rem_euclid(12);
        let degrees: Vec<_> = self.degrees(motion).into_iter().zip(self.intervals(motion)).collect();
        let mut pitches: Vec<Pitch> = (0..i32::from(octaves))
            .flat_map(|octave| {
                degrees.iter().map(move |(name, interval)| name.on_key(start + 12 * octave + **interval))
            })
            .chain([self.tonic.on_key(start + 12 * i32::from(octaves))])
            .filter(|pitch| pitch.midi().is_some())
            .collect();
        if motion == Motion::Down {
            pitches.reverse();
        }
        pitches
    }
}

/// Name of a key outside any key signature: sharps going up, flats coming down.
fn plain_name(class: i32, motion: Motion) -> NoteName {
    let natural = |class: i32| Step::ALL.into_iter().find(|step| step.semitones() == class.rem_euclid(12));
    let alter = motion.sign();
    let raised = |step| NoteName { step, alter: alter as i8 };
    natural(class)
        .map(|step| NoteName { step, alter: 0 })
        .or_else(|| natural(class - alter).map(raised))
        .unwrap_or(NoteName { step: Step::C, alter: 0 })
}

/// `E-flat major`, `C harmonic minor`, `D chromatic`.
impl fmt::Display for Scale {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.tonic, self.form)
    }
}

impl Serialize for Scale {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn spelled(scale: Scale, motion: Motion) -> String {
        scale.degrees(motion).into_iter().map(NoteName::short).collect::<Vec<_>>().join(" ")
    }

    fn scale(fifths: i8, form: Form) -> Scale {
        Scale::new(Key::from_fifths(fifths, form.mode().unwrap()).unwrap(), form).unwrap()
    }

    #[test]
    fn every_letter_comes_once_in_every_major_and_minor_scale() {
        for mode in [Mode::Major, Mode::Minor] {
            for key in Key::all(mode) {
                for form in Form::ALL.into_iter().filter(|form| form.mode() == Some(mode)) {
                    let scale = Scale::new(key, form).unwrap();
                    for motion in Motion::BOTH {
                        let degrees = scale.degrees(motion);
                        let mut letters: Vec<_> = degrees.iter().map(|name| name.step).collect();
                        letters.sort_unstable();
                        assert_eq!(letters, Step::ALL, "{scale} {motion:?}");
                        assert!(degrees.iter().all(|name| (-1..=2).contains(&name.alter)), "{scale}: {degrees:?}");
                    }
                }
            }
        }
    }

    #[test]
    fn scales_as_signed_have_exactly_the_accidentals_of_the_signature() {
        for mode in [Mode::Major, Mode::Minor] {
            let form = if mode == Mode::Major { Form::Major } else { Form::NaturalMinor };
            for key in Key::all(mode) {
                for name in Scale::new(key, form).unwrap().degrees(Motion::Up) {
                    assert_eq!(name.alter, key.alter_of(name.step), "{key}: {name}");
                }
            }
        }
    }

    #[test]
    fn raised_degrees_are_spelled_on_their_own_letter() {
        assert_eq!(spelled(scale(-3, Form::HarmonicMinor), Motion::Up), "C D Eb F G Ab B");
        assert_eq!(spelled(scale(5, Form::HarmonicMinor), Motion::Up), "G# A# B C# D# E F##");
        assert_eq!(spelled(scale(3, Form::MelodicMinor), Motion::Up), "F# G# A B C# D# E#");
        assert_eq!(spelled(scale(3, Form::MelodicMinor), Motion::Down), "F# G# A B C# D E");
        assert_eq!(spelled(scale(-6, Form::Major), Motion::Up), "Gb Ab Bb Cb Db Eb F");
    }

    #[test]
    fn the_chromatic_scale_rises_in_sharps_and_falls_in_flats() {
        let chromatic = *Scale::all().last().unwrap();
        assert_eq!(spelled(chromatic, Motion::Up), "C C# D D# E F F# G G# A A# B");
        assert_eq!(spelled(chromatic, Motion::Down), "C Db D Eb E F Gb G Ab A Bb B");
    }

    #[test]
    fn runs_are_spelled_across_the_octave() {
        let run = |scale: Scale, motion| {
            let pitches = scale.run(motion, 1, Midi::new(60).unwrap());
            pitches.iter().map(ToString::to_string).collect::<Vec<_>>().join(" ")
        };
        assert_eq!(run(scale(-6, Form::Major), Motion::Up), "Gb4 Ab4 Bb4 Cb5 Db5 Eb5 F5 Gb5");
        assert_eq!(run(scale(7, Form::Major), Motion::Up), "C#4 D#4 E#4 F#4 G#4 A#4 B#4 C#5");
        assert_eq!(run(scale(0, Form::MelodicMinor), Motion::Down), "A5 G5 F5 E5 D5 C5 B4 A4");
        assert_eq!(run(scale(0, Form::Major), Motion::Up), "C4 D4 E4 F4 G4 A4 B4 C5");
    }

    #[test]
    fn both_hands_stay_on_the_88_keys() {
        for scale in Scale::all() {
            for octaves in 1..=Scale::MOST_OCTAVES {
                let keys = |hand| scale.run(Motion::Up, octaves, scale.lowest_key(hand, octaves));
                let (left, right) = (keys(Hand::Left), keys(Hand::Right));
                assert!(left[0].midi().unwrap().number() >= 21, "{scale}, {octaves} octaves");
                assert!(right.last().unwrap().midi().unwrap().number() <= 108, "{scale}, {octaves} octaves");
                assert_eq!(left[0].midi().unwrap().semitones_to(right[0].midi().unwrap()), 12);
            }
        }
    }

    #[test]
    fn a_run_stops_where_the_keys_of_midi_end() {
        let run = scale(0, Form::Major).run(Motion::Up, u8::MAX, Midi::new(120).unwrap());
        assert_eq!(run.last().unwrap().to_string(), "G9");
    }
}
