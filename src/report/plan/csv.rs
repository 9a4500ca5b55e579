//! The plan as CSV: a row for each lesson, then the pieces that are ready, then those out of reach.

use csv::Writer;

use super::{Told, view};
use crate::report::shelf::csv::{level, text};

/// Columns, in order; new ones are added at the end only.
pub const COLUMNS: [&str; 13] = [
    "kind",
    "lesson",
    "week",
    "weeks",
    "scales",
    "file",
    "title",
    "composer",
    "level",
    "verdict",
    "why",
    "alternatives",
    "crossings_practised_percent",
];

/// Renders the plan.
pub fn render(told: &Told<'_>) -> Result<String, csv::Error> {
    let mut writer = Writer::from_writer(Vec::new());
    writer.write_record(COLUMNS)?;
    for lesson in &told.plan.lessons {
        let [file, title, composer, level] = piece(told, lesson.piece);
        writer.write_record([
            "lesson".to_owned(),
            lesson.number.to_string(),
            lesson.week.to_string(),
            lesson.weeks.to_string(),
            lesson.scales.join("; "),
            file,
            title,
            composer,
            level,
            lesson.piece.map_or("", |_| lesson.verdict.name()).to_owned(),
            text(&lesson.because.join("; ")),
            text(&view::titles(told, &lesson.alternatives, usize::MAX)),
            (lesson.share / 10).to_string(),
        ])?;
    }
    let mut other = |kind: &str, index: usize, verdict: &str, why: &str| {
        let [file, title, composer, level] = piece(told, Some(index));
        let nothing = String::new;
        writer.write_record([
            kind.to_owned(),
            nothing(),
            nothing(),
            nothing(),
            nothing(),
            file,
            title,
            composer,
            level,
            verdict.to_owned(),
            text(why),
            nothing(),
            nothing(),
        ])
    };
    for index in &told.plan.ready_now {
        other("ready", *index, "ready", "")?;
    }
    for missed in &told.plan.unreachable {
        other("unreachable", missed.piece, "later", &missed.why)?;
    }
    let bytes = writer.into_inner().map_err(csv::IntoInnerError::into_error)?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

/// File, title, composer and level.
fn piece(told: &Told<'_>, index: Option<usize>) -> [String; 4] {
    index.and_then(|index| view::entry(told, index)).map_or_else(Default::default, |entry| {
        [
            text(&entry.file),
            text(entry.title()),
            text(entry.piece.composer.as_deref().unwrap_or("")),
            level(entry.piece.level.value),
        ]
    })
}

#[cfg(test)]
mod tests {
    use super::super::view::tests::plan;
    use super::*;

    #[test]
    fn rows_read_back_and_a_title_like_a_formula_stays_text() {
        let (plan, shelf, _) = plan();
        let csv = render(&Told { plan: &plan, shelf: &shelf, learner: None }).unwrap();
        let mut reader = csv::Reader::from_reader(csv.as_bytes());
        let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
        assert_eq!(rows.len(), plan.lessons.len() + plan.ready_now.len() + plan.unreachable.len());
        assert_eq!((&rows[0][0], &rows[0][6]), ("lesson", "'=One & only"));
        assert_eq!(&rows[rows.len() - 1][0], "unreachable");
    }
}
