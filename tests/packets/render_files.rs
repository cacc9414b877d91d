//! Reads the sample's other files back: SVG, HTML, CSV, Markdown, JSON and its schema.

use lampwright::packet::sheet::Paper;
use lampwright::render;
use serde_json::Value;

use super::sample::packet;
use crate::support::breaches;

fn file(path: &str) -> String {
    let files = render::files(&packet(Paper::A4, true)).unwrap();
    let found = files.into_iter().find(|file| file.path == path);
    String::from_utf8(found.unwrap_or_else(|| panic!("no {path}")).bytes).unwrap()
}

#[test]
fn the_packet_has_these_files() {
    let paths: Vec<String> =
        render::files(&packet(Paper::A4, true)).unwrap().into_iter().map(|file| file.path).collect();
    let expected = [
        "packet.pdf",
        "packet.html",
        "sheets/safety.md",
        "sheets/wiring.md",
        "sheets/cut.md",
        "sheets/values.md",
        "sheets/first-power.md",
        "sheets/working.md",
        "drawings/disc.svg",
        "drawings/rings.svg",
        "drawings/section.svg",
        "sheet-cut.svg",
        "parts.csv",
        "packet.json",
    ];
    assert_eq!(paths, expected);
}

#[test]
fn svg_is_one_millimetre_to_the_unit_and_the_bar_is_100() {
    let text = file("drawings/disc.svg");
    let tree = roxmltree::Document::parse(&text).unwrap();
    let root = tree.root_element();
    assert_eq!(root.attribute("viewBox"), Some("0 0 362 362"));
    assert_eq!((root.attribute("width"), root.attribute("height")), (Some("362mm"), Some("362mm")));
    let words = |name: &str| root.children().find(|node| node.has_tag_name(name)).and_then(|node| node.text());
    assert_eq!(words("title").map(str::trim), Some("Diffuser outline <net>"));
    assert!(words("desc").unwrap().contains("near its middle & two bars"));
    let group = tree.descendants().find(|node| node.attribute("id") == Some("disc-dimension")).unwrap();
    let lengths: Vec<f64> = group.children().filter_map(|path| path.attribute("d")).map(length).collect();
    assert_eq!(lengths, [100.0, 100.0]);
    // y runs down in the file: the bar 240 above the lower edge at -1 is 121 below the upper edge at 361.
    assert!(text.contains("M41 121 L141 121"), "{text}");
}

/// Length of a path of one straight line.
fn length(data: &str) -> f64 {
    let numbers: Vec<f64> = data.split(['M', 'L', ' ']).filter_map(|part| part.parse().ok()).collect();
    let [x, y, u, v] = numbers[..] else { panic!("not a line: {data}") };
    libm::hypot(u - x, v - y)
}

#[test]
fn machine_file_holds_the_cut_alone() {
    let text = file("sheet-cut.svg");
    let tree = roxmltree::Document::parse(&text).unwrap();
    let groups: Vec<_> = tree.descendants().filter(|node| node.has_tag_name("g")).collect();
    assert_eq!(groups.len(), 1);
    assert_eq!(groups[0].attribute("id"), Some("cut"));
    assert_eq!(groups[0].attribute("stroke-width"), Some("0.1"));
    let paths: Vec<_> = tree.descendants().filter_map(|node| node.attribute("d")).collect();
    assert_eq!(paths.len(), 2);
    // A circle of 180 mm as two arcs, and an arc of 270 degrees that is the large one.
    assert_eq!(paths[0].matches("A180 180 0 0 0").count(), 2);
    assert!(paths[1].contains("A14.1421 14.1421 0 1 0 171 241"), "{}", paths[1]);
    assert!(!tree.descendants().any(|node| node.has_tag_name("text")));
}

#[test]
fn html_shows_tags_from_a_spec_as_words() {
    let page = file("packet.html");
    assert!(page.contains("&lt;script&gt;alert(1)&lt;/script&gt;"));
    assert!(page.contains("&lt;div onclick=&quot;x()&quot;&gt;raw"));
    for forbidden in ["<script", "<div onclick", "http-equiv", "src=", "@import", "url(http", "javascript:"] {
        assert!(!page.contains(forbidden), "{forbidden}");
    }
    let mut hostile = packet(Paper::A4, true);
    hostile.identity.lamp = "<script>1</script>".into();
    hostile.sheets[0].title = "\"><img onerror=x>".into();
    hostile.sheets[0].markdown =
        "[go](javascript:alert(1)) ![a\"b](rings.svg)\n\n| <b>x | y |\n|---|---|\n| `<i>` | ☐ |".into();
    let page = render::html(&hostile).unwrap();
    for forbidden in ["<script", "<img", "javascript:", "<b>", "<i>"] {
        assert!(!page.contains(forbidden), "{forbidden}");
    }
}

#[test]
fn html_has_every_sheet_and_single_ids() {
    let page = file("packet.html");
    for sheet in packet(Paper::A4, true).sheets {
        assert!(page.contains(&format!("<a href=\"#{}\">{}</a>", sheet.name, sheet.title)));
        assert!(page.contains(&format!("<section id=\"{}\"", sheet.name)));
    }
    let mut ids: Vec<&str> = page.split(" id=\"").skip(1).filter_map(|rest| rest.split('"').next()).collect();
    let count = ids.len();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), count);
}

#[test]
fn markdown_finds_its_drawings() {
    let sheet = file("sheets/cut.md");
    assert!(sheet.starts_with("# Diffuser\n\n"));
    assert!(sheet.contains("![Outline of the diffuser](../drawings/disc.svg)"));
}

#[test]
fn csv_is_quoted() {
    // The sample is a draft, so every row says so.
    let expected = "part,note,draft\r\n\"resistor, 1 %\",'=cmd(),DRAFT\r\n\"say \"\"opal\"\"\",-12.5,DRAFT\r\n\
                    \"two\nlines\",'+ spare,DRAFT\r\n";
    assert_eq!(file("parts.csv"), expected);
}

#[test]
fn json_keeps_to_its_schema() {
    let schema = render::schema();
    let mut document: Value = serde_json::from_str(&file("packet.json")).unwrap();
    assert_eq!(breaches(&schema, &document, "$"), Vec::<String>::new());
    assert_eq!(document["data"]["lamp"]["quantity"], 7);
    document["sheets"][0]["landscape"] = Value::from("yes");
    document["extra"] = Value::Null;
    document["identity"].as_object_mut().unwrap().remove("digest");
    let found = breaches(&schema, &document, "$");
    assert_eq!(
        found,
        ["$.identity.digest is missing", "$.sheets[0].landscape has the wrong type", "$.extra is unknown"]
    );
}
