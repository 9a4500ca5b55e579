//! Prints the tables of `docs/level.md`.
#![allow(clippy::print_stdout)]

use thumbunder::level::{Demand, Model};

use super::fit::{Pooling, Settings};
use super::scores::Agreement;
use super::table::{Sample, Set};
use super::validate::{coverage, leave_families_out, leave_nothing_out, leave_set_out};

const HEADER: &str = "tau | bands | opening tau | rho | error | within one | pairs | opening rho | opening error";

/// Everything that the documentation says about the fit.
pub fn print(samples: &[Sample], settings: &Settings, unseen: &[f64], model: &Model) {
    let show = |name: &str, values: &[f64]| println!("| {name} | {} |", row(&Agreement::of(samples, values)));
    println!("| left out of the fit | {HEADER} |");
    show("the piece and its family", unseen);
    show("the whole other set", &leave_set_out(samples, settings));
    show("nothing", &leave_nothing_out(samples, settings));

    println!("\n| windows | {HEADER} |");
    for (name, pooling) in [("mean and hard", Pooling::Both), ("mean", Pooling::Mean), ("hard", Pooling::Hard)] {
        show(name, &leave_families_out(samples, &Settings { pooling, ..settings.clone() }));
    }

    println!("\n| ridge | {HEADER} |");
    for ridge in [10.0, 40.0, 160.0, 640.0] {
        show(&format!("{ridge}"), &leave_families_out(samples, &Settings { ridge, ..settings.clone() }));
    }

    println!("\n| without | {HEADER} |");
    for demand in Demand::ALL {
        let demands = settings.demands.iter().copied().filter(|other| other != demand).collect();
        show(demand.name(), &leave_families_out(samples, &Settings { demands, ..settings.clone() }));
    }
    show("length", &leave_families_out(samples, &Settings { with_length: false, ..settings.clone() }));

    println!("\n| demand | levels per root unit | usual at level 3 | at 6 | at 9 |");
    for demand in Demand::ALL {
        let d = *demand as usize;
        let (start, rise) = model.usual_points[d];
        let at = |level: f64| start + rise * level;
        println!("| {} | {:.3} | {:.2} | {:.2} | {:.2} |", demand.name(), model.weights[d], at(3.0), at(6.0), at(9.0));
    }

    println!(
        "\nlikely range: {:.2} levels either way, {:.2} below and {:.2} above for a first page",
        model.likely, model.likely_part.0, model.likely_part.1
    );
    let held = |which: &dyn Fn(&Sample) -> bool| coverage(model, samples, unseen, which);
    println!("| set | published levels inside |");
    println!("| ladder | {:.2} |", held(&|s| s.set == Set::Ladder && !s.opening));
    println!("| course | {:.2} |", held(&|s| s.set == Set::Course && !s.opening));
    println!("| ladder, first page | {:.2} |", held(&|s| s.set == Set::Ladder && s.opening));
    println!("| course, first page | {:.2} |", held(&|s| s.set == Set::Course && s.opening));

    println!("\n| piece | published | unseen | first page |");
    for (index, sample) in samples.iter().enumerate().filter(|(_, s)| s.set == Set::Ladder && !s.opening) {
        let page = samples.iter().position(|s| s.id == sample.id && s.opening);
        let page = page.map_or(f64::NAN, |page| unseen[page]);
        println!("| {} | {:.0} | {:.1} | {page:.1} |", sample.title, sample.published, unseen[index]);
    }
}

fn row(found: &Agreement) -> String {
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
