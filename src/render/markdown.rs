//! A sheet as a Markdown file: its title above its text, drawings found where the packet's folder has them.

use crate::packet::sheet::{Packet, Sheet};

/// The sheet as a file in `sheets/`. It carries neither digest nor date, so that a change shows only where it is.
pub fn markdown(packet: &Packet, sheet: &Sheet) -> String {
    let mut text = sheet.markdown.trim_end().to_string();
    for name in packet.drawings.keys() {
        text = text.replace(&format!("]({name}.svg)"), &format!("](../drawings/{name}.svg)"));
    }
    let draft = if packet.identity.draft { "**DRAFT**: do not build from it.\n\n" } else { "" };
    format!("# {}\n\n{draft}{text}\n", sheet.title)
}
