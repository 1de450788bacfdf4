//! Puts a placed scene on a sheet: the title over the work, its table beside or under it, margins round all.

use std::ops::Range;

use kurbo::{Affine, BezPath, Point, Rect, Shape, Vec2};

use super::cut::{Course, is_folded_flat};
use super::marks::{self, label};
use super::panel::{
    Direction, Glyph, Ink, Layout, Line, Mark, Panel, Placed, Ring, Row, Tone, Words,
};
use super::scene::Scene;
use super::sizes::{ANCHOR_MM, GUTTER_MM, MARGIN_MM, SHEET_MM, TEXT_MM, TITLE_MM};
use super::slots::makes_own_chain;
use super::track::Track;
use super::{fit, table, words};
use crate::fabric::{RoundKind, StitchId};
use crate::symbol;
use crate::terms::{Form, Hand, Into, Stitch};
use crate::text::{self, Weight};

/// From baseline to baseline of captions and tables, in mm.
const LINE_MM: f64 = TEXT_MM * 1.5;
/// Most lines of a title.
const TITLE_LINES: usize = 3;
/// Between columns of the table, in mm.
const COLUMN_GAP_MM: f64 = 3.8;
/// How far a row's band reaches beyond its stitches, in mm.
const BAND_END_MM: f64 = 1.2;

/// The finished panel.
pub(super) fn sheet(scene: &Scene, piece: usize) -> Panel {
    let mut feet = Vec::new();
    let mut stitches = Vec::new();
    let mut rings = Vec::new();
    for (k, course) in scene.courses() {
        let from = stitches.len();
        for id in stitch_range(scene, &course.rounds) {
            stitches.push(placed(scene, StitchId(id), k, &mut feet));
        }
        rings.push(ring(scene, k, from..stitches.len()));
    }
    let mut anchors = Vec::new();
    if let Some(round) = scene.cut.anchor {
        for id in scene.piece.rounds[round].stitches.clone() {
            anchors.extend(anchor(scene, StitchId(id), &mut feet));
        }
    }
    let number = |k: usize| scene.piece.rounds[k].number;
    let courses = &scene.cut.courses;
    let mut panel = Panel {
        piece,
        layout: scene.cut.layout,
        direction: scene.cut.direction,
        first: courses
            .iter()
            .map(|course| number(course.rounds.start))
            .find(|&number| number > 0)
            .unwrap_or(0),
        last: courses
            .last()
            .map_or(0, |course| number(course.rounds.end - 1)),
        width_mm: 0.0,
        height_mm: 0.0,
        title: String::new(),
        description: String::new(),
        stitches,
        anchors,
        feet,
        rings,
        marks: marks::engrave(scene),
        table: table::table(scene),
    };
    panel.title = title(scene, &panel);
    let captions = captions(scene, &panel);
    panel.description = description(&captions, &panel);
    arrange(scene, &mut panel, &captions);
    panel
}

fn stitch_range(scene: &Scene, rounds: &Range<usize>) -> Range<u32> {
    let first = &scene.piece.rounds[rounds.start].stitches;
    first.start..scene.piece.rounds[rounds.end - 1].stitches.end
}

/// A stitch as it was placed. One that found no place lies, undrawn, at the start of its line.
fn placed(scene: &Scene, id: StitchId, k: usize, feet: &mut Vec<Point>) -> Placed {
    let from = feet.len() as u32;
    let spot = scene.spots.get(id);
    let head = spot.map_or_else(|| scene.tracks[k].at(0.0, 0.0), |spot| spot.head);
    push_feet(scene, id, k, feet);
    Placed {
        id,
        head,
        glyph: spot.map_or(Glyph::None, |spot| spot.glyph),
        feet: from..feet.len() as u32,
    }
}

/// A stitch of the round that the panel stands on: plain, on the side away from the panel's rounds.
fn anchor(scene: &Scene, id: StitchId, feet: &mut Vec<Point>) -> Option<Placed> {
    let spot = scene.spots.get(id)?;
    let from = feet.len() as u32;
    let glyph = match spot.glyph {
        Glyph::Stitch { kind, into, .. } => {
            let kind = Stitch {
                form: match kind.form {
                    Form::Together(_) => Form::Plain,
                    form => form,
                },
                ..kind
            };
            let height = symbol::height_mm(kind).min(ANCHOR_MM - 1.0);
            let lift = match scene.cut.direction {
                Direction::Inward => height,
                Direction::Outward => -height,
            };
            feet.push(spot.track.at(spot.s, lift));
            let clear_mm = 0.0;
            Glyph::Stitch {
                kind,
                into,
                clear_mm,
            }
        }
        glyph => glyph,
    };
    Some(Placed {
        id,
        head: spot.head,
        glyph,
        feet: from..feet.len() as u32,
    })
}

/// One point for each place that a stitch is worked into.
fn push_feet(scene: &Scene, id: StitchId, k: usize, out: &mut Vec<Point>) {
    let stitch = scene.piece.stitch(id);
    let feet = scene.piece.feet(id);
    let head = scene.spots.get(id);
    let below = scene.below(k);
    let under = || match head {
        Some(spot) => below.at(spot.track.carry(spot.s, below), 0.0),
        None => below.at(0.0, 0.0),
    };
    match stitch.into {
        Into::Ring | Into::Part => out.push(under()),
        // A stitch that makes its own chain as it goes.
        _ if makes_own_chain(scene.piece, id) => out.push(under()),
        Into::Space => {
            for space in feet.chunk_by(|a, b| a.0 + 1 == b.0) {
                out.push(under_space(scene, id, space).unwrap_or_else(under));
            }
        }
        _ => out.extend(
            feet.iter()
                .map(|&foot| scene.spots.get(foot).map_or_else(under, |spot| spot.head)),
        ),
    }
}

/// The point of a space that is nearest to a stitch's head.
pub(super) fn under_space(scene: &Scene, id: StitchId, chains: &[StitchId]) -> Option<Point> {
    let head = scene.spots.get(id)?;
    let first = scene.spots.get(*chains.first()?)?;
    let last = scene.spots.get(*chains.last()?)?;
    let mut want = head.track.carry(head.s, &first.track);
    if let Some(length) = first.track.length() {
        let middle = (first.s + last.s) / 2.0;
        want -= ((want - middle) / length).round() * length;
    }
    let (low, high) = (first.s.min(last.s) - 1.0, first.s.max(last.s) + 1.0);
    let s = want.clamp(low, high);
    // Between chains the arch is as high as between their middles.
    let nearest = chains.partition_point(|&chain| scene.spots.get(chain).is_some_and(|c| c.s < s));
    let lift = |i: usize| {
        let spot = scene.spots.get(*chains.get(i)?)?;
        let off = spot.head - spot.track.at(spot.s, 0.0);
        Some((spot.s, off.dot(spot.track.up(spot.s))))
    };
    let rise = match (nearest.checked_sub(1).and_then(lift), lift(nearest)) {
        (Some((a, low)), Some((b, high))) if b > a => low + (high - low) * (s - a) / (b - a),
        (Some((_, rise)), _) | (_, Some((_, rise))) => rise,
        _ => 0.0,
    };
    Some(first.track.at(s, rise))
}

fn ring(scene: &Scene, k: usize, stitches: Range<usize>) -> Ring {
    let rounds = &scene.cut.courses[k].rounds;
    Ring {
        first: scene.piece.rounds[rounds.start].number,
        last: scene.piece.rounds[rounds.end - 1].number,
        label: label(scene.piece, rounds),
        says: words::says(scene.fabric, scene.piece, rounds),
        band: band(scene, k),
        half_mm: match scene.tracks[k] {
            Track::Ring(ring) => ring.half_mm,
            Track::Row(_) => 0.0,
        },
        stitches,
    }
}

/// The band from the line below to the heads.
fn band(scene: &Scene, k: usize) -> BezPath {
    let (track, below) = (&scene.tracks[k], scene.below(k));
    if track.length().is_some() {
        let mut path = track.whole(0.0);
        path.extend(below.whole(0.0));
        return path;
    }
    let (Track::Row(row), Track::Row(under)) = (track, below) else {
        return BezPath::new();
    };
    let xs = scene
        .cut
        .courses
        .iter()
        .flat_map(|course| &course.slots.slots)
        .filter_map(|slot| Some(scene.spots.get(slot.first())?.head.x));
    let (low, high) = xs.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), x| {
        (low.min(x), high.max(x))
    });
    if low > high {
        return BezPath::new();
    }
    let reach = symbol::STITCH_WIDTH_MM / 2.0 + BAND_END_MM;
    Rect::new(low - reach, row.y_mm, high + reach, under.y_mm).to_path(0.1)
}

/// `Pocket puffin: Body, rounds 1 to 12`.
fn title(scene: &Scene, panel: &Panel) -> String {
    let name = names(scene);
    let rounds = match (in_rows(scene), panel.first == panel.last) {
        (false, true) => format!("round {}", panel.last),
        (false, false) => format!("rounds {} to {}", panel.first, panel.last),
        (true, true) => format!("row {}", panel.last),
        (true, false) => format!("rows {} to {}", panel.first, panel.last),
    };
    if name.is_empty() {
        rounds
    } else {
        format!("{name}, {rounds}")
    }
}

/// True if the work goes to and fro. What goes round may lie in a strip as well, and still is rounds.
fn in_rows(scene: &Scene) -> bool {
    let turned = |(_, course): (usize, &Course)| {
        scene.piece.rounds[course.rounds.start].kind == RoundKind::Row
    };
    scene.cut.layout == Layout::Strip && scene.courses().any(turned)
}

fn names(scene: &Scene) -> String {
    let parts = [scene.fabric.title.trim(), scene.piece.name.trim()];
    let parts: Vec<&str> = parts.into_iter().filter(|part| !part.is_empty()).collect();
    parts.join(" – ")
}

/// How the chart is read: lines under the title.
fn captions(scene: &Scene, panel: &Panel) -> Vec<String> {
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
        let is_fold = |(_, course): (usize, &Course)| {
            is_folded_flat(scene.piece, &scene.piece.rounds[course.rounds.start])
        };
        if scene.courses().any(is_fold) {
            captions
                .push("The edge is folded flat: each stitch goes through both layers.".to_owned());
        }
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
        if number == 0 {
            " The grey stitches are those worked before.".to_owned()
        } else {
            format!(" The grey stitches are those of round {number}.")
        }
    });
    vec![
        format!("{rounds}{hand}. Seen from outside."),
        format!("Read {from}, {turn}, from the arrow on.{grey}"),
    ]
}

fn description(captions: &[String], panel: &Panel) -> String {
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

/// Gives everything its place on the sheet and the sheet its size.
fn arrange(scene: &Scene, panel: &mut Panel, captions: &[String]) {
    let work = work_box(scene, panel);
    let table = Table::new(&panel.table, in_rows(scene));
    let mut header = Vec::new();
    let mut y = MARGIN_MM;
    let mut widest: f64 = 0.0;
    let room = SHEET_MM - 2.0 * MARGIN_MM;
    for name in fit::wrapped(&names(scene), TITLE_MM, Weight::Bold, room, TITLE_LINES) {
        let (words, width) = line(&name, y, TITLE_MM, Weight::Bold, Tone::Ink);
        y += TITLE_MM * 1.35;
        widest = widest.max(width);
        header.push(words);
    }
    for caption in captions {
        for caption in fit::wrapped(caption, TEXT_MM, Weight::Regular, room, TITLE_LINES) {
            let (words, width) = line(&caption, y, TEXT_MM, Weight::Regular, Tone::Quiet);
            y += LINE_MM;
            widest = widest.max(width);
            header.push(words);
        }
    }
    let top = y + 4.0;
    let beside = work.width() + GUTTER_MM + table.width + 2.0 * MARGIN_MM <= SHEET_MM
        || work.width() > SHEET_MM;
    let whole = if beside {
        work.width() + GUTTER_MM + table.width
    } else {
        work.width().max(table.width)
    }
    .max(widest);
    panel.width_mm = whole + 2.0 * MARGIN_MM;
    let (work_at, table_at, bottom) = if beside {
        let free = whole - work.width() - GUTTER_MM - table.width;
        let work_at = Point::new(MARGIN_MM + free / 2.0, top);
        let table_x = work_at.x + work.width() + GUTTER_MM;
        let table_y = top + ((work.height() - table.height) / 2.0).max(0.0);
        let bottom = top + work.height().max(table.height);
        (work_at, Point::new(table_x, table_y), bottom)
    } else {
        let work_at = Point::new(MARGIN_MM + (whole - work.width()) / 2.0, top);
        let table_y = top + work.height() + GUTTER_MM;
        let table_x = MARGIN_MM + (whole - table.width) / 2.0;
        (
            work_at,
            Point::new(table_x, table_y),
            table_y + table.height,
        )
    };
    panel.height_mm = bottom + MARGIN_MM;
    shift(panel, work_at - work.origin());
    panel.marks.push(Mark {
        says: String::new(),
        under: false,
        ink: header.into_iter().map(Ink::Words).collect(),
    });
    panel.marks.push(table.mark(table_at));
}

/// A line of words at the left margin, its top at `y`, with its width.
fn line(words: &str, y: f64, size_mm: f64, weight: Weight, tone: Tone) -> (Words, f64) {
    let room = text::extents(words, size_mm, weight);
    let words = Words {
        text: words.to_owned(),
        at: Point::new(MARGIN_MM, y + room.cap_mm),
        size_mm,
        weight,
        tone,
    };
    (words, room.width_mm)
}

/// The box of the stitches, their bands and their marks.
fn work_box(scene: &Scene, panel: &Panel) -> Rect {
    let mut all: Option<Rect> = None;
    let mut add = |room: Rect| all = Some(all.map_or(room, |all| all.union(room)));
    for ring in &panel.rings {
        if !ring.band.is_empty() {
            add(ring.band.bounding_box());
        }
    }
    let outermost = scene
        .tracks
        .iter()
        .zip(&scene.cut.courses)
        .filter(|(track, _)| track.length().is_some())
        .map(|(track, course)| track.whole(course.slots.crown_mm()));
    for path in outermost {
        add(path.bounding_box());
    }
    for placed in panel.stitches.iter().chain(&panel.anchors) {
        let centre = match placed.glyph {
            Glyph::Chain { centre, .. } => centre,
            _ => placed.head,
        };
        add(Rect::from_center_size(centre, (3.0, 3.0)));
    }
    for foot in &panel.feet {
        add(Rect::from_center_size(*foot, (1.0, 1.0)));
    }
    for ink in panel.marks.iter().flat_map(|mark| &mark.ink) {
        add(ink_box(ink));
    }
    all.unwrap_or(Rect::ZERO)
}

pub(super) fn ink_box(ink: &Ink) -> Rect {
    match ink {
        Ink::Line { path, .. } | Ink::Bed { path, .. } => path.bounding_box(),
        Ink::Symbol(symbol, _) => symbol.ink_box(),
        Ink::Words(words) => {
            let room = text::extents(&words.text, words.size_mm, words.weight);
            Rect::new(
                words.at.x,
                words.at.y - room.cap_mm,
                words.at.x + room.width_mm,
                words.at.y,
            )
        }
    }
}

fn shift(panel: &mut Panel, by: Vec2) {
    let affine = Affine::translate(by);
    for placed in panel.stitches.iter_mut().chain(&mut panel.anchors) {
        placed.head += by;
        match &mut placed.glyph {
            Glyph::Chain { centre, .. } => *centre += by,
            Glyph::Picot { at, .. } => *at += by,
            Glyph::Stitch { .. } | Glyph::Dot { .. } | Glyph::None => {}
        }
    }
    for foot in &mut panel.feet {
        *foot += by;
    }
    for ring in &mut panel.rings {
        ring.band.apply_affine(affine);
    }
    for ink in panel.marks.iter_mut().flat_map(|mark| &mut mark.ink) {
        match ink {
            Ink::Line { path, .. } | Ink::Bed { path, .. } => path.apply_affine(affine),
            Ink::Symbol(symbol, _) => *symbol = std::mem::take(symbol).transformed(affine),
            Ink::Words(words) => words.at += by,
        }
    }
}

/// The table of rounds, set about its own top left corner.
struct Table {
    width: f64,
    height: f64,
    words: Vec<Words>,
    rules: Vec<f64>,
}

impl Table {
    fn new(rows: &[Row], in_rows: bool) -> Table {
        let first = if in_rows { "Row" } else { "Round" };
        let with_yarns = rows
            .iter()
            .any(|row| matches!(row, Row::Round { yarns, .. } if !yarns.is_empty()));
        let heads: &[&str] = if with_yarns {
            &[first, "Stitches", "Change", "Yarn"]
        } else {
            &[first, "Stitches", "Change"]
        };
        let cells: Vec<Vec<String>> = rows
            .iter()
            .map(|row| match row {
                Row::Round {
                    label,
                    stitches,
                    change,
                    yarns,
                } => {
                    let cells = [
                        label.clone(),
                        stitches.to_string(),
                        signed(*change),
                        yarns.clone(),
                    ];
                    cells.into_iter().take(heads.len()).collect()
                }
                Row::Note(note) => vec![(*note).to_owned()],
            })
            .collect();
        let width_of = |words: &str, weight| text::extents(words, TEXT_MM, weight).width_mm;
        let widths: Vec<f64> = heads
            .iter()
            .enumerate()
            .map(|(i, head)| {
                let own = width_of(head, Weight::Bold);
                let full = cells.iter().filter(|cells| cells.len() > 1);
                full.map(|cells| width_of(&cells[i], Weight::Regular))
                    .fold(own, f64::max)
            })
            .collect();
        let mut table = Table {
            width: widths.iter().sum::<f64>() + COLUMN_GAP_MM * (widths.len() - 1) as f64,
            height: 0.0,
            words: Vec::new(),
            rules: Vec::new(),
        };
        for cells in cells.iter().filter(|cells| cells.len() == 1) {
            table.width = table.width.max(width_of(&cells[0], Weight::Regular));
        }
        let heads: Vec<String> = heads.iter().map(|head| (*head).to_owned()).collect();
        table.row(&heads, &widths, Weight::Bold);
        table.height += 0.9;
        table.rules.push(table.height - 1.3);
        for cells in &cells {
            table.row(cells, &widths, Weight::Regular);
        }
        table.height -= LINE_MM - TEXT_MM;
        table
    }

    /// Figures flush right, yarns flush left, a note across all.
    fn row(&mut self, cells: &[String], widths: &[f64], weight: Weight) {
        let note = cells.len() == 1;
        let mut x = 0.0;
        for (i, (cell, width)) in cells.iter().zip(widths).enumerate() {
            let room = text::extents(cell, TEXT_MM, weight);
            let indent = if note || i == 3 {
                0.0
            } else {
                width - room.width_mm
            };
            self.words.push(Words {
                text: cell.clone(),
                at: Point::new(x + indent, self.height + room.cap_mm),
                size_mm: TEXT_MM,
                weight,
                tone: if note { Tone::Accent } else { Tone::Ink },
            });
            x += width + COLUMN_GAP_MM;
        }
        self.height += LINE_MM;
    }

    fn mark(self, at: Point) -> Mark {
        let by = at.to_vec2();
        let rules = self.rules.iter().map(|y| {
            let mut path = BezPath::new();
            path.move_to(at + Vec2::new(0.0, *y));
            path.line_to(at + Vec2::new(self.width, *y));
            Ink::Line {
                path,
                line: Line::Rule,
            }
        });
        let words = self.words.into_iter().map(|words| {
            Ink::Words(Words {
                at: words.at + by,
                ..words
            })
        });
        Mark {
            says: String::new(),
            under: false,
            ink: rules.chain(words).collect(),
        }
    }
}

/// `+6`, `0` or `−6`.
fn signed(change: Option<i64>) -> String {
    match change {
        None => String::new(),
        Some(0) => "0".to_owned(),
        Some(more) if more > 0 => format!("+{more}"),
        Some(fewer) => format!("−{}", fewer.unsigned_abs()),
    }
}
