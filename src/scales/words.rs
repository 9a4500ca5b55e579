//! What a teacher says about a crossing: what happens, why it is awkward, how to practise it.
//!
//! In: a [`ScaleCrossing`]. Out: sentences. The advice is common practice, no source.

use super::crossings::ScaleCrossing;
use super::note_name::NoteName;
use crate::crossing::CrossingKind;
use crate::units::{Finger, KeyColour, Motion};

/// `thumb`, `second finger`, ...
pub fn finger_name(finger: Finger) -> &'static str {
    match finger.number() {
        1 => "thumb",
        2 => "second finger",
        3 => "third finger",
        4 => "fourth finger",
        _ => "fifth finger",
    }
}

/// `a semitone`, `a whole tone`, `a minor third`, ... by size on the keyboard.
pub fn interval_name(semitones: i32) -> &'static str {
    match semitones.abs() {
        0 => "no distance",
        1 => "a semitone",
        2 => "a whole tone",
        3 => "a minor third",
        4 => "a major third",
        5 => "a fourth",
        6 => "a tritone",
        7 => "a fifth",
        _ => "more than a fifth",
    }
}

/// `going up`, `coming down`.
pub fn way(motion: Motion) -> &'static str {
    match motion {
        Motion::Up => "going up",
        Motion::Down => "coming down",
    }
}

/// What other accepted fingerings of a run change, each once: `or begin 2`, `or end 2`, `or throughout 1 2 3 1 ...`.
pub fn other_fingerings(textbook: &[Finger], others: &[Vec<Finger>]) -> Vec<String> {
    // A change further in than this is another fingering, not another way to begin or end.
    const END: usize = 4;
    let digits = |fingers: &[Finger]| fingers.iter().map(Finger::to_string).collect::<Vec<_>>().join(" ");
    let mut found = Vec::new();
    for other in others {
        let differ = |place: &usize| textbook.get(*place) != other.get(*place);
        let middle = other.len().saturating_sub(END).max(END.min(other.len()));
        let inside = (END.min(other.len())..middle).any(|place| differ(&place));
        let mut say = |text: String| {
            if !found.contains(&text) {
                found.push(text);
            }
        };
        if inside {
            say(format!("or throughout {}", digits(other)));
            continue;
        }
        if let Some(last) = (0..END.min(other.len())).rfind(differ) {
            say(format!("or begin {}", digits(&other[..=last])));
        }
        if let Some(first) = (middle..other.len()).find(differ) {
            say(format!("or end {}", digits(&other[first..])));
        }
    }
    found
}

impl ScaleCrossing {
    /// Where it is: `right hand, coming down, from C (1) to B-flat (4)`.
    pub fn place_in_words(&self) -> String {
        let (from, to) = (NoteName::from(self.from), NoteName::from(self.to));
        let crossing = &self.crossing;
        let (hand, way) = (crossing.hand.name(), way(self.motion));
        format!("{hand}, {way}, from {from} ({}) to {to} ({})", crossing.from_finger, crossing.to_finger)
    }

    /// What happens there and what makes it awkward, in one or two sentences.
    pub fn why(&self) -> String {
        let crossing = &self.crossing;
        let finger = finger_name(crossing.finger());
        let distance = interval_name(crossing.interval);
        let (from, to) = (NoteName::from(self.from), NoteName::from(self.to));
        let mut text = match crossing.kind {
            CrossingKind::ThumbUnder => format!("The thumb passes under the {finger} to {to}, {distance} away"),
            CrossingKind::FingerOver => {
                let onto = match (crossing.from_colour, crossing.to_colour) {
                    (KeyColour::White, KeyColour::Black) => " and up onto a black key",
                    _ => "",
                };
                format!("The {finger} goes over the thumb to {to}, {distance} away{onto}, while the thumb holds {from}")
            }
        };
        let points = &self.awkwardness;
        let mut because = Vec::new();
        match (crossing.from_colour, crossing.to_colour) {
            (KeyColour::White, KeyColour::White) => because.push("no black key gives the thumb room".to_owned()),
            (KeyColour::Black, KeyColour::Black) => because.push("the thumb, too, is on a black key".to_owned()),
            _ => {}
        }
        if points.finger > 1 {
            because.push(match crossing.kind {
                CrossingKind::ThumbUnder => format!("under the {finger} it has further to go than under the third"),
                CrossingKind::FingerOver => format!("the {finger} is weaker and reaches less far than the third"),
            });
        }
        if let (true, Some((pitch, next))) = (points.reach > 0, self.outer) {
            let (pitch, next) = (NoteName::from(pitch), finger_name(next));
            because.push(match crossing.kind {
                CrossingKind::ThumbUnder => format!("the hand is still open from {pitch} with the {next}"),
                CrossingKind::FingerOver => format!("right after it the {next} has to reach {pitch}"),
            });
        }
        if let Some((last, others)) = because.split_last() {
            text.push_str("; ");
            for reason in others {
                text.push_str(reason);
                text.push_str(", ");
            }
            if !others.is_empty() {
                text.push_str("and ");
            }
            text.push_str(last);
        }
        text.push('.');
        text
    }

    /// How to isolate it.
    pub fn how(&self) -> String {
        let (from, to) = (NoteName::from(self.from), NoteName::from(self.to));
        let crossing = &self.crossing;
        match crossing.kind {
            CrossingKind::ThumbUnder => format!(
                "Repeat it slowly, and let the thumb travel as soon as it is free: it is already over {to} when the {} \
                 plays {from}. Keep the wrist level and the elbow quiet.",
                finger_name(crossing.from_finger)
            ),
            CrossingKind::FingerOver => format!(
                "Repeat it slowly: the thumb stays on {from} until the {} lies on {to}, and only then lets go. Let the \
                 forearm lead the hand over; do not twist it.",
                finger_name(crossing.to_finger)
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scales::{Scale, ScaleRun};
    use crate::units::Hand;

    fn others(scale: &str, motion: Motion) -> Vec<String> {
        let run = ScaleRun::new(Scale::parse(scale, None).unwrap(), Hand::Right, motion, 2);
        other_fingerings(&run.fingers, &run.alternatives)
    }

    #[test]
    fn other_fingerings_are_told_by_what_they_change() {
        assert_eq!(others("E-flat major", Motion::Up), ["or begin 2"]);
        assert_eq!(others("E-flat major", Motion::Down), ["or end 2"]);
        assert_eq!(others("A-flat major", Motion::Up), ["or begin 2 3"]);
        assert_eq!(others("C-sharp melodic minor", Motion::Up), ["or end 2", "or begin 3 4"]);
        assert_eq!(others("C major", Motion::Up), [""; 0]);
        assert!(others("C chromatic", Motion::Up)[1].starts_with("or throughout 1 3 1 2 1 2 3 1 2 3 4"));
    }
}
