//! What is marked besides the stitches: counts, eyes, loops left free, stuffing, markers, the letters of yarns.

use kurbo::{Point, Shape};
use roundwright::chart::{Ink, Line, Options, Panel, Tone, lay_out};
use roundwright::draw::{Key, KeyMark};
use roundwright::fabric::{self, Fabric};
use roundwright::pattern;
use roundwright::source::Source;

fn panels(rounds: &str) -> (Fabric, Vec<Panel>) {
    let text = format!("# Float\n\nTerms: US\nYarn A: cork\nYarn B: white\n\n## Float\n{rounds}");
    let source = Source::new("float.md", &text);
    let (pattern, mut problems) = pattern::read(&source);
    let (fabric, found) = fabric::work(&pattern);
    problems.extend(found);
    assert!(problems.is_empty(), "{problems:?}");
    let panels = lay_out(&fabric, 0, &Options::default());
    (fabric, panels)
}

fn says(panels: &[Panel]) -> Vec<&str> {
    let marks = panels.iter().flat_map(|panel| &panel.marks);
    marks.map(|mark| mark.says.as_str()).collect()
}

/// The words of the marks that say something with this in it.
fn words<'a>(panels: &'a [Panel], with: &str) -> Vec<&'a str> {
    let marks = panels.iter().flat_map(|panel| &panel.marks);
    let inks = marks
        .filter(|mark| mark.says.contains(with))
        .flat_map(|mark| &mark.ink);
    inks.filter_map(|ink| match ink {
        Ink::Words(words) => Some(words.text.as_str()),
        _ => None,
    })
    .collect()
}

/// A ball up to 18 stitches: counts by common practice, no source.
const CUP: &str = "Rnd 1: with A, 6 sc in magic ring (6)\nRnd 2: inc x 6 (12)\nRnd 3: (sc, inc) x 6 (18)\nRnd 4: sc around (18)\n";

#[test]
fn the_count_of_a_round_stands_at_its_end_and_its_number_at_its_start() {
    let (_, panels) = panels(CUP);
    let at = |words: &str| -> Vec<Point> {
        let inks = panels[0].marks.iter().flat_map(|mark| &mark.ink);
        inks.filter_map(|ink| match ink {
            // Figures of the table are larger.
            Ink::Words(found) if found.text == words && found.size_mm < 3.0 => Some(found.at),
            _ => None,
        })
        .collect()
    };
    let (number, count) = (at("2"), at("12"));
    assert_eq!((number.len(), count.len()), (1, 1));
    // A right-hander's rounds run to the right where they start, at the bottom (dmc.com, "How to read a crochet chart").
    assert!(count[0].x < number[0].x && count[0].y == number[0].y);
    assert_eq!(at("18").len(), 2);
}

#[test]
fn rows_have_their_counts_beyond_their_ends() {
    let (_, panels) = panels(
        "Row 1: ch 8, sc in 2nd ch from hook and in each ch across, turn (7)\nRow 2: ch 1, sc, dec, 4 sc (6)\n",
    );
    let panel = &panels[0];
    let heads = |row: usize| {
        panel
            .ring_stitches(&panel.rings[row])
            .iter()
            .map(|placed| placed.head.x)
    };
    let count = |text: &str| {
        let inks = panel.marks.iter().flat_map(|mark| &mark.ink);
        let mut found = inks.filter_map(|ink| match ink {
            Ink::Words(words) if words.text == text && words.size_mm < 3.0 => Some(words.at.x),
            _ => None,
        });
        found.next().expect("a count")
    };
    let rows = panel.rings.len();
    assert!(
        heads(rows - 2).all(|x| count("7") < x),
        "right-side rows end on the left"
    );
    assert!(
        heads(rows - 1).all(|x| count("6") > x),
        "wrong-side rows end on the right"
    );
}

#[test]
fn eyes_are_rings_about_the_stitches_that_they_go_through() {
    let (fabric, panels) = panels(&format!(
        "{CUP}Rnd 5: sc around (18)\n\nInsert eyes between Rnds 3 and 4, through the 5th and the 9th st, 4 sts apart.\n"
    ));
    let eyes = "Eyes between rounds 3 and 4, 4 sts apart";
    let mark = panels[0].marks.iter().find(|mark| mark.says == eyes);
    let ink = &mark.expect("a mark of eyes").ink;
    let round = &fabric.pieces[0].rounds[2];
    for number in [5, 9] {
        let id = round.edge[number - 1];
        let placed = panels[0].stitches.iter().find(|placed| placed.id == id);
        let head = placed.expect("the stitch").head;
        let is_about = |ink: &Ink| match ink {
            Ink::Line { path, .. } => path.bounding_box().center().distance(head) < 0.01,
            _ => false,
        };
        assert!(ink.iter().any(is_about), "no ring about stitch {number}");
    }
    assert_eq!(words(&panels, eyes), ["Eyes", "4 sts apart"]);
}

#[test]
fn eyes_without_stitches_are_pointed_to_between_their_rounds() {
    let (_, panels) = panels(&format!(
        "{CUP}\nInsert eyes between Rnds 3 and 4, 6 sts apart.\n"
    ));
    assert_eq!(
        words(&panels, "Eyes between rounds 3 and 4"),
        ["Eyes", "between rounds 3 and 4", "6 sts apart"]
    );
}

#[test]
fn loops_that_a_later_round_takes_up_are_marked_with_its_number() {
    let (_, panels) = panels(
        "Rnd 1: 6 sc in magic ring (6)\nRnd 2: inc x 6 (12)\nRnd 3: in back loops only, sc in each st around (12)\n\
         Rnd 4: sc in each st around (12)\nRnd 5: in the front loops of Rnd 2, 2 sc in each st around (24)\n",
    );
    let free = "The free front loops of these stitches are taken up in round 5";
    assert_eq!(
        says(&panels).iter().filter(|says| **says == free).count(),
        1
    );
    // The next round's own single loops are not free.
    assert!(
        !says(&panels)
            .iter()
            .any(|says| says.contains("taken up in round 3"))
    );
}

#[test]
fn stuffing_and_markers_are_pointed_to_where_they_come() {
    let (_, panels) = panels(&format!(
        "{CUP}\nStuff firmly.\n\nRnd 5: 4 sc, place marker, 14 sc (18)\nRnd 6: sc around (18)\n"
    ));
    assert_eq!(words(&panels, "Stuff after round 4"), ["Stuff here"]);
    let marks = panels.iter().flat_map(|panel| &panel.marks);
    let markers: Vec<_> = marks
        .filter(|mark| mark.says == "Place a marker in stitch 4 of round 5")
        .collect();
    assert!(
        matches!(markers[..], [mark] if mark.ink.iter().any(|ink| matches!(ink, Ink::Symbol(..))))
    );
}

/// Where one change stands over another round after round, a tick is enough; the letter stands at both ends (common practice, no source).
#[test]
fn a_change_that_stands_over_itself_has_its_letter_at_both_ends() {
    let (_, panels) = panels(
        "Rnd 1: with A, 6 sc in magic ring (6)\nRnd 2: inc x 6 (12)\n\
         Rnds 3-7: 4 sc, change to B in the last st, 4 sc, change to A in the last st, 4 sc (12)\n",
    );
    for letter in ["A", "B"] {
        let mark = format!("Change to yarn {letter} in the last yarn-over");
        assert_eq!(words(&panels, &mark), [letter, letter]);
        let marks = panels.iter().flat_map(|panel| &panel.marks);
        let ticks = marks.filter(|m| m.says == mark).flat_map(|mark| &mark.ink);
        let is_tick = |ink: &&Ink| {
            matches!(
                ink,
                Ink::Line {
                    line: Line::Strong,
                    ..
                }
            )
        };
        assert_eq!(ticks.filter(is_tick).count(), 5);
    }
    let accents = panels
        .iter()
        .flat_map(|panel| &panel.marks)
        .flat_map(|mark| &mark.ink);
    let is_letter = |ink: &&Ink| matches!(ink, Ink::Words(words) if words.tone == Tone::Accent && words.text == "B");
    assert_eq!(accents.filter(is_letter).count(), 2);
}

/// Signs as the trade draws them, from memory.
#[test]
fn each_stitch_that_is_left_unworked_has_a_bow() {
    let (fabric, panels) = panels(
        "Rnd 1: with A, 12 dc in magic ring (12)\nRnd 2: (sc, ch 2, skip 1 st) x 6 (6 sc, 6 ch-2 sps)\n",
    );
    let says = says(&panels);
    assert!(says.contains(&"Under round 2, 6 left unworked"), "{says:?}");
    assert!(Key::of(&fabric, &[0]).marks.contains(&KeyMark::Skip));
}

#[test]
fn the_work_is_turned_at_the_end_of_each_row() {
    let (fabric, panels) = panels(
        "Row 1: ch 8, sc in 2nd ch from hook and in each ch across, turn (7)\nRow 2: ch 1, sc across, turn (7)\nRow 3: ch 1, sc across (7)\n",
    );
    let turns = says(&panels).iter().filter(|says| **says == "Turn").count();
    assert_eq!(turns, 2);
    assert!(Key::of(&fabric, &[0]).marks.contains(&KeyMark::Turn));
}

#[test]
fn slip_stitches_on_the_face_stand_one_beside_each_stitch() {
    let (fabric, panels) = panels(&format!(
        "{CUP}With B, surface sl st around Rnd 4.\nRnd 5: sc around (18)\n"
    ));
    let says = says(&panels);
    assert!(says.contains(&"18 slip stitches on the face"), "{says:?}");
    let key = Key::of(&fabric, &[0]);
    assert!(key.marks.contains(&KeyMark::Surface));
    // The yarn that only they are worked in is in the key as well.
    assert_eq!(key.yarns.len(), 2);
}

/// Where a round starts at the end of an oval, its line runs down the paper: the count stands over the number.
#[test]
fn the_counts_of_ovals_stand_by_their_numbers() {
    let (_, panels) = panels(
        "Rnd 1: with A, ch 8, hdc in 3rd ch from hook, hdc in next 4 ch, 3 hdc in last ch, on the other side of the chain, 4 hdc, 2 hdc in last ch (14)\nRnd 2: (6 hdc, inc) x 2 (16)\nRnd 3: (7 hdc, inc) x 2 (18)\nRnd 4: (8 hdc, inc) x 2 (20)\n",
    );
    let inks = panels[0].marks.iter().flat_map(|mark| &mark.ink);
    let at = |text: &str| {
        let mut words = inks.clone().filter_map(|ink| match ink {
            Ink::Words(words) if words.size_mm < 3.0 && words.text == text => Some(words.at),
            _ => None,
        });
        words.next()
    };
    let (number, count) = (at("4").unwrap(), at("20").unwrap());
    assert!(count.y < number.y && (count.x - number.x).abs() < 2.0);
}
