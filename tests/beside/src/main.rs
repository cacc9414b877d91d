//! Times the program beside general-purpose libraries that do the same amount of work, all in one run: `tests/beside/run`.
//! Every pair is first held to the same answer or the same count; the table printed is what DEVELOPERS.md shows.

#![allow(clippy::unwrap_used, clippy::disallowed_methods, clippy::print_stdout, reason = "a program that measures")]

mod clock;
mod facts;
mod lamps;
mod pages;
mod python;
mod solves;

/// One line of the table.
pub(crate) struct Line {
    /// What is done.
    pub(crate) what: String,
    /// By whom.
    pub(crate) by: String,
    /// Seconds of processor time by the program.
    pub(crate) ours: f64,
    /// Seconds of processor time by the library.
    pub(crate) theirs: f64,
}

fn main() {
    let root = concat!(env!("CARGO_MANIFEST_DIR"), "/../..");
    let interpreter = std::env::args().nth(1).unwrap_or_else(|| "python3".into());
    let (mut lines, tables) = (facts::lines(root), pages::tables(root));
    lines.extend(pages::lines(root, &tables, &interpreter));
    lines.extend(solves::lines(&interpreter));
    println!("| what | beside | this program | the library | times as fast |");
    println!("|---|---|---|---|---|");
    for line in &lines {
        let Line { what, by, ours, theirs } = line;
        let ratio = theirs / ours;
        let ratio = if ratio >= 100.0 { format!("{ratio:.0}") } else { format!("{ratio:.2}") };
        println!("| {what} | {by} | {} | {} | {ratio} |", clock::shown(*ours), clock::shown(*theirs));
    }
    let cycle = lines.iter().find(|l| l.what.contains("switching cycle")).unwrap();
    assert!(cycle.theirs / cycle.ours >= 1000.0, "the switching cycle is to be a thousand times faster than scipy");
}
