//! One block of a `Document` to typed figures, property by property.

use crate::diag::Span;
use crate::language::document::{Date, Node, Origin, Spread as Raw, Value};
use crate::quantity::Quantity;
use crate::schema::words::Word;
use crate::spread::Spread;

use super::given::Given;

/// Reads the properties of one block.
pub(super) struct Block<'a> {
    node: Option<&'a Node>,
    span: Span,
    path: String,
}

impl<'a> Block<'a> {
    /// The block as it stands in the lamp; `path` is its full path.
    pub(super) fn new(node: &'a Node, path: impl Into<String>) -> Self {
        Self { node: Some(node), span: node.span, path: path.into() }
    }

    /// The single block of this kind inside, written or made of defaults; an empty one where there is none.
    pub(super) fn inner(&self, kind: &str) -> Block<'a> {
        let node = self.node.and_then(|n| n.node(kind));
        Block { node, span: node.map_or(self.span, |n| n.span), path: join(&self.path, kind) }
    }

    /// The single block of this kind inside, read, if the author wrote it or a part brought it.
    pub(super) fn optional<T>(&self, kind: &str, read: impl Fn(&Block<'a>) -> T) -> Option<T> {
        let block = self.inner(kind);
        block.node.is_some_and(|n| n.written).then(|| read(&block))
    }

    /// The named blocks of this kind inside, each read with its name, in the order written.
    pub(super) fn named<T>(&self, kind: &str, read: impl Fn(String, &Block<'a>) -> T) -> Vec<T> {
        let of_kind = self.node.into_iter().flat_map(|n| &n.nodes).filter(|n| n.schema.kind == kind);
        let named = of_kind.filter_map(|n| Some((&n.name.as_ref()?.value, n)));
        named.map(|(name, n)| read(name.clone(), &Block::new(n, join(&self.path, name)))).collect()
    }

    /// Where the block opens.
    pub(super) fn span(&self) -> Span {
        self.span
    }

    /// The part the block starts from.
    pub(super) fn part(&self) -> Option<String> {
        self.node.and_then(|n| n.part.as_ref()).map(|p| p.value.clone())
    }

    fn given<T>(&self, name: &str, take: impl Fn(&Value) -> Option<T>) -> Given<T> {
        let entry = self.node.and_then(|n| n.entry(name));
        let path = join(&self.path, name);
        match entry {
            None => Given { value: None, unknown: false, written: false, path, span: self.span },
            Some(e) => Given {
                value: take(&e.value),
                unknown: e.value == Value::Unknown,
                written: e.origin != Origin::Default,
                path,
                span: e.span,
            },
        }
    }

    pub(super) fn quantity<Q: Quantity>(&self, name: &str) -> Given<Spread<Q>> {
        self.given(name, |v| match v {
            Value::Quantity(s) | Value::QuantityAt(s, _) => Some(typed(*s)),
            _ => None,
        })
    }

    /// A quantity and the condition it holds at.
    pub(super) fn quantity_at<Q: Quantity, A: Quantity>(&self, name: &str) -> Given<(Spread<Q>, A)> {
        self.given(name, |v| match v {
            Value::QuantityAt(s, at) => Some((typed(*s), A::si(*at))),
            _ => None,
        })
    }

    pub(super) fn ratio(&self, name: &str) -> Given<f64> {
        self.given(name, |v| match v {
            Value::Quantity(s) => Some(s.nominal),
            _ => None,
        })
    }

    pub(super) fn count(&self, name: &str) -> Given<u32> {
        self.given(name, |v| match v {
            Value::Count(n) => u32::try_from(*n).ok(),
            _ => None,
        })
    }

    pub(super) fn word<W: Word>(&self, name: &str) -> Given<W> {
        self.given(name, |v| match v {
            Value::Word(w) => W::from_word(w),
            _ => None,
        })
    }

    pub(super) fn words<W: Word>(&self, name: &str) -> Given<Vec<W>> {
        self.given(name, |v| match v {
            Value::List(words) => Some(words.iter().filter_map(|w| W::from_word(w)).collect()),
            _ => None,
        })
    }

    pub(super) fn yes_no(&self, name: &str) -> Given<bool> {
        self.given(name, |v| match v {
            Value::YesNo(b) => Some(*b),
            _ => None,
        })
    }

    pub(super) fn text(&self, name: &str) -> Given<String> {
        self.given(name, |v| match v {
            Value::Text(t) | Value::Reference(t) => Some(t.clone()),
            _ => None,
        })
    }

    pub(super) fn date(&self, name: &str) -> Given<Date> {
        self.given(name, |v| match v {
            Value::Date(d) => Some(*d),
            _ => None,
        })
    }

    /// Points of a closed run.
    pub(super) fn points<Q: Quantity>(&self, name: &str) -> Given<Vec<Vec<Q>>> {
        self.given(name, |v| match v {
            Value::Points(points) => Some(points.iter().map(|l| l.iter().map(|&v| Q::si(v)).collect()).collect()),
            _ => None,
        })
    }

    /// One to three lengths, or the coordinates of a point.
    pub(super) fn lengths<Q: Quantity>(&self, name: &str) -> Given<Vec<Q>> {
        self.given(name, |v| match v {
            Value::Size(l) | Value::Point(l) => Some(l.iter().map(|&v| Q::si(v)).collect()),
            _ => None,
        })
    }
}

fn typed<Q: Quantity>(raw: Raw) -> Spread<Q> {
    Spread { low: Q::si(raw.low), nominal: Q::si(raw.nominal), high: Q::si(raw.high) }
}

fn join(path: &str, name: &str) -> String {
    if path.is_empty() { name.to_owned() } else { [path, ".", name].concat() }
}
