//! Cross-validation: every piece is graded by a fit that has not seen it nor its nearest relatives.

use thumbunder::level::{Model, on_scale};

use super::fit::{Settings, fit};
use super::table::{Sample, Set};

/// Values of all samples, each from a fit without its family.
pub fn leave_families_out(samples: &[Sample], settings: &Settings) -> Vec<f64> {
    let samples: &[Sample] = &samples.iter().map(|sample| settings.pooling.only(sample)).collect::<Vec<_>>();
    let mut families: Vec<&str> = samples.iter().map(|s| s.family.as_str()).collect();
    families.sort_unstable();
    families.dedup();
    let mut values = vec![0.0; samples.len()];
    for family in families {
        let model = fit(&samples.iter().filter(|s| s.family != family).collect::<Vec<_>>(), settings);
        grade(samples, &model, |s| s.family == family, &mut values);
    }
    values
}

/// Values of all samples, each from a fit on the other set alone.
pub fn leave_set_out(samples: &[Sample], settings: &Settings) -> Vec<f64> {
    let mut values = vec![0.0; samples.len()];
    for set in [Set::Course, Set::Ladder] {
        let model = fit(&samples.iter().filter(|s| s.set != set).collect::<Vec<_>>(), settings);
        grade(samples, &model, |s| s.set == set, &mut values);
    }
    values
}

/// Values from a fit on everything, for comparison: what the fit would claim of itself.
pub fn leave_nothing_out(samples: &[Sample], settings: &Settings) -> Vec<f64> {
    let model = fit(&samples.iter().collect::<Vec<_>>(), settings);
    let mut values = vec![0.0; samples.len()];
    grade(samples, &model, |_| true, &mut values);
    values
}

fn grade(samples: &[Sample], model: &Model, which: impl Fn(&Sample) -> bool, values: &mut [f64]) {
    for (sample, value) in samples.iter().zip(values) {
        if which(sample) {
            *value = on_scale(model.sum(&sample.measured));
        }
    }
}

/// The model that the program ships: fitted to everything, its ranges from what it did on pieces it had not seen.
pub fn shipped_model(samples: &[Sample], settings: &Settings, unseen: &[f64]) -> Model {
    let mut model = fit(&samples.iter().collect::<Vec<_>>(), settings);
    set_likely(&mut model, samples, unseen);
    model
}

/// Share of the pieces that a likely range is made to hold.
pub const HELD: f64 = 0.8;

/// Sets the likely ranges of a model from cross-validated values: as narrow as the printed whole levels hold [`HELD`] of
/// the published ones, the two sets counting alike.
pub fn set_likely(model: &mut Model, samples: &[Sample], values: &[f64]) {
    let held = |model: &Model, opening: bool| {
        let of = |set| coverage(model, samples, values, |s| s.set == set && s.opening == opening);
        f64::midpoint(of(Set::Course), of(Set::Ladder))
    };
    while held(model, false) < HELD && model.likely < 4.0 {
        model.likely += STEP;
    }
    // The first page says as much downwards as the piece does; upwards, more may come.
    model.likely_part = (model.likely, model.likely);
    while held(model, true) < HELD && model.likely_part.1 < 8.0 {
        model.likely_part.1 += STEP;
    }
}

/// Steps in which a range is widened, in levels.
const STEP: f64 = 0.05;

/// Share of the published levels of a set inside the range that the program prints: whole levels.
pub fn coverage(model: &Model, samples: &[Sample], values: &[f64], which: impl Fn(&Sample) -> bool) -> f64 {
    let (mut inside, mut all) = (0, 0);
    for (sample, value) in samples.iter().zip(values).filter(|(sample, _)| which(sample)) {
        let (low, high) = model.likely_levels(*value, sample.opening, 0.0);
        all += 1;
        inside += usize::from(f64::from(low) <= sample.published && sample.published <= f64::from(high));
    }
    f64::from(inside as u32) / f64::from(all.max(1) as u32)
}
