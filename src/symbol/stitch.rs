use kurbo::{Point, Vec2};

use super::axes::Axes;
use super::foot::{self, Foot};
use super::{Symbol, bobble, chain, height_mm, popcorn, puff, single, slip, tall};
use crate::terms::{Form, Height, Into, Stitch};

/// The symbol of a stitch: `head` is the place of its top on its own round, each of `feet` the head of
/// what it is worked into, all in mm on paper. With no feet it stands upright at its usual height.
pub fn stitch(kind: Stitch, into: Into, feet: &[Point], head: Point) -> Symbol {
    let foot = middle(feet).unwrap_or_else(|| head + Vec2::new(0.0, height_mm(kind)));
    if feet.len() > 1 && kind.height > Height::Slip {
        return together(kind, into, feet, Axes::between(foot, head));
    }
    let axes = Axes::between(foot, head);
    match kind.height {
        Height::Chain => chain(foot.midpoint(head), head - foot, axes.length),
        _ => axes.place(upright(kind, into, axes.length)),
    }
}

/// A stitch with one foot, in its own axes.
fn upright(kind: Stitch, into: Into, length: f64) -> Symbol {
    let Foot { mark, start } = foot::foot(into, length);
    let bars = kind.height.bars();
    let mut drawn = match (kind.form, kind.height) {
        (Form::Bobble(stems), _) => bobble::bobble(start, length, stems, bars),
        (Form::Popcorn(stems), _) => popcorn::popcorn(start, length, stems, bars),
        (Form::Puff(stems), _) => puff::puff(start, length, stems),
        (_, Height::Chain | Height::Slip) => slip::dot(length),
        (_, Height::Single) => single::cross(start, length),
        _ => tall::tee(start, length, bars),
    };
    if kind.form == Form::Extended {
        drawn.open_oval((0.0, start + 0.6), 0.4, 0.6);
    }
    drawn.add(mark);
    drawn
}

/// Legs from every foot to one top.
fn together(kind: Stitch, into: Into, feet: &[Point], axes: Axes) -> Symbol {
    let single = kind.height == Height::Single;
    let (meeting, mut drawn) = if single {
        (single::bar_height(axes.length), single::top(axes.length))
    } else {
        let level = tall::top(axes.length);
        let mut bar = Symbol::default();
        bar.bar((0.0, level), tall::HALF_TOP, 0.0);
        (level, bar)
    };
    drawn = axes.place(drawn);
    let apex = axes.paper(0.0, meeting);
    for &foot in feet {
        let leg = Axes::between(foot, apex);
        let Foot { mark, start } = foot::foot(into, leg.length);
        let mut leg_drawn = tall::leg(start, leg.length, kind.height.bars());
        leg_drawn.add(mark);
        drawn.add(leg.place(leg_drawn));
    }
    drawn
}

fn middle(points: &[Point]) -> Option<Point> {
    let sum: Vec2 = points.iter().map(|point| point.to_vec2()).sum();
    (!points.is_empty()).then(|| (sum / points.len() as f64).to_point())
}
