//! `charts-out` shows what the program makes now.

use std::fs;
use std::path::Path;

use crate::pixels::decode;
use crate::run::{Bench, files_below};

/// After a change that is meant to be seen, with `cargo run --release --` before each: `chart --format svg,png,json patterns/*.md`, `steps
/// patterns/pocket-puffin.md --piece beak`, `place --format svg patterns/pocket-puffin.md`, `shape --format svg patterns/pocket-puffin.md`, `key`; and look at the pictures.
#[test]
fn the_gallery_is_what_the_program_makes_now() {
    let home = Path::new(env!("CARGO_MANIFEST_DIR"));
    let patterns: Vec<String> = files_below(&home.join("patterns"))
        .into_iter()
        .filter(|name| name.ends_with(".md"))
        .collect();
    assert!(!patterns.is_empty(), "no demo patterns");
    let bench = Bench::new();
    for pattern in &patterns {
        let path = home.join("patterns").join(pattern);
        let out = pattern.trim_end_matches(".md");
        let path = path.to_str().expect("a path in UTF-8");
        bench
            .run(&["chart", path, "--out", out, "--format", "svg,png,json"])
            .ended_with(0);
    }
    let puffin = home.join("patterns/pocket-puffin.md");
    let puffin = puffin.to_str().expect("a path in UTF-8");
    let steps = "pocket-puffin/steps";
    bench
        .run(&["steps", puffin, "--piece", "beak", "--out", steps])
        .ended_with(0);
    let place = "pocket-puffin/place";
    bench
        .run(&["place", puffin, "--format", "svg", "--out", place])
        .ended_with(0);
    let shape = "pocket-puffin/shape";
    bench
        .run(&["shape", puffin, "--format", "svg", "--out", shape])
        .ended_with(0);
    bench.run(&["key", "--out", "key"]).ended_with(0);
    let made = bench.files("");
    assert_eq!(
        made,
        files_below(&home.join("charts-out")),
        "files made, and files kept"
    );
    for file in made {
        let made = bench.read(&file);
        let kept = fs::read(home.join("charts-out").join(&file)).expect("a kept file");
        let is_same = match file.ends_with(".png") {
            true => decode(&made) == decode(&kept),
            false => made == kept,
        };
        assert!(is_same, "{file} is not what the program makes now");
    }
}
