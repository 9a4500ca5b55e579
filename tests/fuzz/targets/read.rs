//! Any bytes as a score, up to the hands and the tempo.
#![no_main]

use libfuzzer_sys::fuzz_target;
use thumbunder::hands::assign_hands;
use thumbunder::tempo::choose_tempo;
use thumbunder::{Limits, musicxml};

fuzz_target!(|bytes: &[u8]| {
    if let Ok((score, mut remarks)) = musicxml::read_score(bytes, &Limits::default())
        && let Ok(hands) = assign_hands(&score, &mut remarks)
    {
        choose_tempo(&score, &hands, None, &mut remarks);
    }
});
