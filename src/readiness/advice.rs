//! What closes a gap, in a teacher's words.
//!
//! Common practice (no source) throughout: how teachers take a difficulty out of a piece and practise it apart.

use crate::drills::metronome::mark_for;
use crate::summary::Milli;

/// How to get from one speed to another.
pub(super) fn speed(asked: Milli, comfortable: Milli) -> String {
    let (from, to) = (mark_for(comfortable), mark_for(asked));
    format!("scales from {from} up to {to}, the speed of the runs, a notch of the metronome at a time")
}

/// How to practise one dimension of the level, by its name.
pub(super) fn demand(name: &str) -> String {
    let advice = match name {
        "speed" => "the fast measures in rhythms and with the metronome, first at half speed",
        "chords and double notes" | "chords" | "double notes" => {
            "the chords alone, without the tune, until the hand opens to the next one in time"
        }
        "stretch" | "reach" => {
            "the wide places slowly from a loose wrist, with rests; roll what does not lie in the hand"
        }
        "travel" => "the shifts without sound: move, look, touch, and only then play",
        "leaps" => "the leaps alone, from key to key, arriving early and waiting",
        "voices in one hand" => "one voice at a time, then one sung and one played",
        "crossings" | "awkward crossings" => {
            "the crossing as a loop of four notes, the thumb under before it is needed"
        }
        "independent hands" | "interlocking hands" | "hands apart" | "crossings apart" => {
            "a measure at a time with both hands, tapping the rhythm of both first"
        }
        "joint strokes" => "both hands together in chords before the figure, listening for one sound",
        "cross rhythm" => "the two rhythms tapped together on the knees until they are one pattern",
        "subdivision" | "syncopation" | "tuplets" | "uneven metre" => {
            "the rhythm counted aloud and clapped before it is played"
        }
        "key signature" | "accidentals" | "black keys" | "palette" => {
            "the scale of the key first, and the accidentals marked before the first reading"
        }
        "ledger lines" | "outer registers" | "clef changes" => "the far notes named aloud and found without looking",
        "ornaments" => "the line without ornaments until it flows, then one ornament at a time in slow motion",
        "compass" => "the positions of each hand found in order, without the rhythm",
        "effort" => "short stretches with rests: stop before the arm tires",
        "length" | "endurance" => "one section a week, and the whole only when every section is sure",
        _ => "the measures concerned taken out and practised slowly, hands apart",
    };
    advice.to_owned()
}
