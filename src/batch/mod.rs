//! Many lamps to one pick list and one cut list: equal parts added up over designs and units, with what gets lost and what packs hold.

use std::collections::BTreeMap;

use serde::Serialize;
use serde_json::json;

use crate::Compiled;
use crate::figures::{engineering, trimmed};
use crate::packet::compose::{ComposeError, squeeze};
use crate::packet::sheet::{DataTable, Identity, Packet, Sheet, TextSize};
use crate::packet::templates::{Overrides, Templates};
use crate::packet::terms::Words;
use crate::schema::words::Region;

pub mod cut;

const CUT: (&str, &str) = ("cut-list.md", include_str!("../../templates/cut-list.md"));
const TEMPLATE: (&str, &str) = ("pick.md", include_str!("../../templates/pick.md"));

/// Groups of the parts list whose pieces are small: they get lost, and come in packs.
const SMALL: &[&str] = &["Driver board", "Wire and ends"];

/// An amount that parts of one kind add up to.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Amount {
    Pieces(u32),
    /// Metres.
    Length(f64),
}

/// Group, part and rating: parts of one kind are equal in all three.
type Kind = (String, String, String);

/// What the lamps need of one kind.
#[derive(Debug, Default)]
struct Sum {
    lamps: Vec<String>,
    /// Amounts, each with the drawer of the lamp that needs it.
    amounts: Vec<(Amount, Drawer)>,
    /// Amounts that are no number.
    words: Vec<String>,
}

/// One line of the pick list.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Pick {
    /// Group of the parts list.
    pub group: String,
    /// What it is.
    pub what: String,
    /// Its rating.
    pub rating: String,
    /// Designs it goes into.
    pub lamps: Vec<String>,
    /// What the lamps need.
    pub needed: String,
    /// What is laid out: with what gets lost, whole pieces.
    pub laid_out: String,
    /// Packs to have at hand; empty where it comes in none.
    pub packs: String,
}

/// Share that gets lost and pieces in a pack, as one lamp's drawer says; another lamp's parts have theirs.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
struct Drawer {
    loss: f64,
    pack: u32,
}

fn drawer(lamp: &Compiled) -> Drawer {
    let stock = &lamp.lamp.stock;
    Drawer { loss: stock.loss.value.unwrap_or(0.0), pack: stock.pack.value.unwrap_or(1) }
}

/// The pick list of these lamps, each in its spec's quantity, in the order of the parts lists.
pub fn picks(lamps: &[&Compiled]) -> Vec<Pick> {
    let mut order: Vec<Kind> = Vec::new();
    let mut sums: BTreeMap<Kind, Sum> = BTreeMap::new();
    for lamp in lamps {
        let drawer = drawer(lamp);
        for row in lamp.parts().rows {
            let [group, what, rating, _, all, _] = row.as_slice() else { continue };
            let key = (group.clone(), what.clone(), rating.clone());
            let sum = sums.entry(key.clone()).or_insert_with(|| {
                order.push(key);
                Sum::default()
            });
            if !sum.lamps.contains(&lamp.identity().lamp) {
                sum.lamps.push(lamp.identity().lamp.clone());
            }
            match amount(all) {
                Some(amount) => sum.amounts.push((amount, drawer)),
                // What is no number is said once, however many lamps say it.
                None if sum.words.contains(all) => {}
                None => sum.words.push(all.clone()),
            }
        }
    }
    // Groups in the order of the first list; a group that a later lamp brings stands behind.
    let mut groups: Vec<String> = Vec::new();
    for (group, ..) in &order {
        if !groups.contains(group) {
            groups.push(group.clone());
        }
    }
    order.sort_by_key(|(group, ..)| groups.iter().position(|g| g == group));
    let line = |key: Kind| {
        let sum = sums.remove(&key)?;
        Some(pick(key, sum))
    };
    order.into_iter().filter_map(line).collect()
}

fn pick((group, what, rating): Kind, sum: Sum) -> Pick {
    let Sum { lamps, amounts, words } = sum;
    let small = SMALL.contains(&group.as_str());
    let (mut pieces, mut length, mut with_lost, mut with_offcuts) = (0, 0.0, 0.0, 0.0);
    for (amount, drawer) in &amounts {
        let share = if small { 1.0 + drawer.loss } else { 1.0 };
        match amount {
            Amount::Pieces(n) => {
                pieces = n.saturating_add(pieces);
                with_lost += f64::from(*n) * share;
            }
            Amount::Length(metres) => {
                length += metres;
                with_offcuts += metres * share;
            }
        }
    }
    // Counted in whole pieces: what is lost of a few is one.
    let whole = libm::ceil(with_lost - 1e-9) as u32;
    // A part of two lamps comes in the smaller of their packs: nobody has too few at hand.
    let pack = amounts.iter().map(|(_, drawer)| drawer.pack).filter(|pack| *pack > 1).min().unwrap_or(1);
    let both = |count: u32, metres: f64| {
        let mut told: Vec<String> = Vec::new();
        told.extend((count > 0).then(|| count.to_string()));
        told.extend((metres > 0.0).then(|| engineering(metres, "m")));
        told.extend(words.iter().cloned());
        told.join(" + ")
    };
    let in_packs = small && pack > 1 && pieces > 0;
    Pick {
        needed: both(pieces, length),
        laid_out: both(whole, with_offcuts),
        packs: if in_packs { format!("{} of {pack}", whole.div_ceil(pack)) } else { String::new() },
        group,
        what,
        rating,
        lamps,
    }
}

/// `12`, `350 mm` or `1.4 m`; anything else is carried on as words.
fn amount(text: &str) -> Option<Amount> {
    if let Ok(pieces) = text.parse() {
        return Some(Amount::Pieces(pieces));
    }
    let (number, unit) = text.split_once(' ')?;
    let number: f64 = number.parse().ok()?;
    match unit {
        "mm" => Some(Amount::Length(number / 1e3)),
        "m" => Some(Amount::Length(number)),
        _ => None,
    }
}

/// The pick list as a packet of one sheet; nothing where there is no lamp.
///
/// # Errors
/// A template that is wrong.
pub fn packet(lamps: &[&Compiled], overrides: &Overrides) -> Result<Option<Packet>, ComposeError> {
    let Some(first) = lamps.first() else { return Ok(None) };
    let known = |name: &str| name == TEMPLATE.0 || name == CUT.0;
    let own: Overrides = overrides.iter().filter(|(n, _)| known(n)).map(|(n, t)| (n.clone(), t.clone())).collect();
    // The words of a list for several lamps know no plug.
    let words =
        Words { region: first.lamp.identity.region.value.unwrap_or(Region::Eu), plug_turns: false, inlet: false };
    let templates =
        Templates::new(&[TEMPLATE, CUT], &own, &first.solution.ledger, words).map_err(ComposeError::Template)?;
    let picks = picks(lamps);
    let mut groups: Vec<&str> = picks.iter().map(|p| p.group.as_str()).collect();
    groups.dedup();
    let of = |group: &str| picks.iter().filter(|p| p.group == group).collect::<Vec<_>>();
    let designs: Vec<_> = lamps
        .iter()
        .map(|l| {
            let i = l.identity();
            json!({
                "lamp": i.lamp, "variant": i.variant, "revision": i.revision, "digest": i.digest,
                "quantity": l.lamp.identity.quantity.value.unwrap_or(1),
                "loss": format!("{} %", trimmed(drawer(l).loss * 100.0, 1)),
                "pack": drawer(l).pack,
            })
        })
        .collect();
    let data = json!({
        "designs": designs,
        "groups": groups.iter().map(|g| json!({ "name": g, "rows": of(g) })).collect::<Vec<_>>(),
    });
    let markdown = templates.render(TEMPLATE.0, &data).map_err(ComposeError::Template)?;
    let sheet = Sheet {
        name: "pick".into(),
        title: "Pick list".into(),
        size: TextSize::Dense,
        landscape: true,
        markdown: squeeze(&markdown),
    };
    let (pieces, shared) = cut::list(lamps);
    let mut sheets = vec![sheet];
    let mut tables = vec![table(&picks)];
    if !pieces.is_empty() {
        let markdown = templates.render(CUT.0, &cut::data(&pieces, &shared)).map_err(ComposeError::Template)?;
        sheets.push(Sheet {
            name: "cut-list".into(),
            title: "Cut list".into(),
            size: TextSize::Dense,
            landscape: true,
            markdown: squeeze(&markdown),
        });
        tables.push(cut::table(&pieces));
    }
    Ok(Some(Packet {
        identity: identity(lamps),
        paper: first.paper(),
        sheets,
        drawings: cut::drawings(&shared),
        tables,
        data_files: Vec::new(),
        machine_drawings: BTreeMap::new(),
        programs: BTreeMap::new(),
        data: json!({ "picks": picks, "pieces": pieces }),
    }))
}

/// One head for all; each lamp's own code stands on the sheet.
fn identity(lamps: &[&Compiled]) -> Identity {
    let names: Vec<&str> = lamps.iter().map(|l| l.identity().lamp.as_str()).collect();
    let digests: Vec<&str> = lamps.iter().map(|l| l.identity().digest.as_str()).collect();
    let one = lamps.first().filter(|_| lamps.len() == 1).map(|l| l.identity());
    Identity {
        lamp: names.join(", "),
        variant: one.and_then(|i| i.variant.clone()),
        revision: one.and_then(|i| i.revision.clone()),
        date: one.and_then(|i| i.date.clone()),
        digest: one.map_or_else(|| crate::digest::of_all(&digests), |i| i.digest.clone()),
        findings: one.map_or_else(|| "verdicts on each lamp's papers".to_owned(), |i| i.findings.clone()),
        draft: lamps.iter().any(|l| l.identity().draft),
    }
}

fn table(picks: &[Pick]) -> DataTable {
    let columns = ["group", "part", "rating", "lamps", "needed", "laid out", "packs"];
    let row = |p: &Pick| {
        let (lamps, p) = (p.lamps.join(", "), p.clone());
        vec![p.group, p.what, p.rating, lamps, p.needed, p.laid_out, p.packs]
    };
    DataTable {
        name: "pick".into(),
        columns: columns.map(str::to_owned).to_vec(),
        rows: picks.iter().map(row).collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pieces_are_added_rounded_up_with_loss_and_packed() {
        let key = |group: &str| (group.to_owned(), "1R0".to_owned(), "0.25 W".to_owned());
        let sum = |amounts: &[Amount], words: &[&str], drawer: Drawer| Sum {
            lamps: Vec::new(),
            amounts: amounts.iter().map(|a| (*a, drawer)).collect(),
            words: words.iter().map(|w| (*w).to_owned()).collect(),
        };
        let two = [Amount::Pieces(19), Amount::Pieces(2)];
        for (group, loss, pack, laid_out, packs) in [
            ("Driver board", 0.0, 1, "21", ""),
            ("Driver board", 0.05, 10, "23", "3 of 10"),
            ("Driver board", 1.0 / 21.0, 22, "22", "1 of 22"),
            ("Mains", 0.05, 10, "21", ""),
        ] {
            let pick = pick(key(group), sum(&two, &[], Drawer { loss, pack }));
            assert_eq!((pick.needed.as_str(), pick.laid_out.as_str(), pick.packs.as_str()), ("21", laid_out, packs));
        }
        let lengths = [amount("350 mm").expect("a length"), amount("1.4 m").expect("a length")];
        let pick = pick(key("Wire and ends"), sum(&lengths, &["two sheets"], Drawer { loss: 0.1, pack: 5 }));
        assert_eq!((pick.needed.as_str(), pick.laid_out.as_str()), ("1.75 m + two sheets", "1.925 m + two sheets"));
        assert_eq!(pick.packs, "");
        // Of two lamps only one loses: 4 · 1.25 + 2.
        let mut both = sum(&[Amount::Pieces(4)], &[], Drawer { loss: 0.25, pack: 4 });
        both.amounts.push((Amount::Pieces(2), Drawer { loss: 0.0, pack: 10 }));
        let pick = self::pick(key("Driver board"), both);
        assert_eq!((pick.laid_out.as_str(), pick.packs.as_str()), ("7", "2 of 4"));
    }
}
