//! The words and their paces.
//!
//! The paces are common practice, no source. For the principal Italian terms they lie within the ranges engraved on
//! pendulum metronomes (from memory: largo 40-60, larghetto 60-66, adagio 66-76, andante 76-108, moderato 108-120, allegro
//! 120-168, presto 168-200), at the end of the range that players take on the piano today.

/// One word and its pace.
pub(super) struct Term {
    pub(super) word: &'static str,
    /// Beats a minute.
    pub(super) beats: f64,
    /// A word of character rather than of speed.
    pub(super) character: bool,
}

const fn speed(word: &'static str, beats: f64) -> Term {
    Term { word, beats, character: false }
}

const fn character(word: &'static str, beats: f64) -> Term {
    Term { word, beats, character: true }
}

/// What a word beside a term does to it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Degree {
    /// More of it: faster if fast, slower if slow.
    Very,
    /// Less of it.
    Rather,
    /// Livelier.
    Lively,
    /// Broader.
    Broad,
}

#[rustfmt::skip]
pub(super) const TERMS: &[Term] = &[
    // Italian.
    speed("grave", 42.0), speed("larghissimo", 36.0), speed("largo", 48.0), speed("larghetto", 60.0),
    speed("lento", 52.0), speed("adagio", 60.0), speed("adagietto", 66.0), speed("adagissimo", 44.0),
    speed("andante", 80.0), speed("andantino", 88.0), speed("moderato", 106.0),
    speed("allegretto", 114.0), speed("allegro", 132.0), speed("vivace", 152.0), speed("vivo", 152.0),
    speed("vivacissimo", 168.0), speed("allegrissimo", 164.0), speed("presto", 176.0), speed("prestissimo", 196.0),
    speed("veloce", 160.0), speed("celere", 152.0),
    character("maestoso", 84.0), character("sostenuto", 72.0), character("tranquillo", 76.0),
    character("animato", 126.0), character("agitato", 132.0), character("comodo", 104.0),
    character("giusto", 108.0), character("cantabile", 72.0), character("grazioso", 100.0),
    character("scherzando", 132.0), character("pesante", 80.0), character("moto", 112.0),
    // Dances and marches that a tempo is named after.
    character("marcia", 112.0), character("march", 112.0), character("marsch", 112.0), character("marche", 112.0),
    character("valse", 160.0), character("walzer", 160.0), character("valzer", 160.0), character("waltz", 160.0),
    character("menuetto", 116.0), character("minuetto", 116.0), character("menuet", 116.0), character("minuet", 116.0),
    character("menuett", 116.0), character("mazurka", 132.0), character("polacca", 96.0), character("polonaise", 96.0),
    character("polka", 112.0), character("gavotte", 126.0), character("gavotta", 126.0), character("bourrée", 144.0),
    character("tarantella", 160.0), character("ländler", 120.0), character("sarabande", 66.0),
    character("ragtime", 96.0), character("rag", 96.0),
    // French.
    speed("lent", 52.0), speed("lente", 52.0), speed("lentement", 52.0), speed("modéré", 100.0), speed("modere", 100.0),
    speed("modérément", 100.0), speed("moderement", 100.0), speed("vite", 148.0), speed("vif", 144.0),
    speed("vivement", 144.0), speed("animé", 126.0), speed("anime", 126.0), speed("rapide", 152.0),
    character("gai", 126.0), character("gaiement", 126.0), character("gaiment", 126.0), character("calme", 66.0),
    character("large", 50.0), character("largement", 50.0), character("léger", 120.0),
    // German.
    speed("langsam", 52.0), speed("mäßig", 100.0), speed("mässig", 100.0), speed("massig", 100.0),
    speed("gemäßigt", 100.0), speed("gehend", 80.0), speed("bewegt", 112.0), speed("lebhaft", 134.0),
    speed("rasch", 144.0), speed("schnell", 152.0), speed("geschwind", 144.0), speed("eilig", 144.0),
    speed("munter", 126.0), character("ruhig", 69.0), character("getragen", 56.0), character("breit", 52.0),
    character("frisch", 126.0), character("fröhlich", 120.0), character("lustig", 126.0), character("heiter", 116.0),
    character("feierlich", 60.0), character("fließend", 92.0), character("fliessend", 92.0), character("gemächlich", 92.0),
    // English.
    speed("slow", 54.0), speed("slowly", 54.0), speed("moderate", 104.0), speed("moderately", 104.0),
    speed("fast", 144.0), speed("quick", 144.0), speed("quickly", 144.0), speed("lively", 132.0),
    speed("brisk", 132.0), speed("briskly", 132.0), speed("steady", 104.0), speed("steadily", 104.0),
    character("flowing", 92.0), character("walking", 84.0), character("calm", 69.0), character("calmly", 69.0),
    character("gently", 84.0), character("brightly", 126.0), character("cheerfully", 120.0), character("happily", 120.0),
    character("majestically", 84.0), character("gracefully", 100.0), character("merrily", 126.0),
];

/// Words beside a term, and what they do to it.
#[rustfmt::skip]
pub(super) const PUSHES: &[(&str, Degree)] = &[
    ("molto", Degree::Very), ("assai", Degree::Very), ("très", Degree::Very), ("tres", Degree::Very),
    ("sehr", Degree::Very), ("very", Degree::Very), ("troppo", Degree::Very), ("tanto", Degree::Very),
    ("trop", Degree::Very), ("zu", Degree::Very), ("too", Degree::Very), ("bien", Degree::Very),
    ("poco", Degree::Rather), ("peu", Degree::Rather), ("etwas", Degree::Rather), ("ziemlich", Degree::Rather),
    ("assez", Degree::Rather), ("rather", Degree::Rather), ("quite", Degree::Rather), ("fairly", Degree::Rather),
    ("moderato", Degree::Rather), ("modéré", Degree::Rather),
    ("brio", Degree::Lively), ("fuoco", Degree::Lively), ("spirito", Degree::Lively), ("moto", Degree::Lively),
    ("mosso", Degree::Lively), ("animato", Degree::Lively), ("agitato", Degree::Lively), ("vivace", Degree::Lively),
    ("vivo", Degree::Lively), ("passione", Degree::Lively), ("appassionato", Degree::Lively), ("furioso", Degree::Lively),
    ("feu", Degree::Lively), ("spirit", Degree::Lively), ("bewegt", Degree::Lively), ("mouvementé", Degree::Lively),
    ("maestoso", Degree::Broad), ("sostenuto", Degree::Broad), ("tranquillo", Degree::Broad),
    ("cantabile", Degree::Broad), ("grazioso", Degree::Broad), ("espressivo", Degree::Broad), ("pesante", Degree::Broad),
    ("comodo", Degree::Broad), ("commodo", Degree::Broad), ("mesto", Degree::Broad), ("dolente", Degree::Broad),
    ("lamentoso", Degree::Broad), ("ruhig", Degree::Broad), ("tranquillamente", Degree::Broad),
];

/// Words that turn the next one round.
pub(super) const NEGATIONS: &[&str] = &["non", "no", "nicht", "not", "pas", "without", "senza", "ohne", "sans"];

/// Words that join others and say nothing of the tempo.
#[rustfmt::skip]
pub(super) const CONNECTIVES: &[&str] = &[
    "tempo", "di", "de", "d", "del", "alla", "a", "à", "modo", "la", "le", "il", "in", "im", "un", "une", "ein", "ma", "e", "ed", "et",
    "und", "and", "but", "aber", "mais", "con", "avec", "mit", "with", "da", "mouvement", "mouvt", "zeitmaß", "al",
];

/// Words and phrases at the beginning that change a tempo or bring one back, instead of setting one.
#[rustfmt::skip]
pub(super) const CHANGES: &[&str] = &[
    "a tempo", "in tempo", "tempo primo", "tempo i", "tempo ii", "au mouvement", "im tempo", "più", "piu", "meno", "plus", "moins",
    "un peu plus", "un peu moins", "un poco più", "un poco piu", "un poco meno", "poco più", "poco piu", "poco meno", "poco a poco",
    "peu à peu", "sempre", "subito", "doppio", "istesso", "l istesso", "lo stesso", "rit", "ritard", "ritardando", "riten", "ritenuto",
    "rall", "rallentando", "accel", "accelerando", "string", "stringendo", "stretto", "allarg", "allargando", "calando", "smorz",
    "cédez", "cedez", "retenu", "serrez", "pressez", "noch", "immer", "more", "less", "gradually", "nach und nach",
];

/// Words for a passing change of the tempo.
#[rustfmt::skip]
pub(super) const PASSING: &[&str] = &[
    "rit", "ritard", "ritardando", "riten", "ritenuto", "ritenendo", "rall", "rallent", "rallentando", "ten", "tenuto",
    "accel", "acceler", "accelerando", "string", "stringendo", "stretto", "allarg", "allargando", "calando", "smorz", "smorzando",
    "morendo", "perdendosi", "slentando", "trattenuto", "affrettando", "affrett", "cédez", "cedez", "cédant", "retenu", "retenez",
    "serrez", "serré", "pressez", "pressé", "élargissant", "zögernd", "verbreitern", "zurückhaltend", "drängend", "eilend", "slowing",
];
