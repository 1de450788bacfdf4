//! Sizes that decide where things go, in mm on paper.

use kurbo::Size;

use crate::text::pt;

/// Em of a panel's title.
pub const TITLE_MM: f64 = pt(15.0);
/// Em of captions and tables.
pub const TEXT_MM: f64 = pt(9.0);
/// Em of numbers and names within a chart; nothing is smaller.
pub const LABEL_MM: f64 = pt(7.5);
/// Paper round the work.
pub const MARGIN_MM: f64 = 10.0;
/// Paper between a chart and its table.
pub const GUTTER_MM: f64 = 6.0;
/// The largest panel: what both A4 (210 × 297 mm) and Letter (215.9 × 279.4 mm) leave within margins of 10 mm.
pub const PAGE: Size = Size::new(190.0, 259.4);
/// How much larger than its own measure a sheet of large symbols comes out.
pub const LARGE: f64 = 1.5;
/// Least width of the lines of a title or caption.
pub const LEAST_TEXT_MM: f64 = 80.0;
/// Share of a page's height that rows take at most.
const TALLEST_STRIP: f64 = 0.77;
/// Radius of the magic ring.
pub const MAGIC_RING_MM: f64 = 1.4;
/// Least radius of the innermost ring of a panel that does not start from a ring.
pub const HOLLOW_MM: f64 = 2.0;
/// Least radius of a ring of an earlier round that a panel starts from.
pub const ANCHOR_MM: f64 = 6.0;
/// Least radius of the innermost ring where the work closes.
pub const OPEN_MIDDLE_MM: f64 = 3.6;
/// Place of a chain that lies along a ring or row.
pub const CHAIN_MM: f64 = 3.3;
/// Place of a slip stitch that closes a round.
pub const CLOSE_MM: f64 = 1.9;
/// Place of a column of chains.
pub const COLUMN_MM: f64 = 2.6;
/// How high a picot stands over the stitch below, and how wide it is.
pub const PICOT_HEIGHT_MM: f64 = 4.4;
/// See [`PICOT_HEIGHT_MM`].
pub const PICOT_WIDTH_MM: f64 = 5.2;
/// Clear paper on both sides of a round's number together, beyond what its neighbours leave.
pub const LABEL_CLEAR_MM: f64 = 1.2;

/// The paper that panels are cut for, in mm of their own measure: smaller where they come out larger.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Paper {
    /// The largest panel.
    pub page: Size,
    /// Radius of a ring beyond which a panel is cut, so that the sheet fits.
    pub widest_ring_mm: f64,
    /// Height of rows beyond which a strip is cut.
    pub tallest_strip_mm: f64,
}

impl Paper {
    /// For symbols of the usual size, or large ones.
    pub fn of(large: bool) -> Paper {
        let page = match large {
            true => PAGE / LARGE,
            false => PAGE,
        };
        Paper {
            page,
            widest_ring_mm: (page.width - 2.0 * MARGIN_MM) / 2.0 - 3.0,
            tallest_strip_mm: page.height * TALLEST_STRIP,
        }
    }

    /// Width of what is on a page.
    pub fn room_mm(&self) -> f64 {
        self.page.width - 2.0 * MARGIN_MM
    }
}
