//! Nothing that a maker must see vanishes for want of room: every mark that the fabric of a pattern has is drawn on one of its panels or told in a
//! caption, and the key lists a sign just where one is drawn.

use std::collections::BTreeSet;

use roundwright::chart::{
    Glyph, Options, Panel, is_turned_before, lay_out, left_out, marked_within,
};
use roundwright::draw::{Key, KeyMark};
use roundwright::fabric::{Piece, Role, StitchId};
use roundwright::terms::Height;

use crate::charted::{Charted, charted};

/// What a line of caption begins with that says what is not drawn.
const NOT_DRAWN: &str = "Not drawn: ";

/// Signs of a kind: those that a fabric has, those that are drawn, those that a caption tells of.
#[derive(Debug, Default, PartialEq, Eq)]
struct Signs {
    has: usize,
    drawn: usize,
    told: usize,
}

#[derive(Debug, Default)]
struct Found {
    left: Signs,
    turns: Signs,
    faces: Signs,
    joins: Signs,
    markers: Signs,
}

impl Found {
    fn of(piece: &Piece, panels: &[Panel]) -> Found {
        let mut found = Found::default();
        found.has(piece, panels);
        for mark in panels.iter().flat_map(|panel| &panel.marks) {
            found.drawn(&mark.says);
        }
        for panel in panels {
            for line in panel.description.lines() {
                found.told(line);
            }
        }
        found
    }

    /// What the rounds have that are drawn, each run of equal ones once.
    fn has(&mut self, piece: &Piece, panels: &[Panel]) {
        let placed = panels.iter().flat_map(|panel| &panel.stitches);
        let drawn = placed.filter(|placed| placed.glyph != Glyph::None);
        let rounds: BTreeSet<usize> = drawn
            .map(|placed| piece.stitch(placed.id).round as usize)
            .collect();
        for &round in &rounds {
            self.left.has += left_out(piece, round).len();
            self.turns.has += usize::from(is_turned_before(piece, round));
        }
        for surface in &piece.surfaces {
            let round = &piece.rounds[surface.rounds.end - 1];
            let heads = piece.round_stitches(round).filter(|(_, stitch)| {
                stitch.role == Role::Head && stitch.kind.height > Height::Chain
            });
            self.faces.has += heads.count();
        }
        self.joins.has = piece.joins.len();
        let is_drawn = |id: &StitchId| rounds.contains(&(piece.stitch(*id).round as usize));
        self.markers.has = marked_within(piece).filter(is_drawn).count();
    }

    fn drawn(&mut self, says: &str) {
        let count = |words: &str| words.parse::<usize>().expect("a number");
        if let Some(words) = says.strip_suffix(" left unworked") {
            self.left.drawn += count(words.rsplit(' ').next().unwrap_or_default());
        } else if let Some(words) = says.strip_suffix(" slip stitches on the face") {
            self.faces.drawn += count(words);
        } else if says == "Turn" {
            self.turns.drawn += 1;
        } else if says.contains(" is joined, ") {
            self.joins.drawn += 1;
        } else if says.starts_with("Place a marker") {
            self.markers.drawn += 1;
        }
    }

    fn told(&mut self, line: &str) {
        let Some(told) = line.strip_prefix(NOT_DRAWN) else {
            return;
        };
        for sign in told.trim_end_matches('.').split("; ") {
            let (count, what) = sign.split_once(' ').expect("a number and what it counts");
            let signs = match what.split(' ').next() {
                Some("turn" | "turns") => &mut self.turns,
                Some("slip") => &mut self.faces,
                Some("marker" | "markers") => &mut self.markers,
                _ => &mut self.left,
            };
            signs.told += count.parse::<usize>().expect("a number");
        }
    }
}

#[test]
fn every_mark_of_a_fabric_is_drawn_or_told() {
    let mut wrong = Vec::new();
    let mut all = Found::default();
    for Charted { name, fabric } in charted() {
        for (place, piece) in fabric.pieces.iter().enumerate() {
            let panels = lay_out(&fabric, place, &Options::default());
            let found = Found::of(piece, &panels);
            let signs = [&found.left, &found.turns, &found.faces, &found.markers];
            let is_whole = signs
                .iter()
                .all(|signs| signs.has == signs.drawn + signs.told)
                // A join that goes over several panels is marked on each.
                && found.joins.drawn >= found.joins.has;
            if !is_whole {
                wrong.push(format!("{name}, {}: {found:?}", piece.name));
            }
            all.left.drawn += found.left.drawn;
            all.turns.drawn += found.turns.drawn;
            all.faces.drawn += found.faces.drawn;
            all.joins.drawn += found.joins.drawn;
            all.markers.drawn += found.markers.drawn;
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    let some = [&all.left, &all.turns, &all.faces, &all.joins];
    assert!(some.iter().all(|signs| signs.drawn > 20), "{all:?}");
    assert!(all.markers.drawn > 0, "{all:?}");
}

/// The key of one piece, for one piece is what its panels show.
#[test]
fn the_key_lists_the_signs_that_are_drawn() {
    for Charted { name, fabric } in charted() {
        for (place, piece) in fabric.pieces.iter().enumerate() {
            let panels = lay_out(&fabric, place, &Options::default());
            let found = Found::of(piece, &panels);
            let key = Key::of(&fabric, &[place]);
            for (sign, signs) in [
                (KeyMark::Skip, &found.left),
                (KeyMark::Turn, &found.turns),
                (KeyMark::Surface, &found.faces),
                (KeyMark::Marker, &found.markers),
            ] {
                assert_eq!(
                    key.marks.contains(&sign),
                    signs.drawn > 0,
                    "{name}, {}: {sign:?} {signs:?}",
                    piece.name
                );
            }
        }
    }
}
