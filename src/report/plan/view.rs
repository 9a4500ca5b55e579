//! What the reports of a plan show alike.

use super::Told;
use crate::plan::Lesson;
use crate::report::shelf::view as words;
use crate::report::view::clean;
use crate::shelf::Entry;

/// `A plan for Wren Ashlock`.
pub fn title(told: &Told<'_>) -> String {
    told.learner.map_or_else(|| "A plan".to_owned(), |name| format!("A plan for {}", clean(name)))
}

/// `8 lessons, 21 weeks; the shelf's crossings practised from 41 % to 93 %`.
pub fn extent(told: &Told<'_>) -> String {
    let Some(last) = told.plan.lessons.last() else { return "no lesson: nothing on the shelf leads on".to_owned() };
    let weeks = last.week + last.weeks - 1;
    format!(
        "{}, {}; the shelf's crossings practised from {} % to {} %",
        words::count(told.plan.lessons.len(), "lesson"),
        words::count(weeks, "week"),
        told.plan.share_now / 10,
        last.share / 10
    )
}

/// `week 3` or `weeks 3-5`.
pub fn weeks(lesson: &Lesson) -> String {
    match lesson.weeks {
        0 | 1 => format!("week {}", lesson.week),
        weeks => format!("weeks {}-{}", lesson.week, lesson.week + weeks - 1),
    }
}

/// A piece of the shelf.
pub fn entry<'a>(told: &Told<'a>, piece: usize) -> Option<&'a Entry> {
    told.shelf.get(piece)
}

/// `Two Herons (Maud Tarrowby), level 4 (3-5)`.
pub fn named(entry: &Entry) -> String {
    let composer = entry.piece.composer.as_deref().map(clean).filter(|composer| !composer.is_empty());
    let composer = composer.map_or_else(String::new, |composer| format!(" ({composer})"));
    format!("{}{composer}, level {}", clean(entry.title()), words::level(&entry.piece.level))
}

/// Titles of pieces, at most so many, the rest counted.
pub fn titles(told: &Told<'_>, pieces: &[usize], most: usize) -> String {
    let shown: Vec<String> =
        pieces.iter().take(most).filter_map(|piece| entry(told, *piece)).map(|entry| clean(entry.title())).collect();
    match pieces.len().saturating_sub(most) {
        0 => shown.join("; "),
        more => format!("{} and {more} more", shown.join("; ")),
    }
}

/// What is left beside the lessons.
pub fn rest(told: &Told<'_>) -> Option<String> {
    match told.plan.also_reachable {
        0 => None,
        1 => Some("one more piece comes within reach on the way".to_owned()),
        more => Some(format!("{more} more pieces come within reach on the way")),
    }
}

#[cfg(test)]
pub mod tests {
    use crate::learner::Learner;
    use crate::plan::{Plan, PlanOptions, make_plan};
    use crate::readiness::Ability;
    use crate::readiness::testing::{learner, piece};
    use crate::shelf::Entry;

    /// Five lessons on a small shelf, one piece ready and one out of reach, with titles that mean harm.
    pub fn plan() -> (Plan, Vec<Entry>, Learner) {
        let learner = learner("name = \"Wren Ashlock\"\nlevel = 3\n[[scales]]\nkey = \"C\"\noctaves = 2\n");
        let ability = Ability::new(&learner, &[]);
        let pieces = [
            ("ready.mxl", piece(2_000).titled("Ready <b>now</b>")),
            ("one.mxl", piece(3_500).titled("=One & only").runs("E-flat major", 5_000)),
            (
                "two.mxl",
                piece(4_100)
                    .titled("Two with a title that is far too long for the card it is drawn on, by any measure"),
            ),
            ("three.mxl", piece(4_600).titled("Three").runs("F-sharp minor", 6_000)),
            ("four.mxl", piece(4_800)),
            ("five.mxl", piece(5_200).titled("Five")),
            ("far.mxl", piece(8_800).titled("Far <away>")),
        ];
        let shelf: Vec<Entry> =
            pieces.into_iter().map(|(file, piece)| Entry::new(file.into(), piece, Some(&ability))).collect();
        let plan = make_plan(&shelf, &learner, &ability, &PlanOptions::default()).unwrap();
        (plan, shelf, learner)
    }
}
