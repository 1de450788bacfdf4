//! Counts and heights that the trade or a published source gives, beside the source.

mod support;

use std::f64::consts::PI;
use std::fmt::Write;

use roundwright::fabric::{Piece, Role, Round};
use roundwright::source::{Level, Source};
use roundwright::terms::Height;

/// Works the first piece of a text that has nothing wrong with it.
fn worked(text: &str) -> Piece {
    let source = Source::new("fact", text);
    let (mut fabric, problems) = support::check(&source);
    for problem in &problems {
        assert!(
            problem.level == Level::Note,
            "{} at `{}`\n{text}",
            problem.message,
            source.slice(problem.span)
        );
    }
    fabric.pieces.swap_remove(0)
}

fn counts(text: &str) -> Vec<u32> {
    worked(text)
        .rounds
        .iter()
        .map(|round| round.count)
        .collect()
}

/// For each head of a round, how many places it is worked into.
fn feet(piece: &Piece, round: &Round) -> Vec<usize> {
    piece
        .round_stitches(round)
        .filter(|(_, stitch)| stitch.role == Role::Head)
        .map(|(id, _)| piece.feet(id).len())
        .collect()
}

/// Every head of the round below is worked into as often as said, in all.
fn times_used(piece: &Piece, below: usize, above: usize) -> Vec<usize> {
    let edge = &piece.rounds[below].edge;
    edge.iter()
        .map(|&foot| {
            piece
                .round_stitches(&piece.rounds[above])
                .filter(|&(id, _)| piece.feet(id).contains(&foot))
                .count()
        })
        .collect()
}

/// A flat disc of sc grows by 6 a round (common practice, no source).
#[test]
fn a_flat_disc_of_single_crochet_has_six_more_each_round() {
    let disc = counts(
        "# Disc\nTerms: US\n\n## Disc\n\
         Rnd 1: 6 sc in magic ring\nRnd 2: inc around\nRnd 3: (sc, inc) around\n\
         Rnd 4: (2 sc, inc) around\nRnd 5: (3 sc, inc) around\nRnd 6: (4 sc, inc) around\n",
    );
    assert_eq!(disc, [6, 12, 18, 24, 30, 36]);
}

/// Stitches in the first round and added each round, by height: sc 6, hdc 8, dc 12, tr 16 to 18 (common practice, no source).
/// A disc lies flat when each round grows by 2π times the height in stitch widths (geometry).
#[test]
fn discs_of_taller_stitches_grow_by_their_height() {
    let table = [
        ("sc", Height::Single, 6, 6.0..=6.0),
        ("hdc", Height::HalfDouble, 8, 8.0..=8.0),
        ("dc", Height::Double, 12, 12.0..=12.0),
        ("tr", Height::Treble, 16, 16.0..=18.0),
    ];
    for (stitch, height, first, growth) in table {
        let disc = counts(&format!(
            "# Disc\nTerms: US\n\n## Disc\nRnd 1: {first} {stitch} in magic ring\n\
             Rnd 2: 2 {stitch} in each st around\nRnd 3: ({stitch} in next st, 2 {stitch} in next st) around\n"
        ));
        assert_eq!(disc, [first, 2 * first, 3 * first], "{stitch}");
        let flat = 2.0 * PI * height.in_widths();
        // The heights are kept to two places.
        assert!(
            flat > growth.start() - 0.04 && flat < growth.end() + 0.04,
            "{stitch} lies flat with {flat} more a round"
        );
    }
}

/// The usual ball: 6 more a round to the widest, as many even rounds, 6 fewer a round (common practice, no source).
#[test]
fn the_usual_ball_goes_up_stays_and_comes_down() {
    let ball = counts(
        "# Ball\nTerms: US\n\n## Ball\n\
         Rnd 1: 6 sc in magic ring\nRnd 2: inc x 6\nRnd 3: (sc, inc) x 6\nRnd 4: (2 sc, inc) x 6\n\
         Rnds 5-8: sc in each st around\n\
         Rnd 9: (2 sc, dec) x 6\nRnd 10: (sc, dec) x 6\nRnd 11: dec x 6\n",
    );
    assert_eq!(ball, [6, 12, 18, 24, 24, 24, 24, 24, 18, 12, 6]);
}

/// The ideal ball: n(i) = round(2π·R·sin θ(i) / w) with equal steps of θ
/// (mspremiseconclusion.wordpress.com, "The ideal crochet sphere", 2010).
#[test]
fn a_ball_by_the_ideal_formula_has_the_formula_s_counts() {
    for (radius_in_widths, rounds) in [(3.82, 11), (5.73, 17), (7.64, 23), (12.0, 37)] {
        let expected: Vec<u32> = (1..=rounds)
            .map(|i| {
                let theta = PI * f64::from(i) / f64::from(rounds + 1);
                (2.0 * PI * radius_in_widths * libm::sin(theta)).round() as u32
            })
            .collect();
        assert_eq!(counts(&ball_text(&expected)), expected);
    }
}

/// A ball with these counts, its increases and decreases spread evenly in each round.
fn ball_text(counts: &[u32]) -> String {
    let mut text = format!(
        "# Ball\nTerms: US\n\n## Ball\nRnd 1: {0} sc in magic ring ({0})\n",
        counts[0]
    );
    for (index, pair) in counts.windows(2).enumerate() {
        let (below, above) = (pair[0], pair[1]);
        let (change, shaping, uses) = if above >= below {
            (above - below, "inc", 1)
        } else {
            (below - above, "dec", 2)
        };
        let plain = below - change * uses;
        let mut words = Vec::new();
        for group in 0..change {
            let sc = plain * (group + 1) / change - plain * group / change;
            if sc > 0 {
                words.push(format!("{sc} sc"));
            }
            words.push(shaping.to_owned());
        }
        if change == 0 {
            words.push(format!("{plain} sc"));
        }
        writeln!(text, "Rnd {}: {} ({above})", index + 2, words.join(", "))
            .expect("a string takes all");
    }
    text
}

/// `inc` uses 1 and leaves 2 (theyarnmath.com, "How to read amigurumi patterns").
#[test]
fn an_increase_uses_one_and_leaves_two() {
    let piece =
        worked("# T\nTerms: US\n\n## T\nRnd 1: 6 sc in magic ring (6)\nRnd 2: inc x 6 (12)\n");
    assert_eq!(feet(&piece, &piece.rounds[1]), [1; 12]);
    assert_eq!(times_used(&piece, 0, 1), [2; 6]);
}

/// `dec` uses 2 and leaves 1; `6 dec` uses 12; `sc3tog` uses 3 and leaves 1
/// (theyarnmath.com, "How to read amigurumi patterns").
#[test]
fn decreases_use_what_they_put_together() {
    let start = "# T\nTerms: US\n\n## T\nRnd 1: 12 sc in magic ring (12)\n";
    for (words, leaves, places) in [
        ("6 dec (6)", 6, 2),
        ("dec x 6 (6)", 6, 2),
        ("4 sc3tog (4)", 4, 3),
    ] {
        let piece = worked(&format!("{start}Rnd 2: {words}\n"));
        assert_eq!(
            feet(&piece, &piece.rounds[1]),
            vec![places; leaves],
            "{words}"
        );
        assert_eq!(times_used(&piece, 0, 1), [1; 12], "{words}");
    }
}

/// Picot: chain 3, slip stitch into the first of them; it does not count as a stitch of the round (common practice, no source).
#[test]
fn a_picot_is_not_counted_and_not_worked_into() {
    let piece = worked(
        "# T\nTerms: US\n\n## T\nRnd 1: 6 sc in magic ring (6)\n\
         Rnd 2: (sc in next st, ch 3, sl st in 3rd ch from hook) x 6 (6)\nRnd 3: sc in each st around (6)\n",
    );
    let picots = piece
        .round_stitches(&piece.rounds[1])
        .filter(|(_, stitch)| stitch.role == Role::Picot)
        .count();
    assert_eq!(picots, 6 * 4);
    assert_eq!(piece.rounds[1].count, 6);
    assert_eq!(piece.rounds[1].spaces, 0);
    assert_eq!(piece.rounds[2].count, 6);
}

/// Turning chains: sl st 0, sc 1, hdc 2, dc 3 (common practice, no source), tr 4 (from memory).
#[test]
fn turning_chains_lift_the_hook_to_the_height_of_the_stitch() {
    let table = [
        (Height::Slip, 0),
        (Height::Single, 1),
        (Height::HalfDouble, 2),
        (Height::Double, 3),
        (Height::Treble, 4),
    ];
    for (height, chains) in table {
        assert_eq!(height.turning_chains(), chains, "{height:?}");
    }
}

/// A starting chain that counts stands for the stitch at its foot; ch 1 before sc only lifts the hook (common practice, no source).
#[test]
fn a_starting_chain_counts_where_custom_or_words_say_so() {
    let rounds = [
        (
            "ch 1, sc in each st around, join with sl st to first sc",
            12,
            0,
        ),
        (
            "ch 3 (counts as dc), dc in next 11 sts, join with sl st to 3rd ch of beg ch-3",
            12,
            2,
        ),
        (
            "ch 4 (counts as tr), tr in next 11 sts, join with sl st to 4th ch of beg ch-4",
            12,
            3,
        ),
    ];
    for (words, count, standing) in rounds {
        let piece = worked(&format!(
            "# T\nTerms: US\n\n## T\nRnd 1: 12 sc in magic ring, join with sl st to first sc (12)\nRnd 2: {words} (12)\n"
        ));
        let round = &piece.rounds[1];
        let stands = piece
            .round_stitches(round)
            .filter(|(_, stitch)| stitch.role == Role::Stand)
            .count();
        assert_eq!((round.count, stands), (count, standing), "{words}");
        assert_eq!(times_used(&piece, 0, 1), [1; 12], "{words}");
    }
}

/// A tube of 8 pressed flat is 4 pairs and is joined with 4 sc through both its layers and the body; a tube of 4 is
/// 2 pairs and takes 2 sc; the stitches of the body count on as usual (common practice, no source).
#[test]
fn a_part_pressed_flat_is_joined_by_pairs() {
    for (tube, pairs) in [(8, 4), (4, 2)] {
        let rest = 12 - pairs;
        let source = Source::new(
            "fact",
            format!(
                "# T\nTerms: US\n\n## Wing\nRnd 1: {tube} sc in magic ring ({tube})\nRnd 2: sc in each st around ({tube})\n\
                 Fasten off. Press flat.\n\n## Body\nRnd 1: 12 sc in magic ring (12)\n\
                 Rnd 2: {pairs} sc through both layers of the wing, {rest} sc (12)\n"
            ),
        );
        let (fabric, problems) = support::check(&source);
        assert!(problems.iter().all(|problem| problem.level == Level::Note));
        let body = &fabric.pieces[1];
        assert_eq!(body.rounds[1].count, 12);
        let [join] = body.joins.as_slice() else {
            panic!("{} joins", body.joins.len());
        };
        // Every stitch of the wing's edge is taken once, the first with the last, folded at the start of the round.
        let edge = &fabric.pieces[0].rounds[1].edge;
        assert_eq!(join.stitches.len(), pairs);
        let mut taken = Vec::new();
        for (_, layers) in &join.stitches {
            let places: Vec<usize> = layers
                .iter()
                .filter_map(|stitch| edge.iter().position(|other| other == stitch))
                .collect();
            assert_eq!(
                places.iter().sum::<usize>(),
                tube - 1,
                "a pair lies on each other"
            );
            taken.extend(places);
        }
        taken.sort_unstable();
        assert_eq!(taken, (0..tube).collect::<Vec<_>>());
    }
}
