//! Words of the language as people write them: `bs-1363` is BS 1363, `e24` is E24.
//! Turns a word of the spec into the word that papers print.

/// Words of the language that a trade writes otherwise: standards, abbreviations.
static PLAIN: &[(&str, &str)] = &[
    ("eu", "EU"),
    ("uk", "UK"),
    ("us", "US"),
    ("e6", "E6"),
    ("e12", "E12"),
    ("e24", "E24"),
    ("e48", "E48"),
    ("e96", "E96"),
    ("e192", "E192"),
    ("en-50075", "EN 50075"),
    ("cee-7-16", "CEE 7/16"),
    ("cee-7-4", "CEE 7/4"),
    ("cee-7-7", "CEE 7/7"),
    ("cee-7-17", "CEE 7/17"),
    ("bs-1363", "BS 1363"),
    ("nema-1-15", "NEMA 1-15"),
    ("nema-1-15p", "NEMA 1-15P"),
    ("nema-5-15", "NEMA 5-15"),
    ("c6", "C6"),
    ("c8", "C8"),
    ("c10", "C10"),
    ("c14", "C14"),
    ("c16", "C16"),
    ("c18", "C18"),
    ("c20", "C20"),
    ("pla", "PLA"),
    ("petg", "PETG"),
    ("abs", "ABS"),
    ("asa", "ASA"),
    ("pa12", "PA12"),
    ("v-0", "V-0"),
    ("v-1", "V-1"),
    ("v-2", "V-2"),
    ("hb", "HB"),
    ("second-meter", "second meter"),
    ("bench-supply", "bench supply"),
    ("insulation-tester", "insulation tester"),
    ("earth-tester", "earth tester"),
    ("residual-current-device", "residual-current device"),
    ("power-meter", "power meter"),
    ("spring-balance", "spring balance"),
    ("push-on", "push-on tabs"),
    ("indoor-dry", "a dry room"),
    ("indoor-damp", "a damp room"),
    ("outdoor", "outdoors"),
];

/// A word of the language as people write it; any other text as it is.
pub fn plain(word: &str) -> &str {
    PLAIN.iter().find(|(token, _)| *token == word).map_or(word, |(_, written)| written)
}
