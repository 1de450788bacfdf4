use super::cut::steps_after;
use super::marks::label;
use super::panel::Row;
use super::scene::Scene;
use crate::fabric::{StepKind, YarnId};

/// The rounds of a panel in figures, with what is done between them.
pub(super) fn table(scene: &Scene) -> Vec<Row> {
    let piece = scene.piece;
    let mut rows = Vec::new();
    for (k, course) in scene.courses() {
        let first = course.rounds.start;
        let round = &piece.rounds[first];
        let before = match k {
            0 => scene.cut.anchor,
            _ => Some(scene.cut.courses[k - 1].rounds.end - 1),
        };
        let label = label(piece, &course.rounds);
        if !label.is_empty() {
            rows.push(Row::Round {
                label,
                stitches: round.count,
                change: before
                    .map(|before| i64::from(round.count) - i64::from(piece.rounds[before].count)),
                yarns: yarns(scene, round.stitches.clone()),
            });
        }
        let mut told: Vec<&str> = Vec::new();
        for step in steps_after(piece, course.rounds.end) {
            let note = note(step.kind);
            if !told.contains(&note) {
                told.push(note);
                rows.push(Row::Note(note));
            }
        }
    }
    rows
}

fn yarns(scene: &Scene, stitches: std::ops::Range<u32>) -> String {
    let mut seen: Vec<YarnId> = Vec::new();
    for id in stitches {
        if let Some(yarn) = scene.piece.stitches[id as usize].yarn
            && !seen.contains(&yarn)
        {
            seen.push(yarn);
        }
    }
    let letters: Vec<&str> = seen
        .iter()
        .filter_map(|yarn| scene.fabric.yarns.get(yarn.0 as usize))
        .map(|yarn| yarn.letter.as_str())
        .collect();
    letters.join(", ")
}

fn note(step: StepKind) -> &'static str {
    match step {
        StepKind::FastenOff => "Fasten off",
        StepKind::Stuff => "Stuff",
        StepKind::LeaveEmpty => "Do not stuff",
        StepKind::Flatten => "Flatten",
        StepKind::PlaceMarker => "Place a marker",
        StepKind::Eyes => "Put in the eyes",
        StepKind::CloseHole => "Close the hole",
        StepKind::JoinYarn => "Join yarn",
        StepKind::Sew => "Sew on",
    }
}
