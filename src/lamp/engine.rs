//! The light engine: what makes the light, what feeds it, the body and the sheet around it; no mains, wires or places.
//! Currents, heat and light follow from it alone: two lamps that agree in it have the same.

use crate::quantity::Temperature;
use crate::schema::words::Mount;
use crate::spread::Spread;

use super::Lamp;
use super::body::{Enclosure, Sink};
use super::diffuser::Diffuser;
use super::driver::{Channel, Driver};
use super::emitter::{Die, Emitter};
use super::given::Given;
use super::identity::{Aim, Stock};
use super::supply::{Controller, Pin, Supply};

/// All of a lamp that its currents, heat and light depend on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Engine<'a> {
    /// `lamp.room`.
    pub room: &'a Given<Spread<Temperature>>,
    /// `lamp.mount`.
    pub mount: &'a Given<Mount>,
    /// `aim`.
    pub aim: &'a Aim,
    /// `supply`.
    pub supply: &'a Supply,
    /// `controller`.
    pub controller: Option<&'a Controller>,
    /// `driver`.
    pub driver: &'a Driver,
    /// `emitter`.
    pub emitter: &'a Emitter,
    /// `sink`.
    pub sink: Option<&'a Sink>,
    /// `enclosure`.
    pub enclosure: &'a Enclosure,
    /// `diffuser`.
    pub diffuser: Option<&'a Diffuser>,
    /// `stock`.
    pub stock: &'a Stock,
}

impl Lamp {
    /// What its light comes from.
    pub fn engine(&self) -> Engine<'_> {
        Engine {
            room: &self.identity.room,
            mount: &self.identity.mount,
            aim: &self.aim,
            supply: &self.supply,
            controller: self.controller.as_ref(),
            driver: &self.driver,
            emitter: &self.emitter,
            sink: self.sink.as_ref(),
            enclosure: &self.enclosure,
            diffuser: self.diffuser.as_ref(),
            stock: &self.stock,
        }
    }
}

impl<'a> Engine<'a> {
    /// The die a channel feeds.
    pub fn die(&self, channel: &Channel) -> Option<&'a Die> {
        let name = channel.feeds.value.as_ref()?;
        self.emitter.dice.iter().find(|d| &d.name == name)
    }
    /// The pin that steers a channel.
    pub fn pin(&self, channel: &Channel) -> Option<&'a Pin> {
        self.pin_named(&channel.pin)
    }
    /// The pin that steers the shut-off.
    pub fn shutoff_pin(&self) -> Option<&'a Pin> {
        self.pin_named(&self.driver.shutoff.as_ref()?.pin)
    }
    fn pin_named(&self, given: &Given<String>) -> Option<&'a Pin> {
        let name = given.value.as_ref()?;
        self.controller?.pins.iter().find(|p| &p.name == name)
    }
}
