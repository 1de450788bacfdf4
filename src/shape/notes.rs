//! What there is to say of a shape, in lines for people.

use crate::fabric::{Fabric, Piece, RoundKind};

use super::gauge::GaugeFrom;
use super::measure::Measures;
use super::relaxed::{Relaxed, Shapes};
use super::said::Filling;
use super::web::Node;

/// Centimetres in an inch, by definition.
const INCH_CM: f64 = 2.54;
/// A strain from which a round is said to be strained, as a share of its length. Own estimate, no source.
const STRAINED: f64 = 0.08;
/// A bend from which it is said, in degrees. Own estimate, no source.
const BENT_DEG: f64 = 6.0;
/// Waves of an edge from which it is said to ruffle, in widths. Own estimate, no source.
const WAVES: f64 = 1.0;
/// How deep a disc is dished from which it is said to cup, as a share of its width. Own estimate, no source.
const DISHED: f64 = 0.08;

/// The finished size, the stuffing, and what is out of the ordinary in a piece, a line each.
pub fn piece_notes(fabric: &Fabric, shape: &Relaxed, measures: &Measures) -> Vec<String> {
    let piece = &fabric.pieces[shape.piece];
    let mut notes = vec![size(measures, shape)];
    notes.extend(girth(piece, measures));
    notes.extend(filling(shape, measures));
    let disc_cm = measures.width_cm.max(measures.depth_cm);
    if measures.ruffle_cm > WAVES * shape.width_cm {
        notes.push(format!(
            "Its edge ruffles: the waves are {} high.",
            both(measures.ruffle_cm)
        ));
    } else if measures.cup_cm > DISHED * disc_cm && measures.ruffle_cm > 0.0 {
        notes.push(format!(
            "It cups: the edge stands {} off the middle.",
            both(measures.cup_cm)
        ));
    }
    if measures.bend_deg > BENT_DEG {
        notes.push(format!("Its axis bends by {:.0}°.", measures.bend_deg));
    }
    notes.extend(strained(piece, shape));
    if !shape.settled {
        notes.push("The shape had not quite settled when the search for it ended.".to_owned());
    }
    notes
}

/// Where the size of stitches and their lean come from, a line each.
pub fn making_notes(shapes: &Shapes) -> Vec<String> {
    let across = 100.0 / shapes.gauge.width_mm;
    let gauge = match shapes.gauge.from {
        GaugeFrom::Stitches | GaugeFrom::Across => {
            format!("By the pattern's gauge: {across:.1} sts to 10 cm.")
        }
        GaugeFrom::Hook(mm) => format!(
            "No gauge is given: taken as toys are usually worked with a {mm} mm hook, {across:.1} sts to 10 cm."
        ),
        GaugeFrom::Custom => format!(
            "No gauge and no hook are given: taken as toys are usually worked, {across:.1} sts to 10 cm."
        ),
    };
    let mut notes = vec![gauge];
    if !shapes.lean_is_given {
        notes.push(format!(
            "No lean is given: taken as {} st a round, as is usual.",
            shapes.lean
        ));
    }
    notes
}

fn size(measures: &Measures, shape: &Relaxed) -> String {
    let measures = [measures.height_cm, measures.width_cm, measures.depth_cm];
    sides(measures, shape.width_cm)
}

/// How high, wide and deep something is, in cm and in inches; `stitch_cm` is the width of its stitches.
pub fn sides([high, wide, deep]: [f64; 3], stitch_cm: f64) -> String {
    let sides = [(high, "high"), (wide, "wide"), (deep, "deep")];
    // What is as thin as the fabric has no third measure.
    let sides = sides.into_iter().filter(|(cm, _)| *cm > 0.6 * stitch_cm);
    let cm: Vec<String> = sides
        .clone()
        .map(|(cm, name)| format!("{cm:.1} cm {name}"))
        .collect();
    let inches: Vec<String> = sides
        .map(|(cm, _)| format!("{:.1}", cm / INCH_CM))
        .collect();
    format!("{} ({} in).", cm.join(", "), inches.join(" × "))
}

/// How far round each round is, in columns: runs of rounds that are alike to a millimetre on one line.
pub fn girths(measures: &Measures) -> String {
    let mut runs: Vec<(u32, u32, f64)> = Vec::new();
    let tenths = |cm: f64| (cm * 10.0).round();
    for &(round, cm) in &measures.rounds {
        match runs.last_mut() {
            Some((_, last, before))
                if tenths(*before) == tenths(cm) && last.checked_add(1) == Some(round) =>
            {
                *last = round;
            }
            _ => runs.push((round, round, cm)),
        }
    }
    let mut text = format!("  {:<9}  {:>7}  {:>7}\n", "round", "cm", "in");
    for (first, last, cm) in runs {
        let rounds = match first == last {
            true => first.to_string(),
            false => format!("{first}–{last}"),
        };
        text += &format!("  {rounds:<9}  {cm:>7.1}  {:>7.1}\n", cm / INCH_CM);
    }
    text
}

fn girth(piece: &Piece, measures: &Measures) -> Option<String> {
    let in_rounds = piece
        .rounds
        .iter()
        .any(|round| round.kind == RoundKind::Round);
    let (round, cm) =
        measures
            .rounds
            .iter()
            .fold(None, |best: Option<(u32, f64)>, &(round, cm)| match best {
                Some((_, most)) if most >= cm => best,
                _ => Some((round, cm)),
            })?;
    (in_rounds && cm > 0.0).then(|| format!("{} round at its widest, Rnd {round}.", both(cm)))
}

fn filling(shape: &Relaxed, measures: &Measures) -> Option<String> {
    let held = match measures.stuffing_cm3 {
        small if small < 0.5 => "less than 1 cm³ of stuffing".to_owned(),
        cm3 => format!("{cm3:.0} cm³ of stuffing"),
    };
    match shape.filling {
        Filling::Empty if shape.pressed => Some("Pressed flat.".to_owned()),
        Filling::Empty => None,
        Filling::Light => Some(format!("Stuffed lightly: it holds {held}.")),
        Filling::Firm => Some(format!("Stuffed: it holds {held}.")),
        Filling::Assumed => Some(format!(
            "Nothing is said of stuffing: taken as stuffed, it holds {held}."
        )),
    }
}

/// The most strained round.
fn strained(piece: &Piece, shape: &Relaxed) -> Option<String> {
    let strains = shape.strains();
    let mut worst: Option<(u32, f64)> = None;
    for row in shape.web.rows.iter().filter(|row| !row.is_chain) {
        let heads = row
            .points
            .iter()
            .filter(|&&p| shape.web.knots[p as usize].node != Node::Middle);
        let mean = heads.map(|&point| strains[point as usize]).sum::<f64>()
            / row.points.len().max(1) as f64;
        if worst.is_none_or(|(_, most)| mean.abs() > most.abs()) {
            worst = Some((piece.rounds[row.round].number, mean));
        }
    }
    let (round, strain) = worst.filter(|(_, strain)| strain.abs() > STRAINED)?;
    let way = if strain > 0.0 {
        "stretched"
    } else {
        "pushed together"
    };
    Some(format!(
        "Rnd {round} is {way} most, by {:.0} in the hundred.",
        strain.abs() * 100.0
    ))
}

fn both(cm: f64) -> String {
    format!("{cm:.1} cm ({:.1} in)", cm / INCH_CM)
}
