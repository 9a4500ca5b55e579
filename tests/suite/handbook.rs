//! Our table of scale fingerings against the handbook.

use thumbunder::fingering::{Settings, estimate_with};
use thumbunder::keys::find_keys;
use thumbunder::player::Player;
use thumbunder::scales::{Form, Scale, accepted_fingerings, textbook_fingering};
use thumbunder::sheets::Figure;
use thumbunder::tempo::{Tempo, TempoSource};
use thumbunder::units::{Finger, Hand, Motion};

use crate::played;

/// One printed line of the handbook.
pub struct Printed {
    pub scale: Scale,
    pub hand: Hand,
    pub motion: Motion,
    /// Over two octaves, in playing order.
    pub fingers: Vec<Finger>,
}

/// Hanon, *The Virtuoso Pianist in 60 Exercises* (1873), no. 39: every line of both hands, up and down. From memory.
pub fn hanon_39() -> Vec<Printed> {
    let mut reader =
        csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(&include_bytes!("../data/hanon39.csv")[..]);
    let mut lines = Vec::new();
    for row in reader.records() {
        let row = row.unwrap();
        let scale = Scale::parse(&row[0], Some(Form::parse(&row[1]).unwrap())).unwrap();
        let hand = if &row[2] == "R" { Hand::Right } else { Hand::Left };
        let motion = if &row[3] == "up" { Motion::Up } else { Motion::Down };
        let fingers: Vec<Finger> = row[4].bytes().map(|digit| Finger::new(digit - b'0').unwrap()).collect();
        assert_eq!(fingers.len(), 15, "{row:?}");
        if scale.form() != Form::MelodicMinor {
            let fingers = fingers.iter().rev().copied().collect();
            lines.push(Printed { scale, hand, motion: Motion::Down, fingers });
        }
        lines.push(Printed { scale, hand, motion, fingers });
    }
    lines
}

#[test]
fn every_scale_is_fingered_as_in_hanon() {
    let lines = hanon_39();
    // Twelve major keys and twelve minor ones in two forms, two hands, two directions.
    assert_eq!(lines.len(), 36 * 4);
    for line in &lines {
        let accepted = accepted_fingerings(line.scale, line.hand, line.motion, 2);
        assert!(accepted.contains(&line.fingers), "{} {:?} {:?}", line.scale, line.hand, line.motion);
    }
}

#[test]
fn the_fingering_given_first_differs_from_hanon_only_where_the_hand_turns() {
    for line in hanon_39() {
        let ours = textbook_fingering(line.scale, line.hand, line.motion, 2);
        let differ: Vec<usize> = (0..15).filter(|note| ours[*note] != line.fingers[*note]).collect();
        // The melodic minors of C-sharp and F-sharp, whose top note also begins the natural minor coming down.
        let turning = line.scale.form() == Form::MelodicMinor && line.hand == Hand::Right && line.motion == Motion::Up;
        assert!(differ.is_empty() || (turning && differ == [14]), "{} {:?}: notes {differ:?}", line.scale, line.hand);
    }
}

/// Percent of the handbook's digits that the fingering finds in runs with nothing printed, at four notes a second. Each
/// run is held against the accepted fingering that it is nearest to.
fn percent_found(settings: &Settings) -> usize {
    let (mut found, mut all) = (0, 0);
    let tempo = Tempo::constant(120.0, TempoSource::Written);
    for line in hanon_39() {
        let (score, hands) = played::run(Figure::Scale(line.scale), line.hand, line.motion, 2, false);
        let hand = hands.line(line.hand);
        let ours = estimate_with(&score, hand, &find_keys(&score), &tempo, &Player::default(), settings).fingers;
        let equal = |fingers: &Vec<Finger>| fingers.iter().zip(&ours).filter(|(a, b)| Some(**a) == **b).count();
        found += accepted_fingerings(line.scale, line.hand, line.motion, 2).iter().map(equal).max().unwrap();
        all += ours.len();
    }
    100 * found / all
}

#[test]
fn the_fingering_finds_nearly_every_digit_of_hanon_in_bare_runs() {
    let percent = percent_found(&Settings::default());
    assert!(percent >= 98, "{percent} %");
}

#[test]
fn the_search_alone_without_the_table_finds_most_digits_of_hanon() {
    let mut settings = Settings::default();
    settings.weights.scale = 0;
    let percent = percent_found(&settings);
    // What is left are scales whose thumb may as well fall elsewhere by the rules (B minor, for one).
    assert!(percent >= 90, "{percent} %");
}
