//! What the author says is unknown is judged by no stand-in, whatever the program puts in its place to go on.
//! Each row is an example with one such statement, and the rule that must stay open.

use crate::support::{compile, plain_spaced};

const ROWS: [(&str, &str, &str); 15] = [
    ("slate-wall", "wiring { area unknown }", "mains/wire-too-thin"),
    ("slate-wall", "wiring { area unknown }", "supply/headroom"),
    ("slate-wall", "wiring { run warm-plus { area unknown } }", "mains/wire-too-thin"),
    ("heron-head", "wiring { length unknown }", "supply/headroom"),
    ("slate-wall", "supply { size unknown }", "heat/supply-too-warm"),
    ("slate-wall", "enclosure { front unknown }", "heat/supply-too-warm"),
    ("slate-wall", "driver { channel warm { sense-rating unknown } }", "drive/resistor-power"),
    ("longsill-linear", "driver { channel warm { ballast-rating unknown } }", "drive/resistor-power"),
    ("alder-table", "driver { transistor { gate-drive unknown } }", "drive/switch-heat"),
    ("alder-table", "layout { foot unknown }", "make/tips-over"),
    ("lantern-trail", "layout { foot unknown }", "make/tips-over"),
    ("alder-table", "controller { power unknown }", "supply/overload"),
    ("alder-table", "diffuser { thickness 0 mm }", "make/sag"),
    // A slip of the unit, of which no plan of holes is drawn.
    ("alder-table", "board { size 100 m x 100 m }", "make/board-full"),
    ("alder-table", "board { size 100 m x 100 m }", "make/board-clash"),
];

#[test]
fn what_is_said_to_be_unknown_stays_open() {
    for (base, own, rule) in ROWS {
        let text = format!("{}variant tried {{ {own} }}\n", plain_spaced(base));
        let compiled = compile(&text, Some("tried")).unwrap_or_else(|e| panic!("{base}, {own}: {e}"));
        let open: Vec<&str> = compiled.report.not_checked().iter().map(|(rule, _, _)| rule.name).collect();
        assert!(open.contains(&rule), "{base}, {own}: {rule} is none of {open:?}");
    }
}
