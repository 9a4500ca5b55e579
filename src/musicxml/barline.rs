//! `<barline>`: repeats and endings, kept as marks of the measure.

use super::draft::Draft;
use super::part::PartReader;
use super::xml::Element;

pub(super) fn read_barline(part: &mut PartReader, element: Element<'_, '_>, draft: &mut Draft<'_>) {
    let ending = element.child("ending").filter(|ending| ending.has("type", "start")).map(|ending| {
        let number = ending.attribute("number").unwrap_or_default();
        draft.text(if ending.text().is_empty() { &number } else { ending.text() })
    });
    let direction = element.child("repeat").and_then(|repeat| repeat.attribute("direction"));
    if let Some(measure) = draft.score.measures.get_mut(part.measure) {
        match direction.as_deref() {
            Some("forward") => measure.repeat_start = true,
            Some("backward") => measure.repeat_end = true,
            _ => {}
        }
        if ending.is_some() {
            measure.ending = ending;
        }
    }
}
