//! Roundwright reads written crochet patterns, checks them round by round, and draws their round charts.
//!
//! The whole way, each arrow a pure function from one owned type to the next:
//!
//! ```text
//! Source ─ pattern::read ─▶ Pattern ─ fabric::work ─▶ Fabric ─ chart::lay_out ─▶ Panel ─ draw::panel_svg ─▶ SVG ─ raster::png ─▶ PNG
//! ```
//!
//! ```
//! use roundwright::{chart, draw, fabric, pattern, raster, source::Source};
//!
//! let source = Source::new("float.md", "## Float\nRnd 1: 6 sc in MR (6)\nRnd 2: inc x 6 (12)\n");
//! let (pattern, slips) = pattern::read(&source);
//! let (fabric, miscounts) = fabric::work(&pattern);
//! assert!(slips.is_empty() && miscounts.is_empty());
//! assert_eq!(fabric.pieces[0].rounds[1].count, 12);
//!
//! let panels = chart::lay_out(&fabric, 0, &chart::Options::default());
//! let svg = draw::panel_svg(&panels[0], &fabric);
//! let png = raster::png(&svg, 300)?;
//! assert!(png.starts_with(b"\x89PNG"));
//! # Ok::<(), raster::RasterError>(())
//! ```
//!
//! What can't be read or does not come out is data too: each stage returns its [`Problem`](source::Problem)s, with the words
//! that they are about, and goes on as far as it can. Only [`cli`] touches files and the terminal.

mod at_once;
pub mod cards;
pub mod chart;
pub mod cli;
pub mod draw;
pub mod fabric;
pub mod order;
#[cfg(feature = "pages")]
pub mod pages;
pub mod pattern;
pub mod place;
mod prose;
pub mod queries;
pub mod raster;
pub mod review;
pub mod rewrite;
pub mod shape;
pub mod source;
pub mod steps;
pub mod symbol;
pub mod terms;
pub mod text;
pub mod toy;
pub mod yarn;
