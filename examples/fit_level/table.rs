//! The table of measurements: one row for a whole piece, one for its opening.

use std::error::Error;

use thumbunder::level::{Demand, Measurements, Pooled};

/// Which published order a piece belongs to.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Set {
    /// A composer's own progressive course, with his order and a publisher's level.
    Course,
    /// Pieces of many styles with a consensus level.
    Ladder,
}

/// One row.
#[derive(Clone, Debug)]
pub struct Sample {
    /// Name of the piece within its set.
    pub id: String,
    /// Composer or title.
    pub title: String,
    /// Which order.
    pub set: Set,
    /// Nearest relatives: the same composer, or neighbours in the course.
    pub family: String,
    /// True for the row of the first measures only.
    pub opening: bool,
    /// Place in the composer's order; zero in the ladder.
    pub order: f64,
    /// Level as published.
    pub published: f64,
    /// Level to fit: as published, smoothed over the order in the course.
    pub level: f64,
    /// What was measured.
    pub measured: Measurements,
}

/// Reads the table.
pub fn read(text: &[u8]) -> Result<Vec<Sample>, Box<dyn Error>> {
    let mut reader = csv::Reader::from_reader(text);
    let headers = reader.headers()?.clone();
    let column =
        |name: &str| headers.iter().position(|h| h == name).ok_or_else(|| format!("the table has no column `{name}`"));
    let names = ["id", "title", "set", "family", "part", "order", "level", "notes_to_learn"];
    let at = names.map(column);
    let mut place = [0; 8];
    for (to, from) in place.iter_mut().zip(at) {
        *to = from?;
    }
    let mut demands = Vec::new();
    for demand in Demand::ALL {
        demands.push((column(&format!("{}_mean", demand.id()))?, column(&format!("{}_hard", demand.id()))?));
    }
    let mut samples = Vec::new();
    for record in reader.records() {
        let record = record?;
        let text = |i: usize| record.get(place[i]).unwrap_or_default().to_owned();
        let number = |i: usize| record.get(i).unwrap_or_default().parse::<f64>();
        let mut pooled = [Pooled::default(); Demand::COUNT];
        for (value, (mean, hard)) in pooled.iter_mut().zip(&demands) {
            *value = Pooled { mean: number(*mean)?, hard: number(*hard)? };
        }
        let opening = text(4) == "opening";
        let published = number(place[6])?;
        samples.push(Sample {
            id: text(0),
            title: text(1),
            set: if text(2) == "course" { Set::Course } else { Set::Ladder },
            family: text(3),
            opening,
            order: number(place[5])?,
            published,
            level: published,
            measured: Measurements { demands: pooled, notes_to_learn: number(place[7])?, is_part: opening },
        });
    }
    smooth(&mut samples);
    Ok(samples)
}

/// The publisher's level of the course, smoothed over the composer's order by a parabola that never falls, so that
/// both count: the level gives the scale, the order what lies between two levels.
fn smooth(samples: &mut [Sample]) {
    let course: Vec<(f64, f64)> =
        samples.iter().filter(|s| s.set == Set::Course && !s.opening).map(|s| (s.order / 100.0, s.published)).collect();
    let mut sums = [0.0; 5];
    let mut right = [0.0; 3];
    for (x, y) in &course {
        for (power, sum) in sums.iter_mut().enumerate() {
            *sum += x.powi(power as i32);
        }
        for (power, sum) in right.iter_mut().enumerate() {
            *sum += y * x.powi(power as i32);
        }
    }
    let [c0, c1, c2] =
        solve3([[sums[0], sums[1], sums[2]], [sums[1], sums[2], sums[3]], [sums[2], sums[3], sums[4]]], right);
    // Where the parabola turns it would fall; from there to the first piece it stays level.
    let turn = if c2 > 0.0 { -c1 / (2.0 * c2) } else { f64::NEG_INFINITY };
    for sample in samples.iter_mut().filter(|s| s.set == Set::Course) {
        let x = (sample.order / 100.0).max(turn);
        sample.level = c0 + c1 * x + c2 * x * x;
    }
}

/// Cramer's rule.
fn solve3(m: [[f64; 3]; 3], y: [f64; 3]) -> [f64; 3] {
    let det = |m: [[f64; 3]; 3]| {
        m[0][0] * (m[1][1] * m[2][2] - m[1][2] * m[2][1]) - m[0][1] * (m[1][0] * m[2][2] - m[1][2] * m[2][0])
            + m[0][2] * (m[1][0] * m[2][1] - m[1][1] * m[2][0])
    };
    let whole = det(m);
    std::array::from_fn(|column| {
        let mut replaced = m;
        for (row, value) in replaced.iter_mut().zip(y) {
            row[column] = value;
        }
        if whole == 0.0 { 0.0 } else { det(replaced) / whole }
    })
}
