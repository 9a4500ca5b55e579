//! The fonts of engraved text: a serif in three styles, and the music font for notes inside text (metronome marks).
//!
//! Libertinus Serif (SIL Open Font License 1.1) and Bravura (SIL Open Font License 1.1); see `licences`.

use std::sync::Arc;

use usvg::fontdb::Database;

const SERIF: &str = "Libertinus Serif";

/// All our fonts and none of the machine's, so that a page looks the same everywhere.
fn database() -> Arc<Database> {
    let mut fonts = Database::new();
    for data in [
        include_bytes!("fonts/LibertinusSerif-Regular.otf").as_slice(),
        include_bytes!("fonts/LibertinusSerif-Bold.otf"),
        include_bytes!("fonts/LibertinusSerif-Italic.otf"),
        include_bytes!("fonts/Bravura.otf"),
    ] {
        fonts.load_font_data(data.to_vec());
    }
    // Whatever family a page asks for, there is a font: text without one would vanish without a word.
    fonts.set_serif_family(SERIF);
    fonts.set_sans_serif_family(SERIF);
    fonts.set_cursive_family(SERIF);
    fonts.set_fantasy_family(SERIF);
    fonts.set_monospace_family(SERIF);
    Arc::new(fonts)
}

/// How pages are read: with these fonts, also for text that asks for none.
pub(super) fn options() -> usvg::Options<'static> {
    usvg::Options { fontdb: database(), font_family: SERIF.to_owned(), ..usvg::Options::default() }
}
