//! The program as somebody sees who runs it: arguments in; text, files and an exit status out.

mod any_bytes;
mod bad_input;
mod cards;
#[path = "../support/cases.rs"]
mod cases;
mod chart;
mod check;
mod explain;
mod gallery;
mod json;
mod key;
mod lengths;
#[cfg(feature = "pages")]
mod pages;
mod pixels;
mod place;
mod queries;
mod raster_agrees;
mod run;
mod shape;
#[path = "../support/stages.rs"]
mod stages;
mod steps;
mod write;
