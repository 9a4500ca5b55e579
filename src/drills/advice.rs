//! How to practise a drill, and what to take care of, in a teacher's words.
//!
//! Common practice, no source, throughout: what teachers say at the first lesson on a scale.

/// One piece of advice: a short name and what to do.
#[derive(Clone, Copy, PartialEq, Eq, Debug, serde::Serialize)]
pub struct Advice {
    /// For a heading or a list.
    pub name: &'static str,
    /// One or two sentences.
    pub text: &'static str,
}

/// How to go about the drills, in the order in which a player meets it.
pub const PRACTICE: [Advice; 7] = [
    Advice {
        name: "hands apart",
        text: "Learn each scale with the hands apart for one or two weeks, and only then together; take them apart again \
               now and then.",
    },
    Advice { name: "octaves", text: "Begin with two octaves, and go on to three and four once two are even." },
    Advice {
        name: "the one transition",
        text: "Take out the hardest transition and repeat it slowly as a loop, the thumb already under its next key \
               when the finger before it plays.",
    },
    Advice {
        name: "speed",
        text: "Begin at the slower mark and go up notch by notch, each time the last speed has become easy; the goal is \
               the speed of the piece.",
    },
    Advice {
        name: "evenness",
        text: "First aim for the same force on every note: the thumb is not louder for having passed.",
    },
    Advice {
        name: "shape",
        text: "Then grow evenly louder going up and softer coming down, without a bump at the crossings.",
    },
    Advice {
        name: "hands together",
        text: "Together, the right hand tends to lead going up and the left coming down: listen to the other one.",
    },
];

/// What to take care of, whatever the piece.
pub const CAUTIONS: [Advice; 5] = [
    Advice {
        name: "pain",
        text: "Stop at once when anything hurts, and rest. Pain or numbness that stays or comes back is a matter for a \
               doctor.",
    },
    Advice { name: "warming up", text: "Warm up with something slow and easy, and rest between drills." },
    Advice {
        name: "stretches",
        text: "Never force a stretch beyond your own span: roll the chord, leave a note out, or share it with the other \
               hand.",
    },
    Advice {
        name: "different hands",
        text: "Hands and arms differ: a teacher can change fingers or rearrange what does not fit yours.",
    },
    Advice {
        name: "the teacher",
        text: "All this is an estimate made from the printed notes: a teacher's judgement comes first.",
    },
];
