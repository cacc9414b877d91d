//! A packet made by hand that uses everything a renderer must know: long tables, panels, boxes, pauses, drawings
//! at 1:1 larger than a page, Greek and units, a draft band, and text that looks like HTML.

use std::collections::BTreeMap;

use lampwright::packet::drawing::{Anchor, Drawing, Path, Point, Role, Scale, Shape, Vertex, at};
use lampwright::packet::sheet::{DataTable, Identity, Packet, Paper, Sheet, TextSize};
use serde_json::json;

/// Words in the first cell of each of the long table's rows.
pub(crate) fn long_rows() -> Vec<String> {
    (1..=70).map(|n| format!("step-{n:03}")).collect()
}

/// The sample on a paper, as a draft or not.
pub(crate) fn packet(paper: Paper, draft: bool) -> Packet {
    let drawings = [disc(), wiring_diagram(), section()];
    let machine = Drawing { name: "sheet-cut".into(), ..disc() };
    Packet {
        identity: Identity {
            lamp: "Kitchen ring".into(),
            variant: Some("tall".into()),
            revision: (!draft).then(|| "C".into()),
            date: (!draft).then(|| "2026-03-14".into()),
            digest: "4f1c09a7be23".into(),
            findings: "1 DANGER, 2 CAUTION, 3 not checked".into(),
            draft,
        },
        paper,
        sheets: vec![safety(), wiring(), cut(), values(), first_power(), working()],
        drawings: drawings.into_iter().map(|d| (d.name.clone(), d)).collect(),
        tables: vec![DataTable {
            name: "parts".into(),
            columns: vec!["part".into(), "note".into()],
            rows: vec![
                vec!["resistor, 1 %".into(), "=cmd()".into()],
                vec!["say \"opal\"".into(), "-12.5".into()],
                vec!["two\nlines".into(), "+ spare".into()],
            ],
        }],
        data_files: Vec::new(),
        programs: BTreeMap::new(),
        machine_drawings: BTreeMap::from([("sheet-cut".to_string(), machine)]),
        data: json!({ "lamp": { "quantity": 7 }, "figures": [1.5, null] }),
    }
}

fn sheet(name: &str, title: &str, size: TextSize, landscape: bool, markdown: String) -> Sheet {
    Sheet { name: name.into(), title: title.into(), size, landscape, markdown }
}

fn safety() -> Sheet {
    let markdown = "\
Read aloud before anyone touches the mains side. Two people sign, and the second one has *not* built the lamp.

> **DANGER** The supply's terminals carry 230 V while the plug is in. The lid must be on before the plug goes in, \
and the plug must lie in sight on the bench before the lid comes off.

> **WARNING** The heatsink reaches 81.4 °C with all channels on in the warmest room. Wait 20 min after the plug is out.

> **CAUTION** The emitter at full drive is too bright to look into at less than 300 mm.
>
> - Cover it with the opal sheet before the first power.
> - Dim to 5 % for every look.

> **NOTICE** Wash the sheet with water and soap only; alcohol makes it craze.

> A plain remark: the numbers here come from the spec, and `why` prints how each one was found.

## Before cutting

- [ ] Sheet is 3 mm opal, film on both sides, and measures at least ▭ mm
- [ ] Ω and µ are read rightly: 4.7 µF ± 10 %, 220 Ω, 1 kΩ ≤ R ≤ 2.2 kΩ, ΔT ≈ 41 K, ⌀ 120 mm, 10⁻³ m²
- [x] Drawn by the program from the file of this revision
- [ ] A long item that wraps: the protective earth is crimped with a ring terminal, washer and star washer under the \
M4 screw, tightened, tugged at with the force that the wiring sheet names, and marked with a line of varnish

---

## Stop and get a licensed person if

1. the fixed wiring of the room has no protective earth;
2. the residual-current device does not trip at its button;
3. a reading on the dead-test sheet lies outside its limits <script>alert(1)</script> twice.

<div onclick=\"x()\">raw</div>

| Name | Signature | Date |
|---|---|---|
| Builder | ▭ | ▭ |
| Second person | ▭ | ▭ |
";
    sheet("safety", "Safety", TextSize::Body, false, markdown.into())
}

fn wiring() -> Sheet {
    let mut markdown = String::from(
        "Mains first, protective earth first of all. Tick each column as it is done.\n\n![Wiring diagram](rings.svg)\n\n\
         ## Conductors\n\n| No. | From | To | Carries | Zone | Colour | Area | AWG | Insulation | Cut | Strip | \
         Current | Drop | cut | fitted | tugged | checked |\n\
         |--:|---|---|---|---|---|--:|--:|---|--:|--:|--:|--:|:-:|:-:|:-:|:-:|\n",
    );
    for n in 1..=34 {
        markdown.push_str(&format!(
            "| {n} | `supply.pe` | `body.earth_screw` | protective earth | mains | green-yellow GNYE | 0.75 mm² | 18 | \
             105 °C, 300 V | {} mm | 8 / 6 mm | 320 mA | 1.{n} mV | ☐ | ☐ | ☐ | ☐ |\n",
            180 + n
        ));
    }
    sheet("wiring", "Wiring", TextSize::Dense, true, markdown)
}

fn cut() -> Sheet {
    let markdown = "\
Stick on the sheet, or send `sheet-cut.svg` to the machine. **Measure both bars** before cutting.

| Property | Value | Why |
|---|--:|---|
| Outline | 360 mm | body opening less expansion gap |
| Kerf | 0.15 mm | outside the line |

Bar across measured: ▭ mm. Bar upright measured: ▭ mm.

![Outline of the diffuser](disc.svg)
";
    sheet("cut", "Diffuser", TextSize::Body, false, markdown.into())
}

fn values() -> Sheet {
    let mut markdown = String::from(
        "## Drive board\n\n| Step | Wanted | Exact | Chosen | What flows | Measured | Good |\n|---|--:|--:|--:|---|---|:-:|\n",
    );
    for name in long_rows() {
        markdown.push_str(&format!(
            "| {name} | 350 mA | 0.7142857 Ω | 0.68 Ω | 368 mA, worst 351 to 386 mA over tolerance and temperature | ▭ Ω | ☐ |\n"
        ));
    }
    markdown.push_str(
        "\n### After the table\n\nA heading never ends a page.\n\n```\nR = V / I\n  = 0.25 V / 0.35 A\n```\n",
    );
    sheet("values", "Values", TextSize::Body, false, markdown)
}

fn first_power() -> Sheet {
    let markdown = "\
> **STOP** Only from a bench supply with its limit set to 400 mA.

| | Do | Expect | Stop if | Measured |
|--:|---|---|---|---|
| 1 | Set 24.0 V, output off | display shows 24.0 V | limit is above 0.40 A | ▭ V |
| 2 | Output on, channel 1 at 5 % | faint even light, 17 to 19 mA | more than 25 mA | ▭ mA |
| 3 | Channel 1 at 100 % | 340 to 360 mA | smell, flicker | ▭ mA |
<!-- page -->
Then the second channel, in the same way.

![Section](section.svg)
";
    sheet("first-power", "First power", TextSize::Card, false, markdown.into())
}

fn working() -> Sheet {
    let words = "The junction stands above the board by the heat that flows times the resistance on its way, and the \
                 board stands above the room likewise; each rung of the ladder is checked against the limit of its part. ";
    let mut markdown = String::from(
        "| | |\n|---|---|\n| Supply | 24 V, 60 W |\n| Sheet | 3 mm opal, `PMMA-like` |\n\n\
         > **WARNING** Limits in this panel:\n>\n> | Part | Limit | Now |\n> |---|--:|--:|\n> | junction | 105 °C | 88.2 °C |\n\
         > | sheet | 70 °C | 61.0 °C |\n>\n> Tick when read: ☐ first ☐ second\n\n",
    );
    for chapter in 1..=6 {
        markdown.push_str(&format!("## Rung {chapter}\n\n{}\n\n", words.repeat(3)));
        markdown.push_str("- first, the heat\n- second, the way\n  1. inner\n  2. list\n\n");
    }
    sheet("working", "Working", TextSize::Body, false, markdown)
}

fn text(x: f64, y: f64, height: f64, anchor: Anchor, words: &str) -> Shape {
    Shape::Text { at: at(x, y), height, anchor, angle: 0.0, text: words.into(), strong: false }
}

fn paths(role: Role, paths: Vec<Path>) -> Shape {
    Shape::Paths { role, paths }
}

/// 360 mm disc with a hole and a D-flat, with two 100 mm bars: larger than either paper.
fn disc() -> Drawing {
    let rim = Path::circle(at(180.0, 180.0), 180.0);
    let flat = Path {
        vertices: vec![
            Vertex { point: at(170.0, 120.0), bulge: 0.0 },
            Vertex { point: at(190.0, 120.0), bulge: 2.414_213_562_373_095 },
        ],
        closed: true,
    };
    let bar = |from: Point, to: Point| paths(Role::Dimension, vec![Path::line(&[from, to])]);
    Drawing {
        name: "disc".into(),
        title: "Diffuser outline <net>".into(),
        description: "A disc of 360 mm with a hole near its middle & two bars of 100 mm".into(),
        corner: at(-1.0, -1.0),
        width: 362.0,
        height: 362.0,
        scale: Scale::Full,
        shapes: vec![
            paths(Role::Cut, vec![rim, flat]),
            paths(Role::Axis, vec![Path::line(&[at(20.0, 180.0), at(340.0, 180.0)])]),
            bar(at(40.0, 240.0), at(140.0, 240.0)),
            bar(at(60.0, 200.0), at(60.0, 300.0)),
            text(90.0, 242.0, 2.5, Anchor::Middle, "100 mm"),
        ],
    }
}

fn wiring_diagram() -> Drawing {
    let mut shapes = vec![
        paths(Role::MainsHatch, vec![Path::rectangle(at(0.0, 0.0), 80.0, 60.0)]),
        paths(Role::Blank, vec![Path::rectangle(at(10.0, 15.0), 40.0, 30.0)]),
        paths(Role::Outline, vec![Path::rectangle(at(10.0, 15.0), 40.0, 30.0)]),
        paths(Role::HeatDots, vec![Path::circle(at(150.0, 30.0), 20.0)]),
        paths(Role::Outline, vec![Path::circle(at(150.0, 30.0), 20.0)]),
        paths(Role::Solid, vec![Path::rectangle(at(190.0, 5.0), 20.0, 50.0)]),
        paths(Role::Hidden, vec![Path::rectangle(at(215.0, 5.0), 20.0, 50.0)]),
        paths(Role::Wire, vec![Path::line(&[at(50.0, 30.0), at(130.0, 30.0)])]),
        paths(Role::Ink, vec![Path::polygon(&[at(130.0, 30.0), at(126.0, 31.5), at(126.0, 28.5)])]),
        paths(Role::Blank, vec![Path::rectangle(at(83.0, 31.0), 14.0, 5.0)]),
    ];
    shapes.push(text(90.0, 32.0, 2.5, Anchor::Middle, "1 → Ω"));
    shapes.push(text(30.0, 29.0, 2.5, Anchor::Middle, "supply"));
    shapes.push(Shape::Text {
        at: at(202.0, 10.0),
        height: 2.5,
        anchor: Anchor::Start,
        angle: 90.0,
        text: "turned words".into(),
        strong: true,
    });
    Drawing {
        name: "rings".into(),
        title: "Where each conductor goes".into(),
        description: "The supply on the left in the hatched mains zone, the emitter on the right".into(),
        corner: at(0.0, 0.0),
        width: 240.0,
        height: 60.0,
        scale: Scale::Reduced,
        shapes,
    }
}

fn section() -> Drawing {
    let arch = Path {
        vertices: vec![
            Vertex { point: at(100.0, 10.0), bulge: 1.0 },
            Vertex { point: at(20.0, 10.0), bulge: 0.0 },
            Vertex { point: at(30.0, 10.0), bulge: -1.0 },
            Vertex { point: at(90.0, 10.0), bulge: 0.0 },
        ],
        closed: true,
    };
    Drawing {
        name: "section".into(),
        title: "Section, 1 : 2".into(),
        description: "The body as an arch over the emitter".into(),
        corner: at(0.0, 0.0),
        width: 120.0,
        height: 60.0,
        scale: Scale::Reduced,
        shapes: vec![
            paths(Role::Solid, vec![arch]),
            paths(Role::Outline, vec![Path::line(&[at(10.0, 10.0), at(110.0, 10.0)])]),
            text(60.0, 4.0, 2.5, Anchor::Middle, "measuring point T1"),
        ],
    }
}
