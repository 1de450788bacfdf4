//! What is marked on a chart besides its stitches. Each kind of mark has its own small engraver: a function from the placed
//! scene to marks, which listens only to what concerns it. Those that are told outside the work share its margin by [`Callouts`].

mod among;
mod callouts;
mod clear;
mod counts;
mod eyes;
mod joins;
mod loops;
mod middle;
mod numbers;
mod parts;
mod start;
mod steps;
mod surfaces;
mod yarns;

pub(super) use among::among;
pub use among::{is_turned_before, left_out, marked_within};
pub(super) use loops::into_free_loops;
pub(super) use numbers::{Arrow, label, label_room_mm};
pub(super) use surfaces::surface_caption;

use callouts::Callouts;
use kurbo::Point;

use super::panel::{Ink, Mark, Tone, Words};
use super::scene::Scene;
use super::sizes::LABEL_MM;
use crate::text::{self, Weight};

/// The marks of a panel, in the order of drawing, but for those that [`among`] finds places for.
pub(super) fn engrave(scene: &Scene) -> Vec<Mark> {
    let engravers: [fn(&Scene) -> Vec<Mark>; 7] = [
        yarns::beds,
        middle::middle,
        numbers::numbers,
        counts::counts,
        yarns::changes,
        steps::ends,
        parts::goes_on,
    ];
    let mut marks: Vec<Mark> = engravers
        .iter()
        .flat_map(|engraver| engraver(scene))
        .collect();
    let mut callouts = Callouts::new(scene, &marks);
    let outside: [fn(&Scene, &mut Callouts) -> Vec<Mark>; 5] = [
        joins::joins,
        eyes::eyes,
        loops::loops,
        steps::stuffing,
        surfaces::surfaces,
    ];
    for engraver in outside {
        marks.extend(engraver(scene, &mut callouts));
    }
    marks
}

/// Words of a chart whose middle is at a point.
fn centred(text: impl Into<String>, middle: Point, weight: Weight, tone: Tone) -> Words {
    let text = text.into();
    let room = text::extents(&text, LABEL_MM, weight);
    Words {
        at: Point::new(middle.x - room.width_mm / 2.0, middle.y + room.cap_mm / 2.0),
        text,
        size_mm: LABEL_MM,
        weight,
        tone,
    }
}

/// A mark over the stitches.
fn over(says: impl Into<String>, ink: Vec<Ink>) -> Mark {
    Mark {
        says: says.into(),
        under: false,
        ink,
    }
}
