//! The order in which `tidy` writes what stands in a block: within each paragraph, properties in the schema's order,
//! every one with the comments that belong to it. Blocks, lets, blank lines and comments that stand alone stay put.

use super::syntax::{Form, Item, ItemForm};
use crate::schema::Block;

/// An item, and whether a blank line stands before it now.
pub(super) type Placed<'t> = (&'t Item, bool);

/// A property with the comment lines right above it and the comment behind it.
struct Chunk<'t> {
    rank: usize,
    items: Vec<&'t Item>,
}

/// The items in the order to be written. A name that the schema does not know keeps its paragraph as it is.
pub(super) fn ordered<'t>(items: &'t [Item], schema: Option<&'static Block>) -> Vec<Placed<'t>> {
    let mut out: Vec<Placed<'t>> = Vec::with_capacity(items.len());
    let mut run: Vec<Chunk<'t>> = Vec::new();
    let mut above: Vec<&'t Item> = Vec::new();
    for item in items {
        if item.blank_before {
            flush(&mut run, &mut above, &mut out);
        }
        match &item.form {
            ItemForm::Comment(_) if item.begins_line => above.push(item),
            // Behind a property it is that property's; behind a brace or a block it stays there.
            ItemForm::Comment(_) => match run.last_mut() {
                Some(chunk) if above.is_empty() => chunk.items.push(item),
                _ => {
                    flush(&mut run, &mut above, &mut out);
                    out.push((item, item.blank_before));
                }
            },
            form => {
                above.push(item);
                match schema.and_then(|b| rank(b, form)) {
                    Some(rank) => run.push(Chunk { rank, items: std::mem::take(&mut above) }),
                    None => flush(&mut run, &mut above, &mut out),
                }
            }
        }
    }
    flush(&mut run, &mut above, &mut out);
    out
}

/// Where a property stands in the schema; nothing of what has no row and parts the paragraph. `from` of a part says
/// where all the figures come from, and stands before them or behind them as it was written.
fn rank(block: &Block, form: &ItemForm) -> Option<usize> {
    let ItemForm::Statement(s) = form else { return None };
    let Form::Property(_) = s.form else { return None };
    block.properties.iter().position(|p| p.name == s.word.value)
}

/// Writes the properties gathered so far in order, then the comments that belong to none.
fn flush<'t>(run: &mut Vec<Chunk<'t>>, above: &mut Vec<&'t Item>, out: &mut Vec<Placed<'t>>) {
    let blank = run.first().and_then(|c| c.items.first()).is_some_and(|i| i.blank_before);
    run.sort_by_key(|chunk| chunk.rank);
    let sorted = run.drain(..).flat_map(|chunk| chunk.items).enumerate().map(|(i, item)| (item, i == 0 && blank));
    out.extend(sorted);
    out.extend(above.drain(..).map(|item| (item, item.blank_before)));
}
