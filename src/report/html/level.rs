//! How hard the piece is, on a scale to look at, and why.

use maud::{Markup, html};

use super::keyboard::px;
use crate::analysis::Analysis;
use crate::level::{Level, level_in_tenths};
use crate::report::level_words as words;
use crate::report::view::upper_first;

/// Width of one level on the scale.
const STEP: f64 = 36.0;
/// Space at either end.
const MARGIN: f64 = 18.0;
/// Width of the bar of one whole level among the reasons, in per cent of the longest bar.
const BAR: f64 = 100.0;

/// The verdict in one sentence: the level, and the two strongest reasons with their places.
pub fn verdict(analysis: &Analysis) -> String {
    let mut text = upper_first(&words::headline(analysis));
    let reasons: Vec<String> = words::reasons(analysis).take(2).map(|reason| words::reason(analysis, reason)).collect();
    if !reasons.is_empty() {
        text.push_str(&format!(". Most of it comes from {}", reasons.join(", and from ")));
    }
    text.push('.');
    text
}

/// The scale, the reasons, the hardest spots, and what is easier.
pub fn body(analysis: &Analysis) -> Markup {
    let level = &analysis.level;
    let most = words::reasons(analysis).map(|reason| reason.points).fold(f64::MIN_POSITIVE, f64::max);
    let easier = words::easier(analysis);
    html! {
        (scale(level))
        @if let Some(exception) = words::exception(analysis) { p { (upper_first(&exception)) "." } }
        h3 { "What makes it so, in levels" }
        ul.reasons { @for reason in words::reasons(analysis) { li {
            span.points { (format!("{:+.1}", reason.points)) }
            span.bar aria-hidden="true" { span style=(format!("width:{:.0}%", BAR * reason.points / most)) {} }
            span.why { (words::reason(analysis, reason)) }
        } } }
        @if words::spots(analysis).next().is_some() {
            h3 { "The hardest places" }
            ul { @for spot in words::spots(analysis) { li { (upper_first(&words::spot(analysis, spot))) } } }
        }
        @if !level.practice.is_empty() { p { "Played slower it is " (words::practice(analysis)) "." } }
        @if !easier.is_empty() {
            h3 { "What would have to go for it to be one level easier" }
            ul { @for excess in easier { li { (upper_first(&excess)) } } }
        }
    }
}

/// The nine levels in their three bands, the likely ones shaded, a mark at the estimate.
fn scale(level: &Level) -> Markup {
    let left = |step: f64| MARGIN + (step - 1.0) * STEP;
    let width = MARGIN * 2.0 + 8.0 * STEP;
    let bands = [("elementary", 1.0, 3.0), ("intermediate", 4.0, 6.0), ("advanced", 7.0, 9.0)];
    let (low, high) = (f64::from(level.low), f64::from(level.high));
    html! {
        svg.scale role="img" aria-labelledby="scale-title" viewBox={ "0 0 " (px(width)) " 62" } width=(px(width)) height="62" {
            title id="scale-title" {
                "Level " (level_in_tenths(level.value)) " on a scale from 1 to 9, likely " (level.low) " to " (level.high)
            }
            rect.likely x=(px(left(low) - STEP / 2.0)) y="16" width=(px((high - low + 1.0) * STEP)) height="24" rx="4" {}
            @for step in 1..=9_u8 {
                text.step x=(px(left(f64::from(step)))) y="33" text-anchor="middle" { (step) }
            }
            @for (name, first, last) in bands {
                line.band x1=(px(left(first) - STEP / 2.0 + 2.0)) x2=(px(left(last) + STEP / 2.0 - 2.0)) y1="45" y2="45" {}
                text.name x=(px(left(f64::midpoint(first, last)))) y="58" text-anchor="middle" { (name) }
            }
            path.estimate d={ "M" (px(left(level.value))) " 17l-6 -11h12z" } {}
        }
    }
}
