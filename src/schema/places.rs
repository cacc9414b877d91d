//! The words about places: sides of the body, how a part lies, how a component sits on a board.

use super::Choice;
use super::words::{Word, words};

words! {
    /// A side of the body, seen from the front.
    Face {
        Left = "left" "towards negative x",
        Right = "right" "towards positive x",
        Bottom = "bottom" "towards negative y",
        Top = "top" "towards positive y",
        Back = "back" "towards negative z, away from the light",
        Front = "front" "towards the light",
    }
    /// How a part lies: the axes its first, second and third size point along.
    Turn {
        Xyz = "xyz" "as its size is written",
        Xzy = "xzy" "first along x, second along z, third along y",
        Yxz = "yxz" "first along y, second along x, third along z",
        Yzx = "yzx" "first along y, second along z, third along x",
        Zxy = "zxy" "first along z, second along x, third along y",
        Zyx = "zyx" "first along z, second along y, third along x",
    }
    /// How a component sits on a perforated board of 2.54 mm.
    Package {
        AxialEighth = "axial-eighth" "lying resistor of 1/8 W: 3 steps",
        AxialQuarter = "axial-quarter" "lying resistor of 1/4 W: 4 steps",
        AxialHalf = "axial-half" "lying resistor of 1/2 W: 5 steps",
        AxialOne = "axial-one" "lying resistor of 1 W: 7 steps",
        SmallDiode = "do-35" "small lying diode: 3 steps",
        Diode = "do-41" "lying diode of 1 A: 5 steps",
        Dip = "dip" "dual in line, 300 mil: 4 rows",
        WideDip = "wide-dip" "dual in line, 600 mil: 7 rows",
        To92 = "to-92" "small transistor, legs spread to 2.54 mm",
        To220 = "to-220" "power transistor, upright, 10.2 x 4.6 mm",
        Radial = "radial" "upright capacitor or drum coil, by its diameter",
        Film = "film" "box film capacitor, by its body and steps",
        Header = "header" "row of pins or sockets, one hole a pin",
        ScrewTerminal = "screw-terminal" "screw terminals, 5.08 mm a pole, 10 mm deep",
        Module = "module" "bought board or shielded coil, by its body",
    }
}
