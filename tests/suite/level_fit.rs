//! The weights of the level are what the fit finds in the table beside them, and the fit holds on pieces it has not seen.
//!
//! The fit is the one of `examples/fit_level`, included here, so that what is tested is what wrote the weights.

#[path = "../../examples/fit_level/fit.rs"]
mod fit;
#[path = "../../examples/fit_level/scores.rs"]
mod scores;
#[path = "../../examples/fit_level/table.rs"]
#[allow(dead_code, reason = "titles are for the report alone")]
mod table;
#[path = "../../examples/fit_level/validate.rs"]
#[allow(dead_code, reason = "what is only reported is not tested")]
mod validate;

use thumbunder::level::{Demand, Model};

use fit::{Pooling, Settings};
use scores::Agreement;
use table::{Sample, Set};

const TABLE: &str = include_str!("../../src/level/data/measurements.csv");

fn samples() -> Vec<Sample> {
    table::read(TABLE.as_bytes()).unwrap()
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() < 2e-6 * a.abs().max(1.0)
}

#[test]
fn refitting_gives_the_weights_that_the_program_ships() {
    let (samples, settings) = (samples(), Settings::shipped());
    let unseen = validate::leave_families_out(&samples, &settings);
    let fitted = validate::shipped_model(&samples, &settings, &unseen);
    let shipped = Model::SHIPPED;
    assert!(near(fitted.base, shipped.base) && near(fitted.endurance, shipped.endurance));
    assert!(near(fitted.usual_length.0, shipped.usual_length.0) && near(fitted.usual_length.1, shipped.usual_length.1));
    assert!(near(fitted.likely, shipped.likely) && near(fitted.likely_part.1, shipped.likely_part.1));
    for demand in Demand::ALL {
        let d = *demand as usize;
        assert!(
            near(fitted.weights[d], shipped.weights[d]),
            "{}: {} {}",
            demand.name(),
            fitted.weights[d],
            shipped.weights[d]
        );
        assert!(near(fitted.caps[d], shipped.caps[d]), "{}", demand.name());
        assert!(near(fitted.least[d], shipped.least[d]), "{}", demand.name());
        assert!(near(fitted.usual_points[d].0, shipped.usual_points[d].0), "{}", demand.name());
    }
}

#[test]
fn pieces_that_the_fit_has_not_seen_come_out_in_order() {
    let (samples, settings) = (samples(), Settings::shipped());
    let unseen = Agreement::of(&samples, &validate::leave_families_out(&samples, &settings));
    // A hundredth or two below what docs/level.md reports: a difference of that size means nothing on so few pieces.
    assert!(unseen.tau > 0.80 && unseen.bands > 0.84 && unseen.opening_tau > 0.67, "{unseen:?}");
    assert!(unseen.rho > 0.93 && unseen.error < 0.56 && unseen.within_one > 0.95 && unseen.pairs > 0.98, "{unseen:?}");
    assert!(unseen.opening_rho > 0.79 && unseen.opening_error < 1.12, "{unseen:?}");
    let other = Agreement::of(&samples, &validate::leave_set_out(&samples, &settings));
    assert!(other.tau > 0.78 && other.rho > 0.91 && other.error < 0.65, "{other:?}");
}

#[test]
fn the_order_does_not_hang_on_which_windows_count() {
    let samples = samples();
    for pooling in [Pooling::Mean, Pooling::Hard] {
        let settings = Settings { pooling, ..Settings::shipped() };
        let unseen = Agreement::of(&samples, &validate::leave_families_out(&samples, &settings));
        assert!(unseen.tau > 0.78 && unseen.rho > 0.92, "{pooling:?} {unseen:?}");
    }
}

#[test]
fn the_likely_range_holds_four_published_levels_in_five() {
    let (samples, settings) = (samples(), Settings::shipped());
    let unseen = validate::leave_families_out(&samples, &settings);
    let held =
        |set, opening| validate::coverage(&Model::SHIPPED, &samples, &unseen, |s| s.set == set && s.opening == opening);
    for opening in [false, true] {
        let both = f64::midpoint(held(Set::Course, opening), held(Set::Ladder, opening));
        assert!((validate::HELD - 0.02..validate::HELD + 0.1).contains(&both), "{both}");
    }
}

#[test]
fn the_statistics_agree_with_their_textbook_examples() {
    // Spearman's rho of a reversed and of an equal order; Kendall's tau-b of Kendall (1945) for ties, worked by hand:
    // five pairs agree and one is tied in the second variable alone, so 5 / sqrt(5 * 6).
    let up: Vec<(f64, f64)> = (0..6).map(|i| (f64::from(i), f64::from(i * i))).collect();
    let down: Vec<(f64, f64)> = (0..6).map(|i| (f64::from(i), f64::from(-i))).collect();
    assert!((scores::rho(&up) - 1.0).abs() < 1e-12 && (scores::rho(&down) + 1.0).abs() < 1e-12);
    let tied = [(1.0, 1.0), (2.0, 2.0), (3.0, 2.0), (4.0, 3.0)];
    assert!((scores::tau_b(&tied) - 5.0 / 30.0_f64.sqrt()).abs() < 1e-12);
}

#[test]
fn the_table_holds_measurements_and_no_notes() {
    let header = TABLE.lines().next().unwrap();
    let facts = ["id", "title", "set", "family", "part", "order", "level", "quarter_bpm", "notes_to_learn"];
    let named = |column: &str| facts.contains(&column) || column.ends_with("_mean") || column.ends_with("_hard");
    assert!(header.split(',').all(named), "{header}");
    assert_eq!(header.split(',').count(), facts.len() + 2 * Demand::COUNT);
    assert_eq!(samples().iter().filter(|sample| !sample.opening).count(), 103);
}
