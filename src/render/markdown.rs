//! A sheet as a Markdown file: its title above its text, drawings found where the packet's folder has them.

use crate::packet::sheet::{Packet, Sheet};

/// The sheet as a file in `sheets/`. It carries neither digest nor date, so that a change shows only where it is.
pub fn markdown(packet: &Packet, sheet: &Sheet) -> String {
    let draft = if packet.identity.draft { "**DRAFT**: do not build from it.\n\n" } else { "" };
    let mut text = format!("# {}\n\n{draft}", sheet.title);
    let mut rest = sheet.markdown.trim_end();
    while let Some((before, target)) = rest.split_once("](") {
        text.push_str(before);
        text.push_str("](");
        let name = target.split_once(".svg)").map(|(name, _)| name);
        if name.is_some_and(|name| packet.drawings.contains_key(name)) {
            text.push_str("../drawings/");
        }
        rest = target;
    }
    text.push_str(rest);
    text.push('\n');
    text
}
