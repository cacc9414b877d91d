//! Renders the sample packet and reads every file back.

use lampwright::packet::sheet::Paper;
use lampwright::render;

use super::sample::packet;

/// Writes the sample below `target/sample` so that it can be looked at.
#[test]
#[expect(clippy::disallowed_methods, reason = "a test may write below target")]
fn sample_can_be_looked_at() {
    for (paper, draft, name) in [(Paper::A4, true, "draft-a4"), (Paper::Letter, false, "letter")] {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("target/sample").join(name);
        for file in render::files(&packet(paper, draft)).unwrap() {
            let path = folder.join(&file.path);
            std::fs::create_dir_all(path.parent().unwrap()).unwrap();
            std::fs::write(path, &file.bytes).unwrap();
        }
    }
}
