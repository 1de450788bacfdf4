//! Our pictures, held against those of a renderer that shares no code with ours.

use std::fs;
use std::path::Path;
use std::process::Command;

use crate::pixels::{Picture, decode};

/// Least likeness of two pictures of one chart. Both smooth the edges of lines, each in its own way: by how much of a
/// pixel a shape covers, in 256 or in 16 steps and more or less exactly, so that along an edge a pixel's ink may differ by a few
/// hundredths. Over squares of 4 pixels that evens out; a symbol that is missing, moved or of another weight does not.
const LIKENESS: f64 = 0.97;

#[test]
fn a_demo_chart_looks_the_same_in_another_renderer() {
    let Some(version) = renderer() else {
        let ci = std::env::var_os("CI").is_some_and(|ci| ci == "true");
        assert!(!ci, "rsvg-convert is not installed");
        eprintln!("SKIPPED: rsvg-convert is not installed, so nothing was compared");
        return;
    };
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("charts-out/pocket-puffin");
    let mut charts: Vec<_> = fs::read_dir(&folder)
        .expect("the puffin's charts")
        .map(|entry| entry.expect("an entry").path())
        .collect();
    charts.retain(|path| path.extension().is_some_and(|ending| ending == "svg"));
    charts.sort();
    assert!(!charts.is_empty());
    for chart in charts {
        let svg = fs::read_to_string(&chart).expect("a chart");
        let ours = decode(&roundwright::raster::png(&svg, 150).expect("a picture"));
        let output = Command::new("rsvg-convert")
            .args(["--dpi-x=150", "--dpi-y=150"])
            .arg(&chart)
            .output()
            .expect("rsvg-convert");
        assert!(
            output.status.success(),
            "{}",
            String::from_utf8_lossy(&output.stderr)
        );
        let theirs = decode(&output.stdout);
        let likeness = likeness(&ours, &theirs);
        eprintln!("{}: {likeness:.4} like {version}", chart.display());
        assert!(
            likeness >= LIKENESS,
            "{}: {likeness:.4} like {version}",
            chart.display()
        );
    }
}

/// How much of the ink of two pictures lies in the same places, from 0 to 1: the ink that they share, over the ink that either has.
fn likeness(a: &Picture, b: &Picture) -> f64 {
    assert!(
        a.width.abs_diff(b.width) <= 1 && a.height.abs_diff(b.height) <= 1,
        "the sizes differ"
    );
    let (width, height) = (a.width.min(b.width), a.height.min(b.height));
    let (a, b) = (
        a.cropped(width, height).ink(4),
        b.cropped(width, height).ink(4),
    );
    let shared: f64 = a.iter().zip(&b).map(|(a, b)| a.min(*b)).sum();
    let either: f64 = a.iter().zip(&b).map(|(a, b)| a.max(*b)).sum();
    shared / either
}

#[test]
fn a_symbol_that_is_moved_or_missing_is_not_alike() {
    let picture = |crosses: &str| {
        let svg = format!(
            "<svg xmlns='http://www.w3.org/2000/svg' width='20mm' height='20mm' viewBox='0 0 20 20'>\
             <g stroke='#223' stroke-width='0.35'>{crosses}</g></svg>"
        );
        decode(&roundwright::raster::png(&svg, 150).expect("a picture"))
    };
    let whole: String = (1..7)
        .map(|x| format!("<path d='M{0} 2v3M{1} 3.5h2'/>", 2 * x + 2, 2 * x + 1))
        .collect();
    let likeness_to = |crosses: &str| likeness(&picture(&whole), &picture(crosses));
    assert_eq!(likeness_to(&whole), 1.0);
    assert!(likeness_to(&whole.replacen("M4 2v3M3 3.5h2", "", 1)) < LIKENESS);
    assert!(likeness_to(&whole.replacen("M4 2v3M3 3.5h2", "M4 2.5v3M3 4h2", 1)) < LIKENESS);
}

fn renderer() -> Option<String> {
    let output = Command::new("rsvg-convert")
        .arg("--version")
        .output()
        .ok()?;
    output
        .status
        .success()
        .then(|| String::from_utf8_lossy(&output.stdout).trim().to_owned())
}
