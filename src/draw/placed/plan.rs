//! The plan: one ring for each round that something sits on, the first round innermost.

use kurbo::{BezPath, Point, Rect, Shape, Vec2};

use super::sheet::{Anchor, LINE_MM, Sheet, colour, label, stitches, told};
use crate::draw::theme;
use crate::fabric::Fabric;
use crate::place::{Attachment, Held, Placement, Stands, Stretch};
use crate::terms::Hand;
use crate::text::{self, Weight, pt};

/// Least width of the sheet in mm.
const WIDTH_MM: f64 = 150.0;
/// Most width of a label in mm.
const LABEL_MM: f64 = 60.0;
/// Between a leader and an arc that it passes, in mm.
const CLEAR_MM: f64 = 2.0;
/// Radius of the innermost ring and of the outermost, in mm.
const RADII_MM: (f64, f64) = (20.0, 42.0);
/// Half the length of the tick at a stitch, in mm.
const TICK_MM: f64 = 0.7;
/// Most stitches of a ring that each get a tick.
const MOST_TICKS: usize = 150;
/// From the outermost ring to the labels, in mm.
const LABEL_OFF_MM: f64 = 7.0;

pub(super) fn draw(placement: &Placement, fabric: &Fabric, piece: usize) -> Option<String> {
    let own =
        (0..placement.attachments.len()).filter(|&id| placement.attachments[id].into == piece);
    let (ids, open): (Vec<usize>, Vec<usize>) = own.partition(|&id| {
        placement.attachments[id].round.is_some() && placement.turn_deg(id).is_some()
    });
    let mut rounds: Vec<u32> = ids
        .iter()
        .filter_map(|&id| placement.attachments[id].round)
        .collect();
    rounds.sort_unstable();
    rounds.dedup();
    if rounds.is_empty() {
        return None;
    }
    let host = &placement.hosts[piece];
    let side = match (host.stands, host.stands_by_custom) {
        (Stands::FromTheTop, false) => "above",
        (Stands::FromTheBottom, _) => "below",
        (Stands::FromTheTop, true) => "where it was begun",
    };
    let name = &fabric.pieces[piece].name;
    let caption = [
        format!(
            "Seen from {side}, along the axis, from outside. One ring for each round that something sits on."
        ),
        "A tick is a stitch, counted from the start of the round in the direction of the arrow."
            .to_owned(),
    ];
    let radius = |round: Option<u32>| {
        let at = rounds.iter().position(|r| Some(*r) == round).unwrap_or(0) as f64;
        let last = (rounds.len() - 1) as f64;
        if last == 0.0 {
            RADII_MM.1
        } else {
            RADII_MM.0 + (RADII_MM.1 - RADII_MM.0) * at / last
        }
    };
    let mut view = View {
        centre: Point::ZERO,
        front_deg: host.front.map_or(0.0, |front| front.turn_deg),
        runs: if fabric.hand == Hand::Right {
            1.0
        } else {
            -1.0
        },
    };
    let arcs: Vec<Arc> = ids
        .iter()
        .map(|&id| {
            let attachment = &placement.attachments[id];
            let radius = radius(attachment.round);
            let half = match attachment.held {
                Held::Feature => 0.0,
                _ => half_deg(attachment),
            };
            Arc {
                radius,
                turn_deg: placement.turn_deg(id).unwrap_or(0.0),
                half_deg: half + (CLEAR_MM / radius).to_degrees(),
            }
        })
        .collect();
    let mut labels: Vec<Label> = ids
        .iter()
        .zip(&arcs)
        .map(|(&id, arc)| Label::new(placement, id, view.way_out(arc, &arcs)))
        .collect();
    spread(&mut labels, &view);
    let reach = labels
        .iter()
        .map(|label| label.room(&view))
        .map(|room| room.x1.max(-room.x0))
        .fold(0.0, f64::max);
    let width = WIDTH_MM.max(2.0 * (reach + theme::MARGIN_MM));
    let mut sheet = Sheet::new(width, &format!("{name}: where things sit"), &caption);
    view.centre = Point::new(width / 2.0, sheet.top + RADII_MM.1 + LABEL_OFF_MM + 12.0);
    for &round in &rounds {
        let start = placement.round_start(piece, round);
        ring(
            &mut sheet,
            &view,
            radius(Some(round)),
            stitches(fabric, piece, round).unwrap_or(0),
            start,
        );
    }
    start_arrow(
        &mut sheet,
        &view,
        placement.round_start(piece, rounds[0]),
        radius(Some(rounds[0])),
    );
    if host.front.is_some() {
        let left = crate::place::to_the_left(host.stands, fabric.hand) * view.runs;
        sides(&mut sheet, &view, left);
    }
    for label in &labels {
        let radius = radius(placement.attachments[label.id].round);
        mark(&mut sheet, &view, placement, label, radius);
    }
    let mut low = view.centre.y + RADII_MM.1 + LABEL_OFF_MM + 12.0;
    for (place, line) in left_open(placement, &open).into_iter().enumerate() {
        low += if place == 0 { 2.0 * LINE_MM } else { LINE_MM };
        let at = Point::new(theme::MARGIN_MM, low);
        let room = width - 2.0 * theme::MARGIN_MM;
        sheet.words(
            &text::fitted(&line, pt(theme::TEXT_PT), Weight::Regular, room),
            at,
            theme::TEXT_PT,
            Weight::Regular,
            theme::QUIET,
            Anchor::Start,
        );
    }
    Some(sheet.finish(low + theme::MARGIN_MM, &told(placement, piece)))
}

/// What can't be drawn on its ring, in lines.
fn left_open(placement: &Placement, ids: &[usize]) -> Vec<String> {
    if ids.is_empty() {
        return Vec::new();
    }
    let heading = "Not drawn, for nothing tells the round and the place on it:".to_owned();
    let lines = ids.iter().map(|&id| {
        let [name, place] = label(placement, id);
        let [_, _, _, points_to, ..] = placement.row(id);
        let said = [name, place, points_to];
        let said: Vec<String> = said.into_iter().filter(|said| !said.is_empty()).collect();
        said.join(", ")
    });
    std::iter::once(heading).chain(lines).collect()
}

/// How the work lies on the sheet: the front below, rounds counter-clockwise for a right-hander.
struct View {
    centre: Point,
    front_deg: f64,
    /// 1 where the direction of work runs counter-clockwise.
    runs: f64,
}

impl View {
    /// The direction of a turn, y down.
    fn towards(&self, turn_deg: f64) -> Vec2 {
        let angle = (90.0 - self.runs * (turn_deg - self.front_deg)).to_radians();
        Vec2::new(libm::cos(angle), libm::sin(angle))
    }

    fn at(&self, turn_deg: f64, radius: f64) -> Point {
        self.centre + self.towards(turn_deg) * radius
    }

    /// The turn nearest to an attachment's own at which its leader can leave without passing over what sits further out; between two, the one further
    /// from the front.
    fn way_out(&self, own: &Arc, all: &[Arc]) -> f64 {
        const STEP_DEG: f64 = 2.0;
        let from = self.at(own.turn_deg, own.radius);
        let is_free = |turn: f64| {
            let to = self.at(turn, RADII_MM.1 + LABEL_OFF_MM);
            let outer = all.iter().filter(|arc| arc.radius > own.radius + 0.01);
            let mut hit = outer.filter(|arc| {
                let there = from.lerp(to, self.crossing(from, to, arc.radius)) - self.centre;
                let way = self.towards(arc.turn_deg);
                let off = libm::atan2(there.cross(way).abs(), there.dot(way)).to_degrees();
                off < arc.half_deg
            });
            hit.next().is_none()
        };
        let aside = match (own.turn_deg - self.front_deg).rem_euclid(360.0) < 180.0 {
            true => STEP_DEG,
            false => -STEP_DEG,
        };
        let steps = (0..45).map(f64::from);
        let ways = steps.flat_map(|step| [step * aside, -step * aside]);
        let mut free = ways.filter(|way| is_free(own.turn_deg + way));
        own.turn_deg + free.next().unwrap_or(0.0)
    }

    /// How far along from one point to another, the first within a circle about the middle and the second outside it, the circle is met: from 0 to 1.
    fn crossing(&self, from: Point, to: Point, radius: f64) -> f64 {
        let (start, way) = (from - self.centre, to - from);
        let (a, b) = (way.hypot2(), start.dot(way));
        let c = start.hypot2() - radius * radius;
        (((b * b - a * c).max(0.0).sqrt() - b) / a).clamp(0.0, 1.0)
    }

    fn arc(&self, from_deg: f64, to_deg: f64, radius: f64) -> BezPath {
        let angle = |turn: f64| (90.0 - self.runs * (turn - self.front_deg)).to_radians();
        let arc = kurbo::Arc::new(
            self.centre,
            (radius, radius),
            angle(from_deg),
            angle(to_deg) - angle(from_deg),
            0.0,
        );
        arc.to_path(0.01)
    }
}

/// The room that an attachment takes up on its ring.
struct Arc {
    radius: f64,
    /// Its middle.
    turn_deg: f64,
    half_deg: f64,
}

fn ring(sheet: &mut Sheet, view: &View, radius: f64, count: usize, start_deg: f64) {
    sheet.line(&view.arc(0.0, 360.0, radius), theme::RULE, theme::THIN_MM);
    if count > MOST_TICKS {
        return;
    }
    let step = 360.0 / count.max(1) as f64;
    let mut ticks = BezPath::new();
    for stitch in 0..count {
        let turn = start_deg + stitch as f64 * step;
        let long = if stitch == 0 { 2.2 } else { 1.0 };
        ticks.move_to(view.at(turn, radius - TICK_MM * long));
        ticks.line_to(view.at(turn, radius + TICK_MM * long));
    }
    sheet.line(&ticks, theme::RULE, theme::THIN_MM);
}

/// An arrow along the innermost ring from the start of its round.
fn start_arrow(sheet: &mut Sheet, view: &View, start_deg: f64, radius: f64) {
    let inside = radius - 4.0;
    let end = start_deg + 28.0;
    sheet.line(
        &view.arc(start_deg, end, inside),
        theme::ACCENT,
        theme::STRONG_MM,
    );
    let mut head = BezPath::new();
    head.move_to(view.at(end - 7.0, inside + 1.3));
    head.line_to(view.at(end, inside));
    head.line_to(view.at(end - 7.0, inside - 1.3));
    sheet.line(&head, theme::ACCENT, theme::STRONG_MM);
    let at = view.at(start_deg + 14.0, inside - 4.2);
    sheet.words(
        "start",
        Point::new(at.x, at.y + 0.9),
        theme::LABEL_PT,
        Weight::Regular,
        theme::ACCENT,
        Anchor::Middle,
    );
}

/// The toy's own sides, outside the labels.
fn sides(sheet: &mut Sheet, view: &View, left: f64) {
    let far = RADII_MM.1 + LABEL_OFF_MM + 9.0;
    let set = |sheet: &mut Sheet, words: &str, at: Point, anchor| {
        sheet.words(
            words,
            at,
            theme::TEXT_PT,
            Weight::Bold,
            theme::QUIET,
            anchor,
        );
    };
    let centre = view.centre;
    set(
        sheet,
        "front",
        Point::new(centre.x, centre.y + far + 2.0),
        Anchor::Middle,
    );
    set(
        sheet,
        "back",
        Point::new(centre.x, centre.y - far),
        Anchor::Middle,
    );
    let low = centre.y + RADII_MM.1 + LABEL_OFF_MM + 11.0;
    let (right_edge, left_edge) = (sheet.width - theme::MARGIN_MM, theme::MARGIN_MM);
    let edge = |right: bool| match right {
        true => (Point::new(right_edge, low), Anchor::End),
        false => (Point::new(left_edge, low), Anchor::Start),
    };
    let (l, r) = (edge(left > 0.0), edge(left < 0.0));
    set(sheet, "toy's left", l.0, l.1);
    set(sheet, "toy's right", r.0, r.1);
}

/// The label of an attachment, outside the rings.
struct Label {
    id: usize,
    /// Where its attachment is.
    turn_deg: f64,
    /// Where it stands.
    at_deg: f64,
    words: [String; 2],
    width: f64,
}

impl Label {
    fn new(placement: &Placement, id: usize, at_deg: f64) -> Label {
        let size = pt(theme::LABEL_PT);
        let [name, place] = label(placement, id);
        let words = [
            text::fitted(&name, size, Weight::Bold, LABEL_MM),
            text::fitted(&place, size, Weight::Regular, LABEL_MM),
        ];
        let width = [Weight::Bold, Weight::Regular]
            .into_iter()
            .zip(&words)
            .map(|(weight, words)| text::extents(words, size, weight).width_mm)
            .fold(0.0, f64::max);
        let turn_deg = placement.turn_deg(id).unwrap_or(0.0);
        Label {
            id,
            turn_deg,
            at_deg,
            words,
            width,
        }
    }

    /// Its room on the sheet.
    fn room(&self, view: &View) -> Rect {
        let out = view.towards(self.at_deg);
        let point = view.centre + out * (RADII_MM.1 + LABEL_OFF_MM);
        let x = point.x - self.width * (0.5 - 0.5 * out.x);
        Rect::new(x - 0.6, point.y - 4.0, x + self.width + 0.6, point.y + 3.6)
    }
}

/// Moves labels along their circle, in the order of their attachments, until none lies on another.
fn spread(labels: &mut [Label], view: &View) {
    const MOST_TURNS: u32 = 400;
    labels.sort_by(|a, b| a.at_deg.total_cmp(&b.at_deg));
    for _ in 0..MOST_TURNS {
        let mut is_clear = true;
        for at in 0..labels.len() {
            let next = (at + 1) % labels.len();
            if next != at
                && labels[at]
                    .room(view)
                    .intersect(labels[next].room(view))
                    .area()
                    > 0.0
            {
                labels[at].at_deg -= 0.5;
                labels[next].at_deg += 0.5;
                is_clear = false;
            }
        }
        if is_clear {
            break;
        }
    }
}

/// An attachment on its ring, a leader outward, and its label.
fn mark(sheet: &mut Sheet, view: &View, placement: &Placement, label: &Label, radius: f64) {
    let attachment: &Attachment = &placement.attachments[label.id];
    let turn = label.turn_deg;
    let ink = colour(attachment);
    let half = half_deg(attachment);
    match attachment.held {
        Held::Feature => sheet.dot(view.at(turn, radius), 1.5, ink),
        _ => sheet.line(&view.arc(turn - half, turn + half, radius), ink, 1.4),
    }
    let off_mark = if attachment.held == Held::Feature {
        1.8
    } else {
        1.0
    };
    let room = label.room(view);
    let from = view.at(turn, radius + off_mark);
    let to = Point::new(
        from.x.clamp(room.x0, room.x1),
        from.y.clamp(room.y0, room.y1),
    );
    let gap = ((to - from).hypot() - 0.8).max(0.0);
    let mut leader = BezPath::new();
    leader.move_to(from);
    leader.line_to(from + (to - from).normalize() * gap);
    if gap > 0.5 {
        sheet.line(&leader, theme::RULE, theme::THIN_MM);
    }
    let [name, place] = &label.words;
    let x = room.x0 + 0.6;
    sheet.words(
        name,
        Point::new(x, room.y0 + 3.4),
        theme::LABEL_PT,
        Weight::Bold,
        ink,
        Anchor::Start,
    );
    sheet.words(
        place,
        Point::new(x, room.y0 + 6.8),
        theme::LABEL_PT,
        Weight::Regular,
        theme::QUIET,
        Anchor::Start,
    );
}

/// Half of the arc that an attachment takes up, in degrees.
fn half_deg(attachment: &Attachment) -> f64 {
    let count = attachment.stitches.map_or(1, Stretch::count);
    f64::from(count) * attachment.stitch_deg.unwrap_or(4.0) / 2.0
}
