//! What the benches share: files that an example uses, from the examples folder.

use lampwright::language::loading::{LoadError, Loaded, Loader};

pub(crate) struct Examples;

impl Loader for Examples {
    fn load(&mut self, _: &str, path: &str) -> Result<Loaded, LoadError> {
        let file = format!("{}/examples/{path}", env!("CARGO_MANIFEST_DIR"));
        let text = std::fs::read_to_string(file).map_err(|e| LoadError::Other(e.to_string()))?;
        Ok(Loaded { name: path.to_owned(), text })
    }
}
