use super::cut::steps_after;
use super::fit;
use super::marks::label;
use super::panel::Row;
use super::scene::Scene;
use super::sizes::TEXT_MM;
use crate::fabric::{Role, Round, Step, StepKind, StitchId, YarnId};
use crate::text::Weight;

/// Widest list of yarns, in mm.
const YARNS_MM: f64 = 40.0;

/// The rounds of a panel in figures, with what is done between them.
pub(super) fn table(scene: &Scene) -> Vec<Row> {
    let piece = scene.piece;
    let mut rows = Vec::new();
    for (k, course) in scene.courses() {
        let first = course.rounds.start;
        let round = &piece.rounds[first];
        let before = match k {
            // An edging is no wider or narrower than the rows that it goes round.
            0 => scene.cut.anchor.filter(|_| !scene.facts.edges_rows),
            _ => Some(scene.cut.courses[k - 1].rounds.end - 1),
        };
        let opens = |step: &&Step| opens(step, round);
        rows.extend(notes(steps_after(piece, first + 1).iter().filter(opens)));
        let label = label(piece, &course.rounds);
        if !label.is_empty() && !scene.own(k).is_empty() {
            rows.push(Row::Round {
                label,
                stitches: round.count,
                change: before
                    .map(|before| i64::from(round.count) - i64::from(piece.rounds[before].count)),
                yarns: yarns(scene, scene.own_of_first(k)),
                here: here(scene, k, round),
            });
        }
        let steps = steps_after(piece, course.rounds.end).iter();
        rows.extend(notes(steps.filter(|step| !opens(step))));
    }
    rows
}

/// True if a step that is told with a round comes before its first stitch.
fn opens(step: &Step, round: &Round) -> bool {
    step.after.map_or(0, |after| after.0 + 1) == round.stitches.start
}

/// Each thing to do once, in the order of the text.
fn notes<'a>(steps: impl Iterator<Item = &'a Step>) -> Vec<Row> {
    let mut rows = Vec::new();
    for step in steps {
        let row = Row::Note(note(step.kind));
        if !rows.contains(&row) {
            rows.push(row);
        }
    }
    rows
}

/// The stitches of a round that a part of it holds: the first and the last, from 1.
pub(super) fn here(scene: &Scene, k: usize, round: &Round) -> Option<(u32, u32)> {
    let part = scene.part.as_ref()?;
    let stitches = &round.stitches;
    if round.edge.len() == stitches.len() && round.count as usize == stitches.len() {
        // Every stitch of the round counts: no need to look at each.
        let own = part.own[k].first().filter(|own| !own.is_empty())?;
        return Some((own.start - stitches.start + 1, own.end - stitches.start));
    }
    // Chains that the round starts from come first.
    let edge = round.edge.iter().map(|id| id.0).min()?;
    let own = part.own[k].iter().find(|own| own.end > edge)?;
    let is_stitch = |id: &&StitchId| scene.piece.stitch(**id).role != Role::Bridge;
    let in_order = |a: &&StitchId| a.0 < own.start;
    // The edge of a row lies in the order of the next one; count in the order of work.
    let before = round.edge.iter().filter(is_stitch).filter(in_order).count() as u32;
    let within = |id: &&StitchId| own.contains(&id.0);
    let here = round.edge.iter().filter(is_stitch).filter(within).count() as u32;
    (here > 0).then_some((before + 1, before + here))
}

fn yarns(scene: &Scene, stitches: impl Iterator<Item = u32>) -> String {
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
    fit::fitted(&letters.join(", "), TEXT_MM, Weight::Regular, YARNS_MM)
}

fn note(step: StepKind) -> &'static str {
    match step {
        StepKind::FastenOff => "Fasten off",
        StepKind::Stuff => "Stuff",
        StepKind::LeaveEmpty => "Do not stuff",
        StepKind::Flatten => "Flatten",
        StepKind::PlaceMarker => "Place a marker",
        StepKind::Eyes(_) => "Put in the eyes",
        StepKind::CloseHole => "Close the hole",
        StepKind::JoinYarn => "Join yarn",
        StepKind::Sew => "Sew on",
    }
}
