//! The reference page: every block, property, word and unit is on it.

use super::table::ROOT;
use lampwright::schema::{Block, Shape, reference::reference};

fn visit(block: &Block, page: &str) {
    for property in block.properties {
        assert!(page.contains(&format!("| `{}` |", property.name)), "{}", property.name);
        if let Shape::Word(choices) | Shape::Words(choices) = property.shape {
            for choice in choices {
                assert!(page.contains(&format!("- `{}`: {}", choice.word, choice.doc)), "{}", choice.word);
            }
        }
    }
    for inner in block.blocks {
        assert!(page.contains(&format!("{}`\n", inner.kind)), "{}", inner.kind);
        visit(inner, page);
    }
}

#[test]
fn the_page_holds_the_whole_schema() {
    let page = reference(&ROOT);
    visit(&ROOT, &page);
    assert!(page.contains("### `driver.channel`"));
    assert!(page.contains("| `current` | a current, mA | **must be written** | 1 mA .. 3 A | a property |"));
    assert!(page.contains("| `room` | a temperature, °C | `5 °C .. 30 °C` |"));
    assert!(page.contains("| thermal conductivity | `W/(m·K)` |"));
    assert!(page.ends_with('\n') && !page.contains("\n\n\n"));
}
