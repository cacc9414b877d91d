//! A plate-fin sink in any position to its conductance to still air and its radiating area, and the best gap.

use super::air::film;
use super::convection::Law;
use super::radiation::Channel;
use crate::quantity::{
    Metres, Pascals, SquareMetres, Temperature, WattsPerKelvin, WattsPerMetreKelvin, WattsPerSquareMetreKelvin,
};

/// A sink with straight fins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlateFins {
    /// n.
    pub count: u32,
    /// t.
    pub thickness: Metres,
    /// W, across the fins.
    pub width: Metres,
    /// L, along the fins.
    pub length: Metres,
    /// H, base and fins together.
    pub height: Metres,
    /// t_b of the base.
    pub base: Metres,
    /// k.
    pub conductivity: WattsPerMetreKelvin,
    /// ε.
    pub emissivity: f64,
    /// Part of its rear that something covers.
    pub attached: SquareMetres,
}

/// How the fins stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Standing {
    /// Fins run up and down: base upright.
    Vertical,
    /// Base lies, fins point up.
    Up,
    /// Base lies, fins point down.
    Down,
    /// Base upright, fins lie across the way of the air, or the fins have no room before them.
    Cross,
}

/// How a sink gives its heat to the air at one pair of temperatures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Convection {
    /// Elenbaas' number between upright fins, Ra of the gap for fins that point up, else 0.
    pub number: f64,
    /// h in the channels; 0 where they do not count.
    pub channel: WattsPerSquareMetreKelvin,
    /// η of a fin.
    pub efficiency: f64,
    /// G by the channels and the outside faces.
    pub by_fins: WattsPerKelvin,
    /// G of the solid block that the sink fills: a lower bound.
    pub by_envelope: WattsPerKelvin,
    /// The larger of the two.
    pub total: WattsPerKelvin,
}

impl PlateFins {
    /// S = (W − n t)/(n − 1); the whole width where there is one fin.
    pub fn gap(&self) -> Metres {
        let n = f64::from(self.count);
        Metres::si((self.width.value() - n * self.thickness.value()) / (n - 1.0).max(1.0))
    }
    /// H_f = H − t_b.
    pub fn fin_height(&self) -> Metres {
        self.height - self.base
    }
    /// 2 L W + 2 H (L + W): the block it fills.
    fn envelope(&self) -> SquareMetres {
        self.length * self.width * 2.0 + self.height * (self.length + self.width) * 2.0
    }
    /// Rear face that stays bare.
    fn rear(&self) -> SquareMetres {
        (self.length * self.width - self.attached).max(SquareMetres::ZERO)
    }
    /// Volume of its metal.
    pub fn volume(&self) -> f64 {
        let (l, w) = (self.length.value(), self.width.value());
        let fins = f64::from(self.count) * self.thickness.value() * self.fin_height().value();
        l * (w * self.base.value() + fins)
    }

    /// ε·A to the surroundings: each channel by its view factor, the other faces as they are.
    pub fn effective(&self) -> SquareMetres {
        let (n, t, l) = (f64::from(self.count), self.thickness, self.length);
        let high = self.fin_height();
        let channel = Channel { gap: self.gap(), height: high, length: l };
        let plain = l * t * n + high * t * (2.0 * n) + high * l * 2.0 + self.base * (l + self.width) * 2.0;
        channel.effective(self.emissivity) * (n - 1.0) + (plain + self.rear()) * self.emissivity
    }

    /// Conductance to the air: channels by Bar-Cohen and Rohsenow 1984 (upright) or Jones and Smith 1970
    /// (fins up), never less than the solid block. Good for 20 % upright and 30 % in other positions, on the low side.
    pub fn convection(
        &self,
        standing: Standing,
        sink: Temperature,
        around: Temperature,
        pressure: Pascals,
    ) -> Convection {
        let air = film(sink, around, pressure);
        let per_cube = air.buoyancy((sink - around).value());
        let at = Place { pr: air.prandtl(), k: air.conductivity.value(), per_cube };
        let body = at.body(self);
        let envelope = self.by_envelope(standing, &at, body);
        let (number, channel, side) = self.channel(standing, &at, body);
        let (efficiency, by_fins) = if channel > 0.0 {
            let h = WattsPerSquareMetreKelvin::si(channel);
            let efficiency = fin_efficiency(h, self.conductivity, self.thickness, self.fin_height());
            (efficiency, self.by_fins(channel, efficiency, side, body))
        } else {
            (1.0, 0.0)
        };
        Convection {
            number,
            channel: WattsPerSquareMetreKelvin::si(channel),
            efficiency,
            by_fins: WattsPerKelvin::si(by_fins),
            by_envelope: WattsPerKelvin::si(envelope),
            total: WattsPerKelvin::si(by_fins.max(envelope)),
        }
    }

    fn by_envelope(&self, standing: Standing, at: &Place, body: f64) -> f64 {
        let (l, w) = (self.length.value(), self.width.value());
        let sides = 2.0 * self.height.value() * (l + w) + self.rear().value();
        match standing {
            Standing::Down => {
                let length = l * w / (2.0 * (l + w));
                let down = at.nusselt(Law::FaceDown, length) * at.k / length;
                down.min(body) * l * w + body * sides
            }
            _ => body * (l * w + sides),
        }
    }

    /// Number, h in the channels and h on the outer sides.
    fn channel(&self, standing: Standing, at: &Place, body: f64) -> (f64, f64, f64) {
        let (s, l) = (self.gap().value(), self.length.value());
        match standing {
            Standing::Vertical => {
                let number = at.per_cube * s * s * s * s / l;
                let side = at.nusselt(Law::UprightLaminar, l) * at.k / l;
                (number, Law::Channel.nusselt(number, at.pr) * at.k / s, side)
            }
            Standing::Up => {
                let ra = at.per_cube * s * s * s;
                (ra, Law::FinsUp.nusselt(ra, at.pr) * at.k / s, body)
            }
            Standing::Down | Standing::Cross => (0.0, 0.0, 0.0),
        }
    }

    fn by_fins(&self, channel: f64, efficiency: f64, side: f64, body: f64) -> f64 {
        let (n, l, w) = (f64::from(self.count), self.length.value(), self.width.value());
        let reach = self.fin_height().value() + 0.5 * self.thickness.value();
        let inner = (n - 1.0) * channel * l * (2.0 * efficiency * reach + self.gap().value());
        let outer = side * (2.0 * l * reach * efficiency + 2.0 * self.base.value() * (l + w));
        inner + outer + body * self.rear().value()
    }

    /// The gap that gives most heat from this width: 2.714 P^(−1/4), P = g β |ΔT|/(ν α L), for thin upright fins
    /// (Bar-Cohen and Rohsenow 1984).
    pub fn best_gap(&self, sink: Temperature, around: Temperature, pressure: Pascals) -> Metres {
        let p = film(sink, around, pressure).buoyancy((sink - around).value()) / self.length.value();
        Metres::si(2.714 / p.sqrt().sqrt())
    }
}

/// η of a straight fin of even thickness t: m = √(2h/(k t)), L_c = L + t/2, η = tanh(m L_c)/(m L_c), 1 where that is
/// nothing (Incropera, ch. 3).
pub fn fin_efficiency(
    h: WattsPerSquareMetreKelvin,
    conductivity: WattsPerMetreKelvin,
    thickness: Metres,
    length: Metres,
) -> f64 {
    let m = (2.0 * h.value() / (conductivity.value() * thickness.value())).sqrt();
    let x = m * (length.value() + 0.5 * thickness.value());
    if x < 1e-9 { 1.0 } else { libm::tanh(x) / x }
}

/// Film properties shared by the parts of a sink.
struct Place {
    /// Pr.
    pr: f64,
    /// k of the air.
    k: f64,
    /// Rayleigh number of a length by its cube.
    per_cube: f64,
}

impl Place {
    fn nusselt(&self, law: Law, length: f64) -> f64 {
        law.nusselt(self.per_cube * length * length * length, self.pr)
    }
    /// h of the block that the sink fills.
    fn body(&self, sink: &PlateFins) -> f64 {
        let length = sink.envelope().value().sqrt();
        self.nusselt(Law::Body, length) * self.k / length
    }
}

#[cfg(test)]
mod tests {
    use super::super::air::ATMOSPHERE;
    use super::*;

    fn small() -> PlateFins {
        let m = Metres::si;
        PlateFins {
            count: 8,
            thickness: m(1e-3),
            width: m(0.035),
            length: m(0.035),
            height: m(0.010),
            base: m(0.002),
            conductivity: WattsPerMetreKelvin::si(200.0),
            emissivity: 0.85,
            attached: SquareMetres::ZERO,
        }
    }

    #[test]
    fn upright_is_best() {
        let (warm, cold) = (Temperature::si(358.15), Temperature::si(298.15));
        let g = |standing| small().convection(standing, warm, cold, ATMOSPHERE).total;
        for other in [Standing::Up, Standing::Down, Standing::Cross] {
            assert!(g(other) < g(Standing::Vertical), "{other:?}");
        }
    }

    #[test]
    fn fins_add_nothing_to_radiation_of_a_painted_sink() {
        let (sink, plain) = (small(), small().envelope() * 0.85);
        assert!((sink.effective() / plain - 1.0).abs() < 0.1, "{}", sink.effective() / plain);
        let best = small().best_gap(Temperature::si(360.0), Temperature::si(300.0), ATMOSPHERE);
        assert!((best.value() * 1e3 - 4.80).abs() < 0.01, "{best}");
    }
}
