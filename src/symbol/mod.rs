//! The trade's symbols, drawn here with one pen: each is a pair of paths in mm on paper, x to the right
//! and y down.
//!
//! A stitch stands on the way from its foot (the head of what it is worked into) to its own head. It
//! stretches in its stem alone; bars and heads keep their size. Which symbol stands for which stitch is
//! common practice of the trade (no source).
//!
//! ```
//! use kurbo::Point;
//! use roundwright::symbol;
//! use roundwright::terms::{Height, Into, Stitch};
//!
//! let sc = Stitch::plain(Height::Single);
//! let (foot, head) = (Point::new(10.0, 10.0), Point::new(10.0, 5.8));
//! let drawn = symbol::stitch(sc, Into::Stitch, &[foot], head);
//! assert!(drawn.ink_box().height() > 3.0);
//! ```

mod arrow;
mod axes;
mod bobble;
mod chain;
mod crossed;
mod drawing;
mod extension;
mod foot;
mod group;
mod loops;
mod marker;
mod measure;
mod picot;
mod popcorn;
mod puff;
mod reverse;
mod ring;
mod single;
mod skip;
mod slip;
mod spike;
mod stitch;
mod surface;
mod tall;
mod triangle;
mod turn;

pub use arrow::start_arrow;
pub use chain::{CHAIN_HALF_WIDTH_MM, chain};
pub use crossed::{crossed, crossed_pair};
pub use drawing::{PEN_MM, Symbol};
pub use foot::seen_from_right_side;
pub use group::{fan, in_space, v_stitch};
pub use loops::loop_stitch;
pub use marker::marker;
pub use measure::{STITCH_WIDTH_MM, height_mm, width_mm};
pub use picot::picot_loop;
pub use reverse::reverse_single;
pub use ring::{chain_ring, magic_ring};
pub use single::slanted_single;
pub use skip::skip;
pub use spike::spike;
pub use stitch::{loop_arc, sibling, stitch};
pub use surface::surface_slip;
pub use triangle::{fasten_off, join_yarn};
pub use turn::turn;

#[cfg(test)]
mod tests;
