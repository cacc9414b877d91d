//! Block `mains`: the cord, its entry, fuse, switch, inlet and the metal parts.

use crate::diag::Span;
use crate::quantity::{AmpereSquareSeconds, Amperes, Hertz, Metres, SquareMetres, Volts};
use crate::schema::words::{
    Anchorage, Breaking, Class, CordBuild, FuseSpeed, InletKind, Insulation, Plug, Pole, SwitchPlace, Terminals,
    WireEnds,
};
use crate::spread::Spread;

use super::given::Given;
use super::read::Block;

/// The mains inside the lamp.
#[derive(Debug, Clone)]
pub struct Mains {
    /// Where the block opens.
    pub span: Span,
    /// `voltage`.
    pub voltage: Given<Spread<Volts>>,
    /// `tolerance`.
    pub tolerance: Given<f64>,
    /// `frequency`.
    pub frequency: Given<Spread<Hertz>>,
    /// `class`.
    pub class: Given<Class>,
    /// `creepage`.
    pub creepage: Given<Spread<Metres>>,
    /// `clearance`.
    pub clearance: Given<Spread<Metres>>,
    /// `shared-board`.
    pub shared_board: Given<bool>,
    /// `ends`.
    pub ends: Given<WireEnds>,
    /// `terminals`.
    pub terminals: Given<Terminals>,
    /// `earth-slack`.
    pub earth_slack: Given<Spread<Metres>>,
    /// `residual-current`.
    pub residual_current: Given<Spread<Amperes>>,
    /// `prospective`.
    pub prospective: Given<Spread<Amperes>>,
    /// `cord`.
    pub cord: Option<Cord>,
    /// `entry`.
    pub entry: Option<Entry>,
    /// `fuse`.
    pub fuse: Option<Fuse>,
    /// `switch`.
    pub switch: Option<Switch>,
    /// `inlet`.
    pub inlet: Option<Inlet>,
    /// `metal`.
    pub metal: Vec<Metal>,
}

impl Mains {
    pub(super) fn read(block: &Block<'_>) -> Self {
        Self {
            span: block.span(),
            voltage: block.quantity("voltage"),
            tolerance: block.ratio("tolerance"),
            frequency: block.quantity("frequency"),
            class: block.word("class"),
            creepage: block.quantity("creepage"),
            clearance: block.quantity("clearance"),
            shared_board: block.yes_no("shared-board"),
            ends: block.word("ends"),
            terminals: block.word("terminals"),
            earth_slack: block.quantity("earth-slack"),
            residual_current: block.quantity("residual-current"),
            prospective: block.quantity("prospective"),
            cord: block.optional("cord", Cord::read),
            entry: block.optional("entry", Entry::read),
            fuse: block.optional("fuse", Fuse::read),
            switch: block.optional("switch", Switch::read),
            inlet: block.optional("inlet", Inlet::read),
            metal: block.named("metal", Metal::read),
        }
    }
}

/// The mains cord.
#[derive(Debug, Clone)]
pub struct Cord {
    /// Where the block opens.
    pub span: Span,
    /// `build`.
    pub build: Given<CordBuild>,
    /// `cores`.
    pub cores: Given<u32>,
    /// `core-area`.
    pub core_area: Given<Spread<SquareMetres>>,
    /// `outer`.
    pub outer: Given<Vec<Metres>>,
    /// `length`.
    pub length: Given<Spread<Metres>>,
    /// `plug`.
    pub plug: Given<Plug>,
    /// `plug-fuse`.
    pub plug_fuse: Given<Spread<Amperes>>,
    /// `bend`.
    pub bend: Given<Spread<Metres>>,
    /// `depth`.
    pub depth: Given<Spread<Metres>>,
}

impl Cord {
    pub(super) fn read(block: &Block<'_>) -> Self {
        Self {
            span: block.span(),
            build: block.word("build"),
            cores: block.count("cores"),
            core_area: block.quantity("core-area"),
            outer: block.lengths("outer"),
            length: block.quantity("length"),
            plug: block.word("plug"),
            plug_fuse: block.quantity("plug-fuse"),
            bend: block.quantity("bend"),
            depth: block.quantity("depth"),
        }
    }
}

/// Where the cord comes in.
#[derive(Debug, Clone)]
pub struct Entry {
    /// `hole`.
    pub hole: Given<Spread<Metres>>,
    /// `bushing`.
    pub bushing: Given<bool>,
    /// `edge-radius`.
    pub edge_radius: Given<Spread<Metres>>,
    /// `anchorage`.
    pub anchorage: Given<Anchorage>,
    /// `clamp-range`.
    pub clamp_range: Given<Spread<Metres>>,
}

impl Entry {
    pub(super) fn read(block: &Block<'_>) -> Self {
        Self {
            hole: block.quantity("hole"),
            bushing: block.yes_no("bushing"),
            edge_radius: block.quantity("edge-radius"),
            anchorage: block.word("anchorage"),
            clamp_range: block.quantity("clamp-range"),
        }
    }
}

/// The fuse inside the lamp.
#[derive(Debug, Clone)]
pub struct Fuse {
    /// Where the block opens.
    pub span: Span,
    /// `rating`.
    pub rating: Given<Spread<Amperes>>,
    /// `speed`.
    pub speed: Given<FuseSpeed>,
    /// `breaking`.
    pub breaking: Given<Breaking>,
    /// `pole`.
    pub pole: Given<Pole>,
    /// `melting`.
    pub melting: Given<Spread<AmpereSquareSeconds>>,
}

impl Pole {
    /// Whether this word takes in that conductor.
    fn takes(self, conductor: Self) -> bool {
        self == conductor || self == Self::Both
    }
}

impl Fuse {
    /// Whether it stands in this conductor; not where nobody says which it opens.
    pub fn opens(&self, conductor: Pole) -> bool {
        self.pole.value.is_some_and(|pole| pole.takes(conductor))
    }

    pub(super) fn read(block: &Block<'_>) -> Self {
        Self {
            span: block.span(),
            rating: block.quantity("rating"),
            speed: block.word("speed"),
            breaking: block.word("breaking"),
            pole: block.word("pole"),
            melting: block.quantity("melting"),
        }
    }
}

/// A switch in the mains.
#[derive(Debug, Clone)]
pub struct Switch {
    /// Where the block opens.
    pub span: Span,
    /// `poles`.
    pub poles: Given<u32>,
    /// `pole`.
    pub pole: Given<Pole>,
    /// `place`.
    pub place: Given<SwitchPlace>,
    /// `rating`.
    pub rating: Given<Spread<Amperes>>,
}

impl Switch {
    /// Whether it opens this conductor: with two poles both, with one its own.
    pub fn opens(&self, conductor: Pole) -> bool {
        self.poles.value >= Some(2) || self.pole.value.is_some_and(|pole| pole.takes(conductor))
    }

    pub(super) fn read(block: &Block<'_>) -> Self {
        Self {
            span: block.span(),
            poles: block.count("poles"),
            pole: block.word("pole"),
            place: block.word("place"),
            rating: block.quantity("rating"),
        }
    }
}

/// An appliance inlet in place of a fixed cord.
#[derive(Debug, Clone)]
pub struct Inlet {
    /// Where the block opens.
    pub span: Span,
    /// `kind`.
    pub kind: Given<InletKind>,
}

impl Inlet {
    pub(super) fn read(block: &Block<'_>) -> Self {
        Self { span: block.span(), kind: block.word("kind") }
    }
}

/// A metal part of the lamp.
#[derive(Debug, Clone)]
pub struct Metal {
    /// Where the block opens.
    pub span: Span,
    /// Its name.
    pub name: String,
    /// `touchable`.
    pub touchable: Given<bool>,
    /// `bonded`.
    pub bonded: Given<bool>,
    /// `insulation`.
    pub insulation: Given<Insulation>,
}

impl Metal {
    pub(super) fn read(name: String, block: &Block<'_>) -> Self {
        Self {
            name,
            span: block.span(),
            touchable: block.yes_no("touchable"),
            bonded: block.yes_no("bonded"),
            insulation: block.word("insulation"),
        }
    }
}
