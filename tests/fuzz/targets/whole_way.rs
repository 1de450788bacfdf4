//! Any text the whole way to SVG.

#![no_main]

#[path = "../../support/stages.rs"]
mod stages;

libfuzzer_sys::fuzz_target!(|text: &str| {
    stages::whole_way(text);
});
