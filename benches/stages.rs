//! How long each stage takes, a table a stage: `cargo bench --bench stages`.
//!
//! What to look for, on one core: read, work and check 5 ms for 1,000 stitches and 100 ms for the large piece; its layout 50 ms and its
//! SVG 300 ms; the PNG of a page half a second, and at most 1.2 times the bare renderer; for ten times the stitches at most twelve times
//! the time. Nothing here fails if it takes longer.

mod bare;
mod samples;

use std::time::{Duration, Instant};

use divan::{Bencher, black_box};
use roundwright::raster;

use samples::{LARGEST, SAMPLES, Sample};

/// Pixels to the inch of a printed chart.
const DPI: u32 = 300;
/// Each ten times the one before.
const SCALES: [Sample; 3] = [
    Sample::Growing(LARGEST / 10),
    Sample::Growing(LARGEST),
    Sample::Growing(LARGEST * 10),
];

fn main() {
    divan::main();
    println!("{}", ratio());
}

#[divan::bench(args = SAMPLES)]
fn read_work_check(bencher: Bencher, sample: Sample) {
    sample.fabric();
    let text = sample.text();
    bencher.bench_local(|| samples::check(black_box(&text)));
}

#[divan::bench(args = SAMPLES)]
fn lay_out(bencher: Bencher, sample: Sample) {
    let fabric = sample.fabric();
    bencher.bench_local(|| samples::lay_out(black_box(&fabric)));
}

#[divan::bench(args = SAMPLES)]
fn svg(bencher: Bencher, sample: Sample) {
    let (fabric, panels) = sample.panels();
    bencher.bench_local(|| samples::svgs(&fabric, black_box(&panels)));
}

#[divan::bench_group(sample_count = 10)]
mod ten_times_the_stitches {
    use super::*;

    #[divan::bench(args = SCALES)]
    fn read_work_check(bencher: Bencher, sample: Sample) {
        super::read_work_check(bencher, sample);
    }

    #[divan::bench(args = SCALES)]
    fn lay_out(bencher: Bencher, sample: Sample) {
        super::lay_out(bencher, sample);
    }

    #[divan::bench(args = SCALES)]
    fn svg(bencher: Bencher, sample: Sample) {
        super::svg(bencher, sample);
    }
}

#[divan::bench_group(sample_count = 20)]
mod png_of_a_page {
    use super::*;

    #[divan::bench]
    fn ours(bencher: Bencher) {
        let svg = page();
        bencher.bench_local(|| raster::png(black_box(&svg), DPI));
    }

    #[divan::bench]
    fn bare_renderer(bencher: Bencher) {
        let svg = page();
        bencher.bench_local(|| bare::png(black_box(&svg), DPI));
    }
}

/// The chart of the toy's body, which fills a page.
fn page() -> String {
    let (fabric, panels) = Sample::Toy.panels();
    samples::svgs(&fabric, &panels).swap_remove(0)
}

/// The time of our PNG over that of the bare renderer, the two taken in turns.
fn ratio() -> String {
    let svg = page();
    let median = |mut times: Vec<Duration>| {
        times.sort();
        times[times.len() / 2].as_secs_f64()
    };
    let (ours, bare): (Vec<_>, Vec<_>) = (0..21)
        .map(|_| {
            let start = Instant::now();
            drop(black_box(raster::png(&svg, DPI)));
            let between = Instant::now();
            drop(black_box(bare::png(&svg, DPI)));
            (between - start, between.elapsed())
        })
        .unzip();
    let ratio = median(ours) / median(bare);
    format!("PNG of a page at {DPI} dpi: {ratio:.2} times the bare renderer")
}
