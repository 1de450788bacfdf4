//! Numbers and paths as text: rounded to a hundredth of a millimetre on a fixed grid, the same on every
//! machine.

use kurbo::{BezPath, PathEl, Point};

/// Steps of the grid in a millimetre.
const STEPS: f64 = 100.0;
/// Farther out than any sheet, and small enough that differences stay exact.
const LIMIT: f64 = 1e12;

/// A number with at most two decimals and no needless zeros: `12`, `-3.5`, `0.25`. 0 for what is no number.
pub fn number(value: f64) -> String {
    let mut out = String::new();
    push_number(&mut out, value);
    out
}

/// Appends what [`number`] returns.
pub fn push_number(out: &mut String, value: f64) {
    push_steps(out, steps(value), true);
}

/// The path as SVG path data: relative commands between points rounded to the grid, so that rounding
/// errors never add up. Empty for an empty path.
pub fn svg_path(path: &BezPath) -> String {
    let mut out = String::with_capacity(path.elements().len() * 12);
    push_svg_path(&mut out, path);
    out
}

/// Appends what [`svg_path`] returns. The first command is absolute, so paths can follow one another.
pub fn push_svg_path(out: &mut String, path: &BezPath) {
    let mut writer = Writer {
        out,
        at: Grid::default(),
        start: Grid::default(),
        last: None,
    };
    for element in path.elements() {
        writer.element(*element);
    }
}

/// A point in steps of the grid.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
struct Grid {
    x: i64,
    y: i64,
}

impl From<Point> for Grid {
    fn from(point: Point) -> Grid {
        Grid {
            x: steps(point.x),
            y: steps(point.y),
        }
    }
}

struct Writer<'a> {
    out: &'a mut String,
    at: Grid,
    start: Grid,
    /// The command that bare numbers would repeat.
    last: Option<char>,
}

impl Writer<'_> {
    fn element(&mut self, element: PathEl) {
        match element {
            PathEl::MoveTo(to) => {
                let to = to.into();
                if self.last.is_none() {
                    self.command('M', Grid::default(), &[to]);
                } else {
                    self.command('m', self.at, &[to]);
                }
                (self.at, self.start) = (to, to);
            }
            PathEl::LineTo(to) => self.line(to.into()),
            PathEl::QuadTo(a, to) => self.curve('q', &[a.into(), to.into()]),
            PathEl::CurveTo(a, b, to) => self.curve('c', &[a.into(), b.into(), to.into()]),
            PathEl::ClosePath => {
                self.out.push('z');
                self.last = Some('z');
                self.at = self.start;
            }
        }
    }

    fn line(&mut self, to: Grid) {
        let command = match (to.x == self.at.x, to.y == self.at.y) {
            (false, true) => 'h',
            (true, false) => 'v',
            _ => 'l',
        };
        self.letter(command);
        match command {
            'h' => self.value(to.x - self.at.x, true),
            'v' => self.value(to.y - self.at.y, true),
            _ => self.pair(to, self.at, true),
        }
        self.at = to;
    }

    fn curve(&mut self, command: char, points: &[Grid]) {
        self.command(command, self.at, points);
        self.at = points[points.len() - 1];
    }

    fn command(&mut self, command: char, origin: Grid, points: &[Grid]) {
        self.letter(command);
        for (place, &point) in points.iter().enumerate() {
            self.pair(point, origin, place == 0);
        }
    }

    fn letter(&mut self, command: char) {
        self.out.push(command);
        self.last = Some(command);
    }

    fn pair(&mut self, point: Grid, origin: Grid, first: bool) {
        self.value(point.x - origin.x, first);
        self.value(point.y - origin.y, false);
    }

    fn value(&mut self, steps: i64, first: bool) {
        // A minus sign parts two numbers by itself.
        if !first && steps >= 0 {
            self.out.push(' ');
        }
        push_steps(self.out, steps, false);
    }
}

fn steps(value: f64) -> i64 {
    let scaled = value * STEPS;
    if scaled.is_finite() {
        scaled.clamp(-LIMIT, LIMIT).round() as i64
    } else {
        0
    }
}

fn push_steps(out: &mut String, steps: i64, leading_zero: bool) {
    if steps < 0 {
        out.push('-');
    }
    let (whole, rest) = (steps.unsigned_abs() / 100, steps.unsigned_abs() % 100);
    if whole > 0 || rest == 0 || leading_zero {
        push_digits(out, whole);
    }
    if rest > 0 {
        out.push('.');
        out.push(digit(rest / 10));
        if rest % 10 > 0 {
            out.push(digit(rest % 10));
        }
    }
}

fn push_digits(out: &mut String, value: u64) {
    let mut digits = [0; 20];
    let mut first = digits.len();
    let mut rest = value;
    loop {
        first -= 1;
        digits[first] = rest % 10;
        rest /= 10;
        if rest == 0 {
            break;
        }
    }
    out.extend(digits[first..].iter().map(|&d| digit(d)));
}

fn digit(value: u64) -> char {
    char::from(b'0' + value as u8)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_rounded_and_carry_no_needless_zeros() {
        let cases = [
            (0.0, "0"),
            (-0.0, "0"),
            (0.004, "0"),
            (-0.004, "0"),
            (0.005, "0.01"),
            (0.05, "0.05"),
            (0.5, "0.5"),
            (-0.25, "-0.25"),
            (12.0, "12"),
            (100.999, "101"),
            (-1234.56, "-1234.56"),
            (f64::NAN, "0"),
            (f64::INFINITY, "0"),
            (1e300, "10000000000"),
        ];
        for (value, expected) in cases {
            assert_eq!(number(value), expected, "{value}");
        }
    }

    #[test]
    fn paths_are_relative_and_compact() {
        let path =
            BezPath::from_svg("M1 2 L3 2 L3 1.5 L4.25 1 Q5 1 5 2 C5 3 6 3 6 4 Z M0 0 L-0.5 -0.5")
                .unwrap();
        assert_eq!(
            svg_path(&path),
            "M1 2h2v-.5l1.25-.5q.75 0 .75 1c0 1 1 1 1 2zm-1-2l-.5-.5"
        );
        assert_eq!(svg_path(&BezPath::new()), "");
    }

    /// SVG 2, chapter 9: a line of no length drawn with round caps is a dot, so it must be written.
    #[test]
    fn a_line_of_no_length_is_kept() {
        let mut path = BezPath::new();
        path.move_to((1.0, 1.0));
        path.line_to((1.001, 1.0));
        assert_eq!(svg_path(&path), "M1 1l0 0");
    }

    #[test]
    fn many_small_steps_do_not_drift() {
        let mut path = BezPath::new();
        path.move_to((0.0, 0.0));
        for step in 1..=1000 {
            path.line_to((f64::from(step) * 0.0333, 0.0));
        }
        let read = BezPath::from_svg(&svg_path(&path)).unwrap();
        let end = read.elements().last().unwrap().end_point().unwrap();
        assert!((end.x - 33.3).abs() < 0.006, "{end:?}");
    }
}
