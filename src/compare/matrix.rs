//! Rules by variant, with what is left of each limit: where variants differ, and how much they share.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use serde::Serialize;

use crate::Compiled;
use crate::figures::percent;
use crate::rules::rule::Outcome;

/// What one rule says of one subject, in every variant.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Row {
    /// The rule.
    pub rule: &'static str,
    /// What it was asked of.
    pub subject: String,
    /// What it says, one a column.
    pub cells: Vec<String>,
}

/// Rules by variant.
#[derive(Debug, Clone, PartialEq, Serialize)]
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

/// As a table for the terminal.
pub fn text(matrix: &Matrix) -> String {
    let mut out = String::new();
    if matrix.columns.len() < 2 {
        out.push_str("  this lamp has no variants to lay side by side\n");
        return out;
    }
    let head: Vec<String> = ["rule".to_owned()].into_iter().chain(matrix.columns.iter().cloned()).collect();
    let name = |row: &Row| {
        if row.subject.is_empty() { row.rule.to_owned() } else { format!("{}: {}", row.rule, row.subject) }
    };
    let mut table = vec![head];
    table.extend(matrix.rows.iter().map(|r| [name(r)].into_iter().chain(r.cells.iter().cloned()).collect()));
    out.push_str(&columns(&table));
    let _ = writeln!(out, "  {} more are the same in every variant", matrix.same);
    out
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
