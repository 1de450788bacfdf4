//! Edges that are sewn stitch for stitch and have unlike numbers of stitches.

use super::draft::{Draft, Sentence};
use super::parts::{Names, is_goal, sews};
use crate::prose::Word;
use crate::source::{Problem, quoted};

const STITCH: &[&str] = &["st", "sts", "stitch", "stitches"];
const LOOP: &[&str] = &["st", "sts", "stitch", "stitches", "loop", "loops"];
const ROUND: &[&str] = &["rnd", "round", "rd", "row", "R"];

/// `Sew the funnel, st for st, to the 24 front loops of the deck`, where the funnel's last round has 18.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let names = Names::new(draft.pattern);
    let sewing = draft.below_the_header().filter(|s| !s.in_round && sews(s));
    let one_to_one = sewing.filter(|sentence| is_one_to_one(sentence));
    one_to_one
        .filter_map(|sentence| unlike(draft, &names, sentence))
        .collect()
}

/// True for `st for st`, `stitch to stitch`, `one funnel stitch to one loop`.
fn is_one_to_one(sentence: &Sentence<'_>) -> bool {
    const FAR: usize = 4;
    let words = &sentence.words;
    (0..words.len()).any(|at| {
        let behind = &words[at + 1..words.len().min(at + FAR)];
        let joins = behind
            .first()
            .is_some_and(|word| word.is_any(&["for", "to", "by"]));
        let other = behind.iter().skip(1).find(|word| !word.is("one"));
        words[at].is_any(&["st", "stitch"]) && joins && other.is_some_and(|word| word.is_any(LOOP))
    })
}

fn unlike(draft: &Draft<'_>, names: &Names, sentence: &Sentence<'_>) -> Option<Problem> {
    let words = &sentence.words;
    let mut edges: Vec<(usize, usize)> = Vec::new();
    let named: Vec<(usize, usize)> = names
        .in_sentence(sentence)
        .filter_map(|(at, stem)| Some((at, names.only(stem)?)))
        .collect();
    for &(at, piece) in &named {
        edges.extend(edge_of(draft, sentence, (at, piece)).map(|count| (at, count)));
    }
    edges.extend((0..words.len()).filter_map(|at| Some((at, told(words, at)?))));
    edges.sort_unstable();
    let [(_, one), (_, other), ..] = edges[..] else {
        return None;
    };
    let object = named.first().map(|&(_, piece)| piece)?;
    let name = &draft.pattern.pieces.get(object)?.name;
    let message = format!(
        "{} is sewn stitch for stitch, but its edge and the other one have {one} and {other} stitches",
        quoted(name)
    );
    (one != other).then(|| {
        Problem::warning("part-width", sentence.span(), message)
            .help("change one of the edges, or ease one into the other and say so")
    })
}

/// The stitches of a piece's edge where it is what is sewn on, or of the round of it that the words name.
fn edge_of(
    draft: &Draft<'_>,
    sentence: &Sentence<'_>,
    (at, piece): (usize, usize),
) -> Option<usize> {
    const FAR: usize = 5;
    let words = &sentence.words;
    let rounds = &draft.fabric.pieces.get(piece)?.rounds;
    // `Round 12 of the head`
    let before = at.saturating_sub(FAR)..at;
    let number = before.rev().find_map(|at| {
        let number = words[at].whole_number()?;
        let of_round = at
            .checked_sub(1)
            .is_some_and(|before| words[before].is_any(ROUND));
        of_round.then_some(number)
    });
    match number {
        Some(number) => {
            let round = rounds.iter().find(|round| round.number == number)?;
            Some(round.edge.len())
        }
        None if !is_goal(sentence, at)
            || at > 0
                && words[..at].iter().any(|w| w.is("edge"))
                && !words[..at].iter().any(|w| w.is("to")) =>
        {
            Some(rounds.last()?.edge.len())
        }
        None => None,
    }
}

/// The number of `24 front loops`, `the ring of 18 free loops`.
fn told(words: &[Word<'_>], at: usize) -> Option<usize> {
    const FAR: usize = 3;
    let number = words[at].whole_number().filter(|&number| number > 1)?;
    let mut behind = words[at + 1..].iter().take(FAR);
    let is_round = at
        .checked_sub(1)
        .is_some_and(|before| words[before].is_any(ROUND));
    let counts = behind.any(|word| word.is_any(&["loops"]) || word.is_any(STITCH));
    (counts && !is_round).then_some(number as usize)
}
