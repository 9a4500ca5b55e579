//! Any bytes as a compressed score, under limits that are soon reached.
#![no_main]

use libfuzzer_sys::fuzz_target;
use thumbunder::{Limits, musicxml};

fuzz_target!(|bytes: &[u8]| {
    let limits = Limits { xml_bytes: 1 << 20, archive_entries: 20, ..Limits::default() };
    let _ = musicxml::read_score(&[b"PK\x03\x04", bytes].concat(), &limits);
});
