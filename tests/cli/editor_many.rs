//! The language server over several files and variants: a shared name changed everywhere, a slip in a variant told.

use serde_json::{Value, json};

use super::editor::{Client, alder, applied, place_of};
use super::{place, write};
use crate::support::{examples, root};

/// A part is renamed in its own file and in every file of the project that uses it, whichever the name was changed in.
#[test]
fn a_shared_name_is_changed_in_every_file_that_sees_it() {
    let folder = place("editor-rename");
    std::fs::create_dir_all(folder.join("parts")).expect("a folder");
    std::fs::create_dir_all(folder.join(".git")).expect("a folder");
    let drawer = std::fs::read_to_string(root().join("examples/parts/drawer.lamp")).expect("parts");
    let (_, text) = alder();
    write(&folder, "parts/drawer.lamp", drawer.as_str());
    for name in ["one.lamp", "two.lamp"] {
        write(&folder, name, text.as_str());
    }
    write(&folder, "stranger.lamp", "language 1\npart emitter quad-star { }\n");
    let built = "language 1\nunit { spec \"one.lamp\"; number 1 }\nfitted { emitter is quad-star }\n";
    write(&folder, "one.built", built);
    let mut client = Client::start(&folder);
    let lamp = client.open(&folder.join("one.lamp"), &text);
    let parts = client.open(&folder.join("parts/drawer.lamp"), &drawer);
    for (uri, of) in [(&lamp, &text), (&parts, &drawer)] {
        let (line, character) = place_of(of, "quad-star", 2);
        let place = json!({ "line": line, "character": character });
        let request = |name: &str| json!({ "textDocument": { "uri": uri }, "position": place, "newName": name });
        let changes = client.ask("textDocument/rename", request("four-star"))["changes"].clone();
        let mut files: Vec<&str> = changes.as_object().expect("files").keys().map(String::as_str).collect();
        files.iter_mut().for_each(|f| *f = f.rsplit('/').next().expect("a name"));
        files.sort_unstable();
        assert_eq!(files, ["drawer.lamp", "one.built", "one.lamp", "two.lamp"]);
        for (name, text) in [("one.lamp", &text), ("two.lamp", &text), ("parts/drawer.lamp", &drawer)] {
            let edits = &changes[format!("file://{}", folder.join(name).display())];
            let renamed = applied(text, edits.as_array().expect("edits"));
            assert!(renamed.contains("four-star") && !renamed.contains(" quad-star"), "{name}");
        }
        let taken = client.answer("textDocument/rename", request("closed-12v"));
        assert!(taken["error"]["message"].as_str().expect("words").contains("taken"), "{taken}");
    }
    // Where a file that uses it cannot be read, nothing is renamed by halves.
    write(&folder, "two.lamp", format!("{text}\nlamp {{ {{"));
    let (line, character) = place_of(&drawer, "quad-star", 2);
    let place = json!({ "line": line, "character": character });
    let refused = client.answer(
        "textDocument/rename",
        json!({ "textDocument": { "uri": parts }, "position": place, "newName": "four-star" }),
    );
    assert!(refused["error"]["message"].as_str().expect("words").contains("two.lamp"), "{refused}");
    assert_eq!(client.end(), 0);
}

/// What is wrong in a variant only is told after the lamp, at its place in the variant.
#[test]
fn a_slip_in_a_variant_is_told() {
    let (path, text) = alder();
    let text = text.replace("entry { hole 7.5 mm;", "entry { anchorage glue; hole 7.5 mm;");
    let mut client = Client::start(&root());
    let uri = client.open(&path, &text);
    let line = place_of(&text, "anchorage glue", 0).0;
    let there = |found: &[Value]| {
        found.iter().any(|d| {
            d["range"]["start"]["line"] == line
                && d["message"].as_str().is_some_and(|m| m.contains("in variant `north-america`"))
        })
    };
    let mut found = client.diagnostics(&uri);
    for _ in 0..3 {
        if !there(&found) {
            found = client.diagnostics(&uri);
        }
    }
    assert!(there(&found), "{found:#?}");
    assert_eq!(client.end(), 0);
}

/// Our limit: an answer within 50 ms of an edit, in a release build; a build without optimisation gets twenty times that.
#[test]
#[expect(clippy::disallowed_methods, reason = "a test of speed needs a clock")]
fn answers_come_quickly_on_every_example() {
    let limit = std::time::Duration::from_millis(if cfg!(debug_assertions) { 1000 } else { 50 });
    let mut client = Client::start(&root());
    for name in examples() {
        let path = root().join("examples").join(format!("{name}.lamp"));
        let text = std::fs::read_to_string(&path).expect("an example");
        let uri = client.open(&path, &text);
        client.labels(&uri, (0, 0));
        let place = place_of(&text, "current ", 8);
        let here = json!({ "line": place.0, "character": place.1 });
        // The best of three: the machine may have other things to do.
        let best = (0..3).map(|_| {
            let start = std::time::Instant::now();
            client.change(&uri, json!([{ "range": { "start": here, "end": here }, "text": " " }]));
            client.at("textDocument/hover", &uri, place);
            start.elapsed()
        });
        let best = best.min().expect("three runs");
        assert!(best < limit, "{name}: {best:?}");
        // What is worked out follows when the typing rests, and the note on old figures goes.
        let old =
            |hover: &Value| hover["contents"]["value"].as_str().expect("a hover").contains("before the last edit");
        let mut tries = 0;
        while old(&client.at("textDocument/hover", &uri, place)) {
            std::thread::sleep(std::time::Duration::from_millis(100));
            tries += 1;
            assert!(tries < 300, "{name}: the figures are never worked out anew");
        }
    }
    assert_eq!(client.end(), 0);
}
