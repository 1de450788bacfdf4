//! How long the puffin's finished pages take as PDF, what share of that is the typesetting library's, and how long all editions take, as many at
//! a time as there are processors. `cargo bench --bench pages`.

use std::sync::Mutex;
use std::thread;
use std::time::{Duration, Instant};

use roundwright::pages::{self, Edition, Request};
use roundwright::source::Source;
use roundwright::terms::{Hand, Terms};
use roundwright::{fabric, pattern};

/// Runs of each; the least is printed, which other work on the machine disturbs least.
const RUNS: usize = 7;

fn main() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/patterns/pocket-puffin.md");
    let text = std::fs::read_to_string(path).expect("the demo pattern");
    // The first run reads fonts and builds the library's tables, as every run of the program does.
    let (set, typeset) = one(&text, Edition::default());
    println!(
        "first pages      {:>6.0} ms, of them the typesetter {:.0} %",
        ms(set + typeset),
        share(set, typeset)
    );
    let (set, typeset) = (0..RUNS)
        .map(|_| one(&text, Edition::default()))
        .min_by_key(|(set, typeset)| *set + *typeset)
        .expect("some runs");
    println!(
        "standard edition {:>6.0} ms, of them the typesetter {:.0} %",
        ms(set + typeset),
        share(set, typeset)
    );
    let editions = [
        Edition::default(),
        Edition {
            large: true,
            ..Edition::default()
        },
        Edition {
            hand: Some(Hand::Left),
            ..Edition::default()
        },
        Edition {
            terms: Some(Terms::Uk),
            ..Edition::default()
        },
        Edition {
            low_ink: true,
            ..Edition::default()
        },
    ];
    let all = (0..RUNS)
        .map(|_| together(&text, &editions))
        .min()
        .expect("some runs");
    println!("{} editions       {:>6.0} ms", editions.len(), ms(all));
}

/// The time that setting an edition takes up to the typesetter, and that the typesetter takes for its PDF. What it remembers of earlier runs
/// is forgotten first.
fn one(text: &str, edition: Edition) -> (Duration, Duration) {
    pages::forget();
    let start = Instant::now();
    let source = Source::new("puffin.md", text);
    let (pattern, _) = pattern::read(&source);
    let (fabric, _) = fabric::work(&pattern);
    let request = Request {
        edition,
        ..Request::default()
    };
    let set = pages::pages(&source, &pattern, &fabric, &request);
    let before = start.elapsed();
    let start = Instant::now();
    let pdf = pages::typeset(&set)
        .and_then(|typeset| typeset.pdf())
        .expect("pages");
    assert!(pdf.starts_with(b"%PDF"));
    (before, start.elapsed())
}

fn together(text: &str, editions: &[Edition]) -> Duration {
    let start = Instant::now();
    let next = Mutex::new(editions.iter());
    let work = || {
        while let Some(edition) = next.lock().ok().and_then(|mut next| next.next()) {
            one(text, *edition);
        }
    };
    let processors = thread::available_parallelism().map_or(1, usize::from);
    thread::scope(|scope| {
        for _ in 0..processors {
            scope.spawn(work);
        }
    });
    start.elapsed()
}

fn ms(time: Duration) -> f64 {
    time.as_secs_f64() * 1000.0
}

fn share(set: Duration, typeset: Duration) -> f64 {
    100.0 * typeset.as_secs_f64() / (set + typeset).as_secs_f64()
}
