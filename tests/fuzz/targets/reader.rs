//! Any bytes through the reader.

#![no_main]

use roundwright::pattern;
use roundwright::source::Source;

libfuzzer_sys::fuzz_target!(|text: &str| {
    let source = Source::new("fuzz.md", text);
    let (_, problems) = pattern::read(&source);
    for problem in &problems {
        source.place(problem.span);
        source.slice(problem.span);
    }
});
