//! The whole toy: parts at their joins and where they are sewn.

use roundwright::place::{self, Placement};
use roundwright::shape::{self, Shapes, Vec3, centroid};
use roundwright::source::Source;
use roundwright::toy::{Kit, Toy};
use roundwright::{fabric, pattern};

/// A ball from the top down with eyes at its front, fins on both sides, a beak between the eyes and a tail at the back.
const GULL: &str = "\
# Gull
Terms: US
Gauge: 20 sts and 21 rnds = 10 cm
Sc: yarn under

## Fin (make 2)
Rnd 1: 6 sc in magic ring (6)
Rnds 2-4: sc in each st around (6)
Fasten off. Press flat.

## Beak
Rnd 1: 6 sc in magic ring (6)
Rnds 2-3: sc in each st around (6)
Stuff firmly. Fasten off, leaving a tail.

## Tail
Rnd 1: 6 sc in magic ring (6)
Rnds 2-3: sc in each st around (6)
Press flat. Fasten off, leaving a tail.

## Body
From the top down.
Rnd 1: 6 sc in magic ring (6)
Rnd 2: inc x 6 (12)
Rnd 3: (sc, inc) x 6 (18)
Rnd 4: sc, inc, (2 sc, inc) x 5, sc (24)
Rnds 5-8: sc in each st around (24)
Insert eyes between Rnds 7 and 8, through the 11th and the 14th st.
Rnd 9: 5 sc, 3 sc through both layers of the first fin, 8 sc, 3 sc through both layers of the second fin, 5 sc (24)
Rnd 10: sc, dec, (2 sc, dec) x 5, sc (18)
Stuff firmly.
Rnd 11: (sc, dec) x 6 (12)
Rnd 12: dec x 6 (6)
Fasten off. Close the hole.

## Making up
Sew the beak over Rnds 7 to 8, centred between the 12th and the 13th st.
Sew the tail to Rnd 9, at the back.
";

struct Made {
    names: Vec<String>,
    shapes: Shapes,
    toy: Toy,
}

/// The toy of a pattern, with all its parts.
fn made(text: &str) -> Made {
    made_of(text, |kit| kit.whole().expect("parts on a body"))
}

fn made_of(text: &str, toy: impl Fn(&Kit<'_>) -> Toy) -> Made {
    let source = Source::new("gull.md", text);
    let (pattern, slips) = pattern::read(&source);
    let (fabric, miscounts) = fabric::work(&pattern);
    assert!(
        slips.is_empty() && miscounts.is_empty(),
        "{slips:?} {miscounts:?}"
    );
    let shapes = shape::relax(&source, &pattern, &fabric);
    let placement: Placement = place::place(&source, &pattern, &fabric);
    let kit = Kit::new(&source, &pattern, &fabric, &shapes, &placement);
    let toy = toy(&kit);
    Made {
        names: fabric
            .pieces
            .iter()
            .map(|piece| piece.name.clone())
            .collect(),
        shapes,
        toy,
    }
}

impl Made {
    /// The middle of a part.
    fn middle(&self, name: &str, copy: u32) -> Vec3 {
        let part = self
            .toy
            .parts
            .iter()
            .find(|part| self.names[part.piece] == name && part.copy == copy)
            .unwrap_or_else(|| panic!("{name} {copy} is on the toy"));
        let points = self.shapes.pieces[part.piece].points.iter();
        centroid(points.map(|&point| part.place.put(point)))
    }
}

/// A right-hander's first fin is the toy's own right one on what is worked from the top down, and its own left is at +x (`design.md`).
#[test]
fn parts_sit_where_the_words_put_them() {
    let gull = made(GULL);
    assert_eq!(gull.toy.parts.len(), 5, "body, two fins, beak and tail");
    let body = gull.middle("Body", 1);
    let from_body = |name: &str, copy: u32| gull.middle(name, copy) - body;
    let (right, left) = (from_body("Fin", 1), from_body("Fin", 2));
    assert!(right.x < -1.5 && left.x > 1.5, "{right:?} {left:?}");
    assert!((right.x + left.x).abs() < 0.25 && (right.z - left.z).abs() < 0.5);
    let (beak, tail) = (from_body("Beak", 1), from_body("Tail", 1));
    assert!(beak.y < -1.9 && beak.x.abs() < 0.25, "{beak:?}");
    assert!(tail.y > 1.5 && tail.x.abs() < 0.25, "{tail:?}");
    assert_eq!(gull.toy.eyes.len(), 2);
    let put = |at: Vec3| gull.toy.parts[0].place.put(at);
    let eyes = [put(gull.toy.eyes[0].1.at), put(gull.toy.eyes[1].1.at)];
    // Four stitches of 15° lie between their middles: each is 22.5° from the front (geometry).
    let bearing = |eye: Vec3| libm::atan2(eye.x - body.x, body.y - eye.y).to_degrees();
    let (one, other) = (bearing(eyes[0]), bearing(eyes[1]));
    assert!(
        (one + 22.5).abs() < 3.0 && (other - 22.5).abs() < 3.0,
        "{one} {other}"
    );
}

/// Where no lean is told the shape leans as is usual, which winds its stitches about its axis. What is sewn on at the back is at the back all the same.
#[test]
fn what_is_sewn_at_the_back_of_a_long_body_is_at_its_back() {
    let text = "\
# Bollard
Terms: US
Gauge: 20 sts and 21 rnds = 10 cm
Front: Rnd 8, stitch 9

## Tail
Rnd 1: 6 sc in magic ring (6)
Rnds 2-3: sc in each st around (6)
Fasten off, leaving a tail.

## Body
From the top down.
Rnd 1: 6 sc in magic ring (6)
Rnd 2: inc x 6 (12)
Rnd 3: (sc, inc) x 6 (18)
Rnds 4-24: sc in each st around (18)
Stuff firmly.
Rnd 25: (sc, dec) x 6 (12)
Rnd 26: dec x 6 (6)
Fasten off. Close the hole.

## Making up
Sew the tail over Rnds 20 to 22, centred at the back.
";
    let bollard = made(text);
    let tail = bollard.middle("Tail", 1) - bollard.middle("Body", 1);
    assert!(tail.y > 1.5 && tail.x.abs() < 0.25, "{tail:?}");
}

/// Made by the other hand it is its own mirror image.
#[test]
fn a_left_handers_toy_is_the_mirror_image() {
    let (one, other) = (
        made(GULL),
        made(&GULL.replace("Terms: US", "Terms: US\nHand: left")),
    );
    for (name, copy) in [("Fin", 1), ("Fin", 2), ("Beak", 1)] {
        let (a, b) = (one.middle(name, copy), other.middle(name, copy));
        assert!(
            (a.x + b.x).abs() < 0.02 && (a.y - b.y).abs() < 0.02 && (a.z - b.z).abs() < 0.02,
            "{name} {copy}: {a:?} {b:?}"
        );
    }
}

/// What is begun at its base stands on it: the same piece is upside down, and its heights count from the other end.
#[test]
fn a_toy_from_the_bottom_up_stands_on_its_start() {
    let up = GULL.replace("From the top down.", "From the bottom up.");
    let (down, up) = (made(GULL), made(&up));
    let height = |made: &Made| made.middle("Beak", 1).z;
    let whole = down.toy.size(&down.shapes).z;
    assert!((height(&down) + height(&up) - whole).abs() < 0.6);
    assert!(up.middle("Fin", 1).x > 1.5, "the first fin is its left one");
}

/// What has sides and no front is not set down askew: it takes up as little width and depth as it can.
#[test]
fn a_square_lies_square() {
    let text = "\
# Square
Terms: US

## Square
Rnd 1: ch 3 (counts as dc), 2 dc in magic ring, ch 2, *3 dc in ring, ch 2; rep from * 2 more times; join with sl st to 3rd ch of beg ch-3 (12 dc, 4 ch-2 sps)
Rnd 2: ch 3 (counts as dc), dc in next 2 sts, (2 dc, ch 2, 2 dc) in next ch-2 sp, *dc in next 3 sts, (2 dc, ch 2, 2 dc) in next ch-2 sp; rep from * 2 more times; join with sl st to 3rd ch of beg ch-3 (28 dc, 4 ch-2 sps)
";
    let made = made_of(text, |kit| kit.alone(0));
    let size = made.toy.size(&made.shapes);
    let piece = &made.shapes.pieces[0];
    let across = |turn: f64| {
        let (sin, cos) = (libm::sin(turn), libm::cos(turn));
        let along = piece
            .points
            .iter()
            .map(|point| point.x * cos + point.y * sin);
        let (low, high) = along.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| {
            (low.min(at), high.max(at))
        });
        high - low
    };
    let room = (0..90).map(|turn| {
        let turn = f64::from(turn).to_radians();
        across(turn) + across(turn + std::f64::consts::FRAC_PI_2)
    });
    let (least, most) = room.fold((f64::INFINITY, 0.0_f64), |(least, most), room| {
        (least.min(room), most.max(room))
    });
    assert!(
        most > 1.2 * least && size.x + size.y < 1.01 * least,
        "{size:?} where {least} to {most} can be"
    );
}

/// What is longer one way than the other and has no front is seen from its long side, though its rounds wind: its width and depth are then those of its
/// principal axes (geometry).
#[test]
fn an_oval_stands_along_its_axes() {
    let text = "\
# Tray
Terms: US

## Tray
Rnd 1: ch 9, sc in 2nd ch from hook, sc in next 6 ch, 3 sc in last ch, on the other side of the chain: sc in next 6 ch, 2 sc in last ch (18)
Rnd 2: inc, 6 sc, inc x 3, 6 sc, inc x 2 (24)
Rnd 3: sc, inc, 6 sc, (sc, inc) x 3, 6 sc, (sc, inc) x 2 (30)
Rnds 4-8: sc in each st around (30)
";
    let made = made_of(text, |kit| kit.alone(0));
    let points: Vec<Vec3> = made.toy.points(&made.shapes).collect();
    let middle = centroid(points.iter().copied());
    let sum = |of: fn(Vec3) -> f64| -> f64 { points.iter().map(|&at| of(at - middle)).sum() };
    let (along, across) = (sum(|at| at.x * at.x), sum(|at| at.y * at.y));
    let askew = libm::atan2(2.0 * sum(|at| at.x * at.y), along - across).to_degrees() / 2.0;
    assert!(askew.abs() < 1.0, "it stands askew by {askew}°");
    assert!(along > across, "its long side is its front");
}

/// Two legs with a chain of three between them, and a body round both, worked from below.
const GANNET: &str = "\
# Gannet
Terms: US
Gauge: 20 sts and 21 rnds = 10 cm

## Leg (make 2)
Rnd 1: 6 sc in magic ring (6)
Rnd 2: inc x 6 (12)
Rnds 3-8: sc in each st around (12)
Stuff firmly. Fasten off the first leg; do not fasten off the second.

## Body
From the bottom up.
Rnd 1: ch 3, join to first leg with sc, sc in next 11 sts of first leg, 3 sc along chain, 12 sc around second leg, 3 sc along other side of chain (30)
Rnds 2-9: sc in each st around (30)
Rnd 10: (3 sc, dec) x 6 (24)
Rnd 11: (2 sc, dec) x 6 (18)
Stuff firmly.
Rnd 12: (sc, dec) x 6 (12)
Rnd 13: dec x 6 (6)
Fasten off.
";

#[test]
fn legs_that_a_body_starts_from_stand_straight_under_it() {
    let made = made(GANNET);
    let legs: Vec<_> = made
        .toy
        .parts
        .iter()
        .filter(|part| made.names[part.piece] == "Leg")
        .collect();
    assert_eq!(legs.len(), 2);
    let mut feet = Vec::new();
    for leg in legs {
        let shape = leg.shape(&made.shapes);
        let on = |row: usize| {
            let points = shape.web.rows[row].points.iter();
            centroid(points.map(|&point| leg.place.put(shape.points[point as usize])))
        };
        let (foot, top) = (on(0), on(shape.web.rows.len() - 1));
        let down = (foot - top).unit_or(Vec3::ZERO);
        // Within ten degrees of straight down.
        assert!(down.z < -0.985, "the leg points along {down:?}");
        feet.push(foot);
    }
    // Level with each other to half a round of 4.8 mm, and side by side.
    assert!((feet[0].z - feet[1].z).abs() < 0.24, "{feet:?}");
    assert!((feet[0] - feet[1]).length() > 2.0, "{feet:?}");
}

/// Two legs with a chain of two between them, and a body round both.
const OTTER: &str = "\
# Otter
Terms: US
Gauge: 20 sts and 21 rnds = 10 cm

## Leg (make 2)
Rnd 1: 6 sc in magic ring (6)
Rnd 2: inc x 6 (12)
Rnds 3-7: sc in each st around (12)
Stuff firmly. Fasten off the first leg; do not fasten off the second.

## Body
From the bottom up.
Rnd 1: ch 2, 12 sc around first leg, 2 sc along chain, 12 sc around second leg, 2 sc along other side of chain (28)
Rnd 2: (6 sc, inc) x 4 (32)
Rnds 3-12: sc in each st around (32)
Rnd 13: (6 sc, dec) x 4 (28)
Rnd 14: (5 sc, dec) x 4 (24)
Rnd 15: (2 sc, dec) x 6 (18)
Stuff firmly.
Rnd 16: (sc, dec) x 6 (12)
Rnd 17: dec x 6 (6)
Fasten off.
";

/// Two legs alike make two sides alike (geometry): the body's lower end is level and its middle between them, and both are where its stitches are worked
/// into them.
#[test]
fn a_body_comes_out_level_on_its_legs() {
    let otter = made(OTTER);
    let stitch_cm = otter.shapes.gauge.width_mm / 10.0;
    let points = |place: usize, rows: &[usize]| -> Vec<Vec3> {
        let part = &otter.toy.parts[place];
        let shape = part.shape(&otter.shapes);
        let points = rows.iter().flat_map(|&row| &shape.web.rows[row].points);
        points
            .map(|&point| part.place.put(shape.points[point as usize]))
            .collect()
    };
    assert_eq!(otter.toy.parts.len(), 3);
    let body = otter.toy.parts[0].shape(&otter.shapes);
    assert!(body.settled);
    let tops = [1, 2].map(|leg| points(leg, &[6]));
    let toes = [1, 2].map(|leg| points(leg, &[0]));
    for (top, rim) in tops.iter().zip(&body.web.rims) {
        let rim = rim.iter().map(|&point| body.points[point as usize]);
        for (&at, rim) in top.iter().zip(rim) {
            let gap = (at - otter.toy.parts[0].place.put(rim)).length();
            assert!(gap < stitch_cm / 4.0, "a leg stands {gap} cm off");
        }
    }
    let middle = |points: &Vec<Vec3>| centroid(points.iter().copied());
    let [one, other] = tops.each_ref().map(middle);
    assert!(
        (one.z - other.z).abs() < stitch_cm / 4.0,
        "{one:?} {other:?}"
    );
    let [one, other] = toes.each_ref().map(middle);
    assert!(
        (one.z - other.z).abs() < stitch_cm / 2.0,
        "{one:?} {other:?}"
    );
    assert!((one - other).length() > 12.0 / std::f64::consts::PI * stitch_cm);
    // Half of the body lies on each side of the plane between the legs, and above them.
    let waist: Vec<Vec3> = points(0, &[6, 7, 8]);
    let between = one.middle(other);
    let off = middle(&waist) - between;
    assert!(
        off.x.abs() < stitch_cm / 2.0 && off.y.abs() < stitch_cm / 2.0,
        "{off:?}"
    );
}

/// The second leg may be the beginning of the body itself: it comes out beside the first one all the same.
#[test]
fn a_body_that_begins_with_one_of_its_legs_stands_on_both() {
    let text = "\
# Bosun
Terms: US
Gauge: 20 sts and 21 rnds = 10 cm

## Left leg
Rnd 1: 6 sc in magic ring (6)
Rnd 2: inc x 6 (12)
Rnds 3-7: sc in each st around (12)
Stuff firmly. Fasten off.

## Right leg
Rnd 1: 6 sc in magic ring (6)
Rnd 2: inc x 6 (12)
Rnds 3-7: sc in each st around (12)
Rnd 8: ch 2, 12 sc around the left leg, 2 sc along the chain, 12 sc around the right leg, 2 sc along the other side of the chain (28)
Rnds 9-16: sc in each st around (28)
Rnd 17: (5 sc, dec) x 4 (24)
Rnd 18: (2 sc, dec) x 6 (18)
Stuff firmly.
Rnd 19: (sc, dec) x 6 (12)
Rnd 20: dec x 6 (6)
Fasten off. Close the hole.
";
    for hand in ["right", "left"] {
        let bosun = made(&text.replace("Terms: US", &format!("Terms: US\nHand: {hand}")));
        let stitch_cm = bosun.shapes.gauge.width_mm / 10.0;
        assert_eq!(bosun.toy.parts.len(), 2);
        let toes = [0, 1].map(|place| {
            let part = &bosun.toy.parts[place];
            let shape = part.shape(&bosun.shapes);
            assert!(shape.settled);
            let points = shape.web.rows[0].points.iter();
            centroid(points.map(|&point| part.place.put(shape.points[point as usize])))
        });
        let apart = toes[1] - toes[0];
        assert!(toes[0].z < stitch_cm && toes[1].z < stitch_cm, "{toes:?}");
        assert!(
            apart.z.abs() < stitch_cm / 2.0 && apart.y.abs() < stitch_cm,
            "{toes:?}"
        );
        assert!(
            apart.length() > 12.0 / std::f64::consts::PI * stitch_cm,
            "{toes:?}"
        );
    }
}
