//! The whole flow in order: bytes in, everything that a report needs out.

use crate::cautions::cautions;
use crate::drills::{Drills, Part, recommend_drills};
use crate::edition::{Edition, describe_edition};
use crate::error::{Error, Remark, Remarks};
use crate::excerpt::Excerpt;
use crate::fingering::{Fingering, estimate_fingering, remark_on_digits, remark_on_reach};
use crate::hands::{Hands, Line, assign_hands};
use crate::keys::{LocalKeys, find_keys};
use crate::level::{self, Level, grade_level};
use crate::loads::{Load, measure_loads};
use crate::movements::{Movement, measure_movements};
use crate::musicxml::read_score;
use crate::options::Options;
use crate::passages::{Passage, detect_passages};
use crate::score::Score;
use crate::tempo::{Tempo, choose_tempo};
use crate::units::Hand;

/// Everything that was found out about a score, for the reports to show.
#[derive(Clone, Debug)]
pub struct Analysis {
    /// What the page says, in the measures looked at.
    pub score: Score,
    /// Which measures, when not all; everything else concerns only these.
    pub excerpt: Option<Excerpt>,
    /// Which hand plays what.
    pub hands: Hands,
    /// How fast.
    pub tempo: Tempo,
    /// In which key each measure is.
    pub keys: LocalKeys,
    /// What the right hand does.
    pub right: Playing,
    /// What the left hand does.
    pub left: Playing,
    /// How hard it is, and why.
    pub level: Level,
    /// How well the print is prepared.
    pub edition: Edition,
    /// The scales to drill first, and what they cover.
    pub drills: Drills,
    /// What a player should take care of.
    pub cautions: Vec<String>,
    /// What was odd or missing, and what was assumed.
    pub remarks: Vec<Remark>,
}

/// What one hand does.
#[derive(Clone, Debug)]
pub struct Playing {
    /// Its fingers.
    pub fingering: Fingering,
    /// Its movements, the crossings among them.
    pub movements: Vec<Movement>,
    /// Its passages, in playing order.
    pub passages: Vec<Passage>,
    /// Its load in each measure.
    pub loads: Vec<Load>,
}

impl Playing {
    /// What the drills need of it.
    fn part(&self) -> Part<'_> {
        Part { movements: &self.movements, passages: &self.passages }
    }
}

impl Analysis {
    /// What one hand does.
    pub fn playing(&self, hand: Hand) -> &Playing {
        match hand {
            Hand::Right => &self.right,
            Hand::Left => &self.left,
        }
    }

    /// The notes of one hand.
    pub fn line(&self, hand: Hand) -> &Line {
        self.hands.line(hand)
    }
}

/// Reads a score and works out what each hand has to do, how hard that is and what to drill first.
///
/// # Errors
/// When the bytes hold no score that can be read, a limit is passed, the excerpt is not in the score, or, in strict
/// mode, anything at all was odd.
pub fn analyse(bytes: &[u8], options: &Options) -> Result<Analysis, Error> {
    let (score, mut remarks) = read_score(bytes, &options.limits)?;
    let hands = assign_hands(&score, &mut remarks)?;
    study(score, hands, options, remarks)
}

/// The flow from the hands on.
fn study(score: Score, hands: Hands, options: &Options, mut remarks: Remarks) -> Result<Analysis, Error> {
    let tempo = choose_tempo(&score, &hands, options.quarter_bpm, &mut remarks);
    let asked = options.measures.as_ref();
    let excerpt = asked.map(|(from, to)| Excerpt::find(&score, from, to, &mut remarks)).transpose()?;
    let (score, hands) = match &excerpt {
        Some(excerpt) => excerpt.cut(score, hands),
        None => (score, hands),
    };
    let keys = find_keys(&score);
    for line in [&hands.right, &hands.left] {
        remark_on_digits(&score, line, &mut remarks);
    }
    if let (true, Some(first)) = (options.strict, remarks.first()) {
        return Err(Error::Strict(first.clone()));
    }
    // What follows is no fault of the file.
    for line in [&hands.right, &hands.left] {
        remark_on_reach(&score, line, options.player.hand(line.hand), &mut remarks);
    }
    let playing = |line: &Line| {
        let fingering = estimate_fingering(&score, line, &keys, &tempo, &options.player);
        let movements = measure_movements(&score, line, &fingering, &tempo);
        let passages = detect_passages(&score, line, &fingering, &movements, &keys, &tempo);
        let loads = measure_loads(&score, line, &fingering, &tempo);
        Playing { fingering, movements, passages, loads }
    };
    let (right, left) = (playing(&hands.right), playing(&hands.left));
    let fingerings = [&right.fingering, &left.fingering];
    let level = grade_level(&level::Playing {
        score: &score,
        hands: &hands,
        movements: [&right.movements, &left.movements],
        tempo: &tempo,
        is_part: excerpt.is_some(),
    });
    let movements = [right.movements.as_slice(), &left.movements].concat();
    let edition = describe_edition(&score, &hands, fingerings, &movements);
    let drills = recommend_drills(&score, &keys, right.part(), left.part(), &options.known_scales);
    let cautions = cautions(&score, &right.passages, &left.passages);
    Ok(Analysis {
        score,
        excerpt,
        hands,
        tempo,
        keys,
        right,
        left,
        level,
        edition,
        drills,
        cautions,
        remarks: remarks.into_list(),
    })
}

#[cfg(test)]
impl Analysis {
    /// Of a score typed as text.
    pub(crate) fn of(text: &str, options: &Options) -> Result<Self, Error> {
        let (score, hands) = crate::testing::score(text);
        study(score, hands, options, Remarks::default())
    }
}
