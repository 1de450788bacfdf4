//! Charts, laid out from fabrics that are worked by hand and from patterns, and judged.

mod anything;
#[path = "../support/cases.rs"]
mod cases;
#[path = "../support/charted.rs"]
mod charted;
mod fabrics;
mod layout;
mod marks;
mod optimum;
mod quality;
mod second;
mod told;
