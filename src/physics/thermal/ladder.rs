//! The ladder of temperatures from the room up to the junction, one rung a resistance.
//! Steady state, lumped; exact for the stated model, so every watt that enters leaves.

use crate::quantity::{
    Kelvin, KelvinPerWatt, Metres, SquareMetres, Temperature, Watts, WattsPerMetreKelvin, WattsPerSquareMetreKelvin,
};

/// h of plastic or wood to the room, radiation and free convection together (our simplification, common practice).
pub const FILM_PLASTIC: WattsPerSquareMetreKelvin = WattsPerSquareMetreKelvin::si(8.0);

/// R = t/(k A): a layer between two faces, such as tape or paste.
pub fn layer_resistance(thickness: Metres, conductivity: WattsPerMetreKelvin, area: SquareMetres) -> KelvinPerWatt {
    let conductance = conductivity * (area / thickness);
    KelvinPerWatt::si(1.0 / conductance.value())
}

/// Where the sink gives its heat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Sink {
    /// A sink in the air inside the body, with its resistance to that air.
    Inside(KelvinPerWatt),
    /// The body itself is the sink: it has the temperature of its wall.
    Body,
    /// A sink outside, with its resistance to the room; its heat does not pass through the body.
    Outside(KelvinPerWatt),
}

/// The wall between inside and room.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Body {
    /// Surface that gives heat to the room, A.
    pub area: SquareMetres,
    /// h from the outer surface to the room.
    pub film: WattsPerSquareMetreKelvin,
    /// Thickness and conductivity of the wall; `None` leaves the wall out.
    pub wall: Option<(Metres, WattsPerMetreKelvin)>,
    /// h from the air inside to the wall; `None` gives the air the temperature of the wall's inner face.
    pub inner_film: Option<WattsPerSquareMetreKelvin>,
}

/// One kind of die on the board.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rung {
    /// Heat of this die alone.
    pub heat: Watts,
    /// Real resistance from junction to board.
    pub to_board: KelvinPerWatt,
}

/// The whole ladder.
#[derive(Debug, Clone, PartialEq)]
pub struct Ladder {
    /// The room.
    pub room: Temperature,
    /// The body.
    pub body: Body,
    /// Heat that enters the air inside in another way than through the sink: supply, drivers, caught light.
    pub other_heat: Watts,
    /// The sink.
    pub sink: Sink,
    /// From board to sink.
    pub interface: KelvinPerWatt,
    /// The dice; all their heat passes the interface.
    pub dice: Vec<Rung>,
}

/// The temperatures and flows that follow.
#[derive(Debug, Clone, PartialEq)]
pub struct Rungs {
    /// Outer face of the wall.
    pub wall_outside: Temperature,
    /// Inner face of the wall.
    pub wall_inside: Temperature,
    /// Air inside.
    pub inside: Temperature,
    /// Sink.
    pub sink: Temperature,
    /// Board, or case of the emitter.
    pub board: Temperature,
    /// Junctions, in the order of the dice.
    pub junctions: Vec<Temperature>,
    /// Heat through the body to the room.
    pub through_body: Watts,
    /// Heat from an outside sink to the room.
    pub from_sink: Watts,
}

/// Climbs the ladder: T_wall = T_room + Q/(h A), + Q t/(k A), + Q/(h_i A), + Q_dice R_sink, + Q_dice R_interface,
/// + q_die R_die. With [`Sink::Body`] the dice's heat enters at the wall's inner face.
pub fn climb(ladder: &Ladder) -> Rungs {
    let dice: Watts = ladder.dice.iter().map(|die| die.heat).sum();
    let outside = matches!(ladder.sink, Sink::Outside(_));
    let through_body = if outside { ladder.other_heat } else { ladder.other_heat + dice };
    // The heat of a body that is its own sink never passes the air.
    let through_air = if matches!(ladder.sink, Sink::Body) { ladder.other_heat } else { through_body };
    let Body { area, film, wall, inner_film } = ladder.body;
    let rise_over = |heat: Watts, h: WattsPerSquareMetreKelvin| -> Kelvin { heat / (h * area) };
    let wall_outside = ladder.room + rise_over(through_body, film);
    let through_wall = wall.map_or(KelvinPerWatt::ZERO, |(t, k)| layer_resistance(t, k, area));
    let wall_inside = wall_outside + through_body * through_wall;
    let inside = wall_inside + inner_film.map_or(Kelvin::ZERO, |h| rise_over(through_air, h));
    let sink = match ladder.sink {
        Sink::Inside(r) => inside + dice * r,
        Sink::Body => wall_inside,
        Sink::Outside(r) => ladder.room + dice * r,
    };
    let board = sink + dice * ladder.interface;
    let junctions = ladder.dice.iter().map(|die| board + die.heat * die.to_board).collect();
    let from_sink = if outside { dice } else { Watts::ZERO };
    Rungs { wall_outside, wall_inside, inside, sink, board, junctions, through_body, from_sink }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ladder(sink: Sink) -> Ladder {
        let die = |heat, r| Rung { heat: Watts::si(heat), to_board: KelvinPerWatt::si(r) };
        Ladder {
            room: Temperature::from_celsius(25.0),
            body: Body {
                area: SquareMetres::si(0.05),
                film: FILM_PLASTIC,
                wall: Some((Metres::si(0.003), WattsPerMetreKelvin::si(0.2))),
                inner_film: Some(FILM_PLASTIC),
            },
            other_heat: Watts::si(2.0),
            sink,
            interface: KelvinPerWatt::si(0.5),
            dice: vec![die(3.0, 4.0), die(1.0, 8.0)],
        }
    }

    #[test]
    fn heat_in_is_heat_out() {
        for sink in [Sink::Inside(KelvinPerWatt::si(5.0)), Sink::Body, Sink::Outside(KelvinPerWatt::si(5.0))] {
            let l = ladder(sink);
            let rungs = climb(&l);
            // From the temperatures back to the flows.
            let film = l.body.film * l.body.area * (rungs.wall_outside - l.room);
            assert!((film + rungs.from_sink - Watts::si(6.0)).value().abs() < 1e-12);
            assert!((rungs.through_body + rungs.from_sink - Watts::si(6.0)).value().abs() < 1e-12);
        }
    }

    #[test]
    fn rungs_add_up_by_hand() {
        let rungs = climb(&ladder(Sink::Inside(KelvinPerWatt::si(5.0))));
        // 25 + 6/0.4 = 40; + 6 · 0.3 = 41.8; + 15 = 56.8; + 20 = 76.8; + 2 = 78.8; + 12 and + 8.
        for (found, by_hand) in [
            (rungs.wall_outside, 40.0),
            (rungs.wall_inside, 41.8),
            (rungs.inside, 56.8),
            (rungs.sink, 76.8),
            (rungs.board, 78.8),
            (rungs.junctions[0], 90.8),
            (rungs.junctions[1], 86.8),
        ] {
            assert!((found.celsius() - by_hand).abs() < 1e-9, "{found} {by_hand}");
        }
    }

    #[test]
    fn tape_under_a_star() {
        // 0.15 mm at 0.8 W/(m·K) on 20 x 20 mm: 0.46875 K/W.
        let r = layer_resistance(Metres::si(0.15e-3), WattsPerMetreKelvin::si(0.8), SquareMetres::si(4e-4));
        assert!((r.value() - 0.46875).abs() < 1e-12);
    }
}
