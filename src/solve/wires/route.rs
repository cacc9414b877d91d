//! Which conductors a lamp has, in the order they are fitted: earth, line, neutral, low voltage, signals.

use crate::lamp::Lamp;
use crate::lamp::given::Found;
use crate::lamp::mains::Mains;
use crate::quantity::Amperes;
use crate::schema::words::{Class, Common, Lane, Pole, ShutoffKind, Side, SwitchPlace};
use crate::solve::battery;
use crate::solve::drive::ChannelSolution;
use crate::solve::feed::Feed;
use crate::solve::line::Line;

use super::{Role, WireZone};

/// A conductor before it has a size.
pub(super) struct Route {
    pub(super) name: String,
    pub(super) from: String,
    pub(super) to: String,
    pub(super) carries: String,
    pub(super) role: Role,
    pub(super) zone: WireZone,
    pub(super) current: Found<Amperes>,
    /// Symbol and ledger path of what its current follows from.
    pub(super) current_from: Vec<(&'static str, String)>,
}

impl Route {
    /// Whether it is a bond to protective earth.
    pub(super) fn is_earth(&self) -> bool {
        self.role == Role::Earth
    }
}

/// Every conductor that follows from the lamp.
pub(super) fn all(lamp: &Lamp, channels: &[ChannelSolution], feed: &Feed, line: Option<&Line>) -> Vec<Route> {
    let mut routes = Vec::new();
    if let (Some(mains), Some(line)) = (&lamp.mains, line) {
        routes.extend(earth(mains));
        routes.extend(live(mains, line, Pole::Line));
        routes.extend(live(mains, line, Pole::Neutral));
    }
    routes.extend(low_voltage(lamp, feed));
    routes.extend(strings(lamp, channels));
    routes.extend(signals(lamp));
    routes
}

/// A bond from the earth terminal to each bonded part, each with its own wire.
fn earth(mains: &Mains) -> Vec<Route> {
    if mains.class.value != Some(Class::I) {
        return Vec::new();
    }
    let bonded = mains.metal.iter().filter(|m| m.bonded.value == Some(true));
    bonded
        .map(|metal| Route {
            name: format!("earth-{}", metal.name),
            from: "entry.PE".into(),
            to: format!("{}.earth", metal.name),
            carries: "protective earth".into(),
            role: Role::Earth,
            zone: WireZone::Mains,
            current: Ok(Amperes::ZERO),
            current_from: Vec::new(),
        })
        .collect()
}

/// From the entry through fuse and switch, as far as they open this pole, to the supply.
fn live(mains: &Mains, line: &Line, pole: Pole) -> Vec<Route> {
    let (letter, word, role) = match pole {
        Pole::Neutral => ("N", "neutral", Role::Neutral),
        _ => ("L", "line", Role::Line),
    };
    let mut stops = vec![("entry", "")];
    if mains.fuse.as_ref().is_some_and(|f| f.opens(pole)) {
        stops.push(("fuse", "fused-"));
    }
    let in_body = mains.switch.as_ref().filter(|s| s.place.value == Some(SwitchPlace::Body));
    if in_body.is_some_and(|s| s.opens(pole)) {
        stops.push(("switch", "switched-"));
    }
    let targets = stops.iter().skip(1).map(|(stop, _)| format!("{stop}.{letter}-in"));
    let targets = targets.chain([format!("supply.{letter}")]);
    let pairs = stops.iter().zip(targets);
    pairs
        .map(|((stop, prefix), to)| Route {
            name: format!("{prefix}{word}"),
            from: if *stop == "entry" { format!("entry.{letter}") } else { format!("{stop}.{letter}-out") },
            to,
            carries: word.into(),
            role: role.clone(),
            zone: WireZone::Mains,
            current: line.current.clone(),
            current_from: vec![("I", "line.current".into())],
        })
        .collect()
}

fn low(name: &str, from: String, to: &str, carries: String, role: Role, current: (Found<Amperes>, &str)) -> Route {
    Route {
        name: name.into(),
        from,
        to: to.into(),
        carries,
        role,
        zone: WireZone::LowVoltage,
        current: current.0,
        current_from: vec![("I", current.1.into())],
    }
}

/// From the supply, or from the entry where the supply stays outside, to driver and controller.
fn low_voltage(lamp: &Lamp, feed: &Feed) -> Vec<Route> {
    let outside = lamp.mains.is_none() || lamp.supply.place.value == Some(Side::Outside);
    let battery = battery::inside(lamp);
    let fused = battery && lamp.supply.battery.as_ref().is_some_and(|b| b.fuse.is_some());
    let (source, minus_of) = match (battery, fused) {
        (true, true) => ("fuse.out", "battery.-"),
        (true, false) => ("battery.+", "battery.-"),
        _ if outside => ("entry.+", "entry.-"),
        _ => ("supply.+", "supply.-"),
    };
    let plus = lamp
        .supply
        .output
        .nominal()
        .map_or_else(|_| "supply plus".to_owned(), |u| format!("{} plus", crate::figures::stated(u.value(), "V")));
    let minus = "0 V".to_owned();
    let whole = || (feed.current_most.clone(), "feed.current-most");
    // The controller has wires of its own from the same terminals: what it takes does not pass the driver's.
    let channels = || (feed.channels_most.clone(), "feed.channels-most");
    let mut routes = Vec::new();
    if fused {
        let carries = format!("{plus}, straight from the battery");
        routes.push(low("battery-plus", "battery.+".into(), "fuse.in", carries, Role::Plus, whole()));
    }
    let cut = lamp.driver.shutoff.as_ref().is_some_and(|s| s.kind.value == Some(ShutoffKind::SupplySwitch));
    if cut {
        let out = "shutoff.out".to_owned();
        routes.push(low("supply-plus", source.to_owned(), "shutoff.in", plus.clone(), Role::Plus, channels()));
        routes.push(low("switched-plus", out, "driver.+", format!("{plus}, switched"), Role::Plus, channels()));
    } else {
        routes.push(low("supply-plus", source.to_owned(), "driver.+", plus.clone(), Role::Plus, channels()));
    }
    routes.push(low("supply-minus", minus_of.to_owned(), "driver.-", minus.clone(), Role::Minus, channels()));
    if let Some(controller) = &lamp.controller {
        let current = || {
            let current = controller.power.high().and_then(|p| Ok(p / feed.lowest.clone()?));
            (current, "controller.power")
        };
        let carries = format!("{plus}, through the controller's converter");
        routes.push(low("controller-plus", source.to_owned(), "controller.+", carries, Role::Plus, current()));
        routes.push(low("controller-minus", minus_of.to_owned(), "controller.-", minus, Role::Minus, current()));
    }
    routes
}

/// Two wires a channel; where the emitter shares a terminal, one wire carries that side of all.
fn strings(lamp: &Lamp, channels: &[ChannelSolution]) -> Vec<Route> {
    let common = lamp.emitter.common.value.unwrap_or(Common::None);
    let mut routes = Vec::new();
    if let (Common::Anode | Common::Cathode, Some(first)) = (common, channels.first()) {
        routes.push(shared(common, channels, &first.name));
    }
    for channel in channels {
        let name = &channel.name;
        let (current, path) = (channel.most_current(), channel.most_current_path());
        let string = |end: &str, word: &str, role, from: String, to: String| Route {
            name: format!("{name}-{word}"),
            from,
            to,
            carries: format!("{name} string {end}"),
            role,
            zone: WireZone::LowVoltage,
            current: current.clone(),
            current_from: vec![("I", path.clone())],
        };
        if common != Common::Anode {
            let (from, to) = (format!("driver.{name}+"), format!("emitter.{name}+"));
            routes.push(string("+", "plus", Role::StringPlus(name.clone()), from, to));
        }
        if common != Common::Cathode {
            let (from, to) = (format!("emitter.{name}-"), format!("driver.{name}-"));
            routes.push(string("-", "minus", Role::StringMinus(name.clone()), from, to));
        }
    }
    routes
}

fn shared(common: Common, channels: &[ChannelSolution], first: &str) -> Route {
    let current: Found<Amperes> = channels.iter().map(ChannelSolution::most_current).sum();
    let (sign, word, role) = match common {
        Common::Anode => ("+", "plus", Role::StringPlus(first.into())),
        _ => ("-", "minus", Role::StringMinus(first.into())),
    };
    let (driver, emitter) = (format!("driver.{sign}out"), format!("emitter.common{sign}"));
    let (from, to) = if common == Common::Anode { (driver, emitter) } else { (emitter, driver) };
    Route {
        name: format!("common-{word}"),
        from,
        to,
        carries: format!("all strings {sign}"),
        role,
        zone: WireZone::LowVoltage,
        current,
        current_from: channels.iter().map(|c| ("I", c.most_current_path())).collect(),
    }
}

/// From each pin that the lamp uses to the driver.
fn signals(lamp: &Lamp) -> Vec<Route> {
    let Some(controller) = &lamp.controller else { return Vec::new() };
    let signal = |name: String, pin: &str, to: String, carries: String, role| Route {
        name,
        from: format!("controller.{pin}"),
        to,
        carries,
        role,
        zone: WireZone::Signal,
        current: controller.pin_limit.high(),
        current_from: vec![("I at most", "controller.pin-limit".into())],
    };
    let mut routes = Vec::new();
    for channel in &lamp.driver.channels {
        let name = &channel.name;
        if let Some(pin) = &channel.pin.value {
            let (to, carries) = (format!("driver.{name}-in"), format!("{name} control"));
            routes.push(signal(format!("{name}-control"), pin, to, carries, Role::Control(name.clone())));
        }
    }
    if let Some(shutoff) = &lamp.driver.shutoff
        && let Some(pin) = &shutoff.pin.value
    {
        let to = match shutoff.kind.value {
            Some(ShutoffKind::SupplySwitch) => "shutoff.control",
            _ => "driver.enable",
        };
        routes.push(signal("shutoff".into(), pin, to.into(), "shut-off".into(), Role::Shutoff));
    }
    routes
}

/// Runs with both ends written that are none of the lamp's own wires.
pub(super) fn extra(lamp: &Lamp, own: &[Route]) -> Vec<Route> {
    let stray = lamp.wiring.runs.iter().filter(|run| own.iter().all(|r| r.name != run.name));
    let ends = stray.filter_map(|run| Some((run, run.from.value.clone()?, run.to.value.clone()?)));
    ends.map(|(run, from, to)| Route {
        name: run.name.clone(),
        from,
        to,
        carries: run.carries.value.clone().unwrap_or_else(|| run.name.clone()),
        role: Role::Extra,
        zone: match run.lane.value {
            Some(Lane::Mains) => WireZone::Mains,
            Some(Lane::LowVoltage) => WireZone::LowVoltage,
            _ => WireZone::Signal,
        },
        current: run.current.high(),
        current_from: vec![("I", run.current.path.clone())],
    })
    .collect()
}
