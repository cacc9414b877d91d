//! Every error the language knows, as a maker sees it at eighty columns, in one page to read and judge:
//! `tests/cli/messages.snap`. `INSTA_UPDATE=always cargo test --test main cli::messages` writes it anew.

use std::collections::BTreeSet;
use std::fs;

use super::{new_spec, place, ran, write};
use crate::support::root;

/// What is added to a whole spec, or put in the place of a text in it. Each raises one message or a few of one kind.
const MISTAKES: &[(&str, &str, &str)] = &[
    ("names-1", "", "driver-box { }\nmains { lenght 3 m; cord 3 m; frequency { } }"),
    ("names-2", "", "let a = 1 mm\nlet a = 2 mm\nlet b = c\nlet c = 2 * b\nlet pi = 3"),
    ("names-3", "", "part emitter odd { }\npart oven hot { }\npart supply mine is yours { }"),
    ("names-4", "", "variant x { driver is odd { } }\nvariant y { driver { channel { } } }\nvariant Z { }"),
    (
        "names-5",
        "",
        "variant x { driver { channel finds { } } }\nvariant y { mains big { } }\nvariant w { lamp { let a = 1 } }",
    ),
    (
        "names-6",
        "",
        "variant x { emitter { distance rmi } }\nlet rim = 1 mm\nlet far = diffuser.gap\nlet r = round(3 mm)",
    ),
    ("names-7", "", "variant x { driver { channel one { feeds nothing } } }"),
    ("values-1", "", "variant x { lamp {\n region eux\n quantity 2.5\n date 2026-02-29\n room -3 m\n} }"),
    ("values-2", "", "let a = 1 mm / (2 mm - 2 mm)\nlet b = sqrt(-1 mm²)\nlet c = max(3 mm)\nlet d = 2 * \"x\""),
    ("values-3", "", "variant x { mains { voltage 260 V .. 230 V } }\nvariant y { mains { voltage 230 V at 3 A } }"),
    ("values-4", "", "variant x { lamp { quantity 0; mass \"heavy\"; model 3 } }\nwaive heat/touch { by \"me\" }"),
    (
        "units",
        "",
        "let a = 3 maps\nlet b = 3 mm + 2 s\nlet c = 3 mm ± 2 s\nvariant x { lamp { mass 3 mm; room 20 K } }",
    ),
    ("units-2", "", "let t = lamp.room\nvariant x { lamp { mass 3 } }\nlet u = 2 * lamp.room"),
    ("numbers", "", "let a = 1e999 mm\nlet b = 1e-40 mm\nlet c = 3,5 mm"),
    ("syntax-1", "", "let a =\nlet = 3\nlet b 3\n= 4\n}"),
    ("syntax-2", "", "let a = 3 mm +\nlet b = [1 2]\nlet c = \"open\nlet d = 3 mm 4 mm\nlet e = (3"),
    ("syntax-3", "", "let a = 3 ! 4\nlet b = \"\\q\"\nlamp \"b\" \"c\" { }\nlet d = 1 .. 2 .. 3 .. 4\n§"),
    ("syntax-4", "", "variant x { lamp { revision"),
    ("hidden", "", "# a turn \u{202e}, a command \u{1b}[31m"),
    ("hidden-2", "", "# a space\u{200b} without width"),
    ("language-1", "language 1\n", ""),
    ("language-2", "language 1\n", "language 9\n"),
    (
        "use",
        "",
        "use \"gone.lamp\"\nuse \"..\"\nuse \"../../../outside.lamp\"\nuse drawer\nuse \"rubbish.lamp\"\nuse \"loop.lamp\"",
    ),
    ("use-2", "", "use \"whole.lamp\"\nuse \"deep0.lamp\""),
    ("missing", "lamp \"", "lam \""),
    ("missing-2", "supply {", "suply {"),
    ("sign", "0.7 kg", "= 0.7 kg"),
    ("wanted", "channel warm {", "channel {"),
    ("taken", "channel warm {", "channel module {"),
    ("bounds", "0.7 kg", "-0.7 kg"),
    ("size-as-figure", "distance    45 mm", "distance    sink.size"),
    ("wrong-part", "", "part emitter odd { }\npart supply mine is odd { }"),
    ("comma", "", "let c = 3 mm, 4 mm\nlet x\nlet d = 3 mm+4 mm"),
    ("codes", "", "variant x { driver { bulk 4R7 } }"),
    ("codes-2", "", "let a = 1/2 AWG\nlet b = 2 V .. 3 V ± 1 %"),
    ("lengths", "", "variant x { supply { size 3 mm } }"),
    ("not-stated", "", "variant x { diffuser { thickness enclosure.emissivity * 10 mm } }"),
    (
        "foreign",
        "",
        "let a = 3 mm // wide\nlamp \u{201C}Quay\u{201D} { }\nwaive a/b { reason \"a\" by \"b\" until 2026-12-01 }",
    ),
    ("says-nothing", "", "waive heat/touch { reason \"\"; by \"me\" }"),
    ("nameless", "lamp \"My lamp\" {", "lamp {"),
    ("strays", "", "}}}}\n}"),
    ("nesting", "", "let a = ((((((((((((((((((((((((((((((((((1))))))))))))))))))))))))))))))))))"),
];

fn specs(folder: &std::path::Path) -> Vec<String> {
    let mut names = Vec::new();
    for (name, from, to) in MISTAKES {
        let spec = match *from {
            "" => format!("{}{to}\n", new_spec()),
            from => new_spec().replacen(from, to, 1),
        };
        assert_ne!(spec, new_spec());
        assert!(!names.contains(&format!("{name}.lamp")), "two mistakes would be written into {name}.lamp");
        names.push(format!("{name}.lamp"));
        write(folder, &format!("{name}.lamp"), spec);
    }
    write(folder, "empty.lamp", "language 1\n");
    write(folder, "rubbish.lamp", [0xFFu8, 0xFE, 0x00]);
    write(folder, "loop.lamp", "use \"loop.lamp\"\n");
    write(folder, "whole.lamp", "mains { }\n");
    (0..20).for_each(|i| write(folder, &format!("deep{i}.lamp"), format!("use \"deep{}.lamp\"\n", i + 1)));
    let many: String = (0..10_001).map(|i| format!("let a{i} = 1\n")).collect();
    write(folder, "statements.lamp", new_spec() + &many);
    write(folder, "size.lamp", new_spec() + &"# long\n".repeat(160_000));
    let chain: String = (0..100).map(|i| format!("part supply p{i} is p{} {{ }}\n", i + 1)).collect();
    write(folder, "chain.lamp", new_spec() + &chain + "part supply p100 { }\nvariant x { supply is p0 { } }\n");
    names.extend(
        ["empty.lamp", "statements.lamp", "size.lamp", "chain.lamp", "not-there.lamp", "rubbish.lamp"]
            .map(str::to_owned),
    );
    names
}

/// The codes that the source gives errors: `Diag::error("unit/mixed", ...)`.
fn codes() -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    let mut open = vec![root().join("src")];
    while let Some(folder) = open.pop() {
        for path in fs::read_dir(&folder).expect("the source").flatten().map(|e| e.path()) {
            if path.is_dir() {
                open.push(path);
                continue;
            }
            let text = fs::read_to_string(&path).expect("a source file");
            for after in text.split("Diag::error(").skip(1) {
                let first = after.trim_start().strip_prefix('"').and_then(|a| a.split('"').next());
                found.extend(first.filter(|f| f.contains('/')).map(str::to_owned));
            }
        }
    }
    found
}

/// Codes that no text of a spec on a disk brings about, each with why.
const BEYOND_REACH: [(&str, &str); 4] = [
    ("syntax/unreadable", "a limit of the parser that our own limits keep out of reach"),
    ("use/unreadable", "hangs on who may read a file"),
    ("value/default", "a mistake in our own schema, which a test finds"),
    ("name/unknown-variant", "comes from the command line"),
];

#[test]
fn every_error_is_shown_once() {
    let folder = place("messages");
    fs::create_dir(folder.join(".git")).expect("the project's root");
    let names = specs(&folder);
    let mut arguments = vec!["check"];
    arguments.extend(names.iter().map(String::as_str));
    let said = ran(super::command(&folder, &arguments).output().expect("the program runs")).err;
    // Lines of the spec are shown as long as they are.
    let ours = |line: &&str| !line.contains('│') && !line.contains('·');
    let shown: Vec<_> = said.lines().filter(ours).filter(|l| l.chars().count() > 80).collect();
    assert!(shown.is_empty(), "wider than eighty columns:\n{}", shown.join("\n"));
    let unseen: Vec<String> = codes()
        .into_iter()
        .filter(|c| !said.contains(c.as_str()) && !BEYOND_REACH.iter().any(|(b, _)| b == c))
        .collect();
    assert!(unseen.is_empty(), "errors that this page does not show: {unseen:?}\n{said}");
    insta::with_settings!({ snapshot_path => ".", prepend_module_to_snapshot => false, omit_expression => true }, {
        insta::assert_snapshot!("messages", said);
    });
}
