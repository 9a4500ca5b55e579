//! Words for tempo.
//!
//! In: words as printed. Out: whether they set a tempo, and which.

/// True when the words set a tempo.
pub fn is_tempo(_words: &str) -> bool {
    false
}
