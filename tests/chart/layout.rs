//! Charts: where things lie, which way they run, and that a maker can tell them apart.

use crate::charted::charted;
use crate::fabrics::{CH, DC, Maker, SC, ball, disc, doily, fabric, flap, oval, winged};
use kurbo::Point;
use roundwright::chart::quality::quality;
use roundwright::chart::{Direction, Glyph, Layout, Options, Panel, Row, lay_out};
use roundwright::draw::panel_svg;
use roundwright::fabric::{self, EyePlace, Fabric, Role, StepKind, StitchId, YarnId};
use roundwright::pattern;
use roundwright::raster;
use roundwright::source::Source;
use roundwright::terms::{Hand, Height, Into};

fn panels(fabric: &Fabric) -> Vec<Panel> {
    lay_out(fabric, 0, &Options::default())
}

/// The same, with parts on rings too.
fn in_rings(fabric: &Fabric) -> Vec<Panel> {
    let options = Options {
        layout: Some(Layout::Rings),
        ..Options::default()
    };
    lay_out(fabric, 0, &options)
}

fn of(maker: Maker) -> Vec<Panel> {
    panels(&fabric("Harbour", vec![maker.piece]))
}

/// Every fabric that the tests know.
fn all() -> Vec<(&'static str, Fabric)> {
    vec![
        ("disc", fabric("Harbour", vec![disc(9).piece])),
        ("ball", fabric("Harbour", vec![ball(6).piece])),
        ("doily", fabric("Harbour", vec![doily().piece])),
        ("flap", fabric("Harbour", vec![flap(7).piece])),
        ("oval", fabric("Harbour", vec![oval(4).piece])),
        ("winged", winged()),
    ]
}

/// Middle of a panel of rings: the mean of a ring in which stitches stand evenly.
fn middle(panel: &Panel) -> Point {
    let ring = panel.rings[0].band.elements();
    let points: Vec<Point> = ring.iter().filter_map(|e| e.end_point()).collect();
    let (x, y) = points
        .iter()
        .fold((0.0, 0.0), |(x, y), p| (x + p.x, y + p.y));
    Point::new(x / points.len() as f64, y / points.len() as f64)
}

/// The charts of a fabric's first piece, worked with a hand.
fn in_hand(fabric: &Fabric, hand: Hand) -> Vec<Panel> {
    let fabric = Fabric {
        hand,
        ..fabric.clone()
    };
    lay_out(&fabric, 0, &Options::default())
}

#[test]
fn fabrics_worked_by_hand_are_drawn_without_a_fault() {
    for (name, fabric) in all() {
        for hand in [Hand::Right, Hand::Left] {
            for panel in in_hand(&fabric, hand) {
                let found = quality(&panel, &fabric.pieces[0]);
                let pairs = (found.overlaps, found.crossings);
                assert_eq!(pairs, (vec![], vec![]), "{name}, {}", panel.title);
                assert!(
                    found.hidden_words.is_empty(),
                    "{name}: {:?}",
                    found.hidden_words
                );
            }
        }
    }
}

#[test]
fn every_foot_lies_on_the_head_of_what_is_worked_into() {
    for (name, fabric) in all() {
        let piece = &fabric.pieces[0];
        for panel in panels(&fabric) {
            let all = panel.stitches.iter().chain(&panel.anchors);
            let heads: Vec<_> = all.map(|placed| (placed.id, placed.head)).collect();
            for placed in &panel.stitches {
                let stitch = piece.stitch(placed.id);
                if matches!(stitch.into, Into::Space | Into::Ring | Into::Part) {
                    continue;
                }
                let feet = piece.feet(placed.id);
                assert_eq!(
                    panel.feet(placed).len(),
                    feet.len(),
                    "{name} {:?}",
                    placed.id
                );
                for (foot, point) in feet.iter().zip(panel.feet(placed)) {
                    let (_, head) = heads.iter().find(|(id, _)| id == foot).unwrap();
                    assert!(head.distance(*point) < 0.01, "{name} {:?}", placed.id);
                }
            }
        }
    }
}

#[test]
fn stitches_in_a_space_stand_side_by_side_under_it() {
    let fabric = fabric("Harbour", vec![doily().piece]);
    let piece = &fabric.pieces[0];
    let panel = &panels(&fabric)[0];
    let in_space: Vec<_> = panel
        .stitches
        .iter()
        .filter(|placed| {
            let stitch = piece.stitch(placed.id);
            stitch.into == Into::Space && stitch.role == Role::Head && stitch.kind == DC
        })
        .collect();
    for pair in in_space.windows(2) {
        let (a, b) = (panel.feet(pair[0])[0], panel.feet(pair[1])[0]);
        assert!(a.distance(b) > 0.5, "{:?} and {:?}", pair[0].id, pair[1].id);
    }
    for placed in in_space {
        let chains = piece.feet(placed.id).iter();
        let heads = chains.map(|&id| panel.stitches.iter().find(|p| p.id == id).unwrap().head);
        let nearest = heads
            .map(|head| head.distance(panel.feet(placed)[0]))
            .fold(f64::INFINITY, f64::min);
        assert!(nearest < 1.7, "{nearest} mm from the space");
    }
}

/// Every stitch is on one panel, and each in its place in the order of work.
#[test]
fn every_stitch_is_listed_once_in_the_order_of_work() {
    for (name, fabric) in all() {
        let panels = panels(&fabric);
        let ids: Vec<u32> = panels
            .iter()
            .flat_map(|panel| panel.stitches.iter().map(|placed| placed.id.0))
            .collect();
        let expected: Vec<u32> = (0..fabric.pieces[0].stitches.len() as u32).collect();
        assert_eq!(ids, expected, "{name}");
    }
}

/// The usual ball (common practice): an opening that reads outward, its even rounds in one ring, and a closing that reads inward.
#[test]
fn a_ball_is_an_opening_and_a_closing() {
    let panels = of(ball(6));
    assert_eq!(panels.len(), 2);
    let (opening, closing) = (&panels[0], &panels[1]);
    assert_eq!((opening.first, opening.last), (1, 12));
    assert_eq!((closing.first, closing.last), (13, 17));
    assert_eq!(opening.direction, Direction::Outward);
    assert_eq!(closing.direction, Direction::Inward);
    let labels: Vec<&str> = opening
        .rings
        .iter()
        .map(|ring| ring.label.as_str())
        .collect();
    assert_eq!(labels, ["1", "2", "3", "4", "5", "6", "7–12"]);
    assert_eq!(
        opening.table.last(),
        Some(&Row::Round {
            label: "7–12".into(),
            stitches: 36,
            change: Some(0),
            yarns: String::new(),
            here: None,
        })
    );
    assert_eq!(closing.anchors.len(), 36);
    let out = |panel: &Panel, i: usize| panel.stitches[i].head.distance(middle(panel));
    assert!(out(opening, 0) < out(opening, 100));
    assert!(out(closing, 0) > out(closing, closing.stitches.len() - 1));
}

#[test]
fn stitches_of_a_folded_round_lie_where_the_ring_is() {
    let panels = of(ball(4));
    let ring = panels[0].rings.last().unwrap();
    let stitches = panels[0].ring_stitches(ring);
    let (drawn, others) = stitches.split_at(24);
    assert!(drawn.iter().all(|placed| placed.glyph != Glyph::None));
    for round in others.chunks(24) {
        for (like, placed) in drawn.iter().zip(round) {
            assert_eq!((placed.head, placed.glyph), (like.head, Glyph::None));
        }
    }
}

/// Nothing that a maker must see hides in a run of equal rounds.
#[test]
fn a_run_is_never_folded_across_a_change() {
    let rounds = |change: &dyn Fn(&mut Maker)| {
        let mut maker = disc(3);
        maker.round().sc(18);
        maker.round().sc(18);
        change(&mut maker);
        maker.round().sc(18);
        maker.round().sc(18);
        let fabric = fabric("Harbour", vec![maker.piece, disc(2).piece]);
        let labels: Vec<String> = in_rings(&fabric)[0]
            .rings
            .iter()
            .map(|ring| ring.label.clone())
            .collect();
        labels[3..].join(" ")
    };
    assert_eq!(rounds(&|_| {}), "4–7");
    assert_eq!(
        rounds(&|maker| {
            maker.step(StepKind::Eyes(EyePlace::default()));
        }),
        "4–5 6–7"
    );
    assert_eq!(rounds(&|maker| maker.yarn = Some(YarnId(0))), "4–5 6–7");
    assert_eq!(rounds(&|maker| maker.join(1, 1, 2, 5..=6)), "4 5 6–7");
    let moved = |maker: &mut Maker| {
        maker.round().sc(17);
        maker.sc(1);
        maker.round().skip(1).sc(18);
    };
    assert_eq!(rounds(&moved), "4–6 7 8–9");
}

/// A right-handed maker's rounds run counter-clockwise seen from outside, from a start at the bottom (published chart-reading
/// guides: anniescatalog.com, "Symbol crochet"; dmc.com, "How to read a crochet chart"). Of 24 stitches, the 5th to 8th
/// then lie a sixth to a third of a turn on: on the right of the chart, and on the left for a left-handed maker. Worked by hand: with the
/// start at the middle of the back, the head seen from above with the back at the bottom, that is the toy's own right side.
#[test]
fn a_part_joined_on_stitches_5_to_8_lies_on_the_right_of_a_right_handed_chart() {
    let fabric = winged();
    for (hand, side) in [(Hand::Right, 1.0), (Hand::Left, -1.0)] {
        let fabric = Fabric {
            hand,
            ..fabric.clone()
        };
        let panel = &in_rings(&fabric)[0];
        let middle = middle(panel);
        let piece = &fabric.pieces[0];
        for (copy, turn) in [(1, side), (2, -side)] {
            let joined = panel.stitches.iter().filter(|placed| {
                let join = piece.stitch(placed.id).join;
                join.is_some_and(|join| piece.joins[join as usize].copy == copy)
            });
            let heads: Vec<Point> = joined.map(|placed| placed.head).collect();
            assert_eq!(heads.len(), 4);
            for head in heads {
                let off = (head - middle) * turn;
                assert!(off.x > 4.0 * off.y.abs().min(1.0), "copy {copy}: {off:?}");
            }
        }
    }
}

/// The other end of a piece, seen from outside, runs the other way.
#[test]
fn a_closing_runs_clockwise_for_a_right_handed_maker() {
    for (hand, sign) in [(Hand::Right, 1.0), (Hand::Left, -1.0)] {
        let fabric = fabric("Harbour", vec![ball(5).piece]);
        let panels = in_hand(&fabric, hand);
        for (panel, turn) in [(&panels[0], sign), (&panels[1], -sign)] {
            let middle = middle(panel);
            for pair in panel.ring_stitches(&panel.rings[1]).windows(2) {
                let (a, b) = (pair[0].head - middle, pair[1].head - middle);
                // With y down, counter-clockwise on paper is a negative cross product.
                assert!(-a.cross(b) * turn > 0.0, "{}", panel.title);
            }
        }
        let way = |panel: &Panel| panel.description.contains(", clockwise");
        assert_eq!(way(&panels[0]), hand == Hand::Left);
        assert_eq!(way(&panels[1]), hand == Hand::Right);
        assert!(
            panels
                .iter()
                .all(|panel| panel.description.contains("Seen from outside"))
        );
    }
}

#[test]
fn a_left_handed_chart_is_the_mirror_image() {
    for (name, fabric) in all() {
        let right = in_hand(&fabric, Hand::Right);
        let left = in_hand(&fabric, Hand::Left);
        for (right, left) in right.iter().zip(&left) {
            let (a, b) = (right.stitches[0].head, left.stitches[0].head);
            for (one, other) in right.stitches.iter().zip(&left.stitches) {
                let (one, other) = (one.head - a, other.head - b);
                assert!((one.x + other.x).abs() < 1e-6, "{name}");
                assert!((one.y - other.y).abs() < 1e-6, "{name}");
            }
        }
    }
}

/// Right-side rows read right to left, wrong-side rows left to right, the first lowest (conventions of the trade, no source).
#[test]
fn rows_run_to_and_fro_upwards() {
    let fabric = fabric("Harbour", vec![flap(7).piece]);
    let panel = &panels(&fabric)[0];
    assert_eq!(panel.layout, Layout::Strip);
    let piece = &fabric.pieces[0];
    let mut below = f64::INFINITY;
    for ring in &panel.rings {
        let heads: Vec<Point> = panel
            .ring_stitches(ring)
            .iter()
            .filter(|placed| matches!(piece.stitch(placed.id).role, Role::Head))
            .map(|placed| placed.head)
            .collect();
        for pair in heads.windows(2) {
            let leftward = pair[1].x < pair[0].x;
            assert_eq!(leftward, ring.first % 2 == 1, "row {}", ring.first);
        }
        if let Some(head) = heads.first() {
            assert!(head.y < below - 3.0);
            below = head.y;
        }
    }
}

/// A chart shows the right side (conventions of the trade, no source).
#[test]
fn single_loops_of_wrong_side_rows_are_drawn_as_they_look_from_the_right_side() {
    let fabric = fabric("Harbour", vec![flap(7).piece]);
    let panel = &panels(&fabric)[0];
    let drawn = |row: u32| {
        let ring = panel.rings.iter().find(|ring| ring.first == row).unwrap();
        let placed = panel.ring_stitches(ring).last().unwrap();
        match placed.glyph {
            Glyph::Stitch { into, .. } => into,
            other => panic!("{other:?}"),
        }
    };
    assert_eq!(drawn(3), Into::BackLoop);
    assert_eq!(drawn(4), Into::FrontLoop);
}

#[test]
fn rounds_lie_in_rings_or_in_a_strip_as_is_asked() {
    for (name, fabric) in all() {
        for layout in [Layout::Rings, Layout::Strip] {
            let options = Options {
                layout: Some(layout),
                ..Options::default()
            };
            let rows = name == "flap";
            for panel in lay_out(&fabric, 0, &options) {
                // Round a chain there is no first and last stitch to unroll.
                let stays_round = name == "oval" && panel.first == 1;
                let expected = match layout {
                    _ if rows => Layout::Strip,
                    _ if stays_round => Layout::Rings,
                    layout => layout,
                };
                assert_eq!(panel.layout, expected, "{name}, {}", panel.title);
                let found = quality(&panel, &fabric.pieces[0]);
                assert_eq!(found.out_of_order, [], "{name}, {}", panel.title);
                assert_eq!(found.adrift, [], "{name}, {}", panel.title);
                // One round of lace alone may be too wide for a strip: that is what was asked for.
                if layout == Layout::Rings {
                    assert!(found.overlaps.is_empty(), "{name}, {}", panel.title);
                    assert!(panel.width_mm <= 190.0, "{name}, {}", panel.title);
                    assert!(panel.height_mm <= 259.4, "{name}, {}", panel.title);
                }
            }
        }
    }
}

/// Parts are seen best on a strip, unless rings are asked for (a decision of our own).
#[test]
fn even_rounds_that_parts_are_attached_to_lie_in_a_strip() {
    let charted = charted();
    let tube = charted.iter().find(|one| one.name == "made-tube-with-fins");
    let fabric = &tube.expect("a tube").fabric;
    let layouts = |layout: Option<Layout>| -> Vec<(Layout, u32, u32)> {
        let options = Options {
            layout,
            ..Options::default()
        };
        let panels = lay_out(fabric, 1, &options);
        let told = |panel: &Panel| (panel.layout, panel.first, panel.last);
        panels.iter().map(told).collect()
    };
    let (rings, strip) = (Layout::Rings, Layout::Strip);
    assert_eq!(
        layouts(None),
        [(rings, 1, 3), (strip, 4, 9), (rings, 10, 11)]
    );
    let asked = layouts(Some(rings));
    assert!(
        asked.iter().all(|(layout, ..)| *layout == rings),
        "{asked:?}"
    );
}

/// The parts of a round too wide for a page hold each of its stitches once, and say so.
#[test]
fn parts_of_a_wide_round_hold_each_stitch_once() {
    let mut maker = Maker::new("Net");
    maker.begin(1, roundwright::fabric::RoundKind::Round);
    maker.ring(SC, 240);
    maker.round().sc(240);
    let panels = of(maker);
    assert!(panels.len() > 1);
    let mut seen: Vec<u32> = Vec::new();
    for (i, panel) in panels.iter().enumerate() {
        let part = panel.part.expect("a part");
        assert_eq!((part.number, part.of), (i + 1, panels.len()));
        assert!(
            panel
                .title
                .ends_with(&format!("part {} of {}", i + 1, panels.len()))
        );
        seen.extend(panel.stitches.iter().map(|placed| placed.id.0));
    }
    seen.sort();
    assert!(seen.into_iter().eq(0..480));
}

#[test]
fn squares_have_straight_sides() {
    let mut maker = Maker::new("Patch");
    maker.round().ring(SC, 8);
    for k in 2..6 {
        maker.round();
        for _ in 0..4 {
            maker.sc(k - 1).inc(SC, 3).sc(k - 2);
        }
    }
    let panels = of(maker);
    let panel = &panels[0];
    let last = panel.ring_stitches(panel.rings.last().unwrap());
    let heads = || last.iter().map(|placed| placed.head);
    let lowest = heads().map(|head| head.y).fold(0.0, f64::max);
    // Those of a side but for its rounded corners.
    let on_line = heads()
        .filter(|head| (head.y - lowest).abs() < 0.01)
        .count();
    assert!(on_line >= 8, "{on_line}");
}

/// Too wide for one page: the outer rounds stand on corners too, and are cut at these and along their sides.
#[test]
fn large_squares_keep_their_corners_and_are_cut_along_their_sides() {
    let mut maker = Maker::new("Patch");
    maker.round().ring(SC, 8);
    for k in 2..27 {
        maker.round();
        for _ in 0..4 {
            maker.sc(k - 1).inc(SC, 3).sc(k - 2);
        }
    }
    let panels = of(maker);
    let parts: Vec<&Panel> = panels.iter().filter(|panel| panel.part.is_some()).collect();
    assert!(parts.len() >= 8, "{}", parts.len());
    for panel in parts {
        assert!(
            panel
                .description
                .contains("Cut at the corners and along the sides")
        );
        // Each round of a part lies on a level line, but for what is about its corner.
        let ring = panel.ring_stitches(panel.rings.last().unwrap());
        let highest = ring
            .iter()
            .map(|placed| placed.head.y)
            .fold(f64::INFINITY, f64::min);
        let level = ring.iter().filter(|placed| placed.head.y - highest < 0.01);
        assert!(level.count() * 10 >= ring.len() * 9, "{}", panel.title);
    }
}

/// An edging stands on stitches of many rows: each is drawn, and under what is worked into it.
#[test]
fn an_edging_shows_what_it_is_worked_into() {
    let text = "## Flag\nRow 1: ch 5, sc in 2nd ch from hook and in each ch across (4)\nRows 2-4: ch 1, turn, 4 sc (4)\nRnd 5: sc evenly around the edge (20)\n";
    let (pattern, _) = pattern::read(&Source::new("flag.md", text));
    let (fabric, _) = fabric::work(&pattern);
    let panels = panels(&fabric);
    let edging = panels.last().unwrap();
    let piece = &fabric.pieces[0];
    for placed in &edging.stitches {
        for (foot, point) in piece.feet(placed.id).iter().zip(edging.feet(placed)) {
            let under = edging.anchors.iter().find(|anchor| anchor.id == *foot);
            assert!(under.is_some_and(|under| under.head.distance(*point) < 0.2));
        }
    }
}

#[test]
fn rounds_can_be_asked_for() {
    let fabric = fabric("Harbour", vec![disc(8).piece]);
    let asked = |rounds| {
        let options = Options {
            rounds: Some(rounds),
            ..Options::default()
        };
        lay_out(&fabric, 0, &options)
    };
    let panels = asked(3..=5);
    assert_eq!(panels.len(), 1);
    assert_eq!((panels[0].first, panels[0].last), (3, 5));
    assert_eq!(panels[0].anchors.len(), 12);
    assert!(asked(20..=30).is_empty());
    assert!(lay_out(&fabric, 7, &Options::default()).is_empty());
}

/// A4 is 210 mm wide and Letter 215.9 mm; printers need a margin (ISO 216; common practice).
#[test]
fn a_long_piece_is_cut_into_panels_that_fit_a_sheet() {
    let mut maker = disc(6);
    for _ in 0..40 {
        // Every second round is worked into the back loops, so that no ring can stand for many.
        maker.round().each(SC, Into::BackLoop, 36);
        maker.round().sc(36);
    }
    let panels = of(maker);
    assert!(panels.len() > 3);
    for panel in &panels {
        assert!(panel.width_mm <= 195.0, "{} mm", panel.width_mm);
    }
    for pair in panels.windows(2) {
        assert_eq!(pair[0].last + 1, pair[1].first);
        assert_eq!(pair[1].anchors.len(), 36);
    }
}

#[test]
fn a_moved_start_begins_a_panel_of_its_own() {
    let mut maker = disc(4);
    maker.round().sc(24);
    // Three more, into the first of the same round: its new start is after them.
    let first = maker.piece.rounds[4].stitches.start;
    for i in 0..3 {
        maker.one(
            SC,
            Into::Stitch,
            Role::Head,
            &[roundwright::fabric::StitchId(first + i)],
        );
    }
    maker.piece.rounds[4].edge.drain(..3);
    maker.round().sc(24);
    maker.round().sc(24);
    let panels = of(maker);
    assert_eq!(panels.len(), 2);
    assert_eq!((panels[0].last, panels[1].first), (5, 6));
    let beyond = &panels[0].stitches[panels[0].stitches.len() - 1];
    let ring = panels[0].stitches[panels[0].stitches.len() - 10].head;
    let middle = middle(&panels[0]);
    assert!(beyond.head.distance(middle) > ring.distance(middle) + 3.0);
}

#[test]
fn an_oval_goes_along_both_sides_of_its_chain() {
    let fabric = fabric("Harbour", vec![oval(3).piece]);
    let panel = &panels(&fabric)[0];
    let piece = &fabric.pieces[0];
    let first: Vec<_> = panel
        .ring_stitches(&panel.rings[0])
        .iter()
        .filter(|placed| piece.stitch(placed.id).role == Role::Head)
        .collect();
    let chain = panel.feet(first[0])[0];
    assert!(
        first[..5]
            .iter()
            .all(|placed| placed.head.y > chain.y + 2.0)
    );
    assert!(
        first[8..12]
            .iter()
            .all(|placed| placed.head.y < chain.y - 2.0)
    );
}

#[test]
fn wide_stitches_and_empty_rounds_are_no_trouble() {
    let mut maker = disc(3);
    maker.round();
    maker.round().each(SC, Into::Stitch, 0);
    let panels = of(maker);
    assert_eq!(panels[0].first, 1);
    let mut dtr = Maker::new("Star");
    dtr.round()
        .ring(roundwright::terms::Stitch::plain(Height::DoubleTreble), 18);
    dtr.close();
    assert_eq!(of(dtr).len(), 1);
}

#[test]
fn a_chain_to_start_from_amid_a_wide_round_is_shown_once() {
    let mut maker = Maker::new("Float");
    maker.round().ring(SC, 6);
    maker.round();
    for nth in 0..300 {
        let role = match nth {
            120 | 180 => Role::Foundation,
            _ => Role::Head,
        };
        let kind = if role == Role::Head { SC } else { CH };
        maker.one(kind, Into::Stitch, role, &[StitchId(nth / 50)]);
    }
    let total = maker.piece.stitches.len();
    let panels = of(maker);
    assert!(panels.iter().any(|panel| panel.part.is_some()));
    let shown = panels
        .iter()
        .map(|panel| panel.stitches.len())
        .sum::<usize>();
    assert_eq!(shown, total);
}

#[test]
fn a_document_says_its_rounds_and_escapes_what_the_pattern_says() {
    let mut maker = disc(3);
    maker.piece.name = "<script>alert(\"\u{7}1\")</script> & co".into();
    let fabric = fabric("Tide & <b>Time</b>", vec![maker.piece]);
    let svg = panel_svg(&panels(&fabric)[0], &fabric);
    assert!(!svg.contains("<script") && !svg.contains("<b>") && !svg.contains('\u{7}'));
    assert!(svg.contains("Tide &amp; &lt;b&gt;Time"));
    assert!(svg.contains("Round 2: 2 sc in one stitch 6 times. 12 stitches."));
    assert!(svg.contains("Round 3: (1 sc, 2 sc in one stitch) 6 times. 18 stitches."));
    assert_eq!(svg.matches("role=\"group\"").count(), 3 + 1);
    let tree = usvg::Tree::from_str(&svg, &usvg::Options::default()).unwrap();
    assert!(tree.size().width() > 100.0);
}

#[test]
fn the_same_fabric_gives_the_same_document_and_picture() {
    let make = || {
        let fabric = winged();
        let svg = panel_svg(&panels(&fabric)[0], &fabric);
        let png = raster::png(&svg, 60).unwrap();
        (svg, png)
    };
    assert_eq!(make(), make());
}
