//! Reads a small reference table with a header into rows whose cells are asked for by name.
//! Cells may be quoted; nothing else of CSV is needed.

#![allow(clippy::unwrap_used, reason = "helpers of tests, outside of a test function")]

/// One row with its header.
pub(crate) struct Row {
    header: Vec<String>,
    cells: Vec<String>,
}

impl Row {
    /// The cell of this column.
    pub(crate) fn text(&self, column: &str) -> &str {
        let at = self.header.iter().position(|name| name == column);
        &self.cells[at.unwrap_or_else(|| panic!("no column {column} in {:?}", self.header))]
    }
    /// The cell as a number.
    pub(crate) fn number(&self, column: &str) -> f64 {
        let text = self.text(column);
        text.parse().unwrap_or_else(|_| panic!("{column}: {text:?} is no number"))
    }
    /// The cell as a count.
    pub(crate) fn count(&self, column: &str) -> usize {
        self.text(column).parse().unwrap()
    }
    /// The row as text, for messages.
    pub(crate) fn line(&self) -> String {
        self.cells.join(",")
    }
}

fn cells(line: &str) -> Vec<String> {
    let mut cells = vec![String::new()];
    let mut quoted = false;
    for c in line.chars() {
        match c {
            '"' => quoted = !quoted,
            ',' if !quoted => cells.push(String::new()),
            c => cells.last_mut().unwrap().push(c),
        }
    }
    cells
}

/// All rows of a table; a table without rows is a fault of the test.
pub(crate) fn rows(table: &str) -> Vec<Row> {
    let mut lines = table.lines().filter(|line| !line.trim().is_empty());
    let header = cells(lines.next().unwrap());
    let rows: Vec<Row> = lines.map(|line| Row { header: header.clone(), cells: cells(line) }).collect();
    assert!(!rows.is_empty());
    rows
}

/// Fails unless `found` is within `relative` of `expected`.
#[track_caller]
pub(crate) fn close(found: f64, expected: f64, relative: f64, what: &str) {
    let scale = expected.abs().max(1e-12);
    assert!((found - expected).abs() <= relative * scale, "{what}: found {found}, expected {expected}");
}

#[test]
fn quoted_cells_keep_their_commas() {
    let table = rows("n,\"a(b,c)\"\n2,1.5\n");
    assert_eq!((table[0].count("n"), table[0].number("a(b,c)")), (2, 1.5));
}
