use kurbo::{Point, Vec2};

use super::axes::Axes;
use super::foot::{self, Foot};
use super::{
    Symbol, bobble, chain, extension, height_mm, loop_stitch, popcorn, puff, reverse_single,
    single, slip, spike, tall,
};
use crate::terms::{Form, Height, Into, Stitch};

/// The symbol of a stitch: `head` is the place of its top on its own round, each of `feet` the head of
/// what it is worked into, all in mm on paper. Stitches worked together have several feet; any other
/// stitch stands on the middle of its feet. With no feet it stands upright at its usual height.
pub fn stitch(kind: Stitch, into: Into, feet: &[Point], head: Point) -> Symbol {
    let mut drawn = sibling(kind, into, feet, head);
    for (foot, up) in legs(kind, feet, head) {
        drawn.add(loop_arc(into, foot, up));
    }
    drawn
}

/// As [`stitch`], without the arc of a single loop at its foot. For the stitches of an increase: one
/// [`loop_arc`] at their common foot stands for all.
pub fn sibling(kind: Stitch, into: Into, feet: &[Point], head: Point) -> Symbol {
    let foot = foot_or_below(kind, feet, head);
    let axes = Axes::between(foot, head);
    if is_gathered(kind, feet) {
        return together(kind, into, feet, axes);
    }
    match (kind.form, kind.height) {
        (Form::Loop, _) => loop_stitch(foot, head),
        (Form::Reverse, Height::Single) => reverse_single(foot, head),
        (Form::Spike, _) => spike(foot, head),
        (_, Height::Chain) => chain(foot.midpoint(head), head - foot, axes.length),
        _ => axes.place(upright(kind, into, axes.length)),
    }
}

/// The arc of a single loop at a foot that stitches stand on along `up`; nothing for other places.
pub fn loop_arc(into: Into, foot: Point, up: Vec2) -> Symbol {
    Axes::along(foot, up).place(foot::arc(into))
}

/// Each foot with the way its leg stands.
fn legs(kind: Stitch, feet: &[Point], head: Point) -> Vec<(Point, Vec2)> {
    if kind.height == Height::Chain {
        Vec::new()
    } else if is_gathered(kind, feet) {
        feet.iter().map(|&foot| (foot, head - foot)).collect()
    } else {
        let foot = foot_or_below(kind, feet, head);
        vec![(foot, head - foot)]
    }
}

fn is_gathered(kind: Stitch, feet: &[Point]) -> bool {
    let together = matches!(kind.form, Form::Together(_));
    together && feet.len() > 1 && kind.height > Height::Slip
}

/// A stitch with one foot, in its own axes.
fn upright(kind: Stitch, into: Into, length: f64) -> Symbol {
    let Foot {
        mut drawn,
        mut start,
    } = foot::foot(into, length);
    if kind.form == Form::Extended {
        let oval = extension::oval(start, length);
        drawn.add(oval.drawn);
        start = oval.start;
    }
    let bars = kind.height.bars();
    drawn.add(match (kind.form, kind.height) {
        (Form::Bobble(stems), _) => bobble::bobble(start, length, stems, bars),
        (Form::Popcorn(stems), _) => popcorn::popcorn(start, length, stems, bars),
        (Form::Puff(stems), _) => puff::puff(start, length, stems),
        (_, Height::Chain | Height::Slip) => slip::dot(length),
        (_, Height::Single) => single::cross(start, length),
        _ => tall::tee(start, length, bars),
    });
    drawn
}

/// Legs from every foot to one top.
fn together(kind: Stitch, into: Into, feet: &[Point], axes: Axes) -> Symbol {
    let (apex, top) = if kind.height == Height::Single {
        let feet = feet.iter().map(|&foot| axes.local(foot));
        (
            single::top(axes.length),
            single::shared_bar(axes.length, feet),
        )
    } else {
        (tall::top(axes.length), tall::top_bar(axes.length))
    };
    let mut drawn = axes.place(top);
    let apex = axes.paper(0.0, apex);
    for &foot in feet {
        let leg = Axes::between(foot, apex);
        let mut lower = foot::foot(into, leg.length);
        lower
            .drawn
            .add(tall::leg(lower.start, leg.length, kind.height.bars()));
        drawn.add(leg.place(lower.drawn));
    }
    drawn
}

/// The middle of the feet, or the usual place under the head.
fn foot_or_below(kind: Stitch, feet: &[Point], head: Point) -> Point {
    let sum: Vec2 = feet.iter().map(|point| point.to_vec2()).sum();
    match feet.len() {
        0 => head + Vec2::new(0.0, height_mm(kind)),
        count => (sum / count as f64).to_point(),
    }
}
