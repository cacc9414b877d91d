//! As-built files in the language server: messages, completion and hover of their own family, over the protocol.

use serde_json::{Value, json};

use super::editor::{Client, place_of};
use super::{new_spec, place, write};

/// An as-built file is read as one: its own words, the spec's channels and parts, and what each reading should be.
#[test]
fn an_as_built_file_is_no_spec() {
    let folder = place("editor-built");
    write(&folder, "my.lamp", new_spec());
    let begun = super::run(&folder, &["unit", "my.lamp", "--start", "7", "-o", "built/7.built"]);
    assert_eq!(begun.code, 0, "{}", begun.err);
    let path = folder.join("built/7.built");
    let text = std::fs::read_to_string(&path).expect("the file");
    let mut client = Client::start(&folder);
    let uri = client.open(&path, &text);
    assert_eq!(client.diagnostics(&uri), Vec::<Value>::new(), "an open file has nothing wrong");
    let mut hover = |needle: &str| {
        let found = client.at("textDocument/hover", &uri, place_of(&text, needle, 2));
        found["contents"]["value"].as_str().unwrap_or_else(|| panic!("no hover on `{needle}`")).to_owned()
    };
    let supply = hover("supply  unknown");
    assert!(supply.contains("should be: **") && supply.contains("(`supply.output`)"), "{supply}");
    assert!(hover("current     unknown").contains("should be: **"));
    assert!(hover("stages").contains("who saw it pass"));
    let document = json!({ "textDocument": { "uri": uri } });
    assert_eq!(client.ask("textDocument/formatting", document.clone()), json!([]), "canonical as begun");
    let outline = client.ask("textDocument/documentSymbol", document);
    assert!(outline.as_array().expect("symbols").iter().any(|s| s["name"] == "measured"), "{outline}");
    // Completion: the family's blocks at the top, readings inside, the spec's channels by name, its blocks in `fitted`.
    let more = format!("{text}\nfitted {{\n    supply {{ output 14 V }}\n}}\nmeasu");
    client.change(&uri, json!([{ "text": more }]));
    let end = (more.matches('\n').count(), 5);
    let top = client.labels(&uri, end);
    assert!(top.contains(&"measured".to_owned()) && top.contains(&"fitted".to_owned()), "{top:?}");
    assert!(!top.contains(&"enclosure".to_owned()) && !top.contains(&"variant".to_owned()), "{top:?}");
    let inside = client.labels(&uri, place_of(&more, "output 14", 0));
    assert!(inside.contains(&"output".to_owned()), "{inside:?}");
    let channels = client.labels(&uri, place_of(&more, "channel warm", 8));
    assert_eq!(channels, ["warm", "cool"]);
    let units = client.labels(&uri, place_of(&more, "14 V", 3));
    assert!(units.contains(&"mV".to_owned()), "{units:?}");
    // Messages: a slip with its fix, a channel the spec lacks, a reading outside, a wrong block in `fitted`, a lost spec.
    let number = |name: &str, value: &str| {
        let line = text.lines().find(|l| l.trim_start().starts_with(name) && l.contains("unknown")).expect("a line");
        text.replace(line, &format!("    {name} {value}"))
    };
    for (changed, code, severity, needle) in [
        (text.replace("stages {", "stagse {"), "name/unknown-block", 1, "stagse"),
        (text.replace("channel warm", "channel wram"), "built/channel", 1, "wram"),
        (number("supply", "19 V"), "built/outside", 2, "supply 19 V"),
        (number("sink", "200 °C"), "spec/implausible", 2, "sink 200"),
        (format!("{text}\nfitted {{\n    suply {{ output 24 V }}\n}}\n"), "name/unknown-block", 1, "suply"),
        (text.replace("my.lamp", "mine.lamp"), "built/spec", 1, "spec "),
    ] {
        assert_ne!(changed, text);
        client.change(&uri, json!([{ "text": changed }]));
        let found = client.diagnostics(&uri);
        let told = found.iter().find(|d| d["code"] == code).unwrap_or_else(|| panic!("no {code}: {found:#?}"));
        assert_eq!(told["severity"], severity, "{told}");
        assert_eq!(told["range"]["start"]["line"], place_of(&changed, needle, 0).0, "{told}");
    }
    // A half-written file keeps its answers, and a whole one is clean again.
    client.change(&uri, json!([{ "text": "language 1\nmeasured { wa" }]));
    assert!(client.labels(&uri, (1, 13)).contains(&"wall".to_owned()));
    client.change(&uri, json!([{ "text": text }]));
    assert_eq!(client.diagnostics(&uri), Vec::<Value>::new());
    assert_eq!(client.end(), 0);
}
