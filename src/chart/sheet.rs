//! Puts a placed scene on a sheet: the title over the work, its table beside or under it, margins round all.

use std::ops::Range;

use kurbo::{Affine, BezPath, Point, Rect, Shape, Vec2};

use super::captions::{captions, description, in_rows, missing_caption, names, title};
use super::figures::{LINE_MM, Table};
use super::marks::{self, label};
use super::panel::{Direction, Glyph, Ink, Mark, PagePart, Panel, Placed, Ring, Tone, Words};
use super::scene::Scene;
use super::sizes::{ANCHOR_MM, GUTTER_MM, LEAST_TEXT_MM, MARGIN_MM, TEXT_MM, TITLE_MM};
use super::slots::makes_own_chain;
use super::track::Track;
use super::{fit, table, words};
use crate::fabric::StitchId;
use crate::symbol;
use crate::terms::{Form, Into, Stitch};
use crate::text::{self, Weight};

/// Most lines of a title.
const TITLE_LINES: usize = 3;
/// Most lines of a caption.
const CAPTION_LINES: usize = 6;
/// Share of a page's height that a table beside the work takes at most.
pub(super) const TALLEST_TABLE: f64 = 0.73;
/// How far a row's band reaches beyond its stitches, in mm.
const BAND_END_MM: f64 = 1.2;

/// The finished panel.
pub(super) fn sheet(scene: &Scene, piece: usize) -> Panel {
    let mut feet = Vec::new();
    let mut stitches = Vec::new();
    let mut rings = Vec::new();
    for k in 0..scene.cut.courses.len() {
        let from = stitches.len();
        for id in scene.own(k).into_iter().flatten() {
            stitches.push(placed(scene, StitchId(id), k, &mut feet));
        }
        rings.push(ring(scene, k, from..stitches.len()));
    }
    let anchors = anchors(scene, &mut feet);
    let number = |k: usize| scene.piece.rounds[k].number;
    let courses = &scene.cut.courses;
    let mut panel = Panel {
        piece,
        layout: scene.cut.layout,
        direction: scene.cut.direction,
        part: scene.part.as_ref().map(|part| PagePart {
            number: part.number,
            of: part.of,
        }),
        first: courses
            .iter()
            .find(|course| !label(scene.piece, &course.rounds).is_empty())
            .map_or(0, |course| number(course.rounds.start)),
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
    let signs = marks::among(scene, &panel);
    panel.marks.extend(signs.marks);
    panel.title = title(scene, &panel);
    let mut captions = captions(scene, &panel);
    captions.extend(missing_caption(&signs.missing));
    panel.description = description(&captions, &panel);
    arrange(scene, &mut panel, &captions);
    panel
}

/// What is drawn faint: the round that the panel stands on, and neighbours on other parts.
fn anchors(scene: &Scene, feet: &mut Vec<Point>) -> Vec<Placed> {
    let stands_on: Vec<StitchId> = match &scene.part {
        Some(part) => part.ground.clone(),
        None => scene.spots.ground().map(StitchId).collect(),
    };
    let mut anchors: Vec<Placed> = stands_on
        .into_iter()
        .filter_map(|id| anchor(scene, id, feet))
        .collect();
    let faint = scene.part.iter().flat_map(|part| &part.faint);
    anchors.extend(faint.map(|&(id, k)| placed(scene, id, k, feet)));
    anchors
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
        Into::Ring => out.push(under()),
        // The edge of another piece is right below.
        Into::Part => {
            let under = under();
            let foot = head.map(|spot| {
                let down = under - spot.head;
                let height_mm = scene.cut.courses[k].height_mm;
                spot.head + down * (height_mm / down.length().max(height_mm))
            });
            out.push(foot.unwrap_or(under));
        }
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
        says: words::says(scene, k),
        band: band(scene, k),
        middle: Point::ORIGIN,
        line: scene.tracks[k],
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
        return part_band(scene, k);
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

/// The band of a part of a ring, from its first stitch to its last.
fn part_band(scene: &Scene, k: usize) -> BezPath {
    let course = &scene.cut.courses[k];
    let places = course.slots.slots.iter();
    let places = places.filter_map(|slot| Some(scene.spots.get(slot.last())?.s));
    let (low, high) = places.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), s| {
        (low.min(s), high.max(s))
    });
    if low > high {
        return BezPath::new();
    }
    let reach = symbol::STITCH_WIDTH_MM / 2.0;
    scene.tracks[k].strip(low - reach, high + reach, 0.0, scene.below(k), 0.0)
}

/// Gives everything its place on the sheet and the sheet its size.
fn arrange(scene: &Scene, panel: &mut Panel, captions: &[String]) {
    let work = work_box(scene, panel);
    let table = Table::new(&panel.table, in_rows(scene));
    let room = scene.cut.paper.room_mm();
    let header = Header::of(scene, captions, room);
    let beside = work.width() + GUTTER_MM + table.width <= room
        && table.height <= TALLEST_TABLE * scene.cut.paper.page.height;
    let table = match beside {
        true => table,
        false => {
            let page = scene.cut.paper.page.height;
            let free = page - header.bottom_mm - work.height() - GUTTER_MM - MARGIN_MM;
            // A table that would be too tall under the work may be wider than it.
            match table.height <= free {
                true => table.in_columns(work.width().max(LEAST_TEXT_MM).min(room)),
                false => table.in_columns(room),
            }
        }
    };
    let body = match beside {
        true => work.width() + GUTTER_MM + table.width,
        false => work.width().max(table.width),
    };
    let width = body.max(LEAST_TEXT_MM).min(room);
    // Lines that are short enough for the page's width often are for the work's.
    let header = match header.width_mm <= width {
        true => header,
        false => Header::of(scene, captions, width),
    };
    let top = header.bottom_mm;
    let whole = body.max(header.width_mm);
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
        ink: header.lines.into_iter().map(Ink::Words).collect(),
    });
    panel.marks.push(table.mark(table_at));
}

/// The lines of the title and the captions over the work.
struct Header {
    lines: Vec<Words>,
    /// The widest of them.
    width_mm: f64,
    /// Where the work begins under them.
    bottom_mm: f64,
}

impl Header {
    /// Wrapped to a width.
    fn of(scene: &Scene, captions: &[String], room: f64) -> Header {
        let mut header = Header {
            lines: Vec::new(),
            width_mm: 0.0,
            bottom_mm: MARGIN_MM,
        };
        for name in fit::wrapped(&names(scene), TITLE_MM, Weight::Bold, room, TITLE_LINES) {
            header.add(name, TITLE_MM, Weight::Bold, Tone::Ink);
            header.bottom_mm += TITLE_MM * 1.35;
        }
        let lines = captions.iter().flat_map(|caption| {
            fit::evenly_wrapped(caption, TEXT_MM, Weight::Regular, room, CAPTION_LINES)
        });
        for line in lines {
            header.add(line, TEXT_MM, Weight::Regular, Tone::Quiet);
            header.bottom_mm += LINE_MM;
        }
        header.bottom_mm += 4.0;
        header
    }

    /// A line at the left margin.
    fn add(&mut self, text: String, size_mm: f64, weight: Weight, tone: Tone) {
        let room = text::extents(&text, size_mm, weight);
        self.width_mm = self.width_mm.max(room.width_mm);
        self.lines.push(Words {
            text,
            at: Point::new(MARGIN_MM, self.bottom_mm + room.cap_mm),
            size_mm,
            weight,
            tone,
        });
    }
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
        .map(|(track, course)| track.whole(course.slots.crown_mm));
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
        ring.middle += by;
    }
    for ink in panel.marks.iter_mut().flat_map(|mark| &mut mark.ink) {
        match ink {
            Ink::Line { path, .. } | Ink::Bed { path, .. } => path.apply_affine(affine),
            Ink::Symbol(symbol, _) => *symbol = std::mem::take(symbol).transformed(affine),
            Ink::Words(words) => words.at += by,
        }
    }
}
