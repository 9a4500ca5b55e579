//! Scores of any size, made by rule: the same number gives the same score.

/// What a score is made of.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Sixteenths of the right hand over chords of the left, in all keys: four notes in the right hand to two in the
    /// left.
    Piece,
    /// All notes at one onset.
    OneOnset,
    /// Grace notes before one main note.
    Graces,
}

impl Kind {
    pub const ALL: [Self; 3] = [Self::Piece, Self::OneOnset, Self::Graces];

    pub fn name(self) -> &'static str {
        match self {
            Self::Piece => "piece",
            Self::OneOnset => "one-onset",
            Self::Graces => "grace-notes",
        }
    }

    /// A score of so many notes.
    pub fn score(self, notes: usize) -> String {
        let music = match self {
            Self::Piece => piece(notes),
            Self::OneOnset => {
                let chord = (0..notes).map(|at| note(at % 52 + 2, if at > 0 { "<chord/>" } else { "" }, 4, 1));
                measure(0, &chord.collect::<String>())
            }
            Self::Graces => {
                let graces = (1..notes).map(|at| note(at % 52 + 2, "<grace/>", 0, 1));
                measure(0, &(graces.collect::<String>() + &note(30, "", 4, 1)))
            }
        };
        format!(
            "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<score-partwise version=\"4.0\">\n  <part-list>\n    \
             <score-part id=\"P1\">\n      <part-name>Piano</part-name>\n    </score-part>\n  </part-list>\n  <part \
             id=\"P1\">\n{music}  </part>\n</score-partwise>\n"
        )
    }
}

/// Notes of the right hand in a measure, and notes of the left.
const RIGHT: usize = 16;
const LEFT: usize = 8;

fn piece(notes: usize) -> String {
    let mut random = Random(7);
    let mut music = String::new();
    let (mut written, mut number, mut degree) = (0, 0, 30);
    while written < notes {
        let mut content = String::new();
        if number % 16 == 0 {
            content += &format!(
                "      <attributes>\n        <divisions>4</divisions>\n        <key><fifths>{}</fifths></key>\n        \
                 <time><beats>4</beats><beat-type>4</beat-type></time>\n        <staves>2</staves>\n      \
                 </attributes>\n      <sound tempo=\"96\"/>\n",
                (number / 16) as i64 % 15 - 7
            );
        }
        for _ in 0..RIGHT.min(notes - written) {
            // Mostly steps, now and then a leap, between G3 and C7.
            let step = [1, 1, 1, -1, -1, -1, 2, -2, 4, -5][random.below(10)];
            degree = (degree as i64 + step).clamp(26, 50) as usize;
            content += &note(degree, "", 1, 1);
            written += 1;
        }
        content += "      <backup>\n        <duration>16</duration>\n      </backup>\n";
        for at in 0..LEFT.min(notes - written) {
            let root = 16 + number % 5;
            content += &if at % 2 == 0 { note(root, "", 4, 2) } else { note(root + 4, "<chord/>", 4, 2) };
            written += 1;
        }
        music += &measure(number, &content);
        number += 1;
    }
    music
}

fn measure(number: usize, content: &str) -> String {
    format!("    <measure number=\"{}\">\n{content}    </measure>\n", number + 1)
}

/// A note on a white key of the keyboard, as programs write it; `ticks` are sixteenths.
fn note(degree: usize, sign: &str, ticks: usize, staff: usize) -> String {
    let (step, octave) = (char::from(b"CDEFGAB"[degree % 7]), degree / 7);
    let duration = if ticks == 0 { String::new() } else { format!("        <duration>{ticks}</duration>\n") };
    let kind = if ticks == 4 { "quarter" } else { "16th" };
    let sign = if sign.is_empty() { String::new() } else { format!("        {sign}\n") };
    format!(
        "      <note default-x=\"80\">\n{sign}        <pitch>\n          <step>{step}</step>\n          \
         <octave>{octave}</octave>\n        </pitch>\n{duration}        <voice>{}</voice>\n        \
         <type>{kind}</type>\n        <stem>up</stem>\n        <staff>{staff}</staff>\n      </note>\n",
        4 * staff - 3
    )
}

/// A linear congruential generator (Knuth 1997, The Art of Computer Programming 2, 3.3.4, table 1, line 26).
struct Random(u64);

impl Random {
    fn below(&mut self, end: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as usize % end
    }
}
