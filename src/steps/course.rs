//! The line that a round's heads lie on, and the line below it, in places along the work.

use std::f64::consts::{PI, TAU};

use kurbo::{BezPath, Line, PathEl, Point, Shape, Vec2};

use crate::chart::{Direction, Layout};

/// How exactly lines are followed, in mm.
const EXACT_MM: f64 = 0.02;
/// From point to point of what is drawn along a ring, in mm.
const STRIDE_MM: f64 = 0.8;

/// A ring about its middle, where places are angles in radians; or a row, where they are mm to the right. Places run on along the work.
pub(super) struct Course {
    shape: Form,
    /// 1 where places grow along the work, else -1.
    pub ahead: f64,
}

enum Form {
    Ring {
        centre: Point,
        heads: Vec<Line>,
        feet: Vec<Line>,
        /// 1 if the free side is outside.
        free: f64,
    },
    Row {
        heads: f64,
        feet: f64,
    },
}

impl Course {
    /// The course of a band, from the heads in the order of work. The band's first outline is the line of the heads, its second that of
    /// the feet.
    pub fn new(band: &BezPath, layout: Layout, direction: Direction, heads: &[Point]) -> Course {
        let room = band.bounding_box();
        let shape = match layout {
            Layout::Strip => Form::Row {
                heads: room.y0,
                feet: room.y1,
            },
            Layout::Rings => {
                let (heads, feet) = outlines(band);
                Form::Ring {
                    centre: room.center(),
                    heads,
                    feet,
                    free: match direction {
                        Direction::Outward => 1.0,
                        Direction::Inward => -1.0,
                    },
                }
            }
        };
        let mut course = Course { shape, ahead: 1.0 };
        let places = course.places(heads);
        if places.last() < places.first() {
            course.ahead = -1.0;
        }
        course
    }

    /// The places of points that follow each other along the work.
    pub fn places(&self, points: &[Point]) -> Vec<f64> {
        let mut places: Vec<f64> = Vec::new();
        for &point in points {
            let place = match &self.shape {
                Form::Row { .. } => point.x,
                Form::Ring { centre, .. } => {
                    let way = point - *centre;
                    let angle = libm::atan2(way.y, way.x);
                    match places.last() {
                        Some(&last) => last + (angle - last + PI).rem_euclid(TAU) - PI,
                        None => angle,
                    }
                }
            };
            places.push(place);
        }
        places
    }

    /// A whole lap, for a ring.
    pub fn lap(&self) -> Option<f64> {
        match self.shape {
            Form::Ring { .. } => Some(TAU * self.ahead),
            Form::Row { .. } => None,
        }
    }

    /// The point at a place, so many mm from the heads to the free side.
    pub fn at(&self, place: f64, lift_mm: f64) -> Point {
        match &self.shape {
            Form::Row { heads, .. } => Point::new(place, heads - lift_mm),
            Form::Ring {
                centre,
                heads,
                free,
                ..
            } => {
                let radius = radius(heads, *centre, place) + lift_mm * free;
                *centre + direction(place) * radius.max(0.0)
            }
        }
    }

    /// The point at a place on the line of the feet.
    pub fn foot(&self, place: f64) -> Point {
        match &self.shape {
            Form::Row { feet, .. } => Point::new(place, *feet),
            Form::Ring { centre, feet, .. } => {
                *centre + direction(place) * radius(feet, *centre, place)
            }
        }
    }

    /// The way to the free side at a place.
    pub fn up(&self, place: f64) -> Vec2 {
        match &self.shape {
            Form::Row { .. } => Vec2::new(0.0, -1.0),
            Form::Ring { free, .. } => direction(place) * *free,
        }
    }

    /// How far a mm along the line at a lift goes in places.
    pub fn a_mm(&self, place: f64, lift_mm: f64) -> f64 {
        match &self.shape {
            Form::Row { .. } => 1.0,
            Form::Ring { centre, .. } => 1.0 / self.at(place, lift_mm).distance(*centre).max(0.5),
        }
    }

    /// How much room there is on the free side, in mm: on the inside of a ring, as far as its middle.
    pub fn room_mm(&self, place: f64) -> f64 {
        match &self.shape {
            Form::Ring {
                centre,
                heads,
                free,
                ..
            } if *free < 0.0 => radius(heads, *centre, place),
            _ => f64::INFINITY,
        }
    }

    /// A line along the heads from place to place.
    pub fn stretch(&self, from: f64, to: f64, lift_mm: f64) -> BezPath {
        let mut path = BezPath::new();
        for (step, place) in self.strides(from, to).into_iter().enumerate() {
            let at = self.at(place, lift_mm);
            if step == 0 {
                path.move_to(at);
            } else {
                path.line_to(at);
            }
        }
        path
    }

    /// The outline between heads and feet from place to place.
    pub fn stretch_of_band(&self, from: f64, to: f64) -> BezPath {
        let mut path = self.stretch(from, to, 0.0);
        for place in self.strides(from, to).into_iter().rev() {
            path.line_to(self.foot(place));
        }
        path.close_path();
        path
    }

    fn strides(&self, from: f64, to: f64) -> Vec<f64> {
        let stride = STRIDE_MM * self.a_mm(from, 0.0);
        let count = match self.shape {
            Form::Row { .. } => 1,
            // A lap has some hundred strides at least, so that it looks round.
            Form::Ring { .. } => ((to - from).abs() / stride.min(TAU / 120.0)).ceil() as usize,
        }
        .clamp(1, 4000);
        (0..=count)
            .map(|step| from + (to - from) * step as f64 / count as f64)
            .collect()
    }
}

fn direction(angle: f64) -> Vec2 {
    Vec2::new(libm::cos(angle), libm::sin(angle))
}

/// How far an outline is from a point within it in a direction, in mm.
fn radius(outline: &[Line], centre: Point, angle: f64) -> f64 {
    let way = direction(angle);
    let crossing = |line: &Line| {
        let (a, b) = (line.p0 - centre, line.p1 - centre);
        let (left, right) = (way.cross(a), way.cross(b));
        if left == right || left.signum() == right.signum() && left != 0.0 && right != 0.0 {
            return None;
        }
        let share = left / (left - right);
        let along = way.dot(a + (b - a) * share);
        (along >= 0.0).then_some(along)
    };
    outline.iter().filter_map(crossing).fold(0.0, f64::max)
}

/// The lines of a path's first outline and of its second.
fn outlines(band: &BezPath) -> (Vec<Line>, Vec<Line>) {
    let mut parts: Vec<Vec<Line>> = Vec::new();
    let (mut at, mut start) = (Point::ORIGIN, Point::ORIGIN);
    kurbo::flatten(band, EXACT_MM, |element| match element {
        PathEl::MoveTo(to) => {
            parts.push(Vec::new());
            (at, start) = (to, to);
        }
        PathEl::LineTo(to) => {
            if let Some(part) = parts.last_mut() {
                part.push(Line::new(at, to));
            }
            at = to;
        }
        PathEl::ClosePath => {
            if let Some(part) = parts.last_mut() {
                part.push(Line::new(at, start));
            }
            at = start;
        }
        _ => {}
    });
    let mut parts = parts.into_iter();
    (
        parts.next().unwrap_or_default(),
        parts.next().unwrap_or_default(),
    )
}
