//! How much memory each stage holds at most (`max alloc`), and how often it asks for some: `cargo bench --bench memory`.
//!
//! What to look for: 300 MB for the large piece, from its text to its SVG. Nothing here fails if it is more.

mod samples;

use divan::{AllocProfiler, Bencher, black_box};

use samples::{SAMPLES, Sample};

#[global_allocator]
static ALLOCATOR: AllocProfiler = AllocProfiler::system();

fn main() {
    divan::main();
}

#[divan::bench(args = SAMPLES, sample_count = 3)]
fn lay_out(bencher: Bencher, sample: Sample) {
    let fabric = sample.fabric();
    bencher.bench_local(|| samples::lay_out(black_box(&fabric)));
}

#[divan::bench(args = SAMPLES, sample_count = 3)]
fn svg(bencher: Bencher, sample: Sample) {
    let (fabric, panels) = sample.panels();
    bencher.bench_local(|| samples::svgs(&fabric, black_box(&panels)));
}

#[divan::bench(args = SAMPLES, sample_count = 3)]
fn text_to_svg(bencher: Bencher, sample: Sample) {
    let text = sample.text();
    bencher.bench_local(|| {
        let (fabric, _) = samples::check(black_box(&text));
        samples::svgs(&fabric, &samples::lay_out(&fabric))
    });
}
