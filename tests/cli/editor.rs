//! The language server as an editor meets it: a client over the protocol, with edits mid-word and files that never parse.

use std::io::{BufRead, BufReader, Read, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdin, ChildStdout, Stdio};

use serde_json::{Value, json};

use super::{command, new_spec, place, write};
use crate::support::{plain_spaced, root};

pub(super) struct Client {
    child: Child,
    input: ChildStdin,
    output: BufReader<ChildStdout>,
    next: i64,
    /// Messages about files, the newest last.
    news: Vec<Value>,
    /// How many of them were asked for.
    looked: usize,
    /// The number of the last text of any file.
    version: u64,
    /// The last number of each file.
    versions: std::collections::BTreeMap<String, u64>,
}

impl Client {
    pub(super) fn start(folder: &Path) -> Self {
        let mut child = command(folder, &["editor"])
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("the program runs");
        let input = child.stdin.take().expect("its input");
        let output = BufReader::new(child.stdout.take().expect("its output"));
        let mut client = Self {
            child,
            input,
            output,
            next: 0,
            news: Vec::new(),
            looked: 0,
            version: 0,
            versions: std::collections::BTreeMap::new(),
        };
        let answer = client.ask("initialize", json!({ "processId": null, "rootUri": null, "capabilities": {} }));
        assert_eq!(answer["serverInfo"]["name"], "lampwright");
        client.tell("initialized", json!({}));
        client
    }

    fn send(&mut self, message: &Value) {
        let body = message.to_string();
        write!(self.input, "Content-Length: {}\r\n\r\n{body}", body.len()).expect("it listens");
        self.input.flush().expect("it listens");
    }

    pub(super) fn tell(&mut self, method: &str, params: Value) {
        self.send(&json!({ "jsonrpc": "2.0", "method": method, "params": params }));
    }

    fn read(&mut self) -> Value {
        let mut length = 0;
        loop {
            let mut line = String::new();
            assert!(self.output.read_line(&mut line).expect("it speaks") > 0, "the server went away");
            if line.trim().is_empty() {
                break;
            }
            length = line.trim().strip_prefix("Content-Length: ").expect("a length").parse().expect("a number");
        }
        let mut body = vec![0; length];
        self.output.read_exact(&mut body).expect("a body");
        serde_json::from_slice(&body).expect("JSON")
    }

    pub(super) fn answer(&mut self, method: &str, params: Value) -> Value {
        self.next += 1;
        let id = self.next;
        self.send(&json!({ "jsonrpc": "2.0", "id": id, "method": method, "params": params }));
        loop {
            let message = self.read();
            if message["method"] == "textDocument/publishDiagnostics" {
                self.news.push(message["params"].clone());
                continue;
            }
            assert_eq!(message["id"], id, "answers come in order");
            return message;
        }
    }

    pub(super) fn ask(&mut self, method: &str, params: Value) -> Value {
        let answer = self.answer(method, params);
        assert!(answer.get("error").is_none(), "{method}: {answer}");
        answer["result"].clone()
    }

    pub(super) fn open(&mut self, path: &Path, text: &str) -> String {
        let uri = format!("file://{}", path.display());
        self.version += 1;
        let document = json!({ "uri": uri, "languageId": "lamp", "version": self.version, "text": text });
        self.versions.insert(uri.clone(), self.version);
        self.tell("textDocument/didOpen", json!({ "textDocument": document }));
        uri
    }

    pub(super) fn change(&mut self, uri: &str, changes: Value) {
        self.version += 1;
        self.versions.insert(uri.to_owned(), self.version);
        let document = json!({ "uri": uri, "version": self.version });
        self.tell("textDocument/didChange", json!({ "textDocument": document, "contentChanges": changes }));
    }

    /// The server's process.
    pub(super) fn id(&self) -> u32 {
        self.child.id()
    }

    /// The next messages about a file's last text, those that came with an answer included.
    pub(super) fn diagnostics(&mut self, uri: &str) -> Vec<Value> {
        // Messages carry the number of the text they are about: what was on its way about an older one does not count.
        let version = self.versions.get(uri).copied().unwrap_or(0);
        let about = |n: &Value| n["uri"] == uri && n["version"].as_u64().is_none_or(|v| v >= version);
        loop {
            while let Some(next) = self.news.get(self.looked).cloned() {
                self.looked += 1;
                if about(&next) {
                    return next["diagnostics"].as_array().expect("a list").clone();
                }
            }
            let message = self.read();
            assert_eq!(message["method"], "textDocument/publishDiagnostics", "{message}");
            self.news.push(message["params"].clone());
        }
    }

    pub(super) fn at(&mut self, method: &str, uri: &str, (line, character): (usize, usize)) -> Value {
        let place = json!({ "textDocument": { "uri": uri }, "position": { "line": line, "character": character } });
        self.ask(method, place)
    }

    pub(super) fn labels(&mut self, uri: &str, place: (usize, usize)) -> Vec<String> {
        let found = self.at("textDocument/completion", uri, place);
        let items = found["items"].as_array().expect("items");
        items.iter().map(|i| i["label"].as_str().expect("a label").to_owned()).collect()
    }

    pub(super) fn end(mut self) -> i32 {
        self.ask("shutdown", Value::Null);
        self.tell("exit", Value::Null);
        self.child.wait().expect("it ends").code().unwrap_or(-1)
    }
}

/// Line and column of the first place where `needle` stands, `within` letters into it.
pub(super) fn place_of(text: &str, needle: &str, within: usize) -> (usize, usize) {
    let at = text.find(needle).unwrap_or_else(|| panic!("no `{needle}`")) + within;
    let before = &text[..at];
    (before.matches('\n').count(), before.rsplit('\n').next().unwrap_or("").encode_utf16().count())
}

pub(super) fn applied(text: &str, edits: &[Value]) -> String {
    let byte = |place: &Value| {
        let (line, column) = (place["line"].as_u64().expect("a line"), place["character"].as_u64().expect("a column"));
        let start: usize = text.split_inclusive('\n').take(line as usize).map(str::len).sum();
        let mut units = 0;
        let rest = &text[start..];
        start
            + rest
                .char_indices()
                .find(|(_, c)| {
                    let here = units >= column;
                    units += c.len_utf16() as u64;
                    here
                })
                .map_or(rest.len(), |(at, _)| at)
    };
    let mut edits: Vec<(usize, usize, &str)> = edits
        .iter()
        .map(|e| (byte(&e["range"]["start"]), byte(&e["range"]["end"]), e["newText"].as_str().expect("text")))
        .collect();
    edits.sort_by(|a, b| b.cmp(a));
    let mut text = text.to_owned();
    for (start, end, new) in edits {
        text.replace_range(start..end, new);
    }
    text
}

pub(super) fn alder() -> (PathBuf, String) {
    (root().join("examples/alder-table.lamp"), plain_spaced("alder-table"))
}

#[test]
fn it_starts_and_ends_as_the_protocol_says() {
    let folder = place("editor-life");
    assert_eq!(Client::start(&folder).end(), 0);
    let mut client = Client::start(&folder);
    let unknown = client.answer("workspace/nonsense", json!({}));
    assert_eq!(unknown["error"]["code"], -32601);
    client.tell("$/nonsense", json!({}));
    client.send(&json!([1, 2]));
    let odd = client.read();
    assert_eq!(odd["error"]["code"], -32600);
    client.tell("exit", Value::Null);
    assert_eq!(client.child.wait().expect("it ends").code(), Some(1), "no shutdown before exit");
}

#[test]
fn a_slip_is_told_fixed_and_gone() {
    let folder = place("editor-slip");
    let text = new_spec().replace("    region ", "    regoin ");
    assert_ne!(text, new_spec());
    let mut client = Client::start(&folder);
    let uri = client.open(&folder.join("my.lamp"), &text);
    let found = client.diagnostics(&uri);
    let slip = found.iter().find(|d| d["code"] == "name/unknown-property").expect("the slip");
    assert_eq!(slip["severity"], 1);
    let (line, column) = place_of(&text, "regoin", 0);
    assert_eq!(slip["range"]["start"], json!({ "line": line, "character": column }));
    let request = json!({ "textDocument": { "uri": uri }, "range": slip["range"], "context": { "diagnostics": [] } });
    let fixes = client.ask("textDocument/codeAction", request);
    assert_eq!(fixes[0]["title"], "change to `region`");
    let edits = fixes[0]["edit"]["changes"][&uri].as_array().expect("edits").clone();
    let mended = applied(&text, &edits);
    assert_eq!(mended, new_spec());
    client.change(&uri, json!([{ "text": mended }]));
    assert!(client.diagnostics(&uri).iter().all(|d| d["severity"] != 1));
    client.tell("textDocument/didClose", json!({ "textDocument": { "uri": uri } }));
    assert!(client.diagnostics(&uri).is_empty(), "a closed file has no messages");
    assert_eq!(client.end(), 0);
}

#[test]
fn findings_of_the_rules_stand_at_their_line() {
    let (path, text) = alder();
    let text = text.replace("anchorage clamp", "anchorage glue");
    let mut client = Client::start(&root());
    let uri = client.open(&path, &text);
    let found = client.diagnostics(&uri);
    let line = place_of(&text, "anchorage glue", 0).0;
    assert!(found.iter().any(|d| d["severity"] == 1 && d["range"]["start"]["line"] == line), "{found:#?}");
    assert_eq!(client.end(), 0);
}

#[test]
fn hover_has_doc_value_and_margin() {
    let (path, text) = alder();
    let mut client = Client::start(&root());
    let uri = client.open(&path, &text);
    let mut hover = |needle: &str, within: usize| {
        let found = client.at("textDocument/hover", &uri, place_of(&text, needle, within));
        found["contents"]["value"].as_str().unwrap_or_else(|| panic!("no hover on `{needle}`")).to_owned()
    };
    let diameter = hover("enclosure.opening + 8 mm - 2", 3);
    assert!(diameter.contains("**diffuser.diameter**") && diameter.contains("value: **111.4 mm**"), "{diameter}");
    let thickness = hover("thickness 3 mm", 2);
    assert!(thickness.contains("of the sheet") && thickness.contains("usual: 0.3 mm to 30 mm"), "{thickness}");
    let rating = hover("rating 2 A", 2);
    assert!(rating.contains("mains.switch.rating"), "{rating}");
    let offset = hover("off-time 3.5", 2);
    assert!(offset.contains("3.5 µs"), "{offset}");
    let seat = hover("lip 4 mm", 1);
    assert!(seat.contains("left**"), "a limit with its margin: {seat}");
    assert!(hover("channel red", 9).contains("current"), "a channel shows what it came to");
    assert!(hover("seat-gap = 0.6", 3).contains("0.6 mm"));
    assert!(hover("closed-12v", 3).contains("part `closed-12v` for `supply`"));
    assert!(hover("region eu", 1).contains("- `us`: "));
    // The ledger is followed to the tightest rule, however many steps away.
    for (needle, within) in [("pin p7; current 350", 10), ("thermal 9", 2), ("fuse is small", 1), ("opening 104", 2)] {
        let found = hover(needle, within);
        assert!(found.contains("left** (`"), "`{needle}` bears on a limit: {found}");
    }
    let current = hover("pin p7; current 350", 10);
    assert!(current.contains("nearest limit that hangs on it"), "{current}");
    let share = hover("transmission 62 %", 2);
    assert!(share.contains("**62.0 %**"), "as its author wrote it: {share}");
    let variant = hover("north-america", 3);
    assert!(variant.starts_with("**variant north-america**") && variant.contains("`lamp.region us`"), "{variant}");
    assert_eq!(client.end(), 0);
}

#[test]
fn names_are_found_and_renamed() {
    let (path, text) = alder();
    let mut client = Client::start(&root());
    let uri = client.open(&path, &text);
    let part = client.at("textDocument/definition", &uri, place_of(&text, "quad-star", 2));
    assert!(part[0]["uri"].as_str().expect("a file").ends_with("examples/parts/drawer.lamp"), "{part}");
    let used = client.at("textDocument/definition", &uri, place_of(&text, "enclosure.opening + 8", 12));
    assert_eq!(used[0]["range"]["start"]["line"], place_of(&text, "opening 104", 0).0);
    let place = place_of(&text, "seat-gap = ", 1);
    let position = json!({ "line": place.0, "character": place.1 });
    let request =
        json!({ "textDocument": { "uri": uri }, "position": position, "context": { "includeDeclaration": true } });
    assert_eq!(client.ask("textDocument/references", request).as_array().expect("places").len(), 2);
    let rename = |name: &str| json!({ "textDocument": { "uri": uri }, "position": position, "newName": name });
    let edits = client.ask("textDocument/rename", rename("play"));
    let renamed = applied(&text, edits["changes"][&uri].as_array().expect("edits"));
    assert_eq!(renamed, text.replace("seat-gap", "play"));
    let refused = client.answer("textDocument/rename", rename("No Name"));
    assert!(refused["error"]["message"].as_str().expect("words").contains("cannot be a name"), "{refused}");
    let (line, character) = place_of(&text, "feeds green", 7);
    let die = json!({ "textDocument": { "uri": uri }, "position": { "line": line, "character": character } });
    let shared = client.answer("textDocument/prepareRename", die);
    assert_eq!(shared["result"]["start"]["line"], line, "a die of a part of another file has a name too: {shared}");
    assert_eq!(client.end(), 0);
}

#[test]
fn outline_and_formatting_are_those_of_the_language() {
    let folder = place("editor-form");
    let messy = new_spec().replace("    region ", "  region ");
    let mut client = Client::start(&folder);
    let uri = client.open(&folder.join("my.lamp"), &messy);
    let document = json!({ "textDocument": { "uri": uri }, "options": { "tabSize": 4, "insertSpaces": true } });
    let edits = client.ask("textDocument/formatting", document.clone());
    assert_eq!(applied(&messy, edits.as_array().expect("edits")), new_spec());
    let outline = client.ask("textDocument/documentSymbol", document.clone());
    let names: Vec<&str> = outline.as_array().expect("symbols").iter().filter_map(|s| s["name"].as_str()).collect();
    assert!(names.iter().any(|n| n.starts_with("lamp ")) && names.contains(&"driver"), "{names:?}");
    let driver = outline.as_array().expect("symbols").iter().find(|s| s["name"] == "driver").expect("the driver");
    assert!(
        driver["children"].as_array().expect("children").iter().any(|c| c["name"].as_str() == Some("channel warm"))
    );
    client.change(&uri, json!([{ "text": "language 1\nlamp {" }]));
    assert_eq!(client.ask("textDocument/formatting", document), Value::Null, "what has errors is left as it is");
    assert_eq!(client.end(), 0);
}

#[test]
fn a_part_file_is_judged_as_one() {
    let path = root().join("examples/parts/drawer.lamp");
    let text = std::fs::read_to_string(&path).expect("parts");
    let mut client = Client::start(&root());
    let uri = client.open(&path, &text);
    assert!(client.diagnostics(&uri).iter().all(|d| d["severity"] != 1), "no lamp is asked of a file of parts");
    client.change(&uri, json!([{ "text": text.replacen("efficiency", "eficiency", 1) }]));
    let found = client.diagnostics(&uri);
    assert!(found.iter().any(|d| d["code"] == "name/unknown-property"), "{found:#?}");
    assert_eq!(client.end(), 0);
}

/// A spec typed letter by letter: almost none of its states parses, and each has an answer.
#[test]
fn a_spec_typed_letter_by_letter_is_answered_all_along() {
    let folder = place("editor-typing");
    let mut client = Client::start(&folder);
    let uri = client.open(&folder.join("my.lamp"), "");
    let text = "language 1\nlamp \"Ω\" {\n    region eu\n    room 5 °C .. 30 °C\n}\ndriver { channel red { current 320 mA } }\n";
    let (mut line, mut column) = (0, 0);
    for letter in text.chars() {
        let here = json!({ "line": line, "character": column });
        client.change(&uri, json!([{ "range": { "start": here, "end": here }, "text": letter.to_string() }]));
        if letter == '\n' {
            (line, column) = (line + 1, 0);
        } else {
            column += letter.len_utf16();
        }
        client.labels(&uri, (line, column));
    }
    // Mid-word: the letters behind the place go with the word.
    let (line, column) = place_of(text, "current", 3);
    let found = client.at("textDocument/completion", &uri, (line, column));
    let item =
        found["items"].as_array().expect("items").iter().find(|i| i["label"] == "current").expect("current").clone();
    assert_eq!(applied(text, &[item["textEdit"].clone()]), text.replace("current ", "current  "));
    assert!(client.labels(&uri, place_of(text, "eu", 0)).contains(&"uk".to_owned()));
    // The server's text is the one typed.
    let document = json!({ "textDocument": { "uri": uri } });
    let edits = client.ask("textDocument/formatting", document);
    let tidied = applied(text, edits.as_array().expect("edits"));
    assert!(tidied.contains("room") && tidied.contains("5 °C .. 30 °C") && tidied.ends_with("}\n"), "{tidied}");
    assert_eq!(client.end(), 0);
}

#[test]
fn files_that_never_parse_do_no_harm() {
    let folder = place("editor-rubbish");
    let mut client = Client::start(&folder);
    for (number, text) in
        ["{{{{{{", "}", "\u{0}\u{1}\"", "lamp \"x", "😀😀 😀 {", "use \"use\"", "let let = let"].iter().enumerate()
    {
        let uri = client.open(&folder.join(format!("{number}.lamp")), text);
        for method in ["completion", "hover", "definition"] {
            for column in [0, 1, 5, 500] {
                client.at(&format!("textDocument/{method}"), &uri, (column / 3, column));
            }
        }
        let range = json!({ "start": { "line": 0, "character": 0 }, "end": { "line": 9, "character": 0 } });
        client.ask("textDocument/codeAction", json!({ "textDocument": { "uri": uri }, "range": range }));
        client.ask("textDocument/documentSymbol", json!({ "textDocument": { "uri": uri } }));
    }
    write(&folder, "not-open.lamp", "");
    let closed = client
        .answer("textDocument/hover", json!({ "textDocument": { "uri": "file:///not-open.lamp" }, "position": {} }));
    assert!(closed["error"]["message"].is_string());
    assert_eq!(client.end(), 0);
}
