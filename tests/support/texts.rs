//! The texts that tests run over.

use std::fs;
use std::path::{Path, PathBuf};

/// The texts of a folder of the project, in the order of their names.
pub fn of(folder: &str) -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let mut paths: Vec<PathBuf> = fs::read_dir(folder)
        .expect("the folder is there")
        .map(|entry| entry.expect("the folder can be listed").path())
        .filter(|path| path.extension().is_some_and(|end| end == "md"))
        .collect();
    paths.sort();
    paths
}
