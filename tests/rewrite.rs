//! Every text of the corpus written again: read anew it is worked as before, in every style and in both terms, and written twice it
//! stays as it is. The demo patterns are written in every style; of the others each takes every ninth, so that together they take all.

mod support;
#[path = "support/texts.rs"]
mod texts;

use std::fs;
use std::path::Path;

use libtest_mimic::{Arguments, Failed, Trial};
use roundwright::fabric::{self, Fabric, Piece};
use roundwright::pattern::{self, Pattern};
use roundwright::rewrite::{self, Style, Written};
use roundwright::source::{Level, Source};
use roundwright::terms::Terms;

fn main() {
    let arguments = Arguments::from_args();
    let mut trials = Vec::new();
    for folder in [
        "patterns",
        "tests/notation",
        "tests/golden",
        "tests/mistakes",
    ] {
        for (place, path) in texts::of(folder).into_iter().enumerate() {
            let name = format!(
                "{folder}/{}",
                path.file_name().unwrap_or_default().to_string_lossy()
            );
            trials.push(Trial::test(name, move || check(folder, place, &path)));
        }
    }
    libtest_mimic::run(&arguments, trials).exit();
}

/// A text read and worked.
struct Made {
    source: Source,
    pattern: Pattern,
    fabric: Fabric,
}

impl Made {
    fn of(text: &str) -> Made {
        let source = Source::new("t", text);
        let (pattern, _) = pattern::read(&source);
        let (fabric, _) = fabric::work(&pattern);
        Made {
            source,
            pattern,
            fabric,
        }
    }

    fn written(&self, style: &Style, terms: Terms) -> Written {
        rewrite::write(&self.source, &self.pattern, &self.fabric, style, terms)
    }
}

fn check(folder: &str, place: usize, path: &Path) -> Result<(), Failed> {
    let text = fs::read_to_string(path)?;
    // Expectations of the corpus are no part of its texts.
    let lines: Vec<&str> = text
        .lines()
        .map(|line| line.split(" ==> ").next().unwrap_or(line))
        .collect();
    let made = Made::of(&(lines.join("\n") + "\n"));
    let (_, problems) = support::check(&made.source);
    let is_right = problems.iter().all(|p| p.level < Level::Error);
    let every = if folder == "patterns" { 1 } else { 9 };
    for style in Style::all().skip(place % every).step_by(every) {
        for terms in [Terms::Us, Terms::Uk] {
            let at = |what: &str, text: &str| -> Failed {
                format!("{what}, in {} terms, {style:?}:\n{text}", terms.name()).into()
            };
            let written = made.written(&style, terms);
            let again = Made::of(&written.text);
            // What can't be followed may come out otherwise where its terms are changed.
            if is_right || terms == made.pattern.terms {
                same(&made.fabric, &again.fabric).map_err(|why| at(&why, &written.text))?;
            }
            let twice = again.written(&style, terms);
            if twice.text != written.text {
                return Err(at(
                    "written twice it changes",
                    &format!("{}\n----\n{}", written.text, twice.text),
                ));
            }
            let kept = written
                .problems
                .iter()
                .find(|p| matches!(p.code, "kept-words" | "not-rewritten"));
            if let Some(kept) = kept.filter(|_| is_right && folder != "tests/mistakes") {
                return Err(at("kept", made.source.slice(kept.span)));
            }
        }
    }
    Ok(())
}

/// Compares what is worked: not the words, nor their places.
fn same(a: &Fabric, b: &Fabric) -> Result<(), String> {
    if a.pieces.len() != b.pieces.len() {
        return Err(format!(
            "{} pieces, and then {}",
            a.pieces.len(),
            b.pieces.len()
        ));
    }
    for (p, q) in a.pieces.iter().zip(&b.pieces) {
        if (&p.name, p.make, p.rounds.len()) != (&q.name, q.make, q.rounds.len()) {
            return Err(format!(
                "{} x {} and then {} x {}",
                p.name, p.make, q.name, q.make
            ));
        }
        for at in 0..p.rounds.len() {
            let (left, right) = (round(a, p, at), round(b, q, at));
            if left != right {
                return Err(format!(
                    "{} round {}:\n{left:?}\n{right:?}",
                    p.name, p.rounds[at].number
                ));
            }
        }
        let steps = |piece: &Piece| -> Vec<_> {
            piece
                .steps
                .iter()
                .map(|step| (step.kind, step.after_round, step.after))
                .collect()
        };
        if steps(p) != steps(q) {
            return Err(format!(
                "{}: steps {:?} and then {:?}",
                p.name,
                steps(p),
                steps(q)
            ));
        }
    }
    Ok(())
}

/// All that there is of a round, in an order of its own.
fn round(fabric: &Fabric, piece: &Piece, at: usize) -> Vec<String> {
    let round = &piece.rounds[at];
    let mut told = vec![format!(
        "{} {:?} {} + {}, closed {}, wrong side {}, edge {:?}",
        round.number,
        round.kind,
        round.count,
        round.spaces,
        round.closed,
        round.wrong_side,
        round.edge
    )];
    for (id, stitch) in piece.round_stitches(round) {
        let yarn = stitch
            .yarn
            .map(|yarn| &fabric.yarns[usize::from(yarn.0)].letter);
        let join = stitch.join.map(|join| {
            let join = &piece.joins[join as usize];
            (
                join.part,
                join.copy,
                join.layers,
                join.stitches.iter().find(|(s, _)| *s == id),
            )
        });
        told.push(format!(
            "{:?} {:?} {:?} {yarn:?} {:?} {join:?}",
            stitch.kind,
            stitch.into,
            stitch.role,
            piece.feet(id)
        ));
    }
    told
}
