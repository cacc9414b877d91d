//! Words that lead on: folders and templates with a wrong name, numbers that nobody has, figures that are missing, and
//! rows that a template of one's own may not leave out.

use std::fs;

use super::{new_spec, place, run, with_parts, write};
use crate::support::{root, text_of};

#[test]
fn a_packet_wants_a_folder_with_a_name() {
    let folder = place("no-folder");
    write(&folder, "my.lamp", new_spec());
    fs::copy(folder.join("my.lamp"), folder.join("other.lamp")).expect("a copy");
    for (arguments, said) in [
        (vec!["packet", "my.lamp", "-o", "-"], "`-` is no folder"),
        (vec!["packet", "my.lamp", "-o", ""], "has no name"),
        (vec!["packet", "my.lamp", "other.lamp", "-o", ""], "has no name"),
        (vec!["packet", "my.lamp", "other.lamp", "-o", "-"], "`-` is no folder"),
    ] {
        let ran = run(&folder, &arguments);
        assert_eq!(ran.code, 3, "{arguments:?}: {}", ran.err);
        assert!(ran.err.contains(said), "{arguments:?}: {}", ran.err);
    }
    assert!(!folder.join("-").exists());
}

#[test]
fn a_template_that_would_be_passed_over_is_an_error() {
    let folder = place("lost-templates");
    write(&folder, "my.lamp", new_spec());
    let packet = |said: &[&str]| {
        let ran = run(&folder, &["packet", "my.lamp", "--templates", "mine", "--sheets", "repair"]);
        assert_eq!(ran.code, if said.is_empty() { 0 } else { 3 }, "{}", ran.err);
        said.iter().for_each(|s| assert!(ran.err.contains(s), "no `{s}` in {}", ran.err));
    };
    fs::create_dir_all(folder.join("mine/sheets")).expect("a folder");
    write(&folder, "mine/safety.md", "x");
    packet(&["mine/safety.md stands in for no template", "did you mean mine/sheets/safety.md?"]);
    fs::remove_file(folder.join("mine/safety.md")).expect("removed");
    write(&folder, "mine/sheets/saftey.md", "x");
    packet(&["did you mean mine/sheets/safety.md?"]);
    fs::remove_file(folder.join("mine/sheets/saftey.md")).expect("removed");
    write(&folder, "mine/page.html", "x");
    packet(&["mine/page.html stands in for no template"]);
    fs::remove_file(folder.join("mine/page.html")).expect("removed");
    // A note to the reader has its place.
    write(&folder, "mine/README.md", "What these are.\n");
    packet(&[]);
}

#[test]
fn a_name_is_missed_in_a_branch_that_is_not_taken() {
    let folder = place("branches");
    write(&folder, "my.lamp", new_spec());
    fs::create_dir_all(folder.join("mine/sheets")).expect("a folder");
    let shipped = fs::read_to_string(root().join("templates/sheets/repair.md")).expect("a template");
    let lines = shipped.trim_end().lines().count();
    let text = format!("{}\n{{% if false %}}{{{{ no_such_name }}}}{{% endif %}}\n", shipped.trim_end());
    write(&folder, "mine/sheets/repair.md", text);
    let ran = run(&folder, &["packet", "my.lamp", "--templates", "mine", "--sheets", "repair"]);
    assert_eq!(ran.code, 3, "{}", ran.err);
    let at = format!("sheets/repair.md, line {}", lines + 1);
    assert!(ran.err.contains(&at) && ran.err.contains("no_such_name"), "{}", ran.err);
}

/// Every shipped template, given as one's own, is taken as it is, for every example.
#[test]
fn the_shipped_templates_pass_as_ones_own() {
    let folder = place("own-templates");
    fs::create_dir_all(folder.join("mine/sheets")).expect("a folder");
    for entry in fs::read_dir(root().join("templates/sheets")).expect("templates").flatten() {
        fs::copy(entry.path(), folder.join("mine/sheets").join(entry.file_name())).expect("a copy");
    }
    let mine = folder.join("mine").display().to_string();
    for name in crate::support::examples() {
        let spec = root().join(format!("examples/{name}.lamp")).display().to_string();
        let ran =
            run(&folder, &["packet", &spec, "--templates", &mine, "--stdout", "packet.json", "--fail-on", "never"]);
        assert_eq!(ran.code, 0, "{name}: {}", ran.err);
    }
}

#[test]
fn an_empty_template_drops_rows_that_must_stay() {
    let folder = place("empty-templates");
    write(&folder, "my.lamp", new_spec());
    fs::create_dir_all(folder.join("mine/sheets")).expect("a folder");
    for sheet in ["label", "assumptions", "working"] {
        let file = format!("mine/sheets/{sheet}.md");
        write(&folder, &file, "Nothing to see.\n");
        let ran = run(&folder, &["packet", "my.lamp", "--templates", "mine", "--sheets", sheet]);
        assert_eq!(ran.code, 3, "{sheet}: {}", ran.err);
        assert!(ran.err.contains(&format!("sheet `{sheet}` drops a row")), "{}", ran.err);
        fs::remove_file(folder.join(file)).expect("removed");
    }
}

#[test]
fn why_leads_on() {
    let folder = place("why-leads-on");
    write(&folder, "my.lamp", new_spec());
    let said = |path: &str, spec: &str| {
        let ran = run(&folder, &["why", path, spec]);
        assert_eq!(ran.code, 3, "{}", ran.err);
        ran.err
    };
    assert!(!said("nosuch", "my.lamp").contains("did you mean"));
    let rating = said("rating", "my.lamp");
    assert!(rating.contains("paths with this word: ") && rating.contains("rating"), "{rating}");
    let turned = said("my.lamp", "drive.red.current");
    assert!(turned.contains("`lampwright why drive.red.current my.lamp`"), "{turned}");
    let text = new_spec()
        + "let rim = 2 * edge\nlet edge = 2 mm\nvariant x { diffuser { thickness rim / 2 + enclosure.wall } }\n";
    write(&folder, "my.lamp", text);
    let ran = run(&folder, &["why", "diffuser.thickness", "my.lamp", "--variant", "x"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    for wanted in ["given as `rim / 2 + enclosure.wall`", "rim = 4 mm", "edge = 2 mm", "[enclosure.wall]"] {
        assert!(ran.out.contains(wanted), "no `{wanted}` in\n{}", ran.out);
    }
}

#[test]
fn what_is_missing_is_called_by_what_can_be_written() {
    let folder = place("lacking");
    with_parts(&folder);
    let slate = text_of("slate-wall");
    write(&folder, "my.lamp", format!("{slate}\nvariant x {{ mains {{ cord {{ core-area 0.4 mm² }} }} }}\n"));
    let ran = run(&folder, &["check", "my.lamp", "--variant", "x", "--fail-on", "never"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(!ran.out.contains("`mains.cord.core-area` is not written"), "{}", ran.out);
    let said = "`mains.cord.core-area` is 0.4 mm², for which the program has no row or formula";
    assert!(ran.out.contains(said), "{}", ran.out);
}
