//! The words a property may take, each an enum with its spelling and meaning; the schema and the lamp share them.

use super::Choice;

macro_rules! words {
    ($($(#[$doc:meta])* $name:ident { $($variant:ident = $word:literal $meaning:literal,)+ })+) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
        pub enum $name { $(#[doc = $meaning] #[serde(rename = $word)] $variant,)+ }

        impl $name {
            /// Every word with its meaning, in the order shown.
            pub const CHOICES: &'static [Choice] = &[$(Choice { word: $word, doc: $meaning },)+];
        }
        impl Word for $name {
            fn from_word(word: &str) -> Option<Self> {
                match word { $($word => Some(Self::$variant),)+ _ => None }
            }
            fn word(self) -> &'static str {
                match self { $(Self::$variant => $word,)+ }
            }
        }
    )+};
}

pub(super) use words;

pub use super::places::{Face, Package, Turn};

/// An enum of words of the language.
pub trait Word: Copy {
    /// The variant spelled so.
    fn from_word(word: &str) -> Option<Self>;
    /// Its spelling.
    fn word(self) -> &'static str;
}

words! {
    /// Where the lamp is sold and wired: conductor colours, terms, paper and tables follow it.
    Region {
        Eu = "eu" "IEC and EN practice, 230 V",
        Uk = "uk" "BS and IEC practice, 230 V, fused plug",
        Us = "us" "North American practice, 120 V",
    }
    /// Surroundings.
    Place {
        IndoorDry = "indoor-dry" "a dry room",
        IndoorDamp = "indoor-damp" "bathroom, cellar, porch",
        Outdoor = "outdoor" "open to the weather",
    }
    /// How the lamp is held.
    Mount {
        Table = "table" "stands on a table or shelf",
        Floor = "floor" "stands on the floor",
        Wall = "wall" "fixed to a wall",
        Ceiling = "ceiling" "fixed under a ceiling",
        Pendant = "pendant" "hangs on its cord",
    }
    /// What the light does when power returns.
    PowerReturn {
        Off = "off" "stays dark",
        Last = "last" "takes up its last level",
        On = "on" "comes on at full",
    }
    /// Protection against electric shock, IEC 61140.
    Class {
        I = "I" "basic insulation, and every touchable metal part on protective earth",
        II = "II" "double or reinforced insulation, no protective earth",
        III = "III" "fed by safety extra-low voltage only",
    }
    /// Build of the mains cord.
    CordBuild {
        LightRound = "light-round" "light PVC, round: H03VV-F",
        FlatTwin = "flat-twin" "light PVC, flat, two cores: H03VVH2-F",
        Round = "round" "ordinary PVC, round: H05VV-F",
        FlatOrdinary = "flat-ordinary" "ordinary PVC, flat: H05VVH2-F",
        Rubber = "rubber" "heavy rubber for damp places: H07RN-F",
        LampFlat = "lamp-flat" "parallel lamp cord: SPT-1",
        LampFlatHeavy = "lamp-flat-heavy" "parallel lamp cord, thick wall: SPT-2",
        LightJacketed = "light-jacketed" "jacketed, round: SVT",
        Jacketed = "jacketed" "jacketed, junior hard service: SJT",
    }
    /// The plug, by its standard sheet.
    Plug {
        En50075 = "en-50075" "flat 2.5 A plug for class II, reversible",
        Cee716 = "cee-7-16" "same as en-50075, by its older sheet",
        Cee74 = "cee-7-4" "16 A with side earth contacts, reversible",
        Cee77 = "cee-7-7" "16 A with side and pin earth, reversible in side-earthed sockets",
        Cee717 = "cee-7-17" "16 A without earth, for class II, reversible",
        Bs1363 = "bs-1363" "fused three-pin plug",
        Nema115 = "nema-1-15" "two blades, reversible",
        Nema115P = "nema-1-15p" "two blades, one wide: goes in one way",
        Nema515 = "nema-5-15" "two blades and earth",
    }
    /// What holds the cord.
    Anchorage {
        Clamp = "clamp" "a clamp or bridge of insulating stuff",
        Gland = "gland" "a cable gland",
        Knot = "knot" "a knot in the cord",
        Glue = "glue" "glue or hot-melt",
        None = "none" "nothing",
    }
    /// How quickly a fuse acts, IEC 60127.
    FuseSpeed {
        VeryQuick = "very-quick" "FF",
        Quick = "quick" "F",
        Medium = "medium" "M",
        TimeLag = "time-lag" "T",
        LongTimeLag = "long-time-lag" "TT",
    }
    /// What short-circuit current a fuse can break, IEC 60127.
    Breaking {
        Low = "low" "L: 35 A or ten times the rating",
        Enhanced = "enhanced" "E: 150 A",
        High = "high" "H: 1500 A",
    }
    /// Which conductor a fuse or switch opens.
    Pole {
        Line = "line" "the line conductor",
        Neutral = "neutral" "the neutral conductor",
        Both = "both" "line and neutral",
    }
    /// Where the mains switch sits.
    SwitchPlace {
        Body = "body" "in the lamp",
        Cord = "cord" "in the cord",
    }
    /// Appliance inlet, IEC 60320.
    InletKind {
        C6 = "c6" "2.5 A, with earth",
        C8 = "c8" "2.5 A, without earth",
        C10 = "c10" "6 A, without earth",
        C14 = "c14" "10 A, with earth",
        C16 = "c16" "10 A, with earth, hot",
        C18 = "c18" "10 A, without earth",
        C20 = "c20" "16 A, with earth",
    }
    /// Insulation between live parts and something else.
    Insulation {
        None = "none" "none that counts",
        Basic = "basic" "one layer, rated for the voltage",
        Double = "double" "two independent layers",
        Reinforced = "reinforced" "one layer as good as two",
    }
    /// What the stranded ends of the mains wires wear.
    WireEnds {
        Ferrule = "ferrule" "crimped ferrules",
        Bare = "bare" "bare strands, twisted",
        Tinned = "tinned" "strands soldered together",
        Crimped = "crimped" "crimped push-on receptacles",
    }
    /// Terminals of the mains side.
    Terminals {
        Screw = "screw" "screws that press on the wire",
        Spring = "spring" "spring clamps",
        PushOn = "push-on" "tabs",
    }
    /// Where a part sits.
    Side {
        Inside = "inside" "inside the body",
        Outside = "outside" "outside the body",
    }
    /// What a battery stores charge in.
    Chemistry {
        LeadAcid = "lead-acid" "lead-acid, sealed or wet: 2 V a cell",
        IronPhosphate = "iron-phosphate" "lithium iron phosphate: 3.2 V a cell",
        LithiumIon = "lithium-ion" "lithium with cobalt, nickel or manganese: 3.6 V a cell",
        NickelHydride = "nickel-hydride" "nickel-metal hydride: 1.2 V a cell",
    }
    /// What keeps plus from minus when a battery is joined.
    Polarity {
        Keyed = "keyed" "a plug that goes in one way only",
        Blocked = "blocked" "a diode or transistor in the plus wire that blocks when turned round",
        Crowbar = "crowbar" "a diode across the wires that blows the fuse when turned round",
        None = "none" "nothing but care",
    }
    /// Level of a pin while the controller starts.
    Boot {
        Floating = "floating" "high impedance",
        Low = "low" "driven low",
        High = "high" "driven high",
        Toggles = "toggles" "pulses",
    }
    /// Level a pin must read while the controller starts.
    Strap {
        None = "none" "any",
        Low = "low" "must read low, or it does not start",
        High = "high" "must read high, or it does not start",
    }
    /// What a pin can do.
    PinUse {
        Both = "both" "input and output",
        InputOnly = "input-only" "input only",
    }
    /// Pull inside the controller at reset, or on the board.
    Pull {
        None = "none" "none",
        Up = "up" "to the logic supply",
        Down = "down" "to ground",
    }
    /// How a channel's current is made.
    Topology {
        BallastResistor = "ballast-resistor" "string, resistor and a switch to ground from a fixed voltage",
        LinearSink = "linear-sink" "amplifier, transistor and sense resistor hold the current",
        HystereticSink = "hysteretic-sink" "comparator, switch, inductor and diode below the string, sense in the switch's path",
        BuckModule = "buck-module" "a bought step-down constant-current module for each channel",
    }
    /// What tells a channel its level.
    Reference {
        FilteredPwm = "filtered-pwm" "pulse-width modulation through a low-pass filter sets the current",
        PwmGate = "pwm-gate" "pulse-width modulation turns the whole current on and off",
        Fixed = "fixed" "nothing: always at its set current",
    }
    /// A terminal that the dice of an emitter share.
    Common {
        None = "none" "each die has both ends free",
        Anode = "anode" "all anodes joined",
        Cathode = "cathode" "all cathodes joined",
    }
    /// What an open control input does.
    OpenInput {
        Off = "off" "dark",
        On = "on" "full",
    }
    /// What takes all current away when the lamp is off.
    ShutoffKind {
        Enable = "enable" "an enable input that stops every channel",
        SupplySwitch = "supply-switch" "a switch in the low-voltage supply",
    }
    /// Shape of the body.
    Body {
        Cylinder = "cylinder" "diameter x length",
        Box = "box" "width x height x depth",
        Sphere = "sphere" "diameter; flat in front where an opening is written",
        Dome = "dome" "diameter of a half sphere, flat in front",
        Cone = "cone" "diameter above x diameter below x height, its front below",
    }
    /// Where the front of the body looks.
    Front {
        Up = "up" "to the ceiling",
        Down = "down" "to the floor",
        Side = "side" "to a side",
    }
    /// How the fins of a sink stand.
    FinsStand {
        Vertical = "vertical" "base upright, fins up and down: the best way",
        Up = "up" "base lies, fins point up",
        Down = "down" "base lies, fins point down",
        Cross = "cross" "base upright, fins lie across, or have a wall before them",
    }
    /// Material of the body.
    BodyMaterial {
        Pla = "pla" "polylactide, printed",
        Petg = "petg" "glycol-modified polyester, printed",
        Abs = "abs" "acrylonitrile-butadiene-styrene",
        Asa = "asa" "acrylonitrile-styrene-acrylate",
        Polycarbonate = "polycarbonate" "polycarbonate",
        Pa12 = "pa12" "polyamide 12",
        Plywood = "plywood" "plywood",
        Softwood = "softwood" "softwood",
        Oak = "oak" "oak",
        Ceramic = "ceramic" "glazed ceramic",
        Glass = "glass" "soda-lime glass",
        Aluminium = "aluminium" "aluminium",
        Steel = "steel" "painted steel",
        Brass = "brass" "brass",
    }
    /// Stated behaviour in fire.
    Flame {
        None = "none" "nothing stated",
        Hb = "hb" "UL 94 HB",
        V2 = "v-2" "UL 94 V-2",
        V1 = "v-1" "UL 94 V-1",
        V0 = "v-0" "UL 94 V-0",
        GlowWire650 = "glow-wire-650" "passes the 650 °C glow wire",
        GlowWire850 = "glow-wire-850" "passes the 850 °C glow wire",
    }
    /// How the body opens.
    Lid {
        Tool = "tool" "only with a tool",
        Hand = "hand" "by hand",
        None = "none" "cannot be opened",
    }
    /// What lies behind an opening.
    Zone {
        Mains = "mains" "live parts",
        LowVoltage = "low-voltage" "extra-low voltage only",
    }
    /// What a conductor belongs to.
    Lane {
        Mains = "mains" "live at mains voltage",
        LowVoltage = "low-voltage" "extra-low voltage, carrying power",
        Signal = "signal" "extra-low voltage, carrying a signal",
    }
    /// Outline of the diffuser.
    OutlineKind {
        Disc = "disc" "a disc",
        Ring = "ring" "a disc with a round opening",
        RoundedRectangle = "rounded-rectangle" "a rectangle with rounded corners",
        Polygon = "polygon" "a regular polygon; its diameter is across corners",
        Ellipse = "ellipse" "an ellipse",
        Path = "path" "a closed run of lines and arcs through its points",
    }
    /// What is engraved on the sheet.
    MarkKind {
        Datum = "datum" "a cross at the point that measures start from",
        Top = "top" "an arrow and the word TOP",
        Revision = "revision" "the revision of the lamp",
    }
    /// Where the zero of a tool path lies.
    PathOrigin {
        Corner = "corner" "lower left corner of the box around the finished piece",
        Centre = "centre" "centre of the sheet",
    }
    /// Material of the diffuser sheet.
    SheetMaterial {
        OpalAcrylic = "opal-acrylic" "opal PMMA",
        ClearAcrylic = "clear-acrylic" "clear PMMA",
        Polycarbonate = "polycarbonate" "polycarbonate",
        Polystyrene = "polystyrene" "polystyrene",
        Petg = "petg" "PETG sheet",
        Pvc = "pvc" "PVC sheet",
        Glass = "glass" "soda-lime glass",
    }
    /// What cuts the sheet.
    Cutter {
        Laser = "laser" "laser",
        Router = "router" "milling cutter",
        Saw = "saw" "fret saw or band saw, then a file",
        Glazier = "glazier" "cut, drilled and ground by a glazier",
    }
    /// Preferred number series, IEC 60063.
    Series {
        E3 = "e3" "3 a decade",
        E6 = "e6" "6 a decade",
        E12 = "e12" "12 a decade",
        E24 = "e24" "24 a decade",
        E48 = "e48" "48 a decade",
        E96 = "e96" "96 a decade",
        E192 = "e192" "192 a decade",
    }
    /// Paper in the printer.
    PaperSize {
        A4 = "a4" "210 x 297 mm",
        Letter = "letter" "8.5 x 11 in",
    }
    /// Instruments at hand.
    Instrument {
        Meter = "meter" "a multimeter",
        SecondMeter = "second-meter" "a second multimeter",
        BenchSupply = "bench-supply" "a bench supply with a current limit",
        Oscilloscope = "oscilloscope" "an oscilloscope",
        InsulationTester = "insulation-tester" "an insulation tester, 500 V",
        EarthTester = "earth-tester" "an earth continuity tester, 10 A or more",
        ResidualCurrentDevice = "residual-current-device" "a residual-current device, 30 mA or less",
        PowerMeter = "power-meter" "a plug-in power meter",
        Thermometer = "thermometer" "a thermocouple or contact thermometer",
        SpringBalance = "spring-balance" "a spring balance or luggage scale, 150 N",
    }
    /// Colours of conductors, IEC 60757.
    Colour {
        Black = "black" "BK",
        Brown = "brown" "BN",
        Red = "red" "RD",
        Orange = "orange" "OG",
        Yellow = "yellow" "YE",
        Green = "green" "GN",
        Blue = "blue" "BU",
        Violet = "violet" "VT",
        Grey = "grey" "GY",
        White = "white" "WH",
        Pink = "pink" "PK",
        Turquoise = "turquoise" "TQ",
        GreenYellow = "green-yellow" "GNYE",
    }
}
