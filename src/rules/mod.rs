//! `Lamp` and `Solution` to `Report`: every rule a constant with its source, fix and check, judged in one pass.

pub mod battery;
pub mod drive;
pub mod heat;
pub mod light;
pub mod mains;
pub mod make;
pub mod pins;
pub mod protections;
pub mod report;
pub mod rule;
pub mod spec;
pub mod supply;

use rule::Rule;

/// Every area's rules, in the order of the reference: what hurts people first, then what kills parts.
const AREAS: [&[&Rule]; 9] = [
    mains::RULES,
    battery::RULES,
    supply::RULES,
    drive::RULES,
    pins::RULES,
    heat::RULES,
    light::RULES,
    make::RULES,
    spec::RULES,
];

/// Every rule.
pub static ALL: &[&Rule] = &{
    let mut all = [spec::RULES[0]; count()];
    let (mut at, mut area) = (0, 0);
    while area < AREAS.len() {
        let mut i = 0;
        while i < AREAS[area].len() {
            all[at] = AREAS[area][i];
            at += 1;
            i += 1;
        }
        area += 1;
    }
    all
};

const fn count() -> usize {
    let (mut n, mut area) = (0, 0);
    while area < AREAS.len() {
        n += AREAS[area].len();
        area += 1;
    }
    n
}

/// The rule of this name.
pub fn find(name: &str) -> Option<&'static Rule> {
    ALL.iter().copied().find(|r| r.name == name)
}
