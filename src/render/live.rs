//! The packet's page with a panel above it that says what the last change did: what `watch` shows in a browser.

use minijinja::context;

use super::RenderError;
use super::html::filled;

const PANEL: &str = include_str!("../../templates/live.html");
const STYLE: &str = include_str!("../../templates/live.css");

/// What the page asks the program for; it loads the page anew when there is a newer one.
pub const SCRIPT: &str = include_str!("../../templates/live.js");

/// What the panel says.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Panel {
    /// Number of the build, counted from 1.
    pub version: u64,
    /// Verdict in one line.
    pub summary: String,
    /// Errors of a spec that cannot be compiled; empty where it can.
    pub messages: String,
    /// What changed, in words; empty where nothing did.
    pub changed: String,
    /// Names of the sheets whose text or drawing changed.
    pub sheets: Vec<String>,
}

/// The page of a packet with the panel; the panel alone where no lamp could be compiled yet.
///
/// # Errors
/// A fault in the panel's template.
pub fn live(page: Option<&str>, panel: &Panel) -> Result<String, RenderError> {
    let data = context! {
        version => panel.version,
        summary => panel.summary.clone(),
        messages => panel.messages.clone(),
        changed => panel.changed.clone(),
        sheets => panel.sheets.clone(),
        lamp => page.is_some(),
    };
    let html = filled("live.html", PANEL, data);
    let html = html.map_err(|error| RenderError::whole("the live page", error.to_string()))?;
    // The page is ours from its first tag on, and every word in it is escaped: the marks stand once.
    let whole = page.unwrap_or(EMPTY);
    let whole = whole.replacen("</style>", &format!("{STYLE}</style>"), 1);
    Ok(whole.replacen("<body>", &format!("<body>\n{html}"), 1))
}

/// The page before there is a lamp.
const EMPTY: &str = "<!doctype html>
<html lang=\"en\">
<head>
<meta charset=\"utf-8\">
<title>lampwright</title>
<style>
html { font: 16px/1.42 \"Source Sans 3\", \"Noto Sans\", \"Segoe UI\", Arial, sans-serif; color: #000; background: #fff; }
body { margin: 0 auto; max-width: 60rem; padding: 2.5rem 2rem 4rem; }
.panel { border: .9mm solid #000; padding: 0 1.1rem .5rem; margin: 1.1rem 0; }
</style>
</head>
<body>
</body>
</html>
";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_panel_stands_once_and_escapes_what_it_is_told() {
        let page = "<html><style>a{}</style><body>\n<p>lamp</p></body></html>";
        let panel = Panel { version: 3, messages: "<b> & \"q\"".into(), sheets: vec!["a".into()], ..Panel::default() };
        for (page, lamp) in [(Some(page), true), (None, false)] {
            let html = live(page, &panel).expect("a page");
            assert_eq!(html.matches("<aside").count(), 1, "{html}");
            assert!(html.contains("data-version=\"3\"") && html.contains("&lt;b&gt; &amp; &quot;q&quot;"), "{html}");
            assert_eq!(html.contains("the last lamp that could"), lamp);
            assert!(html.contains(".live {") && html.contains("href=\"#a\""), "{html}");
        }
    }
}
