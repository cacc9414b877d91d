//! The packet's folder: swapped in whole; what the program did not write stays.

use std::fs;

use super::{names, new_spec, place, run, write};

#[test]
fn a_packet_is_written_and_replaced_and_foreign_files_stay() {
    let folder = place("swap");
    write(&folder, "my.lamp", new_spec());
    let first = run(&folder, &["packet", "my.lamp", "-o", "out"]);
    assert_eq!(first.code, 0, "{}", first.err);
    let out = folder.join("out");
    for file in ["packet.pdf", "packet.html", "packet.json", "packet.files"] {
        assert!(out.join(file).is_file(), "no {file}");
    }
    assert!(fs::read(out.join("packet.pdf")).expect("pdf").starts_with(b"%PDF-"));
    write(&out, "my notes.txt", "solder twice");
    fs::create_dir(out.join("photos")).expect("folder");
    write(&out, "photos/unit 1.txt", "a photo");
    let bytes = fs::read(out.join("packet.pdf")).expect("pdf");
    let again = run(&folder, &["packet", "my.lamp", "-o", "out"]);
    assert_eq!(again.code, 0, "{}", again.err);
    assert_eq!(fs::read(out.join("packet.pdf")).expect("pdf"), bytes, "two runs give the same bytes");
    assert_eq!(fs::read_to_string(out.join("my notes.txt")).expect("kept"), "solder twice");
    assert_eq!(fs::read_to_string(out.join("photos/unit 1.txt")).expect("kept"), "a photo");
    assert_eq!(names(&folder), ["my.lamp", "out"], "nothing is left lying about");
}

#[test]
fn fewer_sheets_leave_no_old_ones_behind() {
    let folder = place("fewer");
    write(&folder, "my.lamp", new_spec());
    assert_eq!(run(&folder, &["packet", "my.lamp", "-o", "out"]).code, 0);
    assert!(folder.join("out/sheets/working.md").is_file());
    assert_eq!(run(&folder, &["packet", "my.lamp", "-o", "out", "--sheets", "assumptions"]).code, 0);
    assert_eq!(names(&folder.join("out/sheets")), ["assumptions.md"]);
}

#[test]
fn a_foreign_file_is_never_overwritten() {
    let folder = place("foreign");
    write(&folder, "my.lamp", new_spec());
    fs::create_dir(folder.join("out")).expect("folder");
    write(&folder.join("out"), "packet.pdf", "my own");
    let ran = run(&folder, &["packet", "my.lamp", "-o", "out"]);
    assert_eq!(ran.code, 3, "{}", ran.err);
    assert!(ran.err.contains("is not of an earlier packet"), "{}", ran.err);
    assert_eq!(fs::read_to_string(folder.join("out/packet.pdf")).expect("kept"), "my own");
    assert_eq!(names(&folder.join("out")), ["packet.pdf"]);
}

#[test]
fn a_folder_that_cannot_be_written_is_said() {
    let folder = place("unwritable");
    write(&folder, "my.lamp", new_spec());
    write(&folder, "a-file", "x");
    for (output, said) in [("a-file", "is not a folder"), ("a-file/out", "a-file"), ("/proc/nowhere/out", "/proc")] {
        let ran = run(&folder, &["packet", "my.lamp", "-o", output]);
        assert_eq!(ran.code, 3, "{output}: {}", ran.err);
        assert!(ran.err.contains(said), "{output}: {}", ran.err);
    }
    assert_eq!(names(&folder), ["a-file", "my.lamp"]);
}

#[test]
fn a_broken_spec_leaves_the_old_packet() {
    let folder = place("broken");
    write(&folder, "my.lamp", new_spec());
    assert_eq!(run(&folder, &["packet", "my.lamp", "-o", "out"]).code, 0);
    let before = fs::read(folder.join("out/packet.pdf")).expect("pdf");
    write(&folder, "my.lamp", new_spec().replace("thickness", "thicknes"));
    let ran = run(&folder, &["packet", "my.lamp", "-o", "out"]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("nothing was written"), "{}", ran.err);
    assert_eq!(fs::read(folder.join("out/packet.pdf")).expect("pdf"), before);
}

#[test]
fn names_with_spaces_and_other_letters_work() {
    let folder = place("names with spaces ä λ");
    // No face draws the last letter; the papers write `_` for it.
    write(&folder, "my lämp 灯.lamp", new_spec());
    let ran = run(&folder, &["packet", "my lämp 灯.lamp", "-o", "the packet ß"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(folder.join("the packet ß/packet.pdf").is_file());
}

#[cfg(unix)]
#[test]
fn a_folder_that_is_shut_to_others_stays_shut() {
    use std::os::unix::fs::PermissionsExt as _;
    let folder = place("shut-to-others");
    write(&folder, "my.lamp", new_spec());
    let packet = ["packet", "my.lamp", "-o", "out", "--sheets", "assumptions"];
    assert_eq!(run(&folder, &packet).code, 0);
    fs::set_permissions(folder.join("out"), fs::Permissions::from_mode(0o700)).expect("shut");
    assert_eq!(run(&folder, &packet).code, 0);
    let mode = fs::metadata(folder.join("out")).expect("a folder").permissions().mode();
    assert_eq!(mode & 0o777, 0o700);
}
