//! `Packet` to one PDF: blocks to slabs, slabs to pages, header and footer, operators, file.
//! Nothing is clipped: text wraps, or the sheet and the words that do not fit are named.

mod bookmarks;
mod document;
mod drawing;
mod figure;
mod fonts;
mod keep;
mod layout;
mod marks;
mod operators;
mod page;
mod panel;
mod table;
mod text;

use document::{About, Page, save};
use fonts::Fonts;
use layout::Setter;
use page::{Frame, Furniture, paginate};

use super::blocks::Block;
use super::{RenderError, reader};
use crate::packet::sheet::{Packet, Sheet};
use crate::threads;

/// The packet as one PDF.
///
/// # Errors
/// Every sheet that cannot be set, each with its name and the words that do not fit or have no glyph.
pub fn pdf(packet: &Packet) -> Result<Vec<u8>, Vec<RenderError>> {
    of(packet, &threads::each(&packet.sheets, |sheet| reader::read(&sheet.markdown)))
}

/// The packet whose sheets have been read.
pub(super) fn of(packet: &Packet, blocks: &[Vec<Block>]) -> Result<Vec<u8>, Vec<RenderError>> {
    let fonts = Fonts::load().map_err(|error| vec![RenderError::whole("the faces", error)])?;
    let mut errors = Vec::new();
    let mut pages: Vec<(usize, Page)> = Vec::new();
    let read: Vec<(&Sheet, &Vec<Block>)> = packet.sheets.iter().zip(blocks).collect();
    let set = threads::each(&read, |(sheet, blocks)| set(&fonts, packet, sheet, blocks));
    for (index, found) in set.into_iter().enumerate() {
        match found {
            Ok(found) => pages.extend(found.into_iter().map(|page| (index, page))),
            Err(found) => errors.extend(found),
        }
    }
    let pages = if errors.is_empty() { dress(&fonts, packet, pages, &mut errors) } else { Vec::new() };
    if !errors.is_empty() {
        return Err(errors);
    }
    save(&fonts, &pages, &about(packet)).map_err(|error| vec![RenderError::whole("the PDF file", error)])
}

fn set(fonts: &Fonts, packet: &Packet, sheet: &Sheet, blocks: &[Block]) -> Result<Vec<Page>, Vec<RenderError>> {
    let frame = Frame::of(packet.paper, sheet.landscape);
    let mut setter =
        Setter { fonts, packet, sheet, area: frame.column(sheet.size.columns()), lists: 0, errors: Vec::new() };
    let slabs = setter.sheet(blocks);
    if !setter.errors.is_empty() {
        return Err(setter.errors);
    }
    paginate(frame, sheet, slabs).map_err(|error| vec![error])
}

/// Adds header and footer; each complaint about them is heard once a sheet.
fn dress(fonts: &Fonts, packet: &Packet, pages: Vec<(usize, Page)>, errors: &mut Vec<RenderError>) -> Vec<Page> {
    let count = pages.len();
    let mut done = Vec::with_capacity(count);
    for (number, (index, mut page)) in pages.into_iter().enumerate() {
        if let Some(sheet) = packet.sheets.get(index) {
            let frame = Frame::of(packet.paper, sheet.landscape);
            let furniture = Furniture { fonts, identity: &packet.identity, sheet, frame };
            if let Err(error) = furniture.dress(&mut page, number + 1, count)
                && !errors.contains(&error)
            {
                errors.push(error);
            }
        }
        done.push(page);
    }
    done
}

fn about(packet: &Packet) -> About {
    let identity = &packet.identity;
    let mut title = identity.lamp.clone();
    if let Some(variant) = &identity.variant {
        title.push_str(&format!(" · {variant}"));
    }
    About { title: format!("{title}, build packet"), date: identity.date.clone(), digest: identity.digest.clone() }
}
