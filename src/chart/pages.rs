//! Panels that fit a page: what does not is cut again, into parts of its rounds or into fewer rounds.

use super::cut::{Course, Cut};
use super::figures::LINE_MM;
use super::panel::{Layout, Panel};
use super::parts::{Measured, Parting, widest};
use super::scene::Scene;
use super::sheet::TALLEST_TABLE;
use super::sizes::{GUTTER_MM, MARGIN_MM, Paper, TITLE_MM};
use super::{place, sheet};
use crate::fabric::Fabric;

/// Paper beside a part of a line for what stands at its ends, in mm.
const ENDS_MM: f64 = 16.0;
/// How much longer than a straight part an arc may be, in mm.
const BENT_MM: f64 = 12.0;
/// Most columns of a table on a page.
const MOST_COLUMNS: usize = 4;
/// Most parts of rounds of very different widths, which end in points.
const MOST_WEDGES: usize = 4;
/// Most parts that a side of a motif is cut into.
const MOST_OF_A_SIDE: usize = 12;
/// Fewest stitches of the widest round on a part.
const LEAST_PART: usize = 6;

/// The panels of some rounds of a piece, each of which fits a page if it can be cut so.
pub(super) fn lay_out(fabric: &Fabric, piece: usize, cut: Cut, panels: &mut Vec<Panel>) {
    let worked = &fabric.pieces[piece];
    let scene = place::place(fabric, worked, fabric.hand, cut);
    let mut whole = None;
    let paper = scene.cut.paper;
    if width_mm(&scene) <= paper.page.width {
        let panel = sheet::sheet(&scene, piece);
        if fits(&panel, paper) {
            panels.push(panel);
            return;
        }
        whole = Some(panel);
    }
    let is_wide = whole
        .as_ref()
        .is_none_or(|panel| panel.width_mm > paper.page.width);
    if is_wide
        && let Some(parts) = in_parts(&scene, piece)
        && (parts.len() <= MOST_WEDGES || !narrows_much(&scene))
    {
        panels.extend(parts);
        return;
    }
    if scene.cut.courses.len() < 2 {
        panels.push(whole.unwrap_or_else(|| sheet::sheet(&scene, piece)));
        return;
    }
    let mut lower = scene.cut;
    let courses = lower.courses.split_off(lower.courses.len() / 2);
    let last = lower.courses.last();
    let upper = Cut {
        anchor: last.map(|course| course.rounds.end - 1),
        anchor_corners: last.and_then(Course::corners_below),
        courses,
        ..lower
    };
    lay_out(fabric, piece, lower, panels);
    lay_out(fabric, piece, upper, panels);
}

/// True if some rounds are so much narrower than others that parts of all of them would be thin wedges.
fn narrows_much(scene: &Scene) -> bool {
    let widths = scene.courses().map(|(_, course)| course.slots.slots.len());
    let (least, most) = widths.fold((usize::MAX, 0), |(least, most), width| {
        (least.min(width), most.max(width))
    });
    scene.cut.layout == Layout::Rings && scene.cut.courses.len() > 1 && least * 2 < most
}

/// True if a panel fits both A4 and Letter.
fn fits(panel: &Panel, paper: Paper) -> bool {
    panel.width_mm <= paper.page.width && panel.height_mm <= paper.page.height
}

/// The width of the lines alone, in mm.
fn width_mm(scene: &Scene) -> f64 {
    let heads = scene.courses().flat_map(|(_, course)| &course.slots.slots);
    let heads = heads.filter_map(|slot| Some(scene.spots.get(slot.first())?.head.x));
    let (low, high) = heads.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), x| {
        (low.min(x), high.max(x))
    });
    high - low
}

/// How tall a part of the rounds is at least, however narrow, in mm: the rounds that no part is without, over their table in as many columns
/// as a page has room for.
fn least_height_mm(scene: &Scene, width: usize) -> f64 {
    let on_all = |(_, course): &(usize, &Course)| course.slots.slots.len() >= width / LEAST_PART;
    let Some((first, _)) = scene.courses().find(on_all) else {
        return 0.0;
    };
    let rows = scene.courses().filter(on_all).count();
    let last = scene.courses().filter(on_all).map(|(k, _)| k).last();
    let last = last.unwrap_or(first);
    let extent = (scene.tracks[last].reach_mm() - scene.below(first).reach_mm()).abs();
    let head = 2.0 * MARGIN_MM + TITLE_MM + 2.0 * LINE_MM;
    let table = match rows as f64 * LINE_MM > TALLEST_TABLE * scene.cut.paper.page.height {
        true => GUTTER_MM + rows.div_ceil(MOST_COLUMNS) as f64 * LINE_MM,
        false => 0.0,
    };
    head + extent + table
}

/// The fewest equal parts that all fit; `None` if parts as narrow as can be are still too tall.
fn in_parts(scene: &Scene, piece: usize) -> Option<Vec<Panel>> {
    let (k, width) = widest(scene)?;
    let paper = scene.cut.paper;
    let straight_mm = paper.room_mm() - ENDS_MM;
    // An arc is longer than it is wide.
    let (length, longest) = match scene.cut.layout {
        Layout::Rings => (scene.tracks[k].length()?, straight_mm + BENT_MM),
        Layout::Strip => (width_mm(scene), straight_mm),
    };
    if least_height_mm(scene, width) > paper.page.height {
        return None;
    }
    let measured = Measured::of(scene)?;
    let parts = |parting: &Parting| -> Option<Vec<Panel>> {
        let part = |part: usize| {
            let panel = sheet::sheet(&parting.scene(scene, part), piece);
            fits(&panel, paper).then_some(panel)
        };
        (0..parting.count).map(part).collect()
    };
    let mut along_sides =
        (1..=MOST_OF_A_SIDE).filter_map(|count| Parting::along_sides(&measured, count));
    if let Some(panels) = along_sides.find_map(|parting| parts(&parting)) {
        return Some(panels);
    }
    let mut count = ((length / longest).ceil() as usize).max(2);
    while count <= width / LEAST_PART {
        if let Some(panels) = parts(&Parting::of(&measured, count)?) {
            return Some(panels);
        }
        count += (count / 6).max(1);
    }
    None
}
