use kurbo::{Affine, ParamCurve, ParamCurveNearest, Point, Shape, Vec2};

use super::*;
use crate::terms::{Form, Height, Into, Stitch};

const PLACES: [Into; 9] = [
    Into::Stitch,
    Into::FrontLoop,
    Into::BackLoop,
    Into::FrontPost,
    Into::BackPost,
    Into::Space,
    Into::Ring,
    Into::Chain,
    Into::Part,
];

/// Directions whose length is 1 without trigonometry.
const WAYS: [(f64, f64); 6] = [
    (0.0, -1.0),
    (1.0, 0.0),
    (-0.6, -0.8),
    (0.8, 0.6),
    (-0.28, 0.96),
    (0.0, 1.0),
];

/// Every form of every height that the trade has a symbol for.
fn kinds() -> impl Iterator<Item = Stitch> {
    let forms = [
        Form::Plain,
        Form::Extended,
        Form::Together(2),
        Form::Together(3),
        Form::Bobble(5),
        Form::Popcorn(4),
        Form::Puff(3),
    ];
    Height::ALL
        .into_iter()
        .flat_map(move |height| forms.map(|form| Stitch { height, form }))
}

/// As many feet as the stitch has, side by side, with its head at its usual height along a direction.
fn stance(kind: Stitch, way: (f64, f64)) -> (Vec<Point>, Point) {
    let (up, across) = (Vec2::new(way.0, way.1), Vec2::new(-way.1, way.0));
    let middle = Point::new(20.0, 30.0);
    let feet = kind.feet();
    let feet = (0..feet)
        .map(|foot| f64::from(foot) - f64::from(feet - 1) / 2.0)
        .map(|place| middle + across * place * STITCH_WIDTH_MM)
        .collect();
    (feet, middle + up * height_mm(kind))
}

/// Distance from a point to the nearest ink, in mm; 0 within it.
fn to_ink(symbol: &Symbol, point: Point) -> f64 {
    if symbol.fill.winding(point) != 0 {
        return 0.0;
    }
    let near = |path: &kurbo::BezPath| {
        let distances = path
            .segments()
            .map(|segment| segment.nearest(point, 1e-4).distance_sq.sqrt());
        distances.fold(f64::INFINITY, f64::min)
    };
    near(&symbol.fill).min((near(&symbol.stroke) - PEN_MM / 2.0).max(0.0))
}

#[test]
fn every_stitch_reaches_from_its_feet_to_its_head() {
    for kind in kinds().filter(|kind| kind.height > Height::Slip) {
        for (into, way) in PLACES
            .into_iter()
            .flat_map(|into| WAYS.map(|way| (into, way)))
        {
            let (feet, head) = stance(kind, way);
            let drawn = stitch(kind, into, &feet, head);
            for &end in feet.iter().chain([&head]) {
                let gap = to_ink(&drawn, end);
                assert!(gap < 0.6, "{kind:?} {into:?} {way:?}: {gap}");
            }
        }
    }
}

#[test]
fn there_is_clear_paper_between_a_stitch_and_the_one_on_its_head() {
    let short = Stitch::plain(Height::Single);
    for below in kinds().filter(|kind| kind.height > Height::Chain) {
        for above in [short, Stitch::plain(Height::Double)] {
            let (feet, head) = stance(below, (0.0, -1.0));
            let lower = stitch(below, Into::Stitch, &feet, head);
            let top = head - Vec2::new(0.0, height_mm(above));
            let upper = stitch(above, Into::Stitch, &[head], top);
            let gap = lower.ink_box().y0 - upper.ink_box().y1;
            assert!(gap > PEN_MM, "{below:?} under {above:?}: {gap}");
        }
    }
}

/// Symbols are at least 3 mm in print: the size that the design of charts sets. The dot of a slip stitch
/// is small by custom of the trade (common practice, no source).
#[test]
fn symbols_are_large_enough_to_read() {
    for kind in kinds().filter(|kind| kind.height != Height::Slip) {
        let (feet, head) = stance(kind, (0.0, -1.0));
        let ink = stitch(kind, Into::Stitch, &feet, head).ink_box();
        assert!(ink.height() >= 2.95, "{kind:?}: {}", ink.height());
    }
}

#[test]
fn a_symbol_turns_as_a_whole() {
    for kind in kinds() {
        for into in PLACES {
            let (feet, head) = stance(kind, (0.0, -1.0));
            let upright = stitch(kind, into, &feet, head);
            let (feet, head) = stance(kind, (0.8, 0.6));
            let turned = stitch(kind, into, &feet, head);
            let middle = Vec2::new(20.0, 30.0);
            let turn = Affine::translate(middle)
                * Affine::new([-0.6, 0.8, -0.8, -0.6, 0.0, 0.0])
                * Affine::translate(-middle);
            let (expected, found) = (upright.transformed(turn).ink_box(), turned.ink_box());
            let off = (expected.origin() - found.origin()).length()
                + (expected.size() - found.size()).to_vec2().length();
            assert!(off < 1e-6, "{kind:?} {into:?}: {expected:?} {found:?}");
        }
    }
}

#[test]
fn a_longer_way_stretches_the_stem_alone() {
    let foot = Point::new(0.0, 0.0);
    for kind in Height::ALL[2..].iter().map(|&height| Stitch::plain(height)) {
        for into in PLACES {
            let at = |length: f64| stitch(kind, into, &[foot], Point::new(0.0, -length)).ink_box();
            let usual = height_mm(kind);
            let (short, long) = (at(usual), at(usual + 5.0));
            assert!(
                (short.width() - long.width()).abs() < 1e-9,
                "{kind:?} {into:?}"
            );
            assert!((short.height() + 5.0 - long.height()).abs() < 1e-9);
        }
    }
}

#[test]
fn each_height_has_its_bars() {
    let lines = |height| {
        let foot = Point::new(0.0, 12.0);
        let drawn = stitch(Stitch::plain(height), Into::Stitch, &[foot], Point::ORIGIN);
        drawn.stroke.elements().len() / 2
    };
    assert_eq!(lines(Height::Single), 2);
    assert_eq!(lines(Height::HalfDouble), 2);
    assert_eq!(lines(Height::Double), 3);
    assert_eq!(lines(Height::Treble), 4);
    assert_eq!(lines(Height::DoubleTreble), 5);
}

/// Least distance between two symbols' ink, leaving out the disc of a radius about their common foot.
fn apart(one: &Symbol, other: &Symbol, foot: Point, disc: f64) -> f64 {
    let points = one
        .stroke
        .segments()
        .flat_map(|segment| (0..=20).map(move |step| segment.eval(f64::from(step) / 20.0)))
        .filter(|point| point.distance(foot) > disc);
    points
        .map(|point| to_ink(other, point) - PEN_MM / 2.0)
        .fold(f64::INFINITY, f64::min)
}

#[test]
fn the_stitches_of_an_increase_stay_apart() {
    let foot = Point::new(0.0, 0.0);
    for height in [
        Height::Single,
        Height::HalfDouble,
        Height::Double,
        Height::Treble,
    ] {
        let kind = Stitch::plain(height);
        let drop = height_mm(kind);
        for count in [2, 3] {
            let heads: Vec<Point> = (0..count)
                .map(|place| f64::from(place) - f64::from(count - 1) / 2.0)
                .map(|place| Point::new(place * STITCH_WIDTH_MM, -drop))
                .collect();
            for pair in heads.windows(2) {
                let [one, other] = [0, 1].map(|i| sibling(kind, Into::Stitch, &[foot], pair[i]));
                let gap = apart(&one, &other, foot, 2.2);
                assert!(gap > 0.1, "{count} of {kind:?}: {gap}");
            }
        }
    }
}

#[test]
fn neighbours_at_their_width_stay_apart() {
    for kind in kinds().filter(|kind| !matches!(kind.form, Form::Together(_))) {
        let drawn = |x: f64| {
            let head = Point::new(x, -height_mm(kind));
            stitch(kind, Into::Stitch, &[Point::new(x, 0.0)], head).ink_box()
        };
        let gap = drawn(width_mm(kind)).x0 - drawn(0.0).x1;
        assert!(gap > PEN_MM, "{kind:?}: {gap}");
    }
}

#[test]
fn front_and_back_are_told_apart() {
    let (foot, head) = (Point::new(0.0, 0.0), Point::new(0.0, -8.0));
    let kind = Stitch::plain(Height::Slip);
    let ink = |into| stitch(kind, into, &[foot], head).ink_box();
    assert!(ink(Into::FrontPost).x1 > 1.0 && ink(Into::FrontPost).x0 > -1.0);
    assert!(ink(Into::BackPost).x0 < -1.0 && ink(Into::BackPost).x1 < 1.0);
    let ends_above_middle = |into| {
        let arc = loop_arc(into, foot, head - foot).stroke;
        let (end, middle) = (arc.elements()[0].end_point(), arc.segments().next());
        middle.unwrap().eval(0.5).y - end.unwrap().y
    };
    assert!(ends_above_middle(Into::FrontLoop) > 0.3);
    assert!(ends_above_middle(Into::BackLoop) < -0.3);
    assert!(loop_arc(Into::Stitch, foot, head - foot).is_empty());
}

#[test]
fn the_ink_box_holds_the_pens_width() {
    assert_eq!(Symbol::default().ink_box(), kurbo::Rect::ZERO);
    let mut line = Symbol::default();
    line.stroke.move_to((1.0, 2.0));
    line.stroke.line_to((3.0, 2.0));
    let half = PEN_MM / 2.0;
    let expected = kurbo::Rect::new(1.0 - half, 2.0 - half, 3.0 + half, 2.0 + half);
    assert_eq!(line.ink_box(), expected);
    line.fill.extend(drawing::oval((8.0, 2.0), 1.0, 1.0));
    assert!((line.ink_box().x1 - 9.0).abs() < 1e-9);
}

#[test]
fn places_that_make_no_sense_still_give_finite_ink() {
    let odd = [
        0.0,
        1e-300,
        1e-9,
        1e300,
        f64::NAN,
        f64::INFINITY,
        f64::NEG_INFINITY,
    ];
    let points: Vec<Point> = odd
        .iter()
        .flat_map(|&x| odd.map(|y| Point::new(x, y)))
        .collect();
    let mut drawn = Vec::new();
    for kind in kinds() {
        for into in PLACES {
            for &point in &points {
                drawn.push(stitch(kind, into, &[], point));
                drawn.push(stitch(kind, into, &[point], point));
                drawn.push(stitch(kind, into, &[point, Point::ORIGIN], Point::ORIGIN));
                drawn.push(stitch(kind, into, &[Point::ORIGIN; 3], point));
            }
        }
    }
    for &point in &points {
        let way = point.to_vec2();
        drawn.extend([
            chain(point, way, point.x),
            magic_ring(point, point.x),
            picot_loop(point, way, 9),
            join_yarn(point, way),
            fasten_off(point, way),
            start_arrow(point, way, point.x),
            marker(point, way),
            loop_arc(Into::BackLoop, point, way),
            chain_ring(point, point.x, 6),
            spike(point, Point::ORIGIN),
            crossed(
                Height::Double,
                [point, Point::ORIGIN],
                [Point::ORIGIN, point],
            ),
            loop_stitch(point, Point::ORIGIN),
            reverse_single(point, Point::ORIGIN),
            slanted_single(point, Point::ORIGIN),
            surface_slip(point, way, point.x),
            skip(point, way),
            turn(point, way, way),
            v_stitch(Height::Treble, point, [Point::ORIGIN, point]),
            in_space(Height::Double, &[(point, way)], &[(point, Point::ORIGIN)]),
        ]);
    }
    for symbol in drawn {
        assert!(symbol.stroke.is_finite() && symbol.fill.is_finite());
        assert!(symbol.ink_box().is_finite());
    }
}

#[test]
fn any_number_of_stems_is_drawn_within_its_width() {
    for count in 0..=u8::MAX {
        for form in [Form::Bobble(count), Form::Popcorn(count), Form::Puff(count)] {
            let height = Height::Double;
            let kind = Stitch { height, form };
            let drawn = stitch(kind, Into::Stitch, &[], Point::ORIGIN).ink_box();
            assert!(
                drawn.width() < width_mm(kind) && drawn.width() < 9.0,
                "{kind:?}"
            );
        }
    }
}

/// What the standard's symbols are made of: open lines, closed outlines drawn with the pen, and filled shapes. The shapes
/// are those that the design of charts names; where it names none, from memory.
#[test]
fn the_trades_symbols_have_their_parts() {
    let origin = Point::ORIGIN;
    let up = Vec2::new(0.0, -1.0);
    let of = |height, form, into| stitch(Stitch { height, form }, into, &[], origin);
    let plain = |height| of(height, Form::Plain, Into::Stitch);
    let tall = |form| of(Height::Double, form, Into::Stitch);
    let single = Point::new(0.0, height_mm(Stitch::plain(Height::Single)));
    let pair = |y| [Point::new(-1.8, y), Point::new(1.8, y)];
    let cases = [
        ("chain: an open oval", plain(Height::Chain), (0, 1, 0)),
        ("slip stitch: a filled dot", plain(Height::Slip), (0, 0, 1)),
        ("single: a cross", plain(Height::Single), (2, 0, 0)),
        (
            "single: the other cross",
            slanted_single(single, origin),
            (2, 0, 0),
        ),
        ("half double: a T", plain(Height::HalfDouble), (2, 0, 0)),
        ("double: a T with a bar", plain(Height::Double), (3, 0, 0)),
        (
            "treble: a T with two bars",
            plain(Height::Treble),
            (4, 0, 0),
        ),
        (
            "double treble: with three",
            plain(Height::DoubleTreble),
            (5, 0, 0),
        ),
        (
            "extended: an oval at the foot",
            tall(Form::Extended),
            (3, 1, 0),
        ),
        (
            "bobble: barred stems and a top",
            tall(Form::Bobble(5)),
            (11, 0, 0),
        ),
        ("puff: plain stems", tall(Form::Puff(3)), (3, 0, 0)),
        (
            "popcorn: stems under an oval",
            tall(Form::Popcorn(5)),
            (10, 1, 0),
        ),
        (
            "front loop: an arc",
            of(Height::Single, Form::Plain, Into::FrontLoop),
            (3, 0, 0),
        ),
        (
            "back post: a hook",
            of(Height::Double, Form::Plain, Into::BackPost),
            (4, 0, 0),
        ),
        (
            "shell: five T, a bar each",
            fan(
                Stitch::plain(Height::Double),
                Into::Stitch,
                Point::new(0.0, 7.0),
                &[origin; 5],
            ),
            (15, 0, 0),
        ),
        (
            "V-stitch: two T and a chain",
            v_stitch(
                Height::Double,
                Point::new(0.0, 7.0),
                [Point::new(-3.0, 0.0), Point::new(3.0, 0.0)],
            ),
            (6, 1, 0),
        ),
        (
            "cluster: legs of one head",
            stitch(
                Stitch::together(Height::Double, 3),
                Into::Stitch,
                &[
                    Point::new(-3.6, 7.0),
                    Point::new(0.0, 7.0),
                    Point::new(3.6, 7.0),
                ],
                origin,
            ),
            (7, 0, 0),
        ),
        (
            "spike: a cross with a tip",
            spike(Point::new(0.0, 9.0), origin),
            (3, 0, 0),
        ),
        (
            "crossed: the stem behind is broken",
            crossed(Height::Double, pair(7.0), pair(0.0)),
            (7, 0, 0),
        ),
        (
            "reverse: a stem and a wave",
            reverse_single(single, origin),
            (2, 0, 0),
        ),
        (
            "loop stitch: a cross and a loop",
            loop_stitch(single, origin),
            (3, 0, 0),
        ),
        (
            "surface slip stitch: a dot on a thread",
            surface_slip(origin, up, 2.0),
            (2, 0, 1),
        ),
        (
            "picot: chains on a dot",
            picot_loop(origin, up, 3),
            (0, 3, 1),
        ),
        (
            "chain ring: chains and a dot",
            chain_ring(origin, 2.9, 6),
            (0, 6, 1),
        ),
        ("skip: a bow over a dash", skip(origin, up), (2, 0, 0)),
        (
            "turn: an arrow that comes back",
            turn(origin, up, Vec2::new(1.0, 0.0)),
            (1, 0, 1),
        ),
        (
            "magic ring: a ring with its end",
            magic_ring(origin, 1.5),
            (1, 1, 0),
        ),
        (
            "join yarn: an open triangle",
            join_yarn(origin, up),
            (0, 1, 0),
        ),
        (
            "fasten off: a filled triangle",
            fasten_off(origin, up),
            (0, 1, 1),
        ),
        ("marker: a drop", marker(origin, up), (0, 1, 0)),
    ];
    for (name, drawn, parts) in cases {
        let count = |path: &kurbo::BezPath, what: fn(&kurbo::PathEl) -> bool| {
            path.elements()
                .iter()
                .filter(|element| what(element))
                .count()
        };
        let starts = |path| count(path, |element| matches!(element, kurbo::PathEl::MoveTo(_)));
        let closed = count(&drawn.stroke, |element| {
            matches!(element, kurbo::PathEl::ClosePath)
        });
        let found = (starts(&drawn.stroke) - closed, closed, starts(&drawn.fill));
        assert_eq!(
            found, parts,
            "{name}: open lines, closed outlines, filled shapes"
        );
    }
}

#[test]
fn a_longer_spike_and_longer_crossed_stitches_stretch_in_the_stem() {
    let origin = Point::ORIGIN;
    let long = |tall: f64| spike(Point::new(0.0, tall), origin).ink_box();
    assert!((long(9.0).width() - long(14.0).width()).abs() < 1e-9);
    assert!((long(9.0).height() + 5.0 - long(14.0).height()).abs() < 1e-9);
    let heads = [Point::new(-1.8, 0.0), Point::new(1.8, 0.0)];
    let feet = [Point::new(-1.8, 7.0), Point::new(1.8, 7.0)];
    let drawn = crossed(Height::Double, feet, heads);
    let middle = Point::new(0.0, 3.5);
    let of_second = stitch(
        Stitch::plain(Height::Double),
        Into::Stitch,
        &[feet[0]],
        heads[1],
    );
    assert!(
        to_ink(&of_second, middle) < 0.2,
        "the one in front passes the middle"
    );
    assert!(to_ink(&drawn, middle) < 0.2);
}
