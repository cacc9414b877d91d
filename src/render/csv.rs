//! Tables for machines as CSV (RFC 4180): CRLF line ends, quotes where needed, no cell that a spreadsheet runs.

use crate::packet::sheet::DataTable;

/// The table with its column names first; of a draft every row says so in a column of its own, the last.
pub fn csv(table: &DataTable, draft: bool) -> String {
    let marked = |cells: &[String], mark| line(cells.iter().map(String::as_str).chain(draft.then_some(mark)));
    let mut text = marked(&table.columns, "draft");
    for row in &table.rows {
        text.push_str(&marked(row, "DRAFT"));
    }
    text
}

fn line<'c>(cells: impl Iterator<Item = &'c str>) -> String {
    let cells: Vec<String> = cells.map(|cell| quoted(&harmless(cell))).collect();
    cells.join(",") + "\r\n"
}

/// An apostrophe keeps a spreadsheet from taking words for a formula; numbers stay numbers. One stands behind each
/// semicolon, tab and line end, too: where a comma is the decimal point these begin a cell, quotes or not.
fn harmless(cell: &str) -> String {
    if cell.parse::<f64>().is_ok_and(f64::is_finite) {
        return cell.to_owned();
    }
    let mut found = String::with_capacity(cell.len() + 1);
    let mut begins = true;
    for sign in cell.chars() {
        if (begins && matches!(sign, '=' | '+' | '-' | '@')) || (found.is_empty() && matches!(sign, '\t' | '\r')) {
            found.push('\'');
        }
        found.push(sign);
        begins = matches!(sign, ';' | '\t' | '\r' | '\n');
    }
    found
}

fn quoted(cell: &str) -> String {
    if cell.contains(['"', ',', '\n', '\r']) { format!("\"{}\"", cell.replace('"', "\"\"")) } else { cell.to_string() }
}

#[cfg(test)]
mod tests {
    use super::csv;
    use crate::packet::sheet::DataTable;

    #[test]
    fn cells_are_quoted_and_kept_from_running() {
        let cases = [
            ("plain", "plain"),
            ("a,b", "\"a,b\""),
            ("say \"x\"", "\"say \"\"x\"\"\""),
            ("two\nlines", "\"two\nlines\""),
            ("=1+1", "'=1+1"),
            ("@x", "'@x"),
            ("+ spare", "'+ spare"),
            ("-12.5", "-12.5"),
            ("+3e-6", "+3e-6"),
            ("-inf", "'-inf"),
            ("=a,b", "\"'=a,b\""),
            ("a;=1+1", "a;'=1+1"),
            ("0.5 mm; -1 mm; 2;3", "0.5 mm; -1 mm; 2;3"),
            ("inf", "inf"),
            ("nan", "nan"),
            ("", ""),
        ];
        for (cell, expected) in cases {
            let table = DataTable { name: "t".into(), columns: vec!["c".into()], rows: vec![vec![cell.into()]] };
            assert_eq!(csv(&table, false), format!("c\r\n{expected}\r\n"), "{cell:?}");
            assert_eq!(csv(&table, true), format!("c,draft\r\n{expected},DRAFT\r\n"), "{cell:?}");
        }
    }
}
