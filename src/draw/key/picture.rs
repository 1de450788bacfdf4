use kurbo::{Point, Rect, Size, Vec2};
use svg::node::element::{Circle, Group, Line, Rectangle};

use crate::draw::ink;
use crate::draw::look::Look;
use crate::draw::number::number;
use crate::draw::theme::{self, Rgb};
use crate::fabric::Yarn;
use crate::symbol::{self, STITCH_WIDTH_MM, Symbol};
use crate::terms::{Height, Into, Stitch};
use crate::text::{self, Weight, pt};

/// A yarn's swatch, and the width of the strip in its own colour, in mm.
const SWATCH: Size = Size::new(12.0, 6.5);
const STRIP: f64 = 3.5;

/// Something drawn, with the box that its ink keeps to.
pub(super) struct Picture {
    pub room: Rect,
    drawn: Group,
}

impl Picture {
    /// A symbol alone.
    pub fn of(drawn: Symbol, colour: Rgb, look: Look) -> Picture {
        Picture {
            room: drawn.ink_box(),
            drawn: ink::symbol(&drawn, colour, look.pen_mm()),
        }
    }

    /// The picture with the middle of its ink at a point.
    pub fn placed(&self, middle: Point) -> Group {
        let way = middle - self.room.center();
        let shift = format!("translate({} {})", number(way.x), number(way.y));
        self.drawn.clone().set("transform", shift)
    }

    fn over(mut self, line: Line, room: Rect) -> Picture {
        self.room = self.room.union(room);
        self.drawn = self.drawn.add(line);
        self
    }
}

/// The bed as it lies under the stitches of a yarn, its letter on it, with a strip of the yarn's own colour.
pub(super) fn swatch(yarn: &Yarn, look: Look) -> Picture {
    let whole = SWATCH.to_rect();
    let own = yarn.colour.unwrap_or(theme::PAPER);
    let strip = Rect::new(0.0, 0.0, STRIP, whole.y1);
    let bed = Rect::new(STRIP, 0.0, whole.x1, whole.y1);
    let under = match look.has_beds() {
        true => theme::bed(own),
        false => theme::PAPER,
    };
    let size = pt(theme::TEXT_PT);
    let letter = text::fitted(&yarn.letter, size, Weight::Bold, bed.width() - 1.0);
    let room = text::extents(&letter, size, Weight::Bold);
    let at = bed.center() + Vec2::new(-room.width_mm / 2.0, room.cap_mm / 2.0);
    let outline = rectangle(whole)
        .set("fill", "none")
        .set("stroke", theme::hex(theme::RULE))
        .set("stroke-width", number(theme::THIN_MM));
    let drawn = Group::new()
        .add(rectangle(bed).set("fill", theme::hex(under)))
        .add(rectangle(strip).set("fill", theme::hex(own)))
        .add(outline)
        .add(ink::words(&letter, at, size, Weight::Bold, theme::INK));
    Picture { room: whole, drawn }
}

/// The line along the heads of stitches that join a piece.
pub(super) fn join(look: Look) -> Picture {
    const LIFT: f64 = 0.25;
    let ends = [-4.9, 4.9].map(|x| Point::new(x, -LIFT));
    row(3, look).over(strong(ends), Rect::from_points(ends[0], ends[1]))
}

/// A change to a yarn between two stitches, with the work running to the side of `ahead` (1 or -1).
pub(super) fn yarn_change(letter: &str, ahead: f64, look: Look) -> Picture {
    const LIFT: f64 = 1.2;
    let ends = [
        Point::new(-ahead * STITCH_WIDTH_MM / 2.0, 0.0),
        Point::new(0.0, -0.4),
    ];
    let size = pt(theme::LABEL_PT);
    let words = text::fitted(letter, size, Weight::Bold, SWATCH.width);
    let room = text::extents(&words, size, Weight::Bold);
    let at = Point::new(-room.width_mm / 2.0, -LIFT);
    let above = Rect::new(at.x, at.y - room.cap_mm, -at.x, at.y);
    let mut picture = row(2, look).over(strong(ends), above);
    let words = ink::words(&words, at, size, Weight::Bold, theme::ACCENT);
    picture.drawn = picture.drawn.add(words);
    picture
}

/// A round's number and, on the side where the work ends, its count; the work runs to the side of `ahead` (1 or -1).
pub(super) fn number_and_count(ahead: f64) -> Picture {
    const SPACE: f64 = 1.4;
    let size = pt(theme::LABEL_PT);
    let mut words = [("3", Weight::Bold), ("18", Weight::Regular)];
    if ahead < 0.0 {
        // Rounds start at the bottom of a ring, where the work runs the other way.
        words.reverse();
    }
    let mut room = Rect::ZERO;
    let mut drawn = Group::new();
    for (figures, weight) in words {
        let extents = text::extents(figures, size, weight);
        let left = match room.width() > 0.0 {
            true => room.x1 + SPACE,
            false => 0.0,
        };
        let at = Point::new(left, 0.0);
        drawn = drawn.add(ink::words(figures, at, size, weight, theme::INK));
        room = Rect::new(0.0, -extents.cap_mm, left + extents.width_mm, 0.0);
    }
    Picture { room, drawn }
}

/// The ring about the point where an eye goes through, between two stitches over each other.
pub(super) fn eye(look: Look) -> Picture {
    let kind = Stitch::plain(Height::Single);
    let mut picture = row(1, look);
    let upper = symbol::stitch(
        kind,
        Into::Stitch,
        &[Point::ORIGIN],
        Point::new(0.0, -symbol::height_mm(kind)),
    );
    picture.room = picture.room.union(upper.ink_box());
    let ring = Circle::new()
        .set("cx", 0)
        .set("cy", 0)
        .set("r", 1.1)
        .set("fill", "none")
        .set("stroke", theme::hex(theme::ACCENT))
        .set("stroke-width", number(theme::STRONG_MM));
    picture.drawn = picture
        .drawn
        .add(ink::symbol(&upper, theme::INK, look.pen_mm()))
        .add(ring);
    picture
}

/// Short stitches side by side about x = 0, their heads at y = 0.
fn row(count: u8, look: Look) -> Picture {
    let kind = Stitch::plain(Height::Single);
    let mut drawn = Symbol::default();
    for place in 0..count {
        let across = f64::from(place) - f64::from(count - 1) / 2.0;
        let head = Point::new(across * STITCH_WIDTH_MM, 0.0);
        drawn.add(symbol::stitch(kind, Into::Stitch, &[], head));
    }
    Picture::of(drawn, theme::INK, look)
}

fn strong([from, to]: [Point; 2]) -> Line {
    Line::new()
        .set("x1", number(from.x))
        .set("y1", number(from.y))
        .set("x2", number(to.x))
        .set("y2", number(to.y))
        .set("stroke", theme::hex(theme::ACCENT))
        .set("stroke-width", number(theme::STRONG_MM))
        .set("stroke-linecap", "round")
}

fn rectangle(rect: Rect) -> Rectangle {
    Rectangle::new()
        .set("x", number(rect.x0))
        .set("y", number(rect.y0))
        .set("width", number(rect.width()))
        .set("height", number(rect.height()))
}
