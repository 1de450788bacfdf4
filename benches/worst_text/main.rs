//! How long the reader and the worker take over a megabyte of each text that could be hard on them: `cargo bench --bench worst_text`.
//!
//! What to look for: every one in a second or less, and in proportion to its length. Nothing here fails if it takes longer.

mod texts;

use std::time::{Duration, Instant};

use roundwright::source::Source;
use roundwright::{fabric, pattern};

use texts::TEXTS;

/// Bytes of a text.
const SIZE: usize = 1_000_000;

fn main() {
    let mut times: Vec<(Duration, Duration, f64, &str)> = Vec::new();
    for (name, make) in TEXTS {
        let (read, work) = time(&make(SIZE));
        let (read_half, work_half) = time(&make(SIZE / 2));
        let growth = (read + work).as_secs_f64() / (read_half + work_half).as_secs_f64();
        times.push((read, work, growth, name));
    }
    times.sort_by_key(|(read, work, ..)| std::cmp::Reverse(*read + *work));
    println!("   read    work  to half  text");
    for (read, work, growth, name) in times {
        println!(
            "{:5} ms {:4} ms {growth:7.1}  {name}",
            read.as_millis(),
            work.as_millis()
        );
    }
}

/// The times of the reader and of the worker.
fn time(text: &str) -> (Duration, Duration) {
    let source = Source::new("worst.md", text);
    let start = Instant::now();
    let (pattern, _) = pattern::read(&source);
    let between = Instant::now();
    drop(std::hint::black_box(fabric::work(&pattern)));
    (between - start, between.elapsed())
}
