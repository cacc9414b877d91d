//! Words for names that the schema does not know or does not want here, each with the nearest that would be right.

use super::suggest::{all_of, any_of, nearest};
use crate::diag::{Diag, Span, Spanned};
use crate::schema::{Arity, Block, TOP_WORDS, joined};

/// `[a-z][a-z0-9-]*`.
pub fn is_name(text: &str) -> bool {
    text.starts_with(|c: char| c.is_ascii_lowercase())
        && text.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-')
}

/// The name nearest to what was written where a name should stand.
pub(super) fn simple(text: &str) -> String {
    text.to_lowercase().replace(['_', '.', '/'], "-")
}

/// As errors name a kind of block; the root has none.
pub(super) fn kind(schema: &Block) -> String {
    if schema.kind.is_empty() { "a spec".to_owned() } else { format!("`{}`", schema.kind) }
}

/// A property that this kind of block does not have, and the one that was likely meant.
pub(super) fn unknown_property(
    word: &Spanned<String>,
    schema: &'static Block,
    root: &'static Block,
) -> (Diag, Option<&'static str>) {
    let name = &word.value;
    if schema.block(name).is_some() {
        let diag = Diag::error("name/block-wanted", word.span, format!("`{name}` is a block, not a property"))
            .label("wants braces")
            .help(format!("write `{name} {{ ... }}`"));
        return (diag, schema.block(name).map(|b| b.kind));
    }
    if TOP_WORDS.contains(&name.as_str()) {
        return (top_only(word), None);
    }
    let near = nearest(name, schema.properties.iter().map(|p| p.name));
    let mut diag = Diag::error("name/unknown-property", word.span, format!("no property `{name}` in {}", kind(schema)))
        .label("not known here");
    let homes = homes(root, &|b: &Block| b.property(name).is_some());
    diag = match (near, homes.as_slice()) {
        _ if name == "from" && schema.part => diag.help(format!(
            "`from` stands in a part: `part {} NAME {{ from \"...\" }}`; of a block's own figures write it as a comment",
            schema.kind
        )),
        (_, [home, ..]) => diag.help(format!("`{name}` lives in {home}")),
        (Some(near), _) => diag.help(format!("did you mean `{near}`?")),
        _ => diag.help(contents(schema)),
    };
    let meant = if homes.is_empty() { near } else { None };
    (diag, meant)
}

/// A block that this kind of block does not hold, and the one that was likely meant.
pub(super) fn unknown_block(
    word: &Spanned<String>,
    schema: &'static Block,
    root: &'static Block,
) -> (Diag, Option<&'static str>) {
    let name = &word.value;
    if let Some(property) = schema.property(name) {
        let diag = Diag::error("name/property-wanted", word.span, format!("`{name}` is a property, not a block"))
            .label("takes a value, no braces")
            .help(format!("write `{name}` and its value on one line"));
        return (diag, Some(property.name));
    }
    if TOP_WORDS.contains(&name.as_str()) {
        return (top_only(word), None);
    }
    let near = nearest(name, schema.blocks.iter().map(|b| b.kind));
    let homes = homes(root, &|b: &Block| b.block(name).is_some());
    let diag = Diag::error("name/unknown-block", word.span, format!("no block `{name}` in {}", kind(schema)))
        .label("not known here")
        .help(match (near, homes.as_slice()) {
            (_, [home, ..]) => format!("`{name}` lives in {home}"),
            (Some(near), _) => format!("did you mean `{near}`?"),
            _ => contents(schema),
        });
    (diag, if homes.is_empty() { near } else { None })
}

fn top_only(word: &Spanned<String>) -> Diag {
    let name = &word.value;
    Diag::error("name/top-only", word.span, format!("`{name}` stands at the top of a file, not in a block"))
        .label("not here")
        .help("move it out of the braces")
}

fn contents(schema: &Block) -> String {
    let properties: Vec<&str> = schema.properties.iter().map(|p| p.name).collect();
    let blocks: Vec<&str> = schema.blocks.iter().map(|b| b.kind).collect();
    match (properties.is_empty(), blocks.is_empty()) {
        (true, true) => "nothing stands in this block".to_owned(),
        (true, false) => format!("blocks here: {}", all_of(blocks)),
        (false, true) => format!("properties here: {}", all_of(properties)),
        (false, false) => format!("properties here: {}; blocks: {}", all_of(properties), all_of(blocks)),
    }
}

/// The blocks, as paths of kinds, for which `holds` is true.
fn homes(root: &'static Block, holds: &dyn Fn(&Block) -> bool) -> Vec<String> {
    fn walk(block: &'static Block, path: &str, holds: &dyn Fn(&Block) -> bool, found: &mut Vec<String>) {
        if holds(block) {
            found.push(if path.is_empty() {
                "the spec itself, outside every block".to_owned()
            } else {
                format!("`{path}`")
            });
        }
        for inner in block.blocks {
            walk(inner, &joined(path, inner.kind), holds, found);
        }
    }
    let mut found = Vec::new();
    walk(root, "", holds, &mut found);
    found
}

/// What is wrong with a block's name, if anything.
pub(super) fn misnamed(schema: &Block, parent: &Block, name: Option<&Spanned<String>>, word: Span) -> Option<Diag> {
    let kind = schema.kind;
    let Some(name) = name else {
        return (schema.arity == Arity::Named).then(|| {
            Diag::error("name/wanted", word, format!("a `{kind}` wants a name; a lamp may have several"))
                .label("which one?")
                .help(format!("write `{kind} NAME {{`, with a name of your own such as `red`"))
        });
    };
    let text = &name.value;
    if schema.arity != Arity::Named {
        return Some(
            Diag::error("name/not-wanted", name.span, format!("a lamp has one `{kind}`; it takes no name"))
                .label("not needed")
                .help(match schema.part {
                    true => format!("write `{kind} {{`, or `{kind} is {text} {{` if `{text}` is a part"),
                    false => format!("write `{kind} {{`"),
                }),
        );
    }
    if !is_name(text) {
        return Some(
            Diag::error("name/spelling", name.span, format!("`{text}` cannot be a name"))
                .label("a name has small letters, digits and hyphens")
                .help(format!("write `{kind} {} {{`", simple(text))),
        );
    }
    if parent.property(text).is_some() || parent.block(text).is_some_and(|b| b.arity != Arity::Named) {
        return Some(
            Diag::error("name/taken", name.span, format!("`{text}` is a word of {} already", self::kind(parent)))
                .label("a path could not tell the two apart")
                .help("choose another name"),
        );
    }
    None
}

/// Something said twice in one block.
pub(super) fn twice(what: &str, span: Span, first: Span) -> Diag {
    Diag::error("name/twice", span, format!("{what} stands twice"))
        .label("again")
        .also(first, "first here")
        .help("keep one of the two")
}

/// What may stand between a block's kind and its brace.
type NameAndPart = (Option<Spanned<String>>, Option<Spanned<String>>);

/// `channel`, `channel red`, `supply is closed-24v`, `die red is deep`: name and part of a block.
pub(super) fn name_and_part(head: &[super::syntax::Head]) -> Option<NameAndPart> {
    let word = |h: &super::syntax::Head| (!h.quoted).then(|| h.text.clone());
    let is = |h: &super::syntax::Head| !h.quoted && h.text.value == "is";
    match head {
        [] => Some((None, None)),
        [name] if !is(name) => Some((Some(name.text.clone()), None)),
        [joint, part] if is(joint) => Some((None, Some(word(part)?))),
        [name, joint, part] if is(joint) => Some((Some(name.text.clone()), Some(word(part)?))),
        _ => None,
    }
}

/// A head that is none of these.
pub(super) fn bad_head(word: &Spanned<String>, open: Span) -> Diag {
    let kind = &word.value;
    Diag::error("syntax/block-head", word.span.to(open), format!("too much stands between `{kind}` and its brace"))
        .label("opens here")
        .help(format!("write `{kind} {{`, `{kind} NAME {{` or `{kind} is PART {{`"))
}

/// `kinds of part: ...`, or that there are none.
pub(super) fn one_of<'c>(what: &str, words: impl IntoIterator<Item = &'c str>) -> String {
    let list = any_of(words);
    if list.is_empty() { format!("there are no {what}") } else { format!("{what}: {list}") }
}
