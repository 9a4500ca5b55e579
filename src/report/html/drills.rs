//! What to drill first, and how, with a sheet for each drill.

use maud::{Markup, html};

use super::engraved;
use crate::analysis::Analysis;
use crate::drills::Drill;
use crate::drills::advice::PRACTICE;
use crate::report::drill_words as words;
use crate::report::sheet::drill_sheet;
use crate::report::view::upper_first;
use crate::sheets::{compress, data_address, write};

/// The drills with their reasons and sheets, what they cover and how to practise them.
pub fn body(analysis: &Analysis, pictures: &[String]) -> Markup {
    html! {
        ol.drills { @for (index, drill) in analysis.drills.list.iter().enumerate() { li {
            @let heading = format!("drill-{}", index + 1);
            h3 id=(heading) { (words::title(drill)) }
            p { (upper_first(&words::speed(drill))) "." }
            ul { @for reason in words::reasons(analysis, drill) { li { (reason) } } }
            @if let Some(isolate) = words::isolate(analysis, drill) { p.isolate { strong { "Isolate: " } (isolate) } }
            @if let Some(picture) = pictures.get(index) {
                details.sheet {
                    summary { "The sheet: hands apart, together, and the step to isolate" }
                    (engraved::draw(picture, &heading, &words::title(drill)))
                }
            }
            p.sheet { (download(analysis, drill)) }
        } } }
        p { (words::coverage(analysis)) }
        @if !analysis.drills.list.is_empty() {
            h3 { "How to practise" }
            ul { @for advice in PRACTICE { li { (advice.text) } } }
        }
    }
}

/// The sheet as a file inside the page, so that nothing has to come with it.
fn download(analysis: &Analysis, drill: &Drill) -> Markup {
    let sheet = drill_sheet(analysis, drill);
    let name = format!("{}.mxl", sheet.title.to_lowercase().replace(' ', "-"));
    html! {
        a download=(name) href=(data_address(&compress(&write(&sheet)))) { "Save the sheet as MusicXML" }
        " for any notation program"
    }
}
