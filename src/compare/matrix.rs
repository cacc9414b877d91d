//! Rules by variant, with what is left of each limit: where variants differ, and how much they share.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use crate::Compiled;
use crate::figures::percent;
use crate::rules::rule::Outcome;

/// What one rule says of one subject, in every variant.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// The rule.
    pub rule: &'static str,
    /// What it was asked of.
    pub subject: String,
    /// What it says, one a column.
    pub cells: Vec<String>,
}

/// Rules by variant.
#[derive(Debug, Clone, PartialEq)]
pub struct Matrix {
    /// Names of the columns; `lamp` is the lamp without a variant.
    pub columns: Vec<String>,
    /// Rows in which the columns differ, in the order of the rules.
    pub rows: Vec<Row>,
    /// How many rows are the same in every column.
    pub same: usize,
}

/// Lays the verdicts of several variants side by side.
pub fn matrix(runs: &[(&str, &Compiled)]) -> Matrix {
    let mut order: Vec<(&'static str, String)> = Vec::new();
    let mut cells: BTreeMap<(&'static str, String), Vec<String>> = BTreeMap::new();
    for (column, (_, compiled)) in runs.iter().enumerate() {
        for judged in &compiled.report.judged {
            for verdict in &judged.verdicts {
                let key = (judged.rule.name, verdict.subject.clone());
                let row = cells.entry(key.clone()).or_insert_with(|| {
                    order.push(key);
                    vec!["–".to_owned(); runs.len()]
                });
                if let Some(cell) = row.get_mut(column) {
                    *cell = told(judged.rule.signal.word(), &verdict.outcome);
                }
            }
        }
    }
    let mut rows = Vec::new();
    let mut same = 0;
    for key in order {
        let Some(cells) = cells.remove(&key) else { continue };
        if cells.windows(2).all(|pair| pair.first() == pair.last()) {
            same += 1;
        } else {
            rows.push(Row { rule: key.0, subject: key.1, cells });
        }
    }
    Matrix { columns: runs.iter().map(|(name, _)| (*name).to_owned()).collect(), rows, same }
}

fn told(signal: &str, outcome: &Outcome) -> String {
    match outcome {
        Outcome::Pass(Some(measure)) => format!("{} left", percent(measure.margin)),
        Outcome::Pass(None) => "holds".to_owned(),
        Outcome::Finding(finding) => match &finding.measure {
            Some(measure) => format!("{signal} {}", percent(measure.margin)),
            None => signal.to_owned(),
        },
        Outcome::NotChecked(_) => "not checked".to_owned(),
        Outcome::NotApplicable => "–".to_owned(),
    }
}

/// The rule that is asked of a variant only.
const WEAKENS: &str = "spec/variant-weakens";

impl Matrix {
    /// Rows to show: a variant that drops no protection has nothing to say of it.
    fn shown(&self) -> impl Iterator<Item = &Row> {
        let silent = |row: &Row| row.rule == WEAKENS && row.cells.iter().all(|c| c == "–" || c == "holds");
        self.rows.iter().filter(move |row| !silent(row))
    }

    /// Whether this variant is judged as the lamp without one, in every row.
    fn alike(&self, column: usize) -> bool {
        self.shown().all(|row| row.cells.get(column) == row.cells.first())
    }
}

/// As a table for the terminal, of lines no longer than this where that can be: variants that do not fit beside each
/// other stand below, each time beside the lamp itself.
pub fn text(matrix: &Matrix, width: usize) -> String {
    let mut out = String::new();
    if matrix.columns.len() < 2 {
        out.push_str("  this lamp has no variants to lay side by side\n");
        return out;
    }
    let (alike, mut open): (Vec<usize>, Vec<usize>) = (1..matrix.columns.len()).partition(|c| matrix.alike(*c));
    while !open.is_empty() {
        let fits = |count: &usize| {
            let table = columns(&picked(matrix, open.get(..*count).unwrap_or_default()));
            table.lines().all(|l| l.chars().count() <= width)
        };
        let count = (1..=open.len()).rev().find(fits).unwrap_or(1);
        let rest = open.split_off(count);
        out.push_str(&columns(&picked(matrix, &open)));
        open = rest;
        if !open.is_empty() {
            out.push('\n');
        }
    }
    for name in alike.iter().filter_map(|c| matrix.columns.get(*c)) {
        let _ = writeln!(out, "  `{name}` is the same as the lamp without a variant, in every rule");
    }
    let _ = writeln!(out, "  {} more are the same in every variant", matrix.same);
    out
}

/// Head and rows of the lamp and these variants, without the rows in which these are all the same.
fn picked(matrix: &Matrix, variants: &[usize]) -> Vec<Vec<String>> {
    let all: Vec<usize> = std::iter::once(0).chain(variants.iter().copied()).collect();
    let cells = |of: &[String]| -> Vec<String> { all.iter().filter_map(|c| of.get(*c)).cloned().collect() };
    let line = |name: &str, of: &[String]| std::iter::once(name.to_owned()).chain(cells(of)).collect::<Vec<String>>();
    let name = |row: &Row| {
        if row.subject.is_empty() { row.rule.to_owned() } else { format!("{}: {}", row.rule, row.subject) }
    };
    let differs = |row: &&Row| cells(&row.cells).windows(2).any(|pair| pair.first() != pair.last());
    let rows = matrix.shown().filter(differs).map(|row| line(&name(row), &row.cells));
    std::iter::once(line("rule", &matrix.columns)).chain(rows).collect()
}

/// Rows of cells, each column as wide as its widest cell.
pub fn columns(table: &[Vec<String>]) -> String {
    let count = table.iter().map(Vec::len).max().unwrap_or(0);
    let width = |c: usize| table.iter().filter_map(|r| r.get(c)).map(|t| t.chars().count()).max().unwrap_or(0);
    let widths: Vec<usize> = (0..count).map(width).collect();
    let mut out = String::new();
    for row in table {
        let mut line = String::from("  ");
        for (cell, width) in row.iter().zip(&widths) {
            line.push_str(cell);
            line.extend(std::iter::repeat_n(' ', width - cell.chars().count() + 2));
        }
        let _ = writeln!(out, "{}", line.trim_end());
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sample() -> Matrix {
        let row = |rule: &'static str, cells: [&str; 4]| Row {
            rule,
            subject: String::new(),
            cells: cells.map(str::to_owned).to_vec(),
        };
        Matrix {
            columns: ["lamp", "twin", "hot", "far"].map(str::to_owned).to_vec(),
            rows: vec![
                row("heat/junction", ["27.6 % left", "27.6 % left", "WARNING -93.2 %", "27.6 % left"]),
                row("mains/cord", ["10.0 % left", "10.0 % left", "10.0 % left", "4.00 % left"]),
                row(WEAKENS, ["–", "holds", "holds", "holds"]),
            ],
            same: 7,
        }
    }

    #[test]
    fn what_is_identical_is_said_to_be() {
        let text = text(&sample(), usize::MAX);
        assert!(text.contains("`twin` is the same as the lamp without a variant"), "{text}");
        assert!(!text.contains(WEAKENS), "nothing is dropped: {text}");
        assert!(text.lines().next().is_some_and(|l| !l.contains("twin")), "{text}");
        assert!(text.ends_with("  7 more are the same in every variant\n"), "{text}");
    }

    #[test]
    fn variants_that_do_not_fit_stand_below() {
        let narrow = text(&sample(), 50);
        assert!(narrow.lines().take_while(|l| !l.contains('`')).all(|l| l.chars().count() <= 50), "{narrow}");
        assert_eq!(narrow.matches("  rule ").count(), 2, "{narrow}");
        assert_eq!(narrow.matches("mains/cord").count(), 1, "a row stands where it differs: {narrow}");
    }
}
