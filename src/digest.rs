//! Header and footer of a lamp's papers, with the digest that ties a printed sheet to the spec it came from.

use std::fmt::Write as _;

use sha2::{Digest, Sha256};

use crate::lamp::Lamp;
use crate::language::document::{Document, Node};
use crate::packet::sheet::Identity;
use crate::rules::report::Report;

/// Identity of one compiled lamp. Comments, spacing and the order of properties do not change the digest.
pub fn identity(lamp: &Lamp, document: &Document, report: &Report) -> Identity {
    let revision = lamp.identity.revision.value.clone();
    Identity {
        lamp: lamp.name.clone(),
        variant: lamp.variant.clone(),
        draft: report.dangerous() || revision.is_none(),
        revision,
        date: lamp.identity.date.value.map(|d| d.to_string()),
        digest: of(document),
        findings: report.counts().line(),
    }
}

/// First twelve hex digits of SHA-256 over the resolved spec and the program's version.
pub fn of(document: &Document) -> String {
    let mut text = format!("lampwright {}\n", env!("CARGO_PKG_VERSION"));
    write_node(&document.root, &mut text);
    for waiver in &document.waivers {
        let _ = writeln!(
            text,
            "waive {} {:?} {:?} {:?} {:?}",
            waiver.rule.value,
            waiver.reason,
            waiver.by,
            waiver.until.as_ref().map(|d| d.value),
            waiver.subject.as_ref().map(|s| s.value.as_str())
        );
    }
    first_digits(&text)
}

/// The digest of papers that belong to several lamps, from each lamp's own.
pub fn of_all(digests: &[&str]) -> String {
    first_digits(&digests.join("\n"))
}

fn first_digits(text: &str) -> String {
    let hash = Sha256::digest(text.as_bytes());
    hash.iter().take(6).fold(String::new(), |mut hex, byte| {
        let _ = write!(hex, "{byte:02x}");
        hex
    })
}

fn write_node(node: &Node, out: &mut String) {
    let name = node.name.as_ref().map_or("", |n| n.value.as_str());
    let _ = writeln!(out, "{} {name:?} {}", node.schema.kind, node.written);
    for entry in &node.entries {
        let _ = writeln!(out, "{} {:?}", entry.path, entry.value);
    }
    for inner in &node.nodes {
        write_node(inner, out);
    }
}
