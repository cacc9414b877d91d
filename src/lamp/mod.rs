//! What the author said, as plain structs: `Document` to `Lamp`. Nothing is computed here.

pub mod board;
pub mod body;
pub mod cutting;
pub mod diffuser;
pub mod driver;
pub mod emitter;
pub mod engine;
pub mod facts;
pub mod given;
pub mod identity;
pub mod layout;
pub mod mains;
pub mod parts;
mod read;
pub mod supply;
pub mod wiring;

use crate::diag::{Diag, Span};
use crate::language::document::Document;

use read::Block;

/// One lamp as its author gave it.
#[derive(Debug, Clone)]
pub struct Lamp {
    /// Its name.
    pub name: String,
    /// Where the spec names it.
    pub span: Span,
    /// The variant laid over.
    pub variant: Option<String>,
    /// `lamp`.
    pub identity: identity::Identity,
    /// `aim`.
    pub aim: identity::Aim,
    /// `mains`; none where mains stays outside.
    pub mains: Option<mains::Mains>,
    /// `supply`.
    pub supply: supply::Supply,
    /// `controller`.
    pub controller: Option<supply::Controller>,
    /// `driver`.
    pub driver: driver::Driver,
    /// `emitter`.
    pub emitter: emitter::Emitter,
    /// `sink`.
    pub sink: Option<body::Sink>,
    /// `enclosure`.
    pub enclosure: body::Enclosure,
    /// `board`.
    pub board: Option<board::Board>,
    /// `layout`.
    pub layout: Option<layout::Layout>,
    /// `diffuser`.
    pub diffuser: Option<diffuser::Diffuser>,
    /// `wiring`.
    pub wiring: wiring::Wiring,
    /// `stock`.
    pub stock: identity::Stock,
    /// `workshop`.
    pub workshop: identity::Workshop,
    /// Facts about the spec itself.
    pub facts: facts::Facts,
}

/// Reads a resolved spec; `diags` are the messages that resolving it gave.
pub fn read(document: &Document, diags: &[Diag]) -> Lamp {
    let root = Block::new(&document.root, "");
    let head = document.root.node("lamp");
    Lamp {
        name: head.and_then(|n| n.name.as_ref()).map_or_else(String::new, |n| n.value.clone()),
        span: head.map_or(document.root.span, |n| n.span),
        variant: document.variant.clone(),
        identity: identity::Identity::read(&root.inner("lamp")),
        aim: identity::Aim::read(&root.inner("aim")),
        mains: root.optional("mains", mains::Mains::read),
        supply: supply::Supply::read(&root.inner("supply")),
        controller: root.optional("controller", supply::Controller::read),
        driver: driver::Driver::read(&root.inner("driver")),
        emitter: emitter::Emitter::read(&root.inner("emitter")),
        sink: root.optional("sink", body::Sink::read),
        enclosure: body::Enclosure::read(&root.inner("enclosure")),
        board: root.optional("board", board::Board::read),
        layout: root.optional("layout", layout::Layout::read),
        diffuser: root.optional("diffuser", diffuser::Diffuser::read),
        wiring: wiring::Wiring::read(&root.inner("wiring")),
        stock: identity::Stock::read(&root.inner("stock")),
        workshop: identity::Workshop::read(&root.inner("workshop")),
        facts: facts::Facts::read(document, diags),
    }
}

impl Lamp {
    /// The die a channel feeds.
    pub fn die(&self, channel: &driver::Channel) -> Option<&emitter::Die> {
        self.engine().die(channel)
    }
    /// The pin that steers a channel.
    pub fn pin(&self, channel: &driver::Channel) -> Option<&supply::Pin> {
        self.engine().pin(channel)
    }
    /// The pin that steers the shut-off.
    pub fn shutoff_pin(&self) -> Option<&supply::Pin> {
        self.engine().shutoff_pin()
    }
    /// Whether a battery feeds it and no mains.
    pub fn runs_on_battery(&self) -> bool {
        self.supply.battery.is_some() && self.mains.is_none()
    }
}
