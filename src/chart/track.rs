use kurbo::{BezPath, Point, Vec2};
use std::f64::consts::{FRAC_PI_2, PI};

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

/// A ring about the origin: a circle, or two half circles about the ends of a level line. It starts at the bottom (at the lower end of the
/// left half circle) and runs counter-clockwise as seen on paper, unless mirrored.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ring {
    /// Half of the level line, in mm; 0 for a circle.
    pub half_mm: f64,
    /// Radius of the circle or half circles, in mm.
    pub radius_mm: f64,
    /// Runs clockwise.
    pub mirrored: bool,
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
            Track::Ring(ring) => Some(ring.length()),
            Track::Row(_) => None,
        }
    }

    /// The point at `s` mm along the line, `lift` mm off it on the side that a ring's outside or a row's upper side is on.
    pub fn at(&self, s: f64, lift: f64) -> Point {
        match self {
            Track::Ring(ring) => {
                let (centre, out) = ring.spoke(s);
                centre + out * (ring.radius_mm + lift)
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

    /// The strip between two lifts from `from` to `to`, as a closed path.
    pub fn strip(&self, from: f64, to: f64, low: f64, high: f64) -> BezPath {
        let mut path = self.stretch(from, to, low);
        path.line_to(self.at(to, high));
        self.run(&mut path, to, from, high);
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
    /// Its length in mm.
    pub fn length(&self) -> f64 {
        4.0 * self.half_mm + 2.0 * PI * self.radius_mm
    }

    /// The centre that `s` turns about and the direction from it outward.
    fn spoke(&self, s: f64) -> (Point, Vec2) {
        let (_, part, within) = self.part(s);
        let (x, out) = match part {
            0 => (within - self.half_mm, Vec2::new(0.0, 1.0)),
            1 => (self.half_mm, turned(self.turn(within))),
            2 => (self.half_mm - within, Vec2::new(0.0, -1.0)),
            _ => (-self.half_mm, turned(PI + self.turn(within))),
        };
        if self.mirrored {
            (Point::new(-x, 0.0), Vec2::new(-out.x, out.y))
        } else {
            (Point::new(x, 0.0), out)
        }
    }

    fn carry(&self, s: f64, to: &Ring) -> f64 {
        let (lap, part, within) = self.part(s);
        let before = to.ends()[part];
        let share = match part {
            0 | 2 if self.half_mm > 0.0 => within * to.half_mm / self.half_mm,
            0 | 2 => 0.0,
            _ => self.turn(within) * to.radius_mm,
        };
        lap * to.length() + before + share
    }

    /// Angle in radians of a length on a half circle.
    fn turn(&self, within: f64) -> f64 {
        if self.radius_mm > 0.0 {
            within / self.radius_mm
        } else {
            0.0
        }
    }

    /// Where the four parts start: lower line, right half circle, upper line, left half circle.
    fn ends(&self) -> [f64; 4] {
        let (line, half_circle) = (2.0 * self.half_mm, PI * self.radius_mm);
        [0.0, line, line + half_circle, 2.0 * line + half_circle]
    }

    /// Lap, part and length within the part of a place.
    fn part(&self, s: f64) -> (f64, usize, f64) {
        let length = self.length();
        if length.is_nan() || length <= 0.0 {
            return (0.0, 1, 0.0);
        }
        let lap = (s / length).floor();
        let rest = s - lap * length;
        let ends = self.ends();
        let part = ends.iter().rposition(|&end| end <= rest).unwrap_or(0);
        (lap, part, rest - ends[part])
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
            for end in self.ends() {
                joints.push(lap * length + end);
            }
            let [_, right, _, left] = self.ends();
            joints.push(lap * length + right + quarter);
            joints.push(lap * length + left + quarter);
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
        let reach = 4.0 / 3.0 * libm::tan(self.turn(to - from) / 4.0) * (self.radius_mm + lift);
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
        Track::Ring(Ring {
            half_mm: 0.0,
            radius_mm,
            mirrored,
        })
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
        let oval = |radius_mm| {
            Track::Ring(Ring {
                half_mm: 6.0,
                radius_mm,
                mirrored: true,
            })
        };
        for step in -40..200 {
            let s = f64::from(step) * 0.7;
            let there = oval(3.0).carry(s, &oval(9.0));
            assert!((oval(9.0).carry(there, &oval(3.0)) - s).abs() < 1e-9);
            let (low, high) = (oval(3.0).at(s, 0.0), oval(9.0).at(there, 0.0));
            assert!(((high - low).length() - 6.0).abs() < 1e-9);
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
