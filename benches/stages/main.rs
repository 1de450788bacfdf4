//! How long each stage takes and how much memory it holds at most, a table a stage: `cargo bench`.
//!
//! What to look for, on one core: read, work and check 5 ms for 1,000 stitches and 100 ms for the large piece; its layout 50 ms, its
//! SVG 300 ms, its memory 300 MB; the PNG of a page half a second, and at most 1.2 times the bare renderer. Ten times the stitches take at most twelve
//! times the time. Nothing here fails if they do not.

mod texts;

use divan::{AllocProfiler, Bencher, black_box};

use roundwright::chart::{self, Panel};
use roundwright::fabric::{self, Fabric};
use roundwright::source::{Problem, Source};
use roundwright::{draw, pattern, raster, review};

#[global_allocator]
static ALLOCATOR: AllocProfiler = AllocProfiler::system();

/// Pixels to the inch of a printed chart.
const DPI: u32 = 300;

fn main() {
    divan::main();
}

/// What is measured on.
#[derive(Debug, Clone, Copy)]
enum Sample {
    /// A toy's body of 1,000 stitches.
    Toy,
    /// Stitches in 47 rounds that grow in proportion.
    Growing(u32),
}

impl std::fmt::Display for Sample {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Sample::Toy => f.write_str("toy, 1,000 stitches"),
            Sample::Growing(stitches) => write!(f, "47 rounds, {stitches} stitches"),
        }
    }
}

impl Sample {
    fn text(self) -> String {
        match self {
            Sample::Toy => texts::toy(),
            Sample::Growing(stitches) => texts::growing(stitches),
        }
    }

    /// The worked fabric, once it is certain that the text says what it should.
    fn fabric(self) -> Fabric {
        let (fabric, problems) = check(&self.text());
        assert!(problems.is_empty(), "{self}: {:?}", problems.first());
        let expected = match self {
            Sample::Toy => 1_000,
            Sample::Growing(stitches) => stitches as usize,
        };
        assert_eq!(fabric.pieces[0].stitches.len(), expected);
        fabric
    }

    fn panels(self) -> (Fabric, Vec<Panel>) {
        let fabric = self.fabric();
        let panels = chart::lay_out(&fabric, 0, &chart::Options::default());
        (fabric, panels)
    }
}

/// The size of the largest published piece worked in rounds (25,511 stitches in 47 rounds; Osinga and Krauskopf, "Crocheting
/// the Lorenz manifold", 2004).
const LARGEST: u32 = 25_511;
const SAMPLES: [Sample; 2] = [Sample::Toy, Sample::Growing(LARGEST)];
const SCALES: [Sample; 3] = [
    Sample::Growing(LARGEST / 10),
    Sample::Growing(LARGEST),
    Sample::Growing(LARGEST * 10),
];

fn check(text: &str) -> (Fabric, Vec<Problem>) {
    let source = Source::new("bench.md", text);
    let (pattern, mut problems) = pattern::read(&source);
    let (fabric, found) = fabric::work(&pattern);
    problems.extend(found);
    problems.extend(review::review(&source, &pattern, &fabric));
    (fabric, problems)
}

#[divan::bench(args = SAMPLES)]
fn read_work_check(bencher: Bencher, sample: Sample) {
    sample.fabric();
    let text = sample.text();
    bencher.bench_local(|| check(black_box(&text)));
}

#[divan::bench(args = SAMPLES)]
fn lay_out(bencher: Bencher, sample: Sample) {
    let fabric = sample.fabric();
    bencher.bench_local(|| chart::lay_out(black_box(&fabric), 0, &chart::Options::default()));
}

#[divan::bench(args = SAMPLES)]
fn svg(bencher: Bencher, sample: Sample) {
    let (fabric, panels) = sample.panels();
    let draw = |panel| draw::panel_svg(panel, &fabric);
    bencher.bench_local(|| black_box(&panels).iter().map(draw).collect::<Vec<_>>());
}

#[divan::bench(args = SAMPLES, sample_count = 5)]
fn all_up_to_svg(bencher: Bencher, sample: Sample) {
    let text = sample.text();
    bencher.bench_local(|| {
        let (fabric, _) = check(black_box(&text));
        let panels = chart::lay_out(&fabric, 0, &chart::Options::default());
        let draw = |panel| draw::panel_svg(panel, &fabric);
        panels.iter().map(draw).collect::<Vec<_>>()
    });
}

/// Ten times the stitches, from line to line.
#[divan::bench_group(sample_count = 10)]
mod in_proportion {
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

/// A page-size chart in pixels: ours, and what the renderer takes by itself.
#[divan::bench_group(sample_count = 10)]
mod png_of_a_page {
    use super::*;

    fn page() -> String {
        let (fabric, panels) = Sample::Toy.panels();
        draw::panel_svg(&panels[0], &fabric)
    }

    #[divan::bench]
    fn ours(bencher: Bencher) {
        let svg = page();
        bencher.bench_local(|| raster::png(black_box(&svg), DPI));
    }

    #[divan::bench]
    fn usvg_resvg_and_encoding_alone(bencher: Bencher) {
        let svg = page();
        bencher.bench_local(|| texts::bare_png(black_box(&svg), DPI));
    }

    /// The median time of ours over that of the bare renderer, printed once.
    #[divan::bench(sample_count = 1, sample_size = 1)]
    fn ratio(bencher: Bencher) {
        let svg = page();
        let median = |render: &dyn Fn()| {
            let mut times: Vec<_> = (0..9)
                .map(|_| {
                    let start = std::time::Instant::now();
                    render();
                    start.elapsed()
                })
                .collect();
            times.sort();
            times[times.len() / 2].as_secs_f64()
        };
        bencher.bench_local(|| {
            let ours = median(&|| drop(black_box(raster::png(&svg, DPI))));
            let bare = median(&|| drop(black_box(texts::bare_png(&svg, DPI))));
            println!("ours / bare = {:.2}", ours / bare);
        });
    }
}
