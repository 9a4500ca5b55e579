//! How well levels agree with published orders.

use std::cmp::Ordering;

use super::table::{Sample, Set};

/// Agreement on both sets.
#[derive(Clone, Copy, Debug, Default)]
pub struct Agreement {
    pub tau: f64,
    pub bands: f64,
    pub opening_tau: f64,
    pub rho: f64,
    pub error: f64,
    pub within_one: f64,
    pub pairs: f64,
    pub opening_rho: f64,
    pub opening_error: f64,
}

impl Agreement {
    /// Of predicted values, in the order of the samples.
    pub fn of(samples: &[Sample], values: &[f64]) -> Self {
        let pick = |set, opening| {
            let rows = samples.iter().zip(values).filter(move |(s, _)| s.set == set && s.opening == opening);
            rows.map(|(s, v)| (*v, if set == Set::Course { s.order } else { s.published })).collect::<Vec<_>>()
        };
        let (course, opening) = (pick(Set::Course, false), pick(Set::Course, true));
        let (ladder, page) = (pick(Set::Ladder, false), pick(Set::Ladder, true));
        let error = |v: &[(f64, f64)]| v.iter().map(|(a, b)| (a - b).abs()).sum::<f64>() / v.len().max(1) as f64;
        let within = ladder.iter().filter(|(a, b)| (a.round() - b).abs() <= 1.0).count();
        Self {
            tau: tau_b(&course),
            bands: bands(&course),
            opening_tau: tau_b(&opening),
            rho: rho(&ladder),
            error: error(&ladder),
            within_one: within as f64 / ladder.len().max(1) as f64,
            pairs: pairs(&ladder),
            opening_rho: rho(&page),
            opening_error: error(&page),
        }
    }
}

/// Kendall (1945), *Biometrika* 33, 239-251.
pub fn tau_b(pairs: &[(f64, f64)]) -> f64 {
    let (mut agree, mut against, mut tie_a, mut tie_b) = (0.0, 0.0, 0.0, 0.0);
    for (i, x) in pairs.iter().enumerate() {
        for y in &pairs[..i] {
            match (x.0.total_cmp(&y.0), x.1.total_cmp(&y.1)) {
                (Ordering::Equal, Ordering::Equal) => {}
                (Ordering::Equal, _) => tie_a += 1.0,
                (_, Ordering::Equal) => tie_b += 1.0,
                (a, b) if a == b => agree += 1.0,
                _ => against += 1.0,
            }
        }
    }
    let both: f64 = (agree + against + tie_a) * (agree + against + tie_b);
    if both > 0.0 { (agree - against) / both.sqrt() } else { 0.0 }
}

/// Spearman (1904), *American Journal of Psychology* 15, 72-101.
pub fn rho(pairs: &[(f64, f64)]) -> f64 {
    let (a, b): (Vec<f64>, Vec<f64>) = pairs.iter().copied().unzip();
    let (a, b) = (ranks(&a), ranks(&b));
    let mean = (a.len() as f64 - 1.0) / 2.0;
    let dot = |x: &[f64], y: &[f64]| x.iter().zip(y).map(|(p, q)| (p - mean) * (q - mean)).sum::<f64>();
    let scale = (dot(&a, &a) * dot(&b, &b)).sqrt();
    if scale > 0.0 { dot(&a, &b) / scale } else { 0.0 }
}

fn ranks(values: &[f64]) -> Vec<f64> {
    let below = |v: f64| values.iter().filter(|w| **w < v).count() as f64;
    let same = |v: f64| values.iter().filter(|w| w.total_cmp(&v).is_eq()).count() as f64;
    values.iter().map(|v| below(*v) + (same(*v) - 1.0) / 2.0).collect()
}

/// Share of pairs two or more levels apart that come out in order.
fn pairs(ladder: &[(f64, f64)]) -> f64 {
    let (mut right, mut all) = (0.0_f64, 0.0_f64);
    for (i, x) in ladder.iter().enumerate() {
        for y in &ladder[..i] {
            if (x.1 - y.1).abs() >= 2.0 {
                all += 1.0;
                right += f64::from(u8::from((x.0 - y.0) * (x.1 - y.1) > 0.0));
            }
        }
    }
    right / all.max(1.0)
}

/// Accuracy of three bands of the course (its pieces up to 66, up to 121, and beyond, as published): two thresholds
/// fitted on every other piece and tried on the rest, both ways.
fn bands(course: &[(f64, f64)]) -> f64 {
    let rows: Vec<(f64, usize)> = course
        .iter()
        .map(|(v, order)| {
            (
                *v,
                if *order <= 66.0 {
                    0
                } else if *order <= 121.0 {
                    1
                } else {
                    2
                },
            )
        })
        .collect();
    let mut right = 0;
    for half in 0..2 {
        let mine: Vec<(f64, usize)> = rows.iter().copied().skip(half).step_by(2).collect();
        let theirs = rows.iter().copied().skip(1 - half).step_by(2);
        let (low, high) = thresholds(&mine);
        right += theirs.filter(|(v, band)| band_of(*v, low, high) == *band).count();
    }
    right as f64 / rows.len().max(1) as f64
}

fn band_of(value: f64, low: f64, high: f64) -> usize {
    usize::from(value >= low) + usize::from(value >= high && value >= low)
}

fn thresholds(rows: &[(f64, usize)]) -> (f64, f64) {
    let mut cuts: Vec<f64> = rows.iter().map(|r| r.0).collect();
    cuts.sort_by(f64::total_cmp);
    let mut best = (0, 0.0, 0.0);
    for (i, low) in cuts.iter().enumerate() {
        for high in &cuts[i..] {
            let right = rows.iter().filter(|(v, band)| band_of(*v, *low, *high) == *band).count();
            if right >= best.0 {
                best = (right, *low, *high);
            }
        }
    }
    (best.1, best.2)
}
