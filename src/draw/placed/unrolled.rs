//! The unrolled rounds: a row for each, the front in the middle, the toy's own left on the right.

use kurbo::{BezPath, Point, Rect, Shape};
use svg::node::element::{Path, Rectangle};

use super::sheet::{Anchor, Sheet, colour, label, told};
use crate::draw::number::{number, svg_path};
use crate::draw::theme;
use crate::fabric::Fabric;
use crate::place::{Attachment, Held, Placement, Stands};
use crate::text::{self, Weight, pt};

/// Width of the sheet and of a whole turn on it, in mm.
const WIDTH_MM: f64 = 180.0;
const TURN_MM: f64 = 140.0;
/// Height of all rounds together at most, and of one, in mm.
const MOST_MM: f64 = 150.0;
const ROW_MM: f64 = 4.6;
/// Rows at least that far apart have a number each, in mm.
const NUMBERED_MM: f64 = 3.4;

pub(super) fn draw(placement: &Placement, fabric: &Fabric, piece: usize) -> Option<String> {
    let worked = &fabric.pieces[piece];
    let host = &placement.hosts[piece];
    let ids: Vec<usize> = (0..placement.attachments.len())
        .filter(|&id| {
            let a = &placement.attachments[id];
            a.into == piece && a.bearing_deg.is_some() && a.round.is_some()
        })
        .collect();
    if ids.is_empty() {
        return None;
    }
    let caption = [
        "All rounds, unrolled: seen from outside, as the toy stands, cut open at the back."
            .to_owned(),
        "The toy's own left is on the right. Every row is drawn as wide as a whole turn."
            .to_owned(),
    ];
    let mut sheet = Sheet::new(
        WIDTH_MM,
        &format!("{}: all the way round", worked.name),
        &caption,
    );
    let rows = worked.rounds.len();
    let row = (MOST_MM / rows.max(1) as f64).min(ROW_MM);
    let grid = Grid {
        x: (WIDTH_MM - TURN_MM) / 2.0 + 4.0,
        y: sheet.top + 6.0,
        row,
        rows,
        stands: host.stands,
    };
    sheet.add(
        Rectangle::new()
            .set("x", number(grid.x))
            .set("y", number(grid.y))
            .set("width", number(TURN_MM))
            .set("height", number(grid.height()))
            .set("fill", theme::hex(theme::BAND)),
    );
    let every = if row >= NUMBERED_MM { 1 } else { 5 };
    let mut lines = BezPath::new();
    for (at, round) in worked.rounds.iter().enumerate() {
        let y = grid.middle(at) + row / 2.0;
        lines.move_to((grid.x, y));
        lines.line_to((grid.x + TURN_MM, y));
        if round.number % every == 0 || at == 0 {
            let at = Point::new(grid.x - 2.0, grid.middle(at) + 0.95);
            sheet.words(
                &round.number.to_string(),
                at,
                theme::LABEL_PT,
                Weight::Regular,
                theme::QUIET,
                Anchor::End,
            );
        }
    }
    sheet.line(&lines, theme::PAPER, theme::THIN_MM);
    for (deg, words) in [
        (-180.0, "back"),
        (-90.0, "toy's right"),
        (0.0, "front"),
        (90.0, "toy's left"),
        (180.0, "back"),
    ] {
        let x = grid.across(deg);
        let mut line = BezPath::new();
        line.move_to((x, grid.y));
        line.line_to((x, grid.y + grid.height()));
        sheet.line(&line, theme::RULE, theme::THIN_MM);
        sheet.words(
            words,
            Point::new(x, grid.y - 2.0),
            theme::TEXT_PT,
            Weight::Bold,
            theme::QUIET,
            Anchor::Middle,
        );
    }
    let mut taken: Vec<Rect> = ids
        .iter()
        .map(|&id| grid.bar(&placement.attachments[id], worked))
        .collect();
    for &id in &ids {
        let attachment = &placement.attachments[id];
        let bar = grid.bar(attachment, worked);
        let ink = colour(attachment);
        if attachment.held == Held::Feature {
            sheet.dot(bar.center(), 1.6, ink);
            words(&mut sheet, placement, id, bar, &mut taken);
            continue;
        }
        for bar in grid.cut(bar) {
            let shape = bar.to_rounded_rect(0.8).to_path(0.01);
            let mut drawn = Path::new()
                .set("d", svg_path(&shape))
                .set("stroke", theme::hex(ink))
                .set("stroke-width", number(theme::STRONG_MM));
            drawn = match attachment.held {
                Held::Joined { .. } => drawn.set("fill", theme::hex(ink)),
                _ => drawn
                    .set("fill", theme::hex(theme::PAPER))
                    .set("stroke-dasharray", "1.2 1"),
            };
            sheet.add(drawn);
        }
        words(&mut sheet, placement, id, bar, &mut taken);
    }
    let height = grid.y + grid.height() + theme::MARGIN_MM;
    Some(sheet.finish(height, &told(placement, piece)))
}

struct Grid {
    x: f64,
    y: f64,
    row: f64,
    rows: usize,
    stands: Stands,
}

impl Grid {
    fn height(&self) -> f64 {
        self.row * self.rows as f64
    }

    /// The middle of a row, by the place of its round.
    fn middle(&self, place: usize) -> f64 {
        let from_top = match self.stands {
            Stands::FromTheTop => place,
            Stands::FromTheBottom => self.rows - 1 - place.min(self.rows - 1),
        };
        self.y + (from_top as f64 + 0.5) * self.row
    }

    fn across(&self, bearing_deg: f64) -> f64 {
        self.x + (bearing_deg + 180.0) / 360.0 * TURN_MM
    }

    /// A bar that reaches over the back, as the two parts that the cut makes of it.
    fn cut(&self, bar: Rect) -> Vec<Rect> {
        let all = Rect::new(self.x, bar.y0, self.x + TURN_MM, bar.y1);
        [-TURN_MM, 0.0, TURN_MM]
            .map(|turn| (bar + kurbo::Vec2::new(turn, 0.0)).intersect(all))
            .into_iter()
            .filter(|part| part.width() > 0.01)
            .collect()
    }

    /// The room that an attachment takes up.
    fn bar(&self, attachment: &Attachment, piece: &crate::fabric::Piece) -> Rect {
        let place = |number: Option<u32>| {
            piece
                .rounds
                .iter()
                .position(|round| Some(round.number) == number)
                .unwrap_or(0)
        };
        let (first, last) = (
            self.middle(place(attachment.round)),
            self.middle(place(attachment.last_round)),
        );
        let x = self.across(attachment.bearing_deg.unwrap_or(0.0));
        let half = match (attachment.stitches, attachment.stitch_deg) {
            (Some(stitches), Some(step)) => f64::from(stitches.count()) * step / 720.0 * TURN_MM,
            _ => 3.0,
        };
        let inset = self.row * 0.32;
        Rect::new(
            x - half,
            first.min(last) - inset,
            x + half,
            first.max(last) + inset,
        )
    }
}

/// The label beside its bar: below it, else above, else further off.
fn words(sheet: &mut Sheet, placement: &Placement, id: usize, bar: Rect, taken: &mut Vec<Rect>) {
    let [name, place] = label(placement, id);
    let size = pt(theme::LABEL_PT);
    let wide = text::extents(&name, size, Weight::Bold)
        .width_mm
        .max(text::extents(&place, size, Weight::Regular).width_mm);
    let x = bar.center().x.clamp(
        theme::MARGIN_MM + wide / 2.0,
        WIDTH_MM - theme::MARGIN_MM - wide / 2.0,
    );
    let room = |y: f64| Rect::new(x - wide / 2.0 - 0.5, y, x + wide / 2.0 + 0.5, y + 7.0);
    let tries = (0..12).flat_map(|step| {
        let off = f64::from(step);
        [bar.y1 + 0.6 + off, bar.y0 - 7.6 - off]
    });
    let y = tries
        .into_iter()
        .find(|&y| {
            taken
                .iter()
                .all(|other| other.intersect(room(y)).area() <= 0.0)
        })
        .unwrap_or(bar.y1 + 0.6);
    taken.push(room(y));
    // No line runs through the words.
    let under = room(y).inset(-0.2);
    sheet.add(
        Rectangle::new()
            .set("x", number(under.x0))
            .set("y", number(under.y0))
            .set("width", number(under.width()))
            .set("height", number(under.height()))
            .set("fill", theme::hex(theme::BAND)),
    );
    let ink = colour(&placement.attachments[id]);
    sheet.words(
        &name,
        Point::new(x, y + 2.8),
        theme::LABEL_PT,
        Weight::Bold,
        ink,
        Anchor::Middle,
    );
    sheet.words(
        &place,
        Point::new(x, y + 6.2),
        theme::LABEL_PT,
        Weight::Regular,
        theme::QUIET,
        Anchor::Middle,
    );
}
