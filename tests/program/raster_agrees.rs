//! Our pictures, held against those of a renderer that shares no code with ours.

use std::fs;
use std::path::Path;
use std::process::Command;

use crate::pixels::{Picture, decode};
use crate::run::Bench;

/// Resolution of the compared pictures: the one for print.
const DPI: u32 = 300;
/// Side of the squares whose ink is compared, in pixels; a line of a symbol is 3 to 4 pixels wide.
const SQUARE: u32 = 8;
/// Least likeness of two pictures of one chart, and the most that the ink of one square may differ by, as a share of the
/// square. Both renderers smooth the edges of shapes, each in its own way: by how much of a pixel a shape covers, in 16 or in
/// 256 steps, exactly or by samples. So along an edge the ink of a pixel differs by some hundredths, now one way, now the other.
/// Thin lines and small letters are nearly all edge: charts come out 0.985 to 0.997 alike, and no square differs by
/// more than 0.03. A line of a symbol that is missing, or two thirds of its width aside, is twice the bound or more.
const LIKENESS: f64 = 0.97;
const DIFFERENCE: f64 = 0.06;

#[test]
fn demo_charts_look_the_same_in_another_renderer() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("charts-out/pocket-puffin");
    agree(&folder);
}

#[test]
fn step_pictures_and_the_sheet_of_all_symbols_look_the_same_in_another_renderer() {
    let puffin = Path::new(env!("CARGO_MANIFEST_DIR")).join("patterns/pocket-puffin.md");
    let puffin = puffin.to_str().expect("a path in UTF-8");
    let bench = Bench::new();
    for piece in ["herring", "beak"] {
        let arguments = ["steps", puffin, "--piece", piece, "--out", piece];
        bench.run(&arguments).ended_with(0);
        agree(&bench.path(piece));
    }
    bench.run(&["key", "--out", "key"]).ended_with(0);
    agree(&bench.path("key"));
}

/// Holds our picture of every SVG in a folder against the other renderer's.
fn agree(folder: &Path) {
    let Some(version) = renderer() else {
        let ci = std::env::var_os("CI").is_some_and(|ci| ci == "true");
        assert!(!ci, "rsvg-convert is not installed");
        eprintln!("SKIPPED: rsvg-convert is not installed, so nothing was compared");
        return;
    };
    let mut drawings: Vec<_> = fs::read_dir(folder)
        .expect("a folder of drawings")
        .map(|entry| entry.expect("an entry").path())
        .collect();
    drawings.retain(|path| path.extension().is_some_and(|ending| ending == "svg"));
    drawings.sort();
    assert!(!drawings.is_empty());
    for drawing in drawings {
        let svg = fs::read_to_string(&drawing).expect("a drawing");
        let ours = decode(&roundwright::raster::png(&svg, DPI).expect("a picture"));
        let output = Command::new("rsvg-convert")
            .args([format!("--dpi-x={DPI}"), format!("--dpi-y={DPI}")])
            .arg(&drawing)
            .output()
            .expect("rsvg-convert");
        assert!(
            output.status.success(),
            "{}",
            String::from_utf8_lossy(&output.stderr)
        );
        let found = compare(&ours, &decode(&output.stdout));
        let name = drawing.file_name().unwrap_or_default().to_string_lossy();
        eprintln!("{name}: {found:.4?} ({version})");
        assert!(found.is_alike(), "{name}: {found:?} ({version})");
    }
}

/// How two pictures compare.
#[derive(Debug)]
struct Comparison {
    /// How much of their ink lies in the same squares, from 0 to 1: the ink that they share, over the ink that either has.
    likeness: f64,
    /// The most that the ink of one square differs by, from 0 to 1.
    difference: f64,
}

impl Comparison {
    fn is_alike(&self) -> bool {
        self.likeness >= LIKENESS && self.difference <= DIFFERENCE
    }
}

fn compare(a: &Picture, b: &Picture) -> Comparison {
    assert!(
        a.width.abs_diff(b.width) <= 1 && a.height.abs_diff(b.height) <= 1,
        "the sizes differ"
    );
    let (width, height) = (a.width.min(b.width), a.height.min(b.height));
    let ink = |picture: &Picture| picture.cropped(width, height).ink(SQUARE);
    let squares: Vec<(f64, f64)> = ink(a).into_iter().zip(ink(b)).collect();
    let shared: f64 = squares.iter().map(|(a, b)| a.min(*b)).sum();
    let either: f64 = squares.iter().map(|(a, b)| a.max(*b)).sum();
    Comparison {
        likeness: shared / either,
        difference: squares
            .iter()
            .map(|(a, b)| (a - b).abs())
            .fold(0.0, f64::max),
    }
}

#[test]
fn a_symbol_that_is_moved_or_missing_is_not_alike() {
    let cross = |x: f64, y: f64| format!("<path d='M{x} {y}v3M{} {}h2'/>", x - 1.0, y + 1.5);
    let picture = |first: &str| {
        let others: String = (1..60)
            .map(|n| cross(f64::from(n % 10) * 3.0 + 3.0, f64::from(n / 10) * 4.0 + 2.0))
            .collect();
        let svg = format!(
            "<svg xmlns='http://www.w3.org/2000/svg' width='40mm' height='30mm' viewBox='0 0 40 30'>\
             <g stroke='#223' stroke-width='0.3'>{first}{others}</g></svg>"
        );
        decode(&roundwright::raster::png(&svg, DPI).expect("a picture"))
    };
    let whole = picture(&cross(3.0, 2.0));
    assert!(compare(&whole, &whole).is_alike());
    for other in [
        String::new(),
        cross(3.2, 2.0),
        cross(3.0, 2.2),
        cross(3.0, 2.0).replace("h2", "h1"),
    ] {
        let found = compare(&whole, &picture(&other));
        assert!(!found.is_alike(), "{other}: {found:?}");
    }
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
