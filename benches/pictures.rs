//! What a toy's whole set of pictures takes, and the large layout beside a general program's: `cargo bench --bench pictures`.
//!
//! What to look for, for the pocket puffin: all charts, their key and every step picture as SVG in 50 ms; as PNG at 300 dpi in at most 1.2
//! times what the bare renderer takes on the same SVGs on as many cores. For the large piece: a layout in 50 ms without an overlap. Beside
//! it stands what Debian's general radial layout program (`twopi`, in the package graphviz) takes for the same graph, and its overlaps; where
//! it is not installed, that is said. Nothing here fails if it takes longer.

mod bare;
mod samples;

use std::fmt::Write as _;
use std::io::Write as _;
use std::process::{Command, Stdio};
use std::sync::Mutex;
use std::thread;
use std::time::{Duration, Instant};

use roundwright::chart::quality::quality;
use roundwright::chart::{self, lay_out};
use roundwright::draw::{self, Key};
use roundwright::fabric::{self, Fabric, Piece, StitchId};
use roundwright::source::Source;
use roundwright::steps;
use roundwright::symbol::STITCH_WIDTH_MM;
use roundwright::{pattern, raster};

use samples::{SAMPLES, Sample};

/// Pixels to the inch of a printed picture.
const DPI: u32 = 300;
/// Cores for pictures, ours and the bare renderer's.
const CORES: usize = 2;

const PUFFIN: &str = include_str!("../patterns/pocket-puffin.md");

fn main() {
    let source = Source::new("pocket-puffin.md", PUFFIN);
    let (pattern, _) = pattern::read(&source);
    let (fabric, _) = fabric::work(&pattern);
    let svgs = svgs(&source, &fabric);
    let times = (0..15).map(|_| timed(|| self::svgs(&source, &fabric)).0);
    println!(
        "puffin: {} pictures as SVG (charts, key, steps): {:.1} ms",
        svgs.len(),
        median(times) * 1e3
    );
    let (ours, bare): (Vec<_>, Vec<_>) = (0..3)
        .map(|_| {
            (
                timed(|| in_parallel(&svgs, |svg| drop(raster::png(svg, DPI)))).0,
                timed(|| in_parallel(&svgs, |svg| drop(bare::png(svg, DPI)))).0,
            )
        })
        .unzip();
    let (ours, bare) = (median(ours), median(bare));
    println!(
        "puffin: as PNG at {DPI} dpi on {CORES} cores: {:.0} ms, the bare renderer {:.0} ms, ratio {:.2}",
        ours * 1e3,
        bare * 1e3,
        ours / bare
    );
    large();
}

/// Every picture of every piece, and the key.
fn svgs(source: &Source, fabric: &Fabric) -> Vec<String> {
    let all: Vec<usize> = (0..fabric.pieces.len()).collect();
    let mut svgs = Vec::new();
    for &piece in &all {
        let panels = lay_out(fabric, piece, &chart::Options::default());
        svgs.extend(panels.iter().map(|panel| draw::panel_svg(panel, fabric)));
        let pictures = steps::pictures(source, fabric, piece, steps::Options::default());
        svgs.extend(pictures.into_iter().map(|picture| picture.svg));
    }
    svgs.push(draw::key_svg(&Key::of(fabric, &all)));
    svgs
}

/// The layout of a usual piece and of a large one, ours and the general program's.
fn large() {
    for sample in SAMPLES {
        beside(sample);
    }
}

fn beside(sample: Sample) {
    let (fabric, panels) = sample.panels();
    let piece = &fabric.pieces[0];
    let layout = median((0..9).map(|_| timed(|| samples::lay_out(&fabric)).0));
    let drawing = median((0..3).map(|_| timed(|| samples::svgs(&fabric, &panels)).0));
    let overlaps: usize = panels
        .iter()
        .map(|panel| quality(panel, piece).overlaps.len())
        .sum();
    println!(
        "{sample}: layout in {:.1} ms, {overlaps} overlapping pairs; SVG in {:.1} ms",
        layout * 1e3,
        drawing * 1e3
    );
    match radial(piece) {
        Ok((time, heads)) => println!(
            "{sample}: the general radial layout in {:.1} ms, {} overlapping pairs",
            time * 1e3,
            close_pairs(&heads)
        ),
        Err(reason) => {
            println!("{sample}: no general radial layout to compare with ({reason})")
        }
    }
}

/// Time in s of the general radial layout of the same graph, all of its run, and where it puts the stitches: in mm, a stitch's width from ring
/// to ring.
fn radial(piece: &Piece) -> Result<(f64, Vec<[f64; 2]>), String> {
    let graph = graph(piece);
    let start = Instant::now();
    let mut run = Command::new("twopi")
        .arg("-Tplain")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .map_err(|error| format!("twopi: {error}"))?;
    let mut input = run.stdin.take().ok_or("no way in")?;
    let feed = thread::spawn(move || input.write_all(graph.as_bytes()));
    let output = run.wait_with_output().map_err(|error| error.to_string())?;
    let time = start.elapsed();
    feed.join()
        .map_err(|_| "it stopped reading")?
        .map_err(|error| error.to_string())?;
    let plain = String::from_utf8_lossy(&output.stdout);
    let nodes = plain.lines().filter_map(|line| {
        let mut words = line.split(' ');
        (words.next()? == "node").then_some(())?;
        words.next()?.parse::<u32>().ok()?;
        let mut inch = || words.next()?.parse::<f64>().ok();
        Some([inch()? * 25.4, inch()? * 25.4])
    });
    Ok((time.as_secs_f64(), nodes.collect()))
}

/// Every stitch with what it is worked into, about a middle; rings are a stitch's width apart, and stitches are points.
fn graph(piece: &Piece) -> String {
    let mut graph = format!(
        "graph {{ root=middle ranksep={} node [shape=point width=0.01] middle\n",
        STITCH_WIDTH_MM / 25.4
    );
    for id in (0..piece.stitches.len() as u32).map(StitchId) {
        let _ = match piece.feet(id) {
            [] => writeln!(graph, "middle -- {}", id.0),
            feet => writeln!(graph, "{} -- {}", feet[0].0, id.0),
        };
    }
    graph + "}\n"
}

/// Pairs of points that are nearer to each other than two crosses side by side may be: two thirds of a stitch's width.
fn close_pairs(points: &[[f64; 2]]) -> usize {
    let near = STITCH_WIDTH_MM * 2.0 / 3.0;
    let mut sorted = points.to_vec();
    sorted.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let mut pairs = 0;
    for (place, a) in sorted.iter().enumerate() {
        let others = sorted[place + 1..].iter();
        pairs += others
            .take_while(|b| b[0] - a[0] < near)
            .filter(|b| {
                let (x, y) = (b[0] - a[0], b[1] - a[1]);
                x * x + y * y < near * near
            })
            .count();
    }
    pairs
}

/// Does something for every drawing, on [`CORES`] threads.
fn in_parallel(svgs: &[String], work: impl Fn(&str) + Sync) {
    let next = Mutex::new(svgs.iter());
    thread::scope(|scope| {
        for _ in 0..CORES {
            scope.spawn(|| {
                while let Some(svg) = next.lock().ok().and_then(|mut next| next.next()) {
                    work(svg);
                }
            });
        }
    });
}

fn timed<T>(work: impl FnOnce() -> T) -> (Duration, T) {
    let start = Instant::now();
    let done = work();
    (start.elapsed(), done)
}

/// The middle one of some times, in s.
fn median(times: impl IntoIterator<Item = Duration>) -> f64 {
    let mut times: Vec<Duration> = times.into_iter().collect();
    times.sort();
    times[times.len() / 2].as_secs_f64()
}
