use kurbo::{BezPath, Point, Vec2};
use std::f64::consts::{FRAC_PI_2, PI, TAU};

/// The line that the heads of a round or row lie on, run along in the direction of work.
///
/// Places on it are in mm along the line from its start; on a ring they may run past its length, lap after lap.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Track {
    /// A closed line about the origin.
    Ring(Ring),
    /// A straight line across the paper.
    Row(Row),
}

/// A ring about the origin: a circle, two half circles about the ends of a level line, or a regular polygon with rounded corners. It starts at
/// the bottom (where the lowest straight side begins) and runs counter-clockwise as seen on paper, unless mirrored.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ring {
    /// How many straight sides there are; 2 for a circle or an oval.
    pub sides: u32,
    /// Half of each straight side, in mm; 0 for a circle.
    pub half_mm: f64,
    /// Radius of the circle, half circles or corners, in mm.
    pub radius_mm: f64,
    /// Runs clockwise.
    pub mirrored: bool,
    /// How far it is turned about the origin in the direction of work, in radians.
    pub turn: f64,
    /// True if only a part of it is on the paper, so that it has ends.
    pub open: bool,
}

/// A straight row.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row {
    /// Its height on paper, in mm, down.
    pub y_mm: f64,
    /// Worked from right to left.
    pub leftward: bool,
}

impl Track {
    /// Length in mm of a closed line; `None` for a row.
    pub fn length(&self) -> Option<f64> {
        match self {
            Track::Ring(ring) => (!ring.open).then(|| ring.length()),
            Track::Row(_) => None,
        }
    }

    /// How far out a line lies, or how high, in mm: from the origin to the middle of a ring's side.
    pub fn reach_mm(&self) -> f64 {
        match self {
            Track::Ring(ring) => ring.reach_mm(),
            Track::Row(row) => -row.y_mm,
        }
    }

    /// The direction in which a stitch at a point stands upright, of any length.
    pub fn upright(&self, at: Point) -> Vec2 {
        match self {
            Track::Ring(ring) => ring.upright(at),
            Track::Row(_) => Vec2::new(0.0, -1.0),
        }
    }

    /// The point at `s` mm along the line, `lift` mm off it on the side that a ring's outside or a row's upper side is on.
    pub fn at(&self, s: f64, lift: f64) -> Point {
        match self {
            Track::Ring(ring) => {
                let (centre, out) = ring.spoke(s);
                centre + out * (ring.radius_mm + lift).max(0.0)
            }
            Track::Row(row) => Point::new(row.x(s), row.y_mm - lift),
        }
    }

    /// The direction in which `lift` goes at `s`, of length 1.
    pub fn up(&self, s: f64) -> Vec2 {
        match self {
            Track::Ring(ring) => ring.spoke(s).1,
            Track::Row(_) => Vec2::new(0.0, -1.0),
        }
    }

    /// The direction of work at `s`, of length 1.
    pub fn along(&self, s: f64) -> Vec2 {
        match self {
            Track::Ring(ring) => {
                let out = ring.spoke(s).1;
                let ahead = Vec2::new(out.y, -out.x);
                if ring.mirrored { -ahead } else { ahead }
            }
            Track::Row(row) => Vec2::new(row.sign(), 0.0),
        }
    }

    /// The place on another line that lies straight over or under `s`.
    pub fn carry(&self, s: f64, to: &Track) -> f64 {
        match (self, to) {
            (Track::Ring(from), Track::Ring(to)) => from.carry(s, to),
            (Track::Row(from), Track::Row(to)) => from.x(s) * to.sign(),
            _ => s,
        }
    }

    /// The stretch from `from` to `to`, `lift` mm off the line, as an open path.
    pub fn stretch(&self, from: f64, to: f64, lift: f64) -> BezPath {
        let mut path = BezPath::new();
        path.move_to(self.at(from, lift));
        self.run(&mut path, from, to, lift);
        path
    }

    /// What lies between this line and another under it from `from` to `to` on this one, both `lift` mm off, as a closed path.
    pub fn strip(&self, from: f64, to: f64, lift: f64, below: &Track, below_lift: f64) -> BezPath {
        let mut path = self.stretch(from, to, lift);
        let (from, to) = (self.carry(from, below), self.carry(to, below));
        path.line_to(below.at(to, below_lift));
        below.run(&mut path, to, from, below_lift);
        path.close_path();
        path
    }

    /// A whole ring `lift` mm off the line as a closed path; an empty path for a row.
    pub fn whole(&self, lift: f64) -> BezPath {
        let Some(length) = self.length() else {
            return BezPath::new();
        };
        let mut path = self.stretch(0.0, length, lift);
        path.close_path();
        path
    }

    /// Continues a path that is at `from` to `to`, forwards or backwards.
    fn run(&self, path: &mut BezPath, from: f64, to: f64, lift: f64) {
        let Track::Ring(ring) = self else {
            path.line_to(self.at(to, lift));
            return;
        };
        let mut stops: Vec<f64> = ring.joints(from.min(to), from.max(to));
        if to < from {
            stops.reverse();
        }
        stops.push(to);
        let mut here = from;
        for stop in stops {
            ring.curve(path, here, stop, lift);
            here = stop;
        }
    }
}

impl Ring {
    /// A circle or an oval.
    pub fn round(half_mm: f64, radius_mm: f64, mirrored: bool) -> Ring {
        Ring {
            sides: 2,
            half_mm,
            radius_mm,
            mirrored,
            turn: 0.0,
            open: false,
        }
    }

    /// A polygon with rounded corners, `reach_mm` from the origin to the middle of each side.
    pub fn polygon(sides: u32, reach_mm: f64, corner_mm: f64, mirrored: bool) -> Ring {
        let radius_mm = corner_mm.min(reach_mm);
        Ring {
            sides,
            half_mm: (reach_mm - radius_mm) * libm::tan(PI / f64::from(sides)),
            radius_mm,
            mirrored,
            turn: 0.0,
            open: false,
        }
    }

    /// Its length in mm.
    pub fn length(&self) -> f64 {
        2.0 * f64::from(self.sides) * self.half_mm + TAU * self.radius_mm
    }

    /// From the origin to the middle of each side, in mm.
    pub fn reach_mm(&self) -> f64 {
        self.core_mm() + self.radius_mm
    }

    /// From the origin to the sides of the polygon about whose corners it turns, in mm.
    fn core_mm(&self) -> f64 {
        match self.sides {
            0..=2 => 0.0,
            sides => self.half_mm / libm::tan(PI / f64::from(sides)),
        }
    }

    /// From the start of one side to the start of the next, in mm.
    pub fn side_mm(&self) -> f64 {
        self.length() / f64::from(self.sides)
    }

    /// Along one corner, in mm.
    pub fn length_of_corner_mm(&self) -> f64 {
        self.bend() * self.radius_mm
    }

    /// The angle from one side to the next.
    fn bend(&self) -> f64 {
        TAU / f64::from(self.sides)
    }

    /// The centre that `s` turns about and the direction from it outward.
    fn spoke(&self, s: f64) -> (Point, Vec2) {
        let (_, part, within) = self.part(s);
        let angle = (part / 2) as f64 * self.bend() + self.turn;
        let side = turned(angle);
        let ahead = Vec2::new(side.y, -side.x);
        let (along, out) = match part % 2 {
            0 => (within - self.half_mm, side),
            _ => (self.half_mm, turned(angle + self.angle(within))),
        };
        let centre = side * self.core_mm() + ahead * along;
        if self.mirrored {
            (Point::new(-centre.x, centre.y), Vec2::new(-out.x, out.y))
        } else {
            (centre.to_point(), out)
        }
    }

    fn carry(&self, s: f64, to: &Ring) -> f64 {
        if self.sides > 2 && to.sides == self.sides {
            return to.seen_at(self.seen_from_middle(s));
        }
        let (lap, part, within) = self.part(s);
        let before = to.starts_at(part);
        let share = match part % 2 {
            0 if self.half_mm > 0.0 => within * to.half_mm / self.half_mm,
            0 => 0.0,
            _ => self.angle(within) * to.radius_mm,
        };
        lap * to.length() + before + share
    }

    /// The direction in which a place of a polygon is seen from the origin: radians in the direction of work from the middle of the
    /// lowest side.
    fn seen_from_middle(&self, s: f64) -> f64 {
        let (lap, part, within) = self.part(s);
        let side = (part / 2) as f64 * self.bend() + lap * TAU;
        let (along, out) = match part % 2 {
            0 => (within - self.half_mm, self.reach_mm()),
            _ => {
                let way = turned(self.angle(within)) * self.radius_mm;
                (self.half_mm + way.x, self.core_mm() + way.y)
            }
        };
        side + libm::atan2(along, out)
    }

    /// The place of a polygon that is seen in a direction from the origin.
    fn seen_at(&self, angle: f64) -> f64 {
        let side = (angle / self.bend() + 0.5).floor();
        let off = angle - side * self.bend();
        let start = side * self.side_mm();
        let along = self.reach_mm() * libm::tan(off);
        if along.abs() <= self.half_mm {
            return start + self.half_mm + along;
        }
        // Where the line of sight meets the circle about the corner.
        let way = turned(off.abs());
        let corner = Vec2::new(self.half_mm, self.core_mm());
        let near = corner.dot(way);
        let root = (near * near - corner.hypot2() + self.radius_mm * self.radius_mm).max(0.0);
        let out = way * (near + root.sqrt()) - corner;
        let arc = libm::atan2(out.x, out.y).clamp(0.0, self.bend() / 2.0) * self.radius_mm;
        if off > 0.0 {
            start + 2.0 * self.half_mm + arc
        } else {
            start - arc
        }
    }

    /// See [`Track::upright`].
    fn upright(&self, at: Point) -> Vec2 {
        let at = if self.mirrored {
            Vec2::new(-at.x, at.y)
        } else {
            at.to_vec2()
        };
        let angle = libm::atan2(at.x, at.y) - self.turn;
        let side = turned((angle / self.bend() + 0.5).floor() * self.bend() + self.turn);
        let ahead = Vec2::new(side.y, -side.x);
        let (along, out) = (at.dot(ahead), at.dot(side));
        let up = match out - self.core_mm() {
            beyond if beyond > 0.0 => {
                side * beyond + ahead * (along - along.clamp(-self.half_mm, self.half_mm))
            }
            _ => side,
        };
        if self.mirrored {
            Vec2::new(-up.x, up.y)
        } else {
            up
        }
    }

    /// Angle in radians of a length on a corner.
    fn angle(&self, within: f64) -> f64 {
        if self.radius_mm > 0.0 {
            within / self.radius_mm
        } else {
            0.0
        }
    }

    /// Where a part starts: sides have even numbers, the corner after each an odd one.
    fn starts_at(&self, part: usize) -> f64 {
        let corner = 2.0 * self.half_mm * (part % 2) as f64;
        (part / 2) as f64 * self.side_mm() + corner
    }

    /// Lap, part and length within the part of a place.
    fn part(&self, s: f64) -> (f64, usize, f64) {
        let length = self.length();
        if length.is_nan() || length <= 0.0 {
            return (0.0, 1, 0.0);
        }
        let lap = (s / length).floor();
        let rest = s - lap * length;
        let side = ((rest / self.side_mm()) as usize).min(self.sides as usize - 1);
        let mut part = 2 * side;
        // Sides of no length have no places.
        if rest >= self.starts_at(part + 1) {
            part += 1;
        }
        (lap, part, rest - self.starts_at(part))
    }

    /// Places strictly between two where the line changes from one part to the next or has turned far enough for a new curve.
    fn joints(&self, low: f64, high: f64) -> Vec<f64> {
        let length = self.length();
        if length.is_nan() || length <= 0.0 {
            return Vec::new();
        }
        let quarter = FRAC_PI_2 * self.radius_mm;
        let mut joints = Vec::new();
        let mut lap = (low / length).floor();
        while lap * length < high {
            for part in 0..2 * self.sides as usize {
                joints.push(lap * length + self.starts_at(part));
                if part % 2 == 1 && self.sides < 4 {
                    joints.push(lap * length + self.starts_at(part) + quarter);
                }
            }
            lap += 1.0;
        }
        joints.sort_by(f64::total_cmp);
        joints.retain(|&s| s > low && s < high);
        joints
    }

    /// One cubic of at most a quarter turn, or a straight line.
    fn curve(&self, path: &mut BezPath, from: f64, to: f64, lift: f64) {
        let track = Track::Ring(*self);
        let middle = (from + to) / 2.0;
        let (_, part, _) = self.part(middle);
        let end = track.at(to, lift);
        if part % 2 == 0 {
            path.line_to(end);
            return;
        }
        let radius = (self.radius_mm + lift).max(0.0);
        let reach = 4.0 / 3.0 * libm::tan(self.angle(to - from) / 4.0) * radius;
        let start = track.at(from, lift);
        path.curve_to(
            start + track.along(from) * reach,
            end - track.along(to) * reach,
            end,
        );
    }
}

impl Row {
    fn sign(&self) -> f64 {
        if self.leftward { -1.0 } else { 1.0 }
    }

    fn x(&self, s: f64) -> f64 {
        s * self.sign()
    }
}

/// The direction that lies `angle` radians counter-clockwise (as seen on paper, y down) of straight down.
fn turned(angle: f64) -> Vec2 {
    Vec2::new(libm::sin(angle), libm::cos(angle))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn circle(radius_mm: f64, mirrored: bool) -> Track {
        Track::Ring(Ring::round(0.0, radius_mm, mirrored))
    }

    fn near(a: Point, b: (f64, f64)) {
        assert!((a - Point::from(b)).length() < 1e-9, "{a:?} is not {b:?}");
    }

    #[test]
    fn a_ring_starts_at_the_bottom_and_runs_counter_clockwise_on_paper() {
        let ring = circle(10.0, false);
        let quarter = 5.0 * PI;
        near(ring.at(0.0, 0.0), (0.0, 10.0));
        near(ring.at(quarter, 2.0), (12.0, 0.0));
        near(ring.at(2.0 * quarter, 0.0), (0.0, -10.0));
        near(circle(10.0, true).at(quarter, 0.0), (-10.0, 0.0));
        assert!((ring.along(0.0) - Vec2::new(1.0, 0.0)).length() < 1e-9);
    }

    #[test]
    fn carrying_out_and_back_changes_nothing_lap_after_lap() {
        let oval = |radius_mm| Track::Ring(Ring::round(6.0, radius_mm, true));
        for step in -40..200 {
            let s = f64::from(step) * 0.7;
            let there = oval(3.0).carry(s, &oval(9.0));
            assert!((oval(9.0).carry(there, &oval(3.0)) - s).abs() < 1e-9);
            let (low, high) = (oval(3.0).at(s, 0.0), oval(9.0).at(there, 0.0));
            assert!(((high - low).length() - 6.0).abs() < 1e-9);
        }
    }

    #[test]
    fn a_polygon_starts_at_its_lowest_side_and_ends_where_it_began() {
        for (sides, mirrored) in [(3, false), (4, false), (4, true), (6, true)] {
            let ring = Ring::polygon(sides, 20.0, 3.0, mirrored);
            let track = Track::Ring(ring);
            let sign = if mirrored { -1.0 } else { 1.0 };
            near(track.at(0.0, 0.0), (-ring.half_mm * sign, 20.0));
            near(track.at(ring.half_mm, 2.0), (0.0, 22.0));
            near(track.at(ring.length(), 0.0), (-ring.half_mm * sign, 20.0));
            assert!((track.along(ring.half_mm) - Vec2::new(sign, 0.0)).length() < 1e-9);
            for step in 0..400 {
                let s = f64::from(step) * ring.length() / 400.0;
                assert!(track.at(s, 0.0).distance(track.at(s + 0.01, 0.0)) < 0.0101);
                let up = track.upright(track.at(s, 0.5));
                assert!(up.cross(track.up(s)).abs() < 1e-9 && up.dot(track.up(s)) > 0.0);
            }
        }
    }

    #[test]
    fn places_on_polygons_are_carried_along_the_line_of_sight() {
        let (small, large) = (
            Ring::polygon(4, 9.0, 9.0, true),
            Ring::polygon(4, 30.0, 3.0, true),
        );
        let (small, large) = (Track::Ring(small), Track::Ring(large));
        for step in -40..200 {
            let s = f64::from(step) * 0.7;
            let there = small.carry(s, &large);
            assert!((large.carry(there, &small) - s).abs() < 1e-7, "{s}");
            let (low, high) = (small.at(s, 0.0), large.at(there, 0.0));
            assert!(low.to_vec2().cross(high.to_vec2()).abs() < 1e-6);
        }
    }

    /// A cubic of a quarter turn strays from its circle by less than three parts in ten thousand (geometry).
    #[test]
    fn drawn_stretches_keep_to_the_ring() {
        use kurbo::ParamCurve;
        let ring = circle(20.0, false);
        let path = ring.stretch(-30.0, 80.0, 1.0);
        near(path.elements()[0].end_point().unwrap(), {
            let p = ring.at(-30.0, 1.0);
            (p.x, p.y)
        });
        for segment in path.segments() {
            for t in 0..=8 {
                let p = segment.eval(f64::from(t) / 8.0);
                assert!((p.to_vec2().length() - 21.0).abs() < 21.0 * 3e-4);
            }
        }
    }

    #[test]
    fn a_row_to_the_left_counts_from_right_to_left() {
        let row = |y_mm, leftward| Track::Row(Row { y_mm, leftward });
        near(row(5.0, true).at(3.0, 1.0), (-3.0, 4.0));
        assert_eq!(row(5.0, true).carry(3.0, &row(1.0, false)), -3.0);
    }
}
