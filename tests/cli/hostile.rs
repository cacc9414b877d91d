//! Nothing from a spec or a template runs anywhere: not in a browser, a spreadsheet, a PDF reader or a terminal.

use std::fs;
use std::time::Instant;

use lampwright::language::loading::{LoadError, Loaded, Loader};
use lampwright::packet::templates::Overrides;
use lampwright::render::{self, File};
use lampwright::{compile, diag};
use pulldown_cmark::{Event, Options, Parser, Tag};

use super::{command, new_spec, place, ran, run, run_with, write};
use crate::support::root;

/// What stands for the quoted texts of a spec, in turn.
const TEXTS: [&str; 8] = [
    "</script><script>alert(1)</script>",
    "\"><img src=x onerror=alert(1)>",
    "=HYPERLINK(\"http://x.example\")",
    "[a](javascript:alert(1))",
    "@SUM(1+1)*cmd|' /C calc'!A0",
    "{{ 7*7 }}{% raw %} & `id` $(id)",
    "-2+3) Tj (JS) /JS (app.alert)",
    "<svg onload=alert(1)> | a | b |",
];

/// Every quoted text of a spec replaced by a hostile one, but for the names of files.
fn hostile(text: &str) -> String {
    let mut count = 0;
    let line = |line: &str| {
        if line.trim_start().starts_with('#') || line.trim_start().starts_with("use ") || !line.contains('"') {
            return line.to_owned();
        }
        let mut pieces = line.split('"');
        let mut out = pieces.next().unwrap_or("").to_owned();
        while let (Some(_), Some(after)) = (pieces.next(), pieces.next()) {
            let evil = TEXTS[count % TEXTS.len()].replace('\\', "\\\\").replace('"', "\\\"");
            count += 1;
            out += &format!("\"{evil}\"{after}");
        }
        out
    };
    text.lines().map(line).collect::<Vec<_>>().join("\n") + "\n"
}

struct HostileParts;

impl Loader for HostileParts {
    fn load(&mut self, _: &str, path: &str) -> Result<Loaded, LoadError> {
        let text = fs::read_to_string(root().join("examples").join(path)).expect("parts");
        Ok(Loaded { name: path.into(), text: hostile(&text) })
    }
}

/// The packet of an example with hostile texts all over.
fn packet() -> Vec<File> {
    let text = fs::read_to_string(root().join("examples/alder-table.lamp")).expect("an example");
    let text = hostile(&text);
    assert!(text.matches("alert(1)").count() >= 2, "{text}");
    let outcome = compile("spec.lamp", &text, &mut HostileParts, None);
    let compiled = outcome.compiled.unwrap_or_else(|| panic!("{:?}", outcome.diags));
    let packet = compiled.packet(&Overrides::new(), None).unwrap_or_else(|e| panic!("{e:?}"));
    render::files(&packet).unwrap_or_else(|e| panic!("{e:?}"))
}

fn text(file: &File) -> String {
    String::from_utf8(file.bytes.clone()).expect("text")
}

/// Names and attributes of the tags of an HTML page, as a browser takes them.
fn tags(page: &str) -> Vec<&str> {
    page.split('<').skip(1).filter_map(|piece| piece.split('>').next()).collect()
}

fn check_html(page: &str) {
    let plain = page.split("<style").next().unwrap_or("").to_owned()
        + page.split("</style>").nth(1).expect("the page's style comes first");
    for tag in tags(&plain) {
        let name = tag.trim_start_matches('/').split([' ', '\n']).next().unwrap_or("").to_ascii_lowercase();
        assert!(!["script", "img", "iframe", "object", "embed", "base", "form"].contains(&name.as_str()), "<{tag}>");
        for attribute in [" onerror", " onload", "javascript:", " onclick"] {
            assert!(!tag.to_ascii_lowercase().contains(attribute), "<{tag}>");
        }
    }
    assert!(plain.contains("&lt;script&gt;alert(1)"), "the words themselves are shown");
}

fn check_svg(file: &File) {
    let text = text(file);
    let tree = roxmltree::Document::parse(&text).unwrap_or_else(|e| panic!("{}: {e}", file.path));
    for node in tree.descendants().filter(|n| n.is_element()) {
        assert!(!["script", "image", "foreignObject", "a"].contains(&node.tag_name().name()), "{}", file.path);
        assert!(!node.attributes().any(|a| a.name().starts_with("on")), "{}", file.path);
    }
}

fn check_markdown(file: &File) {
    let text = text(file);
    for event in Parser::new_ext(&text, Options::ENABLE_TABLES | Options::ENABLE_TASKLISTS) {
        match event {
            // A page break of ours.
            Event::Html(html) if html.trim() == "<!-- page -->" => {}
            Event::Html(html) | Event::InlineHtml(html) => panic!("{}: HTML {html}", file.path),
            Event::Start(Tag::Link { dest_url, .. }) => panic!("{}: a link to {dest_url}", file.path),
            Event::Start(Tag::Image { dest_url, .. }) => {
                assert!(dest_url.ends_with(".svg") && !dest_url.contains(':'), "{}: {dest_url}", file.path);
            }
            _ => {}
        }
    }
}

/// Cells of a CSV file (RFC 4180).
fn cells(text: &str) -> Vec<String> {
    let (mut found, mut cell, mut quoted) = (Vec::new(), String::new(), false);
    let mut signs = text.chars().peekable();
    while let Some(sign) = signs.next() {
        match sign {
            '"' if quoted && signs.peek() == Some(&'"') => cell.extend(signs.next()),
            '"' => quoted = !quoted,
            ',' | '\n' if !quoted => found.push(std::mem::take(&mut cell)),
            '\r' if !quoted => {}
            sign => cell.push(sign),
        }
    }
    found
}

fn check_csv(file: &File) {
    for cell in cells(&text(file)) {
        let risky = cell.starts_with(['=', '+', '-', '@', '\t', '\r']);
        assert!(!risky || cell.parse::<f64>().is_ok(), "{}: a spreadsheet runs `{cell}`", file.path);
    }
}

fn check_pdf(file: &File) {
    let document = lopdf::Document::load_mem(&file.bytes).expect("a PDF");
    for (id, object) in &document.objects {
        let Ok(dictionary) = object.as_dict() else { continue };
        for key in ["JS", "JavaScript", "Launch", "URI", "OpenAction", "AA", "EmbeddedFiles"] {
            assert!(!dictionary.has(key.as_bytes()), "object {id:?} has /{key}");
        }
        let kind = dictionary.get(b"S").and_then(|s| s.as_name()).unwrap_or_default();
        assert!(![&b"JavaScript"[..], b"Launch", b"URI"].contains(&kind), "object {id:?} acts");
    }
}

#[test]
fn a_hostile_spec_makes_a_tame_packet() {
    let files = packet();
    let kinds = |end: &str| files.iter().filter(|f| f.path.ends_with(end)).count();
    assert!(kinds(".svg") > 5 && kinds(".md") > 15 && kinds(".csv") > 3);
    for file in &files {
        match file.path.rsplit('.').next().unwrap_or("") {
            "html" => check_html(&text(file)),
            "svg" => check_svg(file),
            "md" => check_markdown(file),
            "csv" => check_csv(file),
            "pdf" => check_pdf(file),
            "json" => drop(serde_json::from_slice::<serde_json::Value>(&file.bytes).expect("JSON")),
            other => panic!("nobody looks at a file of kind {other}"),
        }
    }
}

/// No sign in what the program says that moves a cursor or turns the order of others.
fn plain(ran: &super::Ran, what: &str) {
    for said in [&ran.out, &ran.err] {
        let found = said.chars().find(|c| diag::hidden(*c));
        assert!(found.is_none(), "{what}: {found:?} in\n{}", said.escape_debug());
    }
}

#[test]
fn signs_that_do_not_show_are_refused_and_never_said() {
    let folder = place("hidden");
    for (what, from, to, said) in [
        ("a command in a comment", "language 1\n", "language 1 # \u{1b}[2J\n", "syntax/hidden"),
        ("a turned comment", "language 1\n", "language 1 # \u{202e}}{\n", "syntax/hidden"),
        ("an isolate in a text", "revision", "maker \"a\u{2066}b\"\n revision", "syntax/hidden"),
        ("a C1 command", "revision", "maker \"a\u{9b}31mb\"\n revision", "syntax/hidden"),
        ("a statement that is a comment", "language 1\n", "language 1 # \u{2028}lamp { }\n", "syntax/hidden"),
        ("a line that is overwritten", "language 1\n", "language 1 # check\rfine\n", "syntax/hidden"),
        ("a command spelled out", "revision", "maker \"a\\u{1b}[31mb\"\n revision", "syntax/escape"),
        ("a turn spelled out", "revision", "maker \"a\\u{202E}b\"\n revision", "syntax/escape"),
        ("a space without width in a name", "channel warm", "channel wa\u{200b}rm", "syntax/hidden"),
        ("a joiner in a text", "revision", "maker \"a\u{2060}b\"\n revision", "syntax/hidden"),
        ("the mark of an encoding inside", "revision", "maker \"a\u{feff}b\"\n revision", "syntax/hidden"),
        ("a joiner spelled out", "revision", "maker \"a\\u{2060}b\"\n revision", "syntax/escape"),
        ("nought", "revision", "maker \"a\u{0}b\"\n revision", "syntax/hidden"),
        ("a mistake beside it", "revision", "revison \u{1b}]0;owned\u{7}", "syntax/hidden"),
    ] {
        let spec = new_spec().replacen(from, to, 1);
        assert_ne!(spec, new_spec());
        for verb in [&["check", "-"][..], &["tidy", "-"], &["packet", "-", "--stdout", "packet.html"]] {
            let ran = run_with(&folder, verb, spec.as_bytes());
            assert_eq!(ran.code, 2, "{what}: {}", ran.err);
            assert!(ran.err.contains(said), "{what}: {}", ran.err);
            plain(&ran, what);
        }
    }
    let windows = new_spec().replace('\n', "\r\n");
    assert_eq!(run_with(&folder, &["check", "-"], windows.as_bytes()).code, 0, "lines may end as in Windows");
    let marked = format!("\u{feff}{}", new_spec());
    assert_eq!(
        run_with(&folder, &["check", "-"], marked.as_bytes()).code,
        0,
        "the mark of the encoding may stand first"
    );
    let ran = run_with(&folder, &["check", "-"], marked.replacen("language 1", "language 9", 1).as_bytes());
    assert_eq!(ran.code, 2, "{}", ran.err);
    plain(&ran, "a mistake behind the mark");
}

#[test]
fn names_of_files_and_arguments_are_said_plainly() {
    let folder = place("names");
    let evil = "a\u{1b}[31m\u{202e}b.lamp";
    for arguments in [
        &["check", evil][..],
        &["why", evil, "my.lamp"],
        &["rule", evil],
        &["check", "my.lamp", "--variant", evil],
        &["packet", "my.lamp", "--sheets", evil],
        &["packet", "my.lamp", "-o", evil, "--stdout", evil],
        &[evil],
    ] {
        write(&folder, "my.lamp", new_spec());
        let ran = run(&folder, arguments);
        assert!((1..=3).contains(&ran.code), "{arguments:?}: {}", ran.code);
        plain(&ran, &format!("{arguments:?}"));
    }
    write(&folder, evil, new_spec().replace("0.7 kg", "700 kg"));
    for verb in ["check", "tidy", "packet"] {
        let ran = run(&folder, &[verb, evil]);
        assert!(ran.code <= 1, "{verb}: {}", ran.err);
        plain(&ran, verb);
    }
    for file in ["packet.html", "sheets/assumptions.md", "sheets/working.md"] {
        let page = fs::read_to_string(folder.join("out").join(file)).expect("a page");
        assert!(!page.chars().any(diag::hidden), "{file}");
    }
}

#[test]
fn templates_stay_inside_and_come_to_an_end() {
    let folder = place("hostile-templates");
    write(&folder, "my.lamp", new_spec());
    fs::create_dir_all(folder.join("words/sheets")).expect("a folder");
    write(&folder, "secret.md", "the secret");
    for (what, template, said) in [
        ("a file above", "{% include \"../../secret.md\" %}", "assumptions.md"),
        ("a file of the system", "{% include \"/etc/hostname\" %}", "assumptions.md"),
        (
            "a loop in a loop",
            "{% for a in range(9999) %}{% for b in range(9999) %}x{% endfor %}{% endfor %}",
            "takes too long",
        ),
        ("a long word", "{% set x = 'x' * 100000000 %}{{ x * 100 }}", "assumptions.md"),
        ("itself", "{% include \"sheets/assumptions.md\" %}", "assumptions.md"),
        ("a macro without end", "{% macro m() %}{{ m() }}{% endmacro %}{{ m() }}", "assumptions.md"),
        ("deep brackets", &format!("{{{{ {}1{} }}}}", "(".repeat(5000), ")".repeat(5000)), "assumptions.md"),
        ("deep blocks", &"{% if true %}".repeat(5000), "assumptions.md"),
    ] {
        write(&folder, "words/sheets/assumptions.md", template);
        let started = Instant::now();
        let arguments =
            ["packet", "my.lamp", "--templates", "words", "--sheets", "assumptions", "--stdout", "packet.html"];
        let ran = ran(command(&folder, &arguments).output().expect("the program runs"));
        assert_eq!(ran.code, 3, "{what}: {}", ran.err);
        assert!(ran.err.contains(said) && !ran.out.contains("the secret"), "{what}: {}", ran.err);
        assert!(started.elapsed().as_secs() < 60, "{what}: {} s", started.elapsed().as_secs());
    }
}

/// The same on a terminal with colours, where messages are written with commands of ours.
#[test]
fn names_of_files_steer_no_terminal() {
    let folder = place("names-on-a-terminal");
    let evil = "a\u{1b}[8mb\u{1b}]0;owned\u{7}.lamp";
    for (verb, text) in [("tidy", "language 1\nlamp {"), ("packet", "language 1\nlamp {"), ("tidy", "language  1\n")] {
        write(&folder, evil, text);
        let line = format!("{} {verb} '{evil}'", env!("CARGO_BIN_EXE_lampwright"));
        let mut script = std::process::Command::new("script");
        script.args(["-qec", &line, "/dev/null"]).env("TERM", "xterm").env_remove("NO_COLOR").current_dir(&folder);
        let Ok(seen) = script.stdin(std::process::Stdio::null()).output() else {
            eprintln!("SKIPPED: no `script` here to stand for a terminal");
            return;
        };
        let seen = String::from_utf8_lossy(&seen.stdout).into_owned();
        assert!(seen.contains("owned"), "the name is said: {seen:?}");
        assert!(!seen.contains("\u{1b}[8m") && !seen.contains("\u{1b}]"), "{verb}: {seen:?}");
    }
}
