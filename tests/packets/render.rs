//! Renders the sample packet and reads every file back.

use lampwright::packet::sheet::Paper;
use lampwright::render;

use super::sample::packet;

/// Writes the sample below `target/sample` so that it can be looked at.
#[test]
#[expect(clippy::disallowed_methods, reason = "a test may write below target")]
fn sample_can_be_looked_at() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("target/sample");
    std::fs::create_dir_all(&folder).unwrap();
    for (paper, draft, name) in [(Paper::A4, true, "draft-a4"), (Paper::Letter, false, "letter")] {
        let pdf = render::pdf(&packet(paper, draft)).unwrap();
        std::fs::write(folder.join(format!("{name}.pdf")), pdf).unwrap();
    }
}
