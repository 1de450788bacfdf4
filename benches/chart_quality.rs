//! How good the charts are, in numbers, a line a panel and a sum: `cargo bench --bench chart_quality`.
//!
//! Overlaps, crossings and hidden words should be 0; the smallest symbol at least 3 mm. Give a word to see only patterns with it in their
//! name, and what is wrong with them; `large`, `strip` or `left` before it for large symbols, all rounds in strips, or the left hand.

#[path = "../tests/support/charted.rs"]
mod charted;

use charted::{Charted, charted};
use roundwright::chart::quality::{Quality, quality};
use roundwright::chart::{Layout, Options, lay_out};
use roundwright::fabric::{Piece, StitchId};
use roundwright::terms::{Hand, Terms};

fn main() {
    let mut options = Options::default();
    let mut hand = None;
    let mut word = None;
    let words = std::env::args().skip(1);
    for asked in words.filter(|word| !word.starts_with("--")) {
        match asked.as_str() {
            "large" => options.large = true,
            "strip" => options.layout = Some(Layout::Strip),
            "left" => hand = Some(Hand::Left),
            _ => word = Some(asked),
        }
    }
    let wanted = |name: &str| word.as_ref().is_none_or(|word| name.contains(word));
    println!("{:<44}{}", "", HEAD);
    let mut sum = Sum::default();
    for Charted { name, mut fabric } in charted()
        .into_iter()
        .filter(|charted| wanted(&charted.name))
    {
        fabric.hand = hand.unwrap_or(fabric.hand);
        for (place, piece) in fabric.pieces.iter().enumerate() {
            for (i, panel) in lay_out(&fabric, place, &options).iter().enumerate() {
                let found = quality(panel, piece);
                let title = format!("{name} {} {}", place + 1, i + 1);
                println!("{title:<44}{}", line(&found));
                if word.is_some() {
                    tell(piece, &found);
                }
                sum.add(&found);
            }
        }
    }
    println!("{:<44}{}", format!("{} panels", sum.panels), line(&sum.all));
}

/// What is wrong, stitch by stitch.
fn tell(piece: &Piece, found: &Quality) {
    let name = |id: &StitchId| {
        let stitch = piece.stitch(*id);
        let (round, place) = (piece.rounds[stitch.round as usize].number, stitch.index + 1);
        format!(
            "{} {:?} {round}.{place}",
            stitch.kind.abbreviation(Terms::Us),
            stitch.role
        )
    };
    for (what, pairs) in [("over", &found.overlaps), ("across", &found.crossings)] {
        for [one, other] in pairs {
            println!("    {} {what} {}", name(other), name(one));
        }
    }
    for (what, ids) in [
        ("out of order", &found.out_of_order),
        ("adrift", &found.adrift),
    ] {
        for id in ids {
            println!("    {} {what}", name(id));
        }
    }
    for words in &found.hidden_words {
        println!("    {words:?} hidden");
    }
}

const HEAD: &str = "overlap (work) cross (work)  text order adrift  lean°  least mm  ink %";

fn line(quality: &Quality) -> String {
    format!(
        "{:>7} {:>6} {:>5} {:>6} {:>5} {:>5} {:>6} {:>6.1} {:>9.2} {:>6.2}",
        quality.overlaps.len(),
        quality.worked_overlaps,
        quality.crossings.len(),
        quality.worked_crossings,
        quality.hidden_words.len(),
        quality.out_of_order.len(),
        quality.adrift.len(),
        quality.lean_degrees,
        quality.smallest_mm,
        quality.ink * 100.0
    )
}

/// Counts added up; of the rest the worst, and the mean of the ink.
#[derive(Default)]
struct Sum {
    panels: usize,
    all: Quality,
}

impl Sum {
    fn add(&mut self, found: &Quality) {
        let all = &mut self.all;
        if self.panels == 0 {
            all.smallest_mm = f64::INFINITY;
        }
        all.overlaps.extend(&found.overlaps);
        all.crossings.extend(&found.crossings);
        all.worked_overlaps += found.worked_overlaps;
        all.worked_crossings += found.worked_crossings;
        all.hidden_words.extend(found.hidden_words.iter().cloned());
        all.out_of_order.extend(&found.out_of_order);
        all.adrift.extend(&found.adrift);
        all.lean_degrees = all.lean_degrees.max(found.lean_degrees);
        all.smallest_mm = all.smallest_mm.min(found.smallest_mm);
        all.ink = (all.ink * self.panels as f64 + found.ink) / (self.panels + 1) as f64;
        self.panels += 1;
    }
}
