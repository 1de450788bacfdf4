//! What the fuzzer found stays found: every text in `tests/fuzz/finds` goes the whole way without a panic,
//! within the limits, and twice alike.

#[path = "support/stages.rs"]
mod stages;

use std::fs;
use std::path::Path;

#[test]
fn every_find_goes_the_whole_way_within_the_limits() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fuzz/finds");
    let mut seen = 0;
    for entry in fs::read_dir(folder).expect("the folder is there") {
        let path = entry.expect("an entry").path();
        let text = String::from_utf8_lossy(&fs::read(&path).expect("a file")).into_owned();
        assert!(stages::comes_to_the_same_twice(&text), "{}", path.display());
        seen += 1;
    }
    assert!(seen > 0, "there are finds to go through");
}
