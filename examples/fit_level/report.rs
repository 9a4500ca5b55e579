//! The tables of `docs/level.md`, by the names of their markers there.

use std::fmt::Write;

use thumbunder::level::{Demand, Model};

use super::catalogue::Piece;
use super::fit::{Pooling, Settings};
use super::scores::Agreement;
use super::table::{Sample, Set};
use super::validate::{coverage, leave_families_out, leave_nothing_out, leave_set_out};

const FIGURES: &str = "tau | bands | opening tau | rho | error | within one | pairs | opening rho | opening error";

/// Everything that the documentation says in numbers about the fit.
pub fn sections(
    samples: &[Sample],
    settings: &Settings,
    unseen: &[f64],
    model: &Model,
    catalogue: &[Piece],
) -> Vec<(&'static str, String)> {
    let row = |name: &str, values: &[f64]| format!("| {name} | {} |\n", figures(&Agreement::of(samples, values)));
    let tried = |name: &str, settings: &Settings| row(name, &leave_families_out(samples, settings));

    let mut figures = head(&format!("left out of the fit | {FIGURES}"));
    figures += &row("the piece and its family", unseen);
    figures += &row("the whole other set", &leave_set_out(samples, settings));
    figures += &row("nothing", &leave_nothing_out(samples, settings));

    let mut windows = head(&format!("windows | {FIGURES}"));
    for (name, pooling) in [("mean and hard", Pooling::Both), ("mean", Pooling::Mean), ("hard", Pooling::Hard)] {
        windows += &tried(name, &Settings { pooling, ..settings.clone() });
    }

    let mut pull = head(&format!("drawn with, towards | {FIGURES}"));
    for ridge in [10.0, 40.0, 160.0, 640.0] {
        pull += &tried(&format!("{ridge}, a third for the seldom"), &Settings { ridge, ..settings.clone() });
    }
    pull += &tried("160, one weight for all", &Settings { seldom: 1.0, ..settings.clone() });

    let mut without = head(&format!("without | {FIGURES}"));
    without += &row("(all in)", unseen);
    for demand in Demand::ALL {
        let demands = settings.demands.iter().copied().filter(|other| other != demand).collect();
        without += &tried(demand.name(), &Settings { demands, ..settings.clone() });
    }
    without += &tried("length", &Settings { with_length: false, ..settings.clone() });

    vec![
        ("figures", figures),
        ("windows", windows),
        ("pull", pull),
        ("without", without),
        ("weights", weights(model)),
        ("range", range(samples, unseen, model)),
        ("ladder", ladder(samples, unseen)),
        ("openings", openings(samples, unseen)),
        ("catalogue", in_catalogue(model, catalogue)),
    ]
}

fn head(columns: &str) -> String {
    format!("| {columns} |\n{}|\n", "| --- ".repeat(columns.split('|').count()))
}

fn figures(found: &Agreement) -> String {
    format!(
        "{:.3} | {:.3} | {:.3} | {:.3} | {:.2} | {:.3} | {:.3} | {:.3} | {:.2}",
        found.tau,
        found.bands,
        found.opening_tau,
        found.rho,
        found.error,
        found.within_one,
        found.pairs,
        found.opening_rho,
        found.opening_error
    )
}

fn weights(model: &Model) -> String {
    let mut text = head("demand | unit | levels per root unit | usual points at level 3 | at 6 | at 9");
    for demand in Demand::ALL {
        let d = *demand as usize;
        let (start, rise) = model.usual_points[d];
        let at = |level: f64| (start + rise * level).max(0.0);
        let weight = model.weights[d];
        let (name, unit) = (demand.name(), demand.unit());
        let _ = writeln!(text, "| {name} | {unit} | {weight:.3} | {:.2} | {:.2} | {:.2} |", at(3.0), at(6.0), at(9.0));
    }
    text
}

fn range(samples: &[Sample], unseen: &[f64], model: &Model) -> String {
    let (below, above) = model.likely_part;
    let mut text = format!(
        "{:.2} levels either way for a piece, {below:.2} below and {above:.2} above for a first page.\n\n",
        model.likely
    );
    text += &head("set | published levels inside");
    let mut put = |name: &str, which: &dyn Fn(&Sample) -> bool| {
        let _ = writeln!(text, "| {name} | {:.2} |", coverage(model, samples, unseen, which));
    };
    put("ladder", &|s| s.set == Set::Ladder && !s.opening);
    put("course", &|s| s.set == Set::Course && !s.opening);
    put("ladder, first page", &|s| s.set == Set::Ladder && s.opening);
    put("course, first page", &|s| s.set == Set::Course && s.opening);
    text
}

fn ladder(samples: &[Sample], unseen: &[f64]) -> String {
    let mut text = head("piece | published | unseen | first page");
    for (index, sample) in samples.iter().enumerate().filter(|(_, s)| s.set == Set::Ladder && !s.opening) {
        let page = samples.iter().position(|s| s.id == sample.id && s.opening).map_or(f64::NAN, |page| unseen[page]);
        let (title, published) = (&sample.title, sample.published);
        let _ = writeln!(text, "| {title} | {published:.0} | {:.1} | {page:.1} |", unseen[index]);
    }
    text
}

/// Pieces whose first page is graded furthest from the piece, and whether the whole piece is: then the page holds what
/// it is graded for.
fn openings(samples: &[Sample], unseen: &[f64]) -> String {
    /// Levels from which a miss is large. Chosen by us: twice the error that is asked of whole pieces.
    const LARGE: f64 = 1.6;
    let mut text = head("piece | level | whole | first page");
    let mut rows: Vec<(f64, String)> = Vec::new();
    for (page, sample) in samples.iter().enumerate().filter(|(_, s)| s.opening) {
        let miss = unseen[page] - sample.level;
        if miss.abs() < LARGE {
            continue;
        }
        let whole = samples.iter().position(|s| s.id == sample.id && s.set == sample.set && !s.opening);
        let whole = whole.map_or(f64::NAN, |whole| unseen[whole]);
        let title = match sample.set {
            Set::Course => format!("{}, no. {:.0}", sample.title, sample.order),
            Set::Ladder => sample.title.clone(),
        };
        rows.push((miss, format!("| {title} | {:.1} | {whole:.1} | {:.1} |\n", sample.level, unseen[page])));
    }
    rows.sort_by(|a, b| a.0.total_cmp(&b.0));
    text.extend(rows.into_iter().map(|(_, row)| row));
    text
}

fn in_catalogue(model: &Model, pieces: &[Piece]) -> String {
    let mut text = head("piece | meant | graded | most above what is usual at the level meant");
    let mut near = 0;
    for piece in pieces {
        let value = model.value(&piece.measured);
        if (value.round() - piece.meant).abs() <= 1.0 {
            near += 1;
            continue;
        }
        let over = |demand: &Demand| {
            let d = *demand as usize;
            let (start, rise) = model.usual_points[d];
            model.points(*demand, piece.measured.demands[d]) - (start + rise * piece.meant).max(0.0)
        };
        let mut over: Vec<(f64, &str)> = Demand::ALL.iter().map(|d| (over(d), d.name())).collect();
        over.sort_by(|a, b| b.0.total_cmp(&a.0));
        let most = over.first().map_or(String::new(), |(points, name)| format!("{name} {points:+.1}"));
        let _ = writeln!(text, "| {} | {:.0} | {value:.1} | {most} |", piece.title, piece.meant);
    }
    format!("{near} of {} pieces come out within one level of what was meant. The others:\n\n{text}", pieces.len())
}
