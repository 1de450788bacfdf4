//! Pieces that can't be, or hardly: an answer, and nothing but numbers in it.

use roundwright::fabric;
use roundwright::pattern;
use roundwright::place;
use roundwright::shape;
use roundwright::source::Source;
use roundwright::toy::Kit;

fn relaxed(text: &str) {
    let source = Source::new("made", text);
    let (pattern, _) = pattern::read(&source);
    let (fabric, _) = fabric::work(&pattern);
    let shapes = shape::relax(&source, &pattern, &fabric);
    let mut placement = place::place(&source, &pattern, &fabric);
    placement.measure(&fabric, &shapes);
    let kit = Kit::new(&source, &pattern, &fabric, &shapes, &placement);
    assert_eq!(shapes.pieces.len(), fabric.pieces.len());
    for relaxed in &shapes.pieces {
        let piece = &fabric.pieces[relaxed.piece];
        assert!(
            relaxed.points.iter().all(|point| point.is_finite()),
            "{text}"
        );
        assert!(
            relaxed.strains().iter().all(|strain| strain.is_finite()),
            "{text}"
        );
        let front = kit.front(relaxed.piece);
        let measures = shape::measure(relaxed, piece, front);
        let sizes = [measures.height_cm, measures.width_cm, measures.depth_cm];
        assert!(
            sizes.iter().all(|size| size.is_finite() && *size >= 0.0),
            "{text}"
        );
        assert!(measures.stuffing_cm3.is_finite() && measures.bend_deg.is_finite());
        let alone = kit.alone(relaxed.piece);
        assert!(
            alone.points(&shapes).all(|point| point.is_finite()),
            "{text}"
        );
    }
    if let Some(whole) = kit.whole() {
        assert!(
            whole.points(&shapes).all(|point| point.is_finite()),
            "{text}"
        );
    }
}

#[test]
fn small_and_odd_pieces_have_a_shape() {
    for text in [
        "## Dot\nRnd 1: 1 sc in magic ring (1)\n",
        "## Dot\nRnd 1: 2 sc in magic ring (2)\nRnd 2: 2 sc (2)\n",
        "## Two\nRnd 1: 6 sc in magic ring (6)\nRnd 2: inc x 6 (12)\nStuff firmly.\nClose the hole.\n",
        "## Thread\nRnd 1: 1 sc in magic ring (1)\nRnds 2-9: sc (1)\nStuff.\n",
        "## Chain\nRow 1: ch 12 (12)\n",
        "## Flap\nRow 1: ch 9, sc in 2nd ch from hook and in each ch across (8)\nRow 2: ch 1, turn, sc in each st across (8)\nPress flat.\n",
        "## None\nFasten off.\n",
        "## Shut\nRnd 1: 12 sc in magic ring (12)\nRnd 2: dec x 6 (6)\nRnd 3: dec x 3 (3)\nStuff.\nClose the hole.\n",
        "## Wrong\nRnd 1: 6 sc in magic ring (6)\nRnd 2: dec x 9 (40)\nRnd 3: sc around (3)\n",
    ] {
        relaxed(text);
    }
}

/// 10 rounds that each double: 6,138 stitches with no room in space. It ends, settled or not.
#[test]
fn what_can_not_be_ends_all_the_same() {
    let mut text = "## Frill\nRnd 1: 6 sc in magic ring (6)\n".to_owned();
    for round in 2..=10 {
        text += &format!("Rnd {round}: inc in each st around ({})\n", 3 << round);
    }
    relaxed(&text);
}

#[test]
fn parts_that_need_each_other_or_themselves_are_placed_or_left_out() {
    relaxed(
        "## Arm (make 2)\nRnd 1: 4 sc in magic ring (4)\nRnds 2-3: sc around (4)\nPress flat.\n\n\
         ## Body\nRnd 1: 6 sc in magic ring (6)\nRnd 2: inc x 6 (12)\n\
         Rnd 3: 2 sc through both layers of the first arm, 4 sc, 2 sc through both layers of the body, 4 sc (12)\n",
    );
    relaxed(
        "## One\nRnd 1: 4 sc in magic ring (4)\nRnd 2: 2 sc through both layers of the other, 2 sc (4)\n\n\
         ## Other\nRnd 1: 4 sc in magic ring (4)\nRnd 2: 2 sc through both layers of the one, 2 sc (4)\n",
    );
}
