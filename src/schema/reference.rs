//! The language reference in Markdown, written from the schema: one table a block, so it cannot fall behind.

use super::dimension::{ALL, limit, name, units};
use super::{Arity, Block, Choice, Default, Dimension, Property, Shape, joined};

const OPENING: &str = "\
# The language

A lamp is declared in one text file. One line states one fact; the order is free; a figure has its unit.

```
language 1

use \"parts/drawer.lamp\"            # parts and named values of another file

let rim = 4 mm                      # a named value

lamp \"Stair light\" {               # a block: its kind, sometimes a name or a title
    region      eu                  # a word from a list
    room        5 °C .. 30 °C       # from .. to
}

emitter is quad {                   # a block that starts from a part
    distance    46 mm               # and changes one of its figures
}

driver {
    channel red { feeds red; current 320 mA; sense 1R0 ± 1 % }
}

diffuser {
    diameter    enclosure.opening + 2 * rim
}

variant us {                        # laid over the lamp on request
    mains { voltage 120 V }
}
```

## Writing it

- A statement ends with its line, or with `;`. A comment runs from `#` to the end of its line. Inside parentheses and
  brackets a line may end, with a comment or without.
- Names are of small letters, digits and hyphens and begin with a letter. Text stands in quotes; `\\\"`, `\\\\`, `\\n` and
  `\\u{B5}` are its escapes.
- `unknown` is a value: nobody knows the figure. What rests on it is reported as not checked, never as passed. Inside a
  value it makes the whole unknown: `unknown ± 1 mm`, `2 V .. unknown`.
- Figures: `12`, `0.75`, `1.2e-6`, `1/4`, with a unit behind them. Letter codes stand for component values: `5K1` is
  5.1 kΩ, `R47` is 0.47 Ω, `2u2` is 2.2 µF; behind a resistance a letter for its tolerance may stand, `1R0F` is 1 Ω ± 1 %.
  A named value called `k1` goes before the code `k1`. Gauges are whole numbers, the thick ones `0`, `00`, `000`,
  `0000` or `1/0` to `4/0`: `18 AWG`.
- A spread: `2.0 .. 2.6 V`, with a typical figure `2.0 .. 2.2 .. 2.6 V`, with a tolerance `5.1 kΩ ± 1 %`. The unit may stand
  behind the last figure only. An interval takes no tolerance.
- A condition: `95 lm at 350 mA`. A size: `88 x 31 x 23 mm`. A point: `(12 mm, -4 mm)`. A list: `[red, warm]`.
- Sums: `+`, `-`, `*` and `/` with a space on both sides, parentheses, `min(a, b)`, `max(a, b)`, `sqrt(a)`, `pi`, named values,
  and other properties by their path: `enclosure.opening`, `driver.red.current`. A block that has a name is called by it
  alone. Units are checked, and a spread is carried through.

| statement | meaning |
|---|---|
| `language 1` | the language's version; stands first |
| `NAME value` | a property |
| `KIND { ... }`, `KIND NAME { ... }` | a block; with a name where a lamp may have several |
| `part KIND NAME { from \"...\" ... }` | a part that lamps can share, and where its figures come from |
| `KIND is PART { ... }` | a block that starts from a part; what stands in it overrides the part |
| `use \"path\"` | brings in the parts and named values of another file, named relative to this one |
| `let NAME = value` | a named value |
| `variant NAME { ... }` | blocks that are laid over the lamp when the variant is asked for, and waivers of its own |
| `waive RULE { reason \"...\"; by \"...\"; until DATE; subject NAME }` | lets one finding through, in print; without \
`until` it has no end, and `spec/waiver-expired` is not checked |

`tidy` keeps paragraphs, blocks and comments where they are; within a paragraph it puts properties in the order of the
tables below, each with the comment above it and behind it.

";

/// The whole page for the language whose blocks are `root`.
pub fn reference(root: &Block) -> String {
    let mut page = String::from(OPENING);
    page += "## Blocks\n\n";
    for block in root.blocks {
        outline(block, 0, &mut page);
    }
    page.push('\n');
    if !root.properties.is_empty() {
        page += "### Outside every block\n\n";
        properties(root, &mut page);
    }
    for block in root.blocks {
        section(block, "", &mut page);
    }
    unit_table(&mut page);
    page
}

const AS_BUILT: &str = "\
# The as-built file of one lamp

Written in the language of specs, read by `lampwright unit`, begun by `lampwright unit SPEC --start NUMBER`. What is not
written, or written `unknown`, is open. A reading may say what the meter may be off: `318 mA ± 1 %`.

One block more, `fitted { ... }`, holds blocks of a lamp, as a variant does: parts that went in instead, and measured
figures of those parts. It is laid over the spec and its variant, and the lamp is worked out and judged again. It may
name the parts and lets that the spec knows. Everything that a spec gives can be measured and written here: the sheet's
thickness, a fitted resistor, a hole.

Readings are judged one by one against the lamp as it was fitted. A reading of which the spec gives the figure then takes
that figure's place, and the lamp is worked out and judged once more; `unit` says which judgement moved:

- `supply` is the supply's output, with nothing of its tolerance left but what the meter may be off. Not of a battery.
- `current` of a channel is its current; resistors stay those that were fitted, but where one resistor alone sets the
  current, it is the one that makes the measured current. Where written parts or the nearest of the drawer set another,
  more than 2 % from it, theirs stays and `unit` says so. That the current is the one wanted is judged by the reading's own row, no longer by `drive/series`.
- `voltage` of a channel, shared out to the dice of its string, is their forward voltage at the measured `current`. It is
  read warm: a cold die may have as much more as its drift takes off up to the junction worked out for the warmest room.
  Without `current`, and where dice hang on several strings, it is held against its figure only.

All other readings are of figures that the program works out and nobody gives; they are held against those and change
nothing. `room` does not take the place of the room of the spec: what a temperature is above `room` is added to the
warmest room of the spec. What is open is laid over nothing, and is never passed.

```
language 1

unit { number 7; spec \"../stair.lamp\"; papers \"3f09a1c2b45e\"; room 22 °C }

fitted {
    enclosure { wall 2.3 mm }
    driver { channel red { sense 0.68 Ω ± 1 % } }
}

measured {
    supply  24.1 V ± 0.5 %
    idle    41 mA
    wall    38.5 °C
    channel red { current 318 mA ± 1 %; voltage 13.1 V }
}
```

";

/// The page on as-built files, whose blocks are those of `root`.
pub fn as_built(root: &Block) -> String {
    let mut page = String::from(AS_BUILT);
    page += "## Blocks\n\n";
    root.blocks.iter().for_each(|block| outline(block, 0, &mut page));
    page.push('\n');
    root.blocks.iter().for_each(|block| section(block, "", &mut page));
    page.truncate(page.trim_end().len());
    page.push('\n');
    page
}

fn outline(block: &Block, depth: usize, page: &mut String) {
    let name = if block.arity == Arity::Named { format!("{} NAME", block.kind) } else { block.kind.to_owned() };
    *page += &format!("{}- `{name}`: {}\n", "  ".repeat(depth), block.doc);
    for inner in block.blocks {
        outline(inner, depth + 1, page);
    }
}

fn section(block: &Block, outer: &str, page: &mut String) {
    let path = joined(outer, block.kind);
    *page += &format!("### `{path}`\n\n{}. {}", capital(block.doc), arity(block));
    *page += if block.part { " It may start from a part.\n\n" } else { "\n\n" };
    properties(block, page);
    for inner in block.blocks {
        section(inner, &path, page);
    }
}

fn capital(text: &str) -> String {
    let mut signs = text.trim_end_matches('.').chars();
    signs.next().map_or(String::new(), |first| first.to_uppercase().chain(signs).collect())
}

fn arity(block: &Block) -> &'static str {
    match block.arity {
        Arity::One => "It stands once.",
        Arity::Optional => "It may be left out.",
        Arity::Named => "There may be several, each with a name of its own.",
    }
}

fn properties(block: &Block, page: &mut String) {
    if block.properties.is_empty() {
        return;
    }
    *page += "| property | value | if not written | usual | meaning |\n|---|---|---|---|---|\n";
    for property in block.properties {
        *page += &row(property);
    }
    page.push('\n');
    for property in block.properties {
        if let Shape::Word(choices) | Shape::Words(choices) = property.shape {
            *page += &words(property.name, choices);
        }
    }
}

fn row(property: &Property) -> String {
    let default = match property.default {
        Default::Absent => "not stated".to_owned(),
        Default::Required => "**must be written**".to_owned(),
        Default::Is(text) => format!("`{}`", cell(text)),
    };
    let usual = match (property.usual, property.shape.dimension()) {
        (Some((low, high)), Some(d)) => format!("{} .. {}", limit(low, d), limit(high, d)),
        _ => String::new(),
    };
    format!("| `{}` | {} | {default} | {usual} | {} |\n", property.name, value(property.shape), cell(property.doc))
}

/// A bar would end the table's cell.
fn cell(text: &str) -> String {
    text.replace('|', "\\|")
}

/// What a value of this shape is, in words.
fn value(shape: Shape) -> String {
    match shape {
        Shape::Quantity(d) => in_unit(d),
        Shape::QuantityAt(d, at) => format!("{} at {}", in_unit(d), in_unit(at)),
        Shape::Count => "a whole number".to_owned(),
        Shape::Word(_) => "a word, below".to_owned(),
        Shape::YesNo => "`yes` or `no`".to_owned(),
        Shape::Text => "text in quotes".to_owned(),
        Shape::Date => "a date, `2026-11-25`".to_owned(),
        Shape::Size => "a size, `3.2 x 5.4 mm`".to_owned(),
        Shape::Point => "a point, `(12 mm, -4 mm)`".to_owned(),
        Shape::Points => "a list of points, `[(0 mm, 0 mm), (9 mm, 0 mm), (9 mm, 6 mm, 3 mm)]`".to_owned(),
        Shape::Reference(kind) => format!("the name of a `{kind}`"),
        Shape::Words(_) => "a list of words, below".to_owned(),
        Shape::References(kind) => format!("a list of names of `{kind}` blocks"),
    }
}

fn in_unit(dimension: Dimension) -> String {
    match (dimension, units(dimension).first()) {
        (Dimension::Number, _) | (_, None) => name(dimension).to_owned(),
        (_, Some(unit)) => format!("{}, {unit}", name(dimension)),
    }
}

fn words(property: &str, choices: &[Choice]) -> String {
    let mut list = format!("Words for `{property}`:\n\n");
    for choice in choices {
        list += &format!("- `{}`: {}\n", choice.word, choice.doc);
    }
    list.push('\n');
    list
}

fn unit_table(page: &mut String) {
    *page += "## Units\n\nEvery unit of the table may be joined to others by `·`, `/`, powers and parentheses: `W/(m·K)`, `A²·s`.\n";
    *page += "Prefixes are p, n, µ (or u), m, c, k, M and G. Inches are written `in`, thousandths `mil`, feet `ft`, wire gauges `18 AWG`,\n";
    *page +=
        "degrees `°` or `deg`, degrees Celsius `°C` or `degC`. `°C` is a temperature and `K` a difference of two.\n\n";
    *page += "| quantity | units |\n|---|---|\n";
    for dimension in ALL {
        let list: Vec<String> = units(*dimension).iter().map(|u| format!("`{u}`")).collect();
        *page += &format!("| {} | {} |\n", name(*dimension).split_once(' ').map_or("", |(_, n)| n), list.join(", "));
    }
}
