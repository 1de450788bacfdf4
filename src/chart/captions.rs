//! The words of a panel: its title, how it is read, and what it shows for those who hear it.

use super::cut::Course;
use super::marks::surface_caption;
use super::panel::{Direction, Layout, Panel, Row};
use super::scene::Scene;
use crate::fabric::RoundKind;
use crate::terms::Hand;

/// What an edging is worked into.
const EDGE: &str = " The grey stitches are those at the edge of the rows.";

/// `Pocket puffin: Body, rounds 1 to 12`.
pub(super) fn title(scene: &Scene, panel: &Panel) -> String {
    let name = names(scene);
    let rounds = match (in_rows(scene), panel.first == panel.last) {
        (false, true) => format!("round {}", panel.last),
        (false, false) => format!("rounds {} to {}", panel.first, panel.last),
        (true, true) => format!("row {}", panel.last),
        (true, false) => format!("rows {} to {}", panel.first, panel.last),
    };
    let part = panel.part.map_or(String::new(), |part| {
        format!(", part {} of {}", part.number, part.of)
    });
    if name.is_empty() {
        format!("{rounds}{part}")
    } else {
        format!("{name}, {rounds}{part}")
    }
}

/// Which part of its rounds a panel shows: `2 of 4: stitches 51–100 of each round.`
fn part_caption(panel: &Panel, one: &str) -> Option<String> {
    let part = panel.part?;
    let mut shown = panel.table.iter().filter_map(|row| match row {
        Row::Round { here, .. } => *here,
        Row::Note(_) => None,
    });
    let first = shown.next();
    let alike = shown.all(|other| Some(other) == first);
    let rounds = if panel.first == panel.last {
        format!("the {one}")
    } else {
        format!("each {one}")
    };
    let stitches = match first {
        Some((from, to)) if alike => format!("stitches {from}–{to} of {rounds}"),
        _ => "the table says which stitches".to_owned(),
    };
    Some(format!(
        "{} of {}: {stitches}. Grey stitches are the neighbours on other sheets.",
        part.number, part.of
    ))
}

/// True if the work goes to and fro. What goes round may lie in a strip as well, and still is rounds.
pub(super) fn in_rows(scene: &Scene) -> bool {
    let turned = |(_, course): (usize, &Course)| {
        scene.piece.rounds[course.rounds.start].kind == RoundKind::Row
    };
    scene.cut.layout == Layout::Strip && scene.courses().any(turned)
}

pub(super) fn names(scene: &Scene) -> String {
    let parts = [scene.fabric.title.trim(), scene.piece.name.trim()];
    let parts: Vec<&str> = parts.into_iter().filter(|part| !part.is_empty()).collect();
    parts.join(" – ")
}

/// How the chart is read: lines under the title.
pub(super) fn captions(scene: &Scene, panel: &Panel) -> Vec<String> {
    let rows = scene.cut.layout == Layout::Strip;
    let in_rows = in_rows(scene);
    let (one, several) = if in_rows {
        ("Row", "Rows")
    } else {
        ("Round", "Rounds")
    };
    let rounds = if panel.first == panel.last {
        format!("{one} {}", panel.last)
    } else {
        format!("{several} {}–{}", panel.first, panel.last)
    };
    let left_handed = scene.hand == Hand::Left;
    let hand = if left_handed {
        ", for left-handed makers"
    } else {
        ""
    };
    if rows {
        let (right_side, wrong_side) = if left_handed {
            ("left to right", "right to left")
        } else {
            ("right to left", "left to right")
        };
        let turns = scene
            .courses()
            .any(|(_, course)| scene.piece.rounds[course.rounds.start].wrong_side);
        let way = if turns {
            format!(
                "Right-side rows are read from {right_side}, wrong-side rows from {wrong_side}, the lowest first."
            )
        } else {
            let lowest = one.to_lowercase();
            format!("Read from {right_side}, the lowest {lowest} first.")
        };
        let mut captions = vec![
            format!("{rounds}{hand}. The right side is shown, seen from outside."),
            way,
        ];
        captions.extend(part_caption(panel, &one.to_lowercase()));
        if scene.facts.folds {
            captions
                .push("The edge is folded flat: each stitch goes through both layers.".to_owned());
        }
        if scene.facts.edges_rows {
            captions.push(EDGE.trim().to_owned());
        }
        captions.extend(surface_caption(scene));
        return captions;
    }
    let inward = scene.cut.direction == Direction::Inward;
    let turn = if inward != left_handed {
        "clockwise"
    } else {
        "counter-clockwise"
    };
    let from = match (inward, scene.cut.anchor) {
        (true, _) => "from the outer ring inward",
        (false, None) => "from the middle outward",
        (false, Some(_)) => "from the inner ring outward",
    };
    let grey = scene.cut.anchor.map_or(String::new(), |anchor| {
        let number = scene.piece.rounds[anchor].number;
        if scene.facts.edges_rows {
            EDGE.to_owned()
        } else if number == 0 {
            " The grey stitches are those worked before.".to_owned()
        } else {
            format!(" The grey stitches are those of round {number}.")
        }
    });
    let mut captions = vec![format!("{rounds}{hand}. Seen from outside.")];
    match part_caption(panel, "round") {
        Some(part) => {
            let way = match left_handed {
                true => "left to right",
                false => "right to left",
            };
            let what = match scene.part.as_ref().is_some_and(|part| part.of_sides) {
                true => "Cut at the corners and along the sides: a part of each round",
                false => "A part of each ring",
            };
            captions.push(format!("{what}, read from {way}, the lowest round first."));
            captions.push(part);
        }
        None => captions.push(format!("Read {from}, {turn}, from the arrow on.{grey}")),
    }
    captions
}

/// Signs that are not drawn, in a line of caption; nothing if all did.
pub(super) fn missing_caption(missing: &[String]) -> Option<String> {
    let several = missing.join("; ");
    (!missing.is_empty()).then(|| format!("Not drawn: {several}."))
}

/// What a panel shows in words.
pub(super) fn description(captions: &[String], panel: &Panel) -> String {
    let mut said: Vec<&str> = captions.iter().map(String::as_str).collect();
    said.extend(panel.rings.iter().map(|ring| ring.says.as_str()));
    said.extend(
        panel
            .marks
            .iter()
            .map(|mark| mark.says.as_str())
            .filter(|says| !says.is_empty()),
    );
    said.join("\n")
}
