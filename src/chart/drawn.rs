//! The symbols of placed stitches, just as they are drawn and judged.

use kurbo::{Point, Vec2};

use super::panel::{Glyph, Panel, Placed};
use super::quality::crossing;
use crate::symbol::{self, Symbol};
use crate::terms::{Height, Into, Stitch};

/// How far from a foot two stitches cross at least, in mm.
const APART_MM: f64 = 0.2;

/// One symbol for each of some neighbours of a panel, in their order. Stitches in one and the same single loop share its arc, which goes with
/// the first of them. A stitch for which another's symbol stands has an empty one.
pub fn drawn(panel: &Panel, placed: &[Placed]) -> Vec<Symbol> {
    let mut symbols = Vec::with_capacity(placed.len());
    let mut rest = placed;
    while let Some(first) = rest.first() {
        if let [first, second, others @ ..] = rest
            && let Some(pair) = crossed(panel, first, second)
        {
            symbols.extend(pair);
            rest = others;
            continue;
        }
        let siblings = rest
            .iter()
            .take_while(|next| share_loop(panel, first, next))
            .count()
            .max(1);
        let (group, others) = rest.split_at(siblings);
        let from = symbols.len();
        symbols.extend(group.iter().map(|one| alone(panel, one)));
        symbols[from].add(common_loop(panel, group));
        rest = others;
    }
    symbols
}

fn alone(panel: &Panel, placed: &Placed) -> Symbol {
    match placed.glyph {
        Glyph::Stitch { kind, into, .. } => {
            let feet = drawn_feet(panel, placed);
            symbol::sibling(kind, into, &feet, placed.head)
        }
        Glyph::Chain {
            centre,
            direction,
            length_mm,
        } => symbol::chain(centre, direction, length_mm),
        Glyph::Dot { up } => {
            let slip = Stitch::plain(Height::Slip);
            let foot = placed.head - up * symbol::height_mm(slip);
            symbol::stitch(slip, Into::Stitch, &[foot], placed.head)
        }
        Glyph::Picot { at, up, chains } => symbol::picot_loop(at, up, chains),
        Glyph::None => Symbol::default(),
    }
}

/// Two tall stitches of which the second goes back in front of the first to what that one skipped.
fn crossed(panel: &Panel, first: &Placed, second: &Placed) -> Option<[Symbol; 2]> {
    let height = |placed: &Placed| match placed.glyph {
        Glyph::Stitch { kind, into, .. } => (into == Into::Stitch
            && kind == Stitch::plain(kind.height)
            && kind.height > Height::Single)
            .then_some(kind.height),
        _ => None,
    };
    let height = height(first).filter(|&own| height(second) == Some(own))?;
    let ([one], [other]) = (panel.feet(first), panel.feet(second)) else {
        return None;
    };
    let at = crossing((*one, first.head), (*other, second.head))?;
    // Siblings meet at their foot, and do not cross.
    let apart = [*one, *other]
        .iter()
        .all(|foot| foot.distance(at) > APART_MM);
    if !apart {
        return None;
    }
    let feet = |placed| drawn_feet(panel, placed)[0];
    let heads = [first.head, second.head];
    Some(symbol::crossed_pair(
        height,
        [feet(first), feet(second)],
        heads,
    ))
}

/// Where a stitch's symbol stands: its feet, moved towards the head where they must keep clear of what lies there, in mm on the panel.
pub fn drawn_feet(panel: &Panel, placed: &Placed) -> Vec<Point> {
    let clear_mm = match placed.glyph {
        Glyph::Stitch { clear_mm, .. } => clear_mm,
        _ => 0.0,
    };
    panel
        .feet(placed)
        .iter()
        .map(|&foot| {
            let way = placed.head - foot;
            let length = way.length();
            foot + way * (clear_mm.min(length / 2.0) / length.max(f64::MIN_POSITIVE))
        })
        .collect()
}

/// True if two stitches are worked into one and the same single loop.
fn share_loop(panel: &Panel, one: &Placed, other: &Placed) -> bool {
    match (single_loop(one), single_loop(other)) {
        (Some(a), Some(b)) => {
            let feet = panel.feet(one);
            a == b && feet.len() == 1 && feet == panel.feet(other)
        }
        _ => false,
    }
}

fn single_loop(placed: &Placed) -> Option<Into> {
    match placed.glyph {
        Glyph::Stitch {
            into: into @ (Into::FrontLoop | Into::BackLoop),
            ..
        } => Some(into),
        _ => None,
    }
}

/// The arcs at the feet of a stitch or, once for all, of stitches in one loop.
fn common_loop(panel: &Panel, group: &[Placed]) -> Symbol {
    let mut arcs = Symbol::default();
    let Some((first, into)) = group
        .first()
        .and_then(|first| Some((first, single_loop(first)?)))
    else {
        return arcs;
    };
    for &foot in panel.feet(first) {
        let up: Vec2 = group.iter().map(|placed| placed.head - foot).sum();
        arcs.add(symbol::loop_arc(into, foot, up));
    }
    arcs
}
