//! What stays on one page with what stands before it or after it: lines to sign, pause lines, lead-ins of tables, lists
//! and figures.

use super::layout::Slab;
use crate::render::blocks::{Block, Inline};

/// Whether a block is a line to sign or to write in.
pub(super) fn signed(block: &Block) -> bool {
    let boxed = |piece: &Inline| matches!(piece, Inline::WriteIn(_) | Inline::WriteLine | Inline::Tick(_));
    matches!(block, Block::Paragraph(run) if run.iter().any(boxed))
}

/// Whether a heading with nothing under it but lines to sign ends a sheet.
pub(super) fn signing(tail: &[Block]) -> bool {
    matches!(tail, [Block::Heading(..), lines @ ..] if !lines.is_empty() && lines.iter().all(signed))
}

/// Whether a reader works with a block: a lead-in to it is worth nothing on another page.
fn worked_with(block: Option<&Block>) -> bool {
    matches!(block, Some(Block::Table(_) | Block::List(_)))
}

/// Whether a short lead-in, or a warning, belongs to the table or list that follows it.
pub(super) fn leads_in(blocks: &[Block], index: usize) -> bool {
    worked_with(blocks.get(index + 1))
}

/// Whether a line under a heading belongs to what follows it: another heading, or a lead-in of its own.
pub(super) fn between(blocks: &[Block], index: usize) -> bool {
    let before = index.checked_sub(1).and_then(|before| blocks.get(before));
    matches!(before, Some(Block::Heading(..)))
        && match blocks.get(index + 1) {
            Some(Block::Heading(..)) => true,
            Some(Block::Paragraph(_)) => worked_with(blocks.get(index + 2)),
            _ => false,
        }
}

/// Whether a figure stands under a heading with one line between them.
pub(super) fn introduced(blocks: &[Block], index: usize) -> bool {
    let before = index.checked_sub(2).and_then(|first| blocks.get(first..index));
    matches!(before, Some([Block::Heading(..), Block::Paragraph(_)]))
}

/// Holds heading and line to their figure, as long as all three fit on one page of this height.
pub(super) fn join(slabs: &mut [Slab], drawn: &[Slab], page: f64) {
    let lead = slabs.iter().rev().take(2).chain(drawn).map(|slab| slab.before + slab.height);
    if drawn.len() == 1 && lead.sum::<f64>() <= page {
        hold(slabs);
    }
}

/// What was set last stays on the page of what follows it: the last piece, and the space after a table.
pub(super) fn hold(slabs: &mut [Slab]) {
    let bare = slabs.iter().rev().take_while(|slab| slab.marks.is_empty()).count();
    slabs.iter_mut().rev().take(bare + 1).for_each(|slab| slab.keep = true);
}
