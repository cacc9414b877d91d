//! Channels worked out from whole specs, held against hand calculations and against independent exact vectors.
//! The hand method of the bedside lamp: string cold = n·(Vf_max + |k|·(25 °C − T)); die heat = V·I·(1 − η); 85 % of the
//! radiant power leaves; T_inside = T_room + Q/(h·A), h = 8; each further rung adds heat times its resistance.

use crate::support::compile;

/// What every spec here has, and the rest.
fn spec(rest: &str) -> String {
    format!(
        "language 1\nlamp \"Bench\" {{ revision \"A\"; region eu; place indoor-dry; mount table; room 25 °C .. 25 °C }}\n\
         enclosure {{ shape box; size 200 x 200 x 100 mm; material aluminium; wall 2 mm }}\n{rest}"
    )
}

/// A figure of the compiled spec's ledger: value, then low and high end of its band.
fn figure(text: &str, path: &str) -> (f64, f64, f64) {
    let compiled = compile(text, None).unwrap_or_else(|diags| panic!("{diags}"));
    let entry = compiled.solution.ledger.get(path).unwrap_or_else(|| panic!("no figure {path}"));
    let value = entry.value.expect("a number");
    let (low, high) = entry.band.unwrap_or((value, value));
    (value, low, high)
}

fn close(what: &str, found: f64, expected: f64, relative: f64) {
    let off = (found - expected).abs() / expected.abs();
    assert!(off <= relative, "{what}: {found}, expected {expected}, off by {off:e}");
}

const LINEAR: &str = "
    supply { output 12 V ± 3 %; power 18 W }
    controller { logic 3.3 V ± 3 %; clock 80 MHz; pin-resistance 1 µΩ; pin p { boot floating } }
    driver {
        topology linear-sink; air 25 °C .. 25 °C; reference filtered-pwm; pwm 20 kHz; bits 8; gain 11
        amplifier { bandwidth 1 MHz; slew 1 V/µs; offset 3 mV; open-gain 1000000000; output-low 1 mV; output-high 10 V; ground-input yes }
        transistor { on-resistance 50 mΩ; voltage 60 V; gate-full 4 V; threshold 2 V; thermal 25 K/W }
        filter { resistor 10 kΩ }
        channel one { feeds die; pin p; current 300 mA; sense 1 Ω }
    }
    emitter { die die { forward 6.2 V .. 6.5 V .. 6.8 V at 300 mA; slope 3 Ω; drift -0.001 mV/K; most 1 A; thermal 4 K/W } }";

/// Divider 10 k to 1 k and sense of 1 %, level 3 %, offset 3 mV: (3.201 V·990/11090 − 3 mV)/1.01 and
/// (3.399 V·1010/10910 + 3 mV)/0.99. A Python vector of ours, which lets the divider's ratio vary by 2·1 %·10/11 in a
/// straight line, has 0.27991 A to 0.3208264 A.
#[test]
fn a_linear_sink_meets_its_corners() {
    let (nominal, low, high) = figure(&spec(LINEAR), "drive.one.current");
    close("nominal", nominal, 0.3, 1e-7);
    close("low", low, (3.201 * 990.0 / 11090.0 - 3e-3) / 1.01, 1e-7);
    close("low, straight line", low, 0.27991, 2e-4);
    close("high", high, (3.399 * 1010.0 / 10910.0 + 3e-3) / 0.99, 1e-7);
    close("high, straight line", high, 0.3208264, 2e-4);
}

/// The same with an amplifier whose gain ends at 15 000: its output stands 4 V over the 0.3 V of the sense resistor, so
/// its inputs are 4.3 V/15 000 apart, and the current is lower by that over the resistor.
#[test]
fn a_gain_that_ends_lowers_the_low_corner_alone() {
    let text = spec(&LINEAR.replace("open-gain 1000000000", "open-gain 15000"));
    let (nominal, low, high) = figure(&text, "drive.one.current");
    close("nominal", nominal, 0.3, 1e-7);
    close("low", low, (3.201 * 990.0 / 11090.0 - 3e-3 - 4.3 / 15e3) / 1.01, 1e-7);
    close("high", high, (3.399 * 1010.0 / 10910.0 + 3e-3) / 0.99, 1e-7);
}

/// 27 Ω in place of the string would take 300 mA as well; 6.5 V at 300 mA asks for 21.67 Ω, so E12 gives 18 Ω.
#[test]
fn the_dummy_is_the_next_lower_value_and_carries_the_set_current() {
    close("dummy", figure(&spec(LINEAR), "drive.one.dummy").0, 18.0, 1e-12);
    close("its current", figure(&spec(LINEAR), "drive.one.dummy-current").0, 0.3, 1e-7);
}

const SWITCHED: &str = "
    supply { output 12 V ± 3 %; power 18 W }
    controller { logic 3.3 V ± 3 %; clock 80 MHz; pin p { boot floating } }
    driver {
        topology hysteretic-sink; air 25 °C .. 25 °C; reference filtered-pwm; pwm 39 kHz; bits 8; gain 11; off-time 2 µs ± 20 %
        amplifier { bandwidth 100 GHz; slew 1000 V/µs; offset 1 mV; open-gain 1000000000; output-low 0 V; output-high 4.9 V; ground-input yes }
        comparator { delay 80 ns; offset 3 mV; input-high 5 V }
        inductor { inductance 220 µH ± 20 %; resistance 400 mΩ; saturation 1 A }
        diode { drop 0.4 V; current 1 A; voltage 40 V }
        transistor { on-resistance 50 mΩ; voltage 40 V; gate-full 3 V; threshold 1 V; gate-charge 4 nC; thermal 90 K/W }
        channel one { feeds die; pin p; pull-to none; current 270 mA; sense 1 Ω }
    }
    emitter { die die { forward 6.2 V .. 6.5 V .. 6.8 V at 300 mA; slope 3 Ω; drift -0.001 mV/K; most 1 A; thermal 4 K/W } }";

/// Independent Python vectors of ours, exact cycle at full, uncompensated peak setting. The amplifier there has no lag and no end to its gain;
/// here it has one of 18 ps; there the gain varies by 1.8 %, here by the 1.82 % of two 1 % resistors. Hence the tolerances.
#[test]
fn a_switched_sink_meets_its_exact_cycle_and_corners() {
    let (nominal, low, high) = figure(&spec(SWITCHED), "drive.one.current");
    close("mean", nominal, 0.27048139, 1e-5);
    close("lowest mean", low, 0.2356518, 5e-4);
    close("highest mean", high, 0.3005557, 5e-4);
    let (peak, _, most) = figure(&spec(SWITCHED), "drive.one.peak");
    close("peak", peak, 0.30183705, 1e-5);
    close("highest peak", most, 0.3217499, 5e-4);
    let (frequency, slow, fast) = figure(&spec(SWITCHED), "drive.one.frequency");
    close("frequency", frequency, 214_245.81, 1e-4);
    close("lowest frequency", slow, 158_194.6, 1e-3);
    close("highest frequency", fast, 296_261.1, 1e-3);
}

/// 22 Ω in place of the string at full: 0.27253932 A, the same vectors.
#[test]
fn a_switched_sink_into_a_resistor() {
    close("dummy", figure(&spec(SWITCHED), "drive.one.dummy").0, 22.0, 1e-12);
    close("its current", figure(&spec(SWITCHED), "drive.one.dummy-current").0, 0.27253932, 1e-4);
}

/// With the gain left to the program, the mean is what was asked for, though the peak trips the comparator.
#[test]
fn the_gain_is_chosen_for_the_mean() {
    let text = spec(&SWITCHED.replace("gain 11;", "").replace("sense 1 Ω", ""));
    close("mean", figure(&text, "drive.one.current").0, 0.27, 0.01);
    let exact = figure(&text, "drive.one.gain-exact").0 * figure(&text, "drive.one.sense").0;
    // The straight-edge recipe with Von = 12 − 5.6 − 4.3·0.27, Voff = 6 + 3.4·0.27: I_T = 0.27 + Voff·2 µs/2L − Von·80 ns/L.
    let trip = 0.27 + 6.918 * 2e-6 / (2.0 * 220e-6) - 5.239 * 80e-9 / 220e-6;
    close("gain times sense", exact, 3.3 / trip, 0.01);
}

/// Supply ± 3 %, offset ± 0.25 V, resistor ± 5 %: nominal of our Python vector, corners by Ohm's law,
/// (11.64 − 8.35)/(15.75 + 1.8 + 0.05) and (12.36 − 7.85)/(14.25 + 1.8 + 0.05).
#[test]
fn a_ballast_meets_its_corners() {
    let text = spec(
        "supply { output 12 V ± 3 %; power 18 W }
        controller { logic 3.3 V; clock 80 MHz; pin p { boot floating } }
        driver {
            topology ballast-resistor; air 25 °C .. 25 °C; reference pwm-gate; pwm 3 kHz
            transistor { on-resistance 31.25 mΩ; voltage 60 V; gate-full 3 V; threshold 1 V; thermal 25 K/W }
            channel one { feeds die; pin p; current 230 mA; ballast 15 Ω ± 5 % }
        }
        emitter { die die { forward 8.21 V .. 8.46 V .. 8.71 V at 200 mA; slope 1.8 Ω; drift -0.001 mV/K; most 1 A; thermal 4 K/W } }",
    );
    let (nominal, low, high) = figure(&text, "drive.one.current");
    close("nominal", nominal, 0.23145401, 1e-6);
    close("low", low, 3.29 / 17.6, 1e-6);
    close("high", high, 4.51 / 16.1, 1e-6);
}

/// Our Python vector of a module: 24 V, 0.35 A, 16.2 V + 3.6 Ω·I, 93 %: 0.27379032 A from the supply, 0.45996774 W lost.
#[test]
fn a_module_takes_its_power_over_its_efficiency() {
    let text = spec(
        "supply { output 24 V ± 3 %; power 30 W }
        controller { logic 3.3 V; clock 80 MHz; pin p { boot floating } }
        driver {
            topology buck-module; air 25 °C .. 25 °C; reference pwm-gate; pwm 1 kHz
            module { input 6 V .. 36 V; dropout 2 V; output-low 2 V; sense-voltage 0.35 V; efficiency 93 %; on-least 4 µs
                     dim-high 1.4 V; dim-low 0.4 V; open on; open-current 10 µA }
            channel one { feeds die; pin p; current 350 mA; sense 1 Ω }
        }
        emitter { die die { forward 17.46 V at 350 mA; slope 3.6 Ω; most 1 A; thermal 4 K/W } }",
    );
    close("input current", figure(&text, "drive.one.input-current").0, 0.27379032, 1e-6);
    close("loss", figure(&text, "drive.one.module-loss").0, 0.45996774, 1e-6);
    // Dim input open: 11 µA through the pull must stay below 0.4 V.
    close("largest pull", figure(&text, "drive.one.pull-most").0, 0.4 / 11e-6, 1e-9);
}

fn bedside(transmission: &str) -> String {
    format!(
        "language 1
        lamp \"Bedside\" {{ revision \"A\"; region eu; place indoor-dry; mount table; room 10 °C .. 30 °C }}
        enclosure {{ shape cylinder; size 120 x 220 mm; material petg; wall 0.2 mm }}
        supply {{ output 12 V ± 3 %; power 10 W; derate 85 %; efficiency 82 % }}
        controller {{ logic 3.3 V; clock 80 MHz; power 0.9 W
            pin r {{ boot floating }} pin g {{ boot floating }} pin b {{ boot floating }} pin w {{ boot floating }} }}
        driver {{
            topology buck-module; air 25 °C .. 25 °C; reference pwm-gate; pwm 1.25 kHz; spare 0 V
            module {{ input 6 V .. 52 V; dropout 2 V; output-low 1 V; sense-voltage 0.2 V; efficiency 85.1 %; on-least 4 µs
                      dim-high 1.4 V; dim-low 0.4 V; open on; open-current 10 µA }}
            channel red   {{ feeds red; pin r; current 350 mA; sense 0.571429 Ω }}
            channel green {{ feeds green; pin g; current 350 mA; sense 0.571429 Ω }}
            channel blue  {{ feeds blue; pin b; current 350 mA; sense 0.571429 Ω }}
            channel white {{ feeds white; pin w; current 350 mA; sense 0.571429 Ω }}
        }}
        emitter {{
            die red   {{ forward 1.90 V .. 2.15 V .. 2.50 V at 350 mA; drift -2 mV/K; flux 52 lm at 350 mA; efficiency 42 %; thermal 7 K/W }}
            die green {{ forward 2.80 V .. 3.15 V .. 3.60 V at 350 mA; drift -3 mV/K; flux 92 lm at 350 mA; efficiency 20 %; thermal 7 K/W }}
            die blue  {{ forward 2.80 V .. 3.10 V .. 3.60 V at 350 mA; drift -3 mV/K; flux 21 lm at 350 mA; efficiency 45 %; thermal 7 K/W }}
            die white {{ forward 2.70 V .. 3.00 V .. 3.40 V at 350 mA; drift -2.5 mV/K; flux 108 lm at 350 mA; efficiency 33 %; thermal 7 K/W }}
        }}
        sink {{ thermal 9 K/W; interface {{ thickness 0.15 mm; conductivity 1 W/(m·K); area 3 cm² }} }}
        diffuser {{ outline disc; diameter 112 mm; thickness 3 mm; material opal-acrylic; box 85 %; transmission {transmission} }}
        wiring {{ length 20 mm }}"
    )
}

/// The bedside lamp by hand. The hand method lets the inside air touch the room through the outer film alone; the network
/// has an inner film too, so its air is warmer. Each rung above the air is the same in both, and so is the wall, which
/// by hand is as warm as the air. Hot dice radiate less and drop less voltage, hence 2 % on their heat and 0.4 K.
#[test]
fn a_bedside_lamp_by_hand() {
    let text = bedside("100 %");
    let of = |path: &str| figure(&text, path).0;
    let power: f64 = ["red", "green", "blue", "white"].iter().map(|c| of(&format!("drive.{c}.power"))).sum();
    close("LED power", power, 3.99, 1e-3);
    close("heat of the dice", of("heat.dice"), 2.62, 2e-2);
    close("from the supply", of("feed.uncapped"), 5.59, 2e-3);
    close("load", of("feed.load"), 0.66, 5e-3);
    close("from the mains", of("feed.mains"), 6.8, 5e-3);
    let celsius = |path: &str| of(path) - 273.15;
    for (rung, from, to, kelvin) in [
        ("sink over air", "heat.inside", "heat.sink", 61.1 - 37.5),
        ("white junction over sink", "heat.sink", "heat.junction.white", 67.3 - 61.1),
        ("green junction over sink", "heat.sink", "heat.junction.green", 68.6 - 61.1),
    ] {
        let found = celsius(to) - celsius(from);
        assert!((found - kelvin).abs() < 0.4, "{rung}: {found} K, by hand {kelvin} K");
    }
    let wall = celsius("heat.wall");
    assert!((wall - 37.5).abs() < 2.0, "wall {wall}, by hand 37.5");
    assert!(celsius("heat.inside") > 37.5, "the inner film cannot cool the air");
    // 11.64 V − 3.645 V − 2 V, less the drop of short wires.
    let left = of("drive.green.headroom");
    assert!(left <= 5.995 && left > 5.9, "headroom {left}");
    close("least duty", of("drive.white.least-duty"), 0.005, 1e-9);
}

/// 273 lm from the dice at 25 °C, of which 0.85 × 64.7 % = 0.55 leaves: 150 lm, less what the warm dice lose. These say
/// nothing of their colour and count as white: e^(−ΔT/570 K) each, at their own junction temperature.
#[test]
fn a_bedside_lamp_gives_its_light() {
    let text = bedside("64.7 %");
    let dice = [("red", 52.0), ("green", 92.0), ("blue", 21.0), ("white", 108.0)];
    let left = |name: &str| libm::exp(-(figure(&text, &format!("heat.junction.{name}")).0 - 298.15) / 570.0);
    let (cold, warm) = dice.iter().fold((0.0, 0.0), |(c, w), (name, lm)| (c + lm, w + lm * left(name)));
    close("light out", figure(&text, "light.out").0, 150.0 * warm / cold, 2e-3);
    assert!(warm / cold > 0.8 && warm / cold < 0.95, "{}", warm / cold);
}

/// Two sections behind the linear sink's divider, stepped through time part by part: the ripple of the figures is that
/// of the circuit with every part at the small end of its tolerance.
#[test]
fn a_second_section_behind_the_divider_ripples_as_the_circuit_does() {
    let text = spec(&LINEAR.replace("filter { resistor 10 kΩ }", "filter { resistor 10 kΩ; stages 2 }"));
    let low = |name: &str| figure(&text, &format!("drive.one.{name}")).1;
    let (upper, second) = (low("divider-upper") + 1e-6, low("filter-resistor-2"));
    let (first, last) = (low("filter-capacitor"), low("filter-capacitor-2"));
    let lower = figure(&text, "drive.one.divider-lower").0;
    let (full, period, steps) = (3.3, 1.0 / 20e3, 2000);
    let share = lower / (lower + upper);
    let (mut v1, mut v2) = (full * share / 2.0, full * share / 2.0);
    let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
    for step in 0..600 * steps {
        let pin = if step % steps < steps / 2 { full } else { 0.0 };
        let dt = period / f64::from(steps);
        let through = (v1 - v2) / second;
        v1 += ((pin - v1) / upper - v1 / lower - through) / first * dt;
        v2 += through / last * dt;
        if step >= 598 * steps {
            (least, most) = (least.min(v2), most.max(v2));
        }
    }
    let ripple = figure(&text, "drive.one.reference-ripple").0;
    close("ripple", ripple, most - least, 5e-3);
    assert!(ripple <= figure(&text, "drive.one.reference-step").0, "{ripple} V is more than a step");
    let single = figure(&spec(LINEAR), "drive.one.settling").0;
    assert!(figure(&text, "drive.one.settling").0 < single, "two sections settle sooner than {single} s");
}

/// A ballast of 1 % in air from 5 °C to 65 °C with 100 ppm/K: 40 K away, so 1.01·1.004 of it at most.
#[test]
fn drift_widens_the_limits() {
    let drive = "
        supply { output 12 V; power 18 W }
        driver { topology ballast-resistor; reference fixed; air 5 °C .. 65 °C; channel one { feeds die; current 50 mA } }
        emitter { die die { forward 9 V at 50 mA; slope 0.01 Ω; drift -0.001 mV/K; most 1 A; thermal 4 K/W } }";
    let (nominal, low, high) = figure(&spec(drive), "drive.one.current");
    let resistor = figure(&spec(drive), "drive.one.ballast");
    close("the resistor itself", resistor.2 / resistor.0, 1.01, 1e-12);
    close("low", low / nominal, 1.0 / (1.01 * 1.004), 2e-4);
    close("high", high / nominal, 1.0 / (0.99 * 0.996), 2e-4);
    close("away", figure(&spec(drive), "drive.away").0, 40.0, 1e-9);
}

/// Three strings of one die each: one lowest, 2.9 V + 1 Ω·I, and two highest, 3.1 V + 1 Ω·I, on a common voltage. By hand
/// V = (I + 9.1 V/1 Ω)/3·1 Ω, so the lowest takes (V − 2.9 V)/1 Ω = I/3 + 0.4 A/3.
#[test]
fn unequal_strings_share_as_by_hand() {
    let drive = "
        supply { output 12 V; power 18 W }
        driver { topology linear-sink; reference fixed; air 25 °C .. 25 °C
            amplifier { bandwidth 1 MHz; slew 1 V/µs; offset 0 V; output-low 0 V; output-high 10 V; ground-input yes }
            transistor { on-resistance 50 mΩ; voltage 60 V; gate-full 4 V; threshold 2 V; thermal 25 K/W }
            channel one { feeds die; current 300 mA; strings 3 } }
        controller { logic 3.3 V; clock 80 MHz }
        emitter { die die { forward 3.0 V .. 3.1 V .. 3.2 V at 100 mA; slope 1 Ω; most 1 A; thermal 4 K/W } }";
    let total = figure(&spec(drive), "drive.one.current").0;
    close("the lowest", figure(&spec(drive), "drive.one.unequal").0, total / 3.0 + 0.4 / 3.0, 1e-9);
    close("survivors", figure(&spec(drive), "drive.one.survivor").0, total / 2.0, 1e-12);
}

/// Two strings of 3.1 V and 1 Ω at 100 mA each, on 6 V without switch resistance. One ballast for both: V0 = 3.0 V,
/// (6 − 3)/0.2 − 0.5 = 14.5 Ω, E24 15 Ω; with one string open (6 − 3)/(15 + 1). A ballast in each: 29 Ω, E24 30 Ω, and
/// the string left keeps (6 − 3)/(30 + 1). Kirchhoff's laws.
#[test]
fn a_ballast_in_each_string_keeps_the_others_from_noticing() {
    let drive = |balanced: &str| {
        spec(&format!(
            "supply {{ output 6 V; power 18 W }}
            driver {{ topology ballast-resistor; reference fixed; air 25 °C .. 25 °C
                channel one {{ feeds die; current 200 mA; strings 2; balanced {balanced} }} }}
            controller {{ logic 3.3 V; clock 80 MHz }}
            emitter {{ die die {{ forward 3.0 V .. 3.1 V .. 3.2 V at 100 mA; slope 1 Ω; most 1 A; thermal 4 K/W }} }}"
        ))
    };
    close("one for both", figure(&drive("no"), "drive.one.ballast").0, 15.0, 1e-12);
    close("its survivor", figure(&drive("no"), "drive.one.survivor").0, 3.0 / 16.0, 1e-9);
    close("one in each", figure(&drive("yes"), "drive.one.ballast").0, 30.0, 1e-12);
    close("its survivor", figure(&drive("yes"), "drive.one.survivor").0, 3.0 / 31.0, 1e-9);
    close("both", figure(&drive("yes"), "drive.one.current").0, 2.0 * 3.0 / 31.0, 1e-9);
    let compiled = compile(&drive("yes"), None).unwrap_or_else(|diags| panic!("{diags}"));
    let fitted =
        compiled.solution.channels.iter().flat_map(|c| &c.components).filter(|c| c.chosen.ends_with("ballast"));
    assert_eq!(fitted.count(), 2, "each string's resistor stands on the values sheet");
}

/// A gain that stands asks for another resistor: 3.3 V behind A = 11 for 300 mA is Rs = 3.3/(11·0.3) = 1 Ω, whatever
/// sense voltage is aimed at. Ohm's law.
#[test]
fn a_pinned_gain_sets_the_sense_resistor() {
    let text = spec(&LINEAR.replace("current 300 mA; sense 1 Ω", "current 300 mA"));
    close("sense", figure(&text, "drive.one.sense").0, 1.0, 1e-12);
    close("current", figure(&text, "drive.one.current").0, 0.3, 1e-3);
}
