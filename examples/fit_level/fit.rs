//! Fits the weights of the level to published orders: ridge regression with non-negative weights.
//!
//! Hoerl and Kennard (1970), *Technometrics* 12(1), 55-67, for the ridge; Lawson and Hanson (1974), *Solving Least
//! Squares Problems*, chapter 23, for the constraint. The weights are not shrunk to zero but to one common weight for
//! every demand in standard units: Dawes (1979), *American Psychologist* 34(7), 571-582, shows that equal weights
//! predict unseen cases about as well as fitted ones, so a small table should only move them where it has reason to.
//! The demands of [`SELDOM`] begin with a part of the common weight.

use thumbunder::level::{Demand, Model, length};

use super::table::{Sample, Set};

/// What many pieces hardly have and some have a lot of. In standard units a piece in five-eight time stands so far out from
/// all others that the common weight would let one such demand decide the level.
const SELDOM: [Demand; 4] = [Demand::Voices, Demand::Independence, Demand::Metre, Demand::Ornaments];

/// What the fit may choose from.
#[derive(Clone, Debug)]
pub struct Settings {
    /// Strength of the pull towards the common weight, in rows of the table.
    pub ridge: f64,
    /// Weight of a piece of the ladder; one of the course counts 1. The 29 of the one and the 74 of the other then count
    /// about alike.
    pub ladder_weight: f64,
    /// Weight of an opening beside its whole piece. With less, first pages fall further behind their pieces (error 1.09
    /// at 0.3, 1.04 at 0.6); with more, whole pieces are graded worse (error 0.51 at 0.3, 0.56 at 0.6, 0.62 at 1).
    pub opening_weight: f64,
    /// Part of the common weight that the demands of [`SELDOM`] are drawn to.
    pub seldom: f64,
    /// Smallest weight, as a part of the one it is drawn to: every demand is known to make music harder, so none is
    /// dropped to zero for being quiet on this table.
    pub floor: f64,
    /// Demands in use.
    pub demands: Vec<Demand>,
    /// Which windows count.
    pub pooling: Pooling,
    /// Whether length counts at all.
    pub with_length: bool,
}

/// Which windows of a piece count.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Pooling {
    /// The mean of all and the hard ones alike.
    Both,
    /// The mean of all.
    Mean,
    /// The hard ones.
    Hard,
}

impl Pooling {
    /// The measurements with only these windows in them.
    pub fn only(self, sample: &Sample) -> Sample {
        let mut sample = sample.clone();
        for pooled in &mut sample.measured.demands {
            match self {
                Self::Both => {}
                Self::Mean => pooled.hard = pooled.mean,
                Self::Hard => pooled.mean = pooled.hard,
            }
        }
        sample
    }
}

impl Settings {
    /// What the program ships with.
    pub fn shipped() -> Self {
        Self {
            ridge: 160.0,
            ladder_weight: 2.5,
            opening_weight: 0.6,
            seldom: 1.0 / 3.0,
            floor: 0.3,
            demands: Demand::ALL.to_vec(),
            pooling: Pooling::Both,
            with_length: true,
        }
    }

    fn weight(&self, sample: &Sample) -> f64 {
        let set = if sample.set == Set::Ladder { self.ladder_weight } else { 1.0 };
        if sample.opening { set * self.opening_weight } else { set }
    }
}

/// Part of the largest value of the table at which a demand stops counting.
const CAP: f64 = 1.15;

/// Fits a model to the samples.
pub fn fit(samples: &[&Sample], settings: &Settings) -> Model {
    let n = Demand::COUNT;
    let mut model = Model {
        base: 0.0,
        weights: [0.0; Demand::COUNT],
        least: [0.0; Demand::COUNT],
        caps: [f64::INFINITY; Demand::COUNT],
        usual_length: (0.0, 0.0),
        endurance: 0.0,
        usual_points: [(0.0, 0.0); Demand::COUNT],
        likely: 0.0,
        likely_part: (0.0, 0.0),
    };
    let strengths: Vec<Vec<f64>> = samples
        .iter()
        .map(|s| Demand::ALL.iter().map(|d| model.strength(*d, s.measured.demands[*d as usize])).collect())
        .collect();
    for d in 0..n {
        model.caps[d] = CAP * strengths.iter().map(|row| row[d]).fold(0.0, f64::max);
    }
    let weights: Vec<f64> = samples.iter().map(|s| settings.weight(s)).collect();
    let total: f64 = weights.iter().sum();
    let mean = |f: &dyn Fn(usize) -> f64| (0..samples.len()).map(|i| weights[i] * f(i)).sum::<f64>() / total;
    let centre: Vec<f64> = (0..n).map(|d| mean(&|i| strengths[i][d])).collect();
    let spread: Vec<f64> = (0..n).map(|d| mean(&|i| (strengths[i][d] - centre[d]).powi(2)).sqrt()).collect();
    let level = mean(&|i| samples[i].level);
    let used: Vec<usize> = settings.demands.iter().map(|d| *d as usize).filter(|d| spread[*d] > 1e-9).collect();
    let z = |i: usize, d: usize| (strengths[i][d] - centre[d]) / spread[d];
    // Normal equations.
    let k = used.len();
    let mut gram = vec![vec![0.0; k]; k];
    let mut right = vec![0.0; k];
    for i in 0..samples.len() {
        for a in 0..k {
            let za = weights[i] * z(i, used[a]);
            right[a] += za * (samples[i].level - level);
            for b in 0..k {
                gram[a][b] += za * z(i, used[b]);
            }
        }
    }
    // The common weight that fits best.
    let prior: Vec<f64> =
        used.iter().map(|d| if SELDOM.contains(&Demand::ALL[*d]) { settings.seldom } else { 1.0 }).collect();
    let (mut up, mut down) = (0.0, 0.0);
    for a in 0..k {
        up += prior[a] * right[a];
        down += prior[a] * (0..k).map(|b| gram[a][b] * prior[b]).sum::<f64>();
    }
    let common = if down > 0.0 { (up / down).max(0.0) } else { 0.0 };
    let drawn_to: Vec<f64> = prior.iter().map(|part| common * part).collect();
    let mut beta = drawn_to.clone();
    for a in 0..k {
        gram[a][a] += settings.ridge;
        right[a] += settings.ridge * drawn_to[a];
    }
    for _ in 0..2000 {
        let mut moved: f64 = 0.0;
        for a in 0..k {
            let others: f64 = (0..k).filter(|b| *b != a).map(|b| gram[a][b] * beta[b]).sum();
            let new = ((right[a] - others) / gram[a][a]).max(settings.floor * drawn_to[a]);
            moved = moved.max((new - beta[a]).abs());
            beta[a] = new;
        }
        if moved < 1e-10 {
            break;
        }
    }
    model.base = level;
    for (a, d) in used.iter().enumerate() {
        model.weights[*d] = beta[a] / spread[*d];
        model.least[*d] = strengths.iter().map(|row| row[*d]).fold(f64::INFINITY, f64::min);
        model.base -= model.weights[*d] * (centre[*d] - model.least[*d]);
    }
    if settings.with_length {
        fit_endurance(&mut model, samples, settings);
    }
    fit_usual_points(&mut model, samples);
    model
}

/// Levels for length beyond the usual, from what the content leaves over.
fn fit_endurance(model: &mut Model, samples: &[&Sample], settings: &Settings) {
    /// Most levels for one fourth root of notes; see `SHARE`.
    const MOST: f64 = 0.7;
    /// Most of a level that the usual length may take back for a level of content, so that more content is always
    /// harder.
    const SHARE: f64 = 0.6;
    let whole: Vec<(f64, f64, f64, f64)> = samples
        .iter()
        .filter(|s| !s.opening)
        .map(|s| (settings.weight(s), model.content(&s.measured.demands), length(s.measured.notes_to_learn), s.level))
        .collect();
    let (a, b) = line(whole.iter().map(|(w, content, long, _)| (*w, *content, *long)));
    model.usual_length = (a, b);
    let (mut up, mut down) = (0.0, settings.ridge * 0.1);
    for (w, content, long, level) in &whole {
        let extra = long - (a + b * content);
        up += w * extra * (level - content);
        down += w * extra * extra;
    }
    let most = if b > 0.0 { MOST.min(SHARE / b) } else { MOST };
    model.endurance = (up / down).clamp(0.0, most);
}

/// What each demand usually adds at each level.
fn fit_usual_points(model: &mut Model, samples: &[&Sample]) {
    for demand in Demand::ALL {
        let d = *demand as usize;
        let rows = samples.iter().filter(|s| !s.opening);
        model.usual_points[d] = line(rows.map(|s| (1.0, s.level, model.points(*demand, s.measured.demands[d]))));
    }
}

/// Weighted least squares: intercept and slope.
pub fn line(points: impl Iterator<Item = (f64, f64, f64)>) -> (f64, f64) {
    let (mut w, mut x, mut y, mut xx, mut xy) = (0.0, 0.0, 0.0, 0.0, 0.0);
    for (weight, a, b) in points {
        w += weight;
        x += weight * a;
        y += weight * b;
        xx += weight * a * a;
        xy += weight * a * b;
    }
    if w <= 0.0 {
        return (0.0, 0.0);
    }
    let spread = xx - x * x / w;
    let slope = if spread > 1e-12 { (xy - x * y / w) / spread } else { 0.0 };
    ((y - slope * x) / w, slope)
}
