//! Groups that the trade knows by a name of their own, put together from stitches.

use kurbo::{Point, Vec2};

use super::{Symbol, chain, loop_arc, sibling, stitch};
use crate::terms::{Height, Into, Stitch};

/// Several stitches of a kind in one place: an increase, or a shell where they are tall and many. One foot, a head each.
pub fn fan(kind: Stitch, into: Into, foot: Point, heads: &[Point]) -> Symbol {
    let up: Vec2 = heads.iter().map(|&head| head - foot).sum();
    let mut drawn = loop_arc(into, foot, up);
    for &head in heads {
        drawn.add(sibling(kind, into, &[foot], head));
    }
    drawn
}

/// A V-stitch: two stitches of a height in one place with a chain between their heads.
pub fn v_stitch(height: Height, foot: Point, heads: [Point; 2]) -> Symbol {
    let mut drawn = fan(Stitch::plain(height), Into::Stitch, foot, &heads);
    let across = heads[1] - heads[0];
    // Past the ends of both bars.
    let room = across.length() - 2.6;
    drawn.add(chain(heads[0].midpoint(heads[1]), across, room));
    drawn
}

/// Stitches of a height side by side in one chain space, each foot under the space's chains: `chains` are the middles of its
/// ovals with their direction.
pub fn in_space(height: Height, chains: &[(Point, Vec2)], legs: &[(Point, Point)]) -> Symbol {
    let mut drawn = Symbol::default();
    for &(centre, way) in chains {
        drawn.add(chain(centre, way, super::STITCH_WIDTH_MM));
    }
    for &(foot, head) in legs {
        drawn.add(stitch(Stitch::plain(height), Into::Space, &[foot], head));
    }
    drawn
}
