//! Stitches as they stand in a chart, about a foot or a head at the origin.

use kurbo::{Affine, Point, Vec2};

use crate::symbol::{self, STITCH_WIDTH_MM, Symbol};
use crate::terms::{Form, Hand, Height, Into, Stitch};

/// Legs and heads drawn at most: more would not fit a cell.
const MOST: u8 = 5;
/// How far apart the outermost of several stand at most, in radians about their common place.
const WIDEST: f64 = 2.0;

/// What each bar below the first adds between neighbours, in mm: legs are closer together there.
const FOR_A_BAR: f64 = 0.25;

/// From head to head of short stitches in one, in mm: their bars are nearest to the foot.
const SINGLES_APART: f64 = 4.3;

pub(super) const UP: Vec2 = Vec2::new(0.0, -1.0);

/// A stitch; several of them fanned out from one foot, or legs that meet in one head.
pub(super) fn sample(kind: Stitch, into: Into, count: u8) -> Symbol {
    if let Form::Together(legs) = kind.form {
        let feet = spread(kind, legs, -UP);
        return symbol::stitch(kind, into, &feet, Point::ORIGIN);
    }
    let heads = spread(kind, count, UP);
    symbol::fan(kind, into, Point::ORIGIN, &heads)
}

/// Places round the origin, a stitch's width apart or a little more where there are several bars, about a direction.
fn spread(kind: Stitch, count: u8, towards: Vec2) -> Vec<Point> {
    let count = count.clamp(1, MOST);
    let gaps = f64::from(count - 1);
    let bars = f64::from(kind.height.bars().max(1) - 1);
    let apart = match (kind.height, kind.form) {
        (Height::Single, Form::Plain) => SINGLES_APART,
        _ => STITCH_WIDTH_MM + FOR_A_BAR * bars,
    };
    let radius = symbol::height_mm(kind).max(gaps * apart / WIDEST);
    let step = apart / radius;
    let across = Vec2::new(-towards.y, towards.x);
    (0..count)
        .map(|place| (f64::from(place) - gaps / 2.0) * step)
        .map(|turn| {
            (towards * (radius * libm::cos(turn)) + across * (radius * libm::sin(turn))).to_point()
        })
        .collect()
}

/// Two tall stitches side by side that cross.
pub(super) fn crossed(height: Height) -> Symbol {
    let half = STITCH_WIDTH_MM / 2.0;
    let tall = symbol::height_mm(Stitch::plain(height));
    let at = |y: f64| [Point::new(-half, y), Point::new(half, y)];
    symbol::crossed(height, at(tall), at(0.0))
}

/// A V-stitch, its heads wide enough apart for the chain.
pub(super) fn v_stitch(height: Height) -> Symbol {
    let tall = symbol::height_mm(Stitch::plain(height));
    let heads = [Point::new(-3.1, -tall), Point::new(3.1, -tall)];
    symbol::v_stitch(height, Point::ORIGIN, heads)
}

/// Three stitches in the space under three chains.
pub(super) fn in_space(height: Height) -> Symbol {
    let tall = symbol::height_mm(Stitch::plain(height));
    let places = [-1.0, 0.0, 1.0].map(|x| x * STITCH_WIDTH_MM);
    let chains = places.map(|x| (Point::new(x, 0.9), Vec2::new(1.0, 0.0)));
    let legs = places.map(|x| (Point::new(x, 0.0), Point::new(x, -tall)));
    symbol::in_space(height, &chains, &legs)
}

/// A short stitch with the foot two rounds down, between its neighbours.
pub(super) fn spike() -> Symbol {
    let head = Point::ORIGIN;
    symbol::spike(head + Vec2::new(0.0, 8.0), head)
}

/// The symbol as a maker of a hand sees it.
pub(super) fn for_hand(drawn: Symbol, hand: Hand) -> Symbol {
    match hand {
        Hand::Right => drawn,
        Hand::Left => drawn.transformed(Affine::FLIP_X),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_left_handers_key_is_the_mirror_image() {
        let hook = |hand| {
            let drawn = sample(Stitch::plain(Height::Slip), Into::FrontPost, 1);
            for_hand(drawn, hand).ink_box()
        };
        let (right, left) = (hook(Hand::Right), hook(Hand::Left));
        assert!((right.x0 + left.x1).abs() < 1e-9 && (right.x1 + left.x0).abs() < 1e-9);
        assert!((right.x0 + right.x1).abs() > 0.1, "the hook is on one side");
    }
}
