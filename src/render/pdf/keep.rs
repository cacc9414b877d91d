//! What stays on one page with what stands before it: lines to sign, and pause lines.
//! What stays with what follows it is said where a block is set.

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

/// What was set last stays on the page of what follows it: the last piece, and the space after a table.
pub(super) fn hold(slabs: &mut [Slab]) {
    let bare = slabs.iter().rev().take_while(|slab| slab.marks.is_empty()).count();
    slabs.iter_mut().rev().take(bare + 1).for_each(|slab| slab.keep = true);
}
