//! What is said of a round: its name, its words, its count, what is to be ready and what comes after.

use std::ops::Range;

use super::Options;
use crate::chart::Panel;
use crate::fabric::{Fabric, Piece, Round, RoundKind};
use crate::order::{self, Task, When};
use crate::source::{Source, Span};
use crate::terms::sides;

/// Lines of the pattern that are shown at most for one run of rounds.
const MOST_LINES: usize = 3;

/// What is said of a round or a run of equal rounds.
pub(super) struct Told {
    /// For the name of its file.
    pub label: String,
    /// `Round 17`.
    pub title: String,
    /// `36 stitches each, +6, yarns A, B`.
    pub count: String,
    /// What to do, line by line.
    pub words: Vec<String>,
    /// The parts to have ready.
    pub parts: Vec<Part>,
    /// What is done after it, or nothing.
    pub then: String,
    /// Its stitches: places in [`Piece::stitches`] of the round that is drawn.
    pub drawn: Range<u32>,
}

/// A part that is joined in the round.
pub(super) struct Part {
    /// Its name, with its number where several are made.
    pub name: String,
    /// Layers that are worked through.
    pub layers: u32,
    /// The stitches of the round that go through it.
    pub stitches: Vec<u32>,
}

impl Part {
    /// What is to be done with it.
    pub fn says(&self) -> String {
        let layers = match self.layers {
            1 => "1 layer".to_owned(),
            2 => "both layers".to_owned(),
            layers => format!("{layers} layers"),
        };
        let stitches = match self.stitches.len() {
            1 => "1 st".to_owned(),
            count => format!("{count} sts"),
        };
        format!("{stitches}, {layers}")
    }
}

/// None for a ring without stitches.
pub(super) fn told(
    source: &Source,
    fabric: &Fabric,
    panel: &Panel,
    rings: Range<usize>,
    tasks: &[Task],
    options: Options,
) -> Option<Told> {
    let piece = fabric.pieces.get(panel.piece)?;
    let shown = &panel.rings[rings.start];
    let first = rounds_of(piece, panel, rings.start)?.start;
    let last = rounds_of(piece, panel, rings.end - 1)?.end - 1;
    let (opening, closing) = (&piece.rounds[first], &piece.rounds[last]);
    let several = first != last;
    let title = match (opening.kind, several, opening.number) {
        (_, _, 0) => "Start".to_owned(),
        (RoundKind::Round, false, number) => format!("Round {number}"),
        (RoundKind::Row, false, number) => format!("Row {number}"),
        (RoundKind::Round, true, _) => format!("Rounds {}", numbers(opening, closing)),
        (RoundKind::Row, true, _) => format!("Rows {}", numbers(opening, closing)),
    };
    let words = words(source, piece, first..last + 1, &shown.says, &title, options);
    let side = match (opening.kind, opening.wrong_side, opening.number) {
        (RoundKind::Row, true, 1..) => ", wrong side",
        (RoundKind::Row, false, 1..) if has_wrong_side(piece) => ", right side",
        _ => "",
    };
    let each = if several { " each" } else { "" };
    let mut count = match closing.count {
        1 => format!("1 stitch{each}"),
        count => format!("{count} stitches{each}"),
    };
    count.push_str(
        &match first.checked_sub(1).map(|below| &piece.rounds[below]) {
            Some(below) if below.number > 0 => {
                change(i64::from(opening.count) - i64::from(below.count))
            }
            _ => String::new(),
        },
    );
    count.push_str(&yarns(fabric, piece, opening));
    if let Some(length) = (first..=last).find_map(|at| piece.length_at(at)) {
        count.push_str(&format!(", {}", length.says()));
    }
    let label = match (opening.number, several) {
        (0, _) => "start".to_owned(),
        (number, false) => number.to_string(),
        (number, true) => format!("{number}-{}", closing.number),
    };
    Some(Told {
        label,
        title: format!("{title}{side}"),
        count,
        words,
        parts: parts(fabric, piece, first..last + 1),
        then: then(source, piece, first..last + 1, tasks, options),
        drawn: opening.stitches.clone(),
    })
}

/// The rounds that a ring stands for: places in [`Piece::rounds`]; none for a ring without stitches.
fn rounds_of(piece: &Piece, panel: &Panel, ring: usize) -> Option<Range<usize>> {
    let placed = panel.ring_stitches(&panel.rings[ring]);
    let first = piece.stitch(placed.first()?.id).round as usize;
    let last = piece.stitch(placed.last()?.id).round as usize;
    Some(first..last + 1)
}

/// The rings that share a picture: those of one line of the pattern that are worked alike, in the same yarns, with nothing
/// to join or to do between them.
pub(super) fn runs(fabric: &Fabric, panel: &Panel) -> Vec<Range<usize>> {
    let Some(piece) = fabric.pieces.get(panel.piece) else {
        return Vec::new();
    };
    let mut runs: Vec<Range<usize>> = Vec::new();
    for ring in 0..panel.rings.len() {
        match runs.last_mut() {
            Some(run) if are_alike(piece, panel, ring - 1, ring) => run.end = ring + 1,
            _ => runs.push(ring..ring + 1),
        }
    }
    runs
}

fn are_alike(piece: &Piece, panel: &Panel, one: usize, next: usize) -> bool {
    let of = |ring: usize| rounds_of(piece, panel, ring);
    let (Some(one), Some(next)) = (of(one), of(next)) else {
        return false;
    };
    let last = one.end - 1;
    let (a, b) = (&piece.rounds[last], &piece.rounds[next.start]);
    let is_idle = !piece
        .steps
        .iter()
        .any(|step| step.after_round as usize == one.end);
    let work = |round: &Round| {
        let stitches = piece.round_stitches(round).map(|(id, stitch)| {
            let feet = piece.feet(id).len();
            (stitch.kind, stitch.into, stitch.role, stitch.yarn, feet)
        });
        let is_joined = piece.round_stitches(round).any(|(_, s)| s.join.is_some());
        (stitches.collect::<Vec<_>>(), is_joined)
    };
    let ((one, joins), (other, _)) = (work(a), work(b));
    let follows = a.number.checked_add(1) == Some(b.number) && a.wrong_side == b.wrong_side;
    is_idle && follows && !joins && a.written == b.written && one == other
}

/// `19–24`.
fn numbers(first: &Round, last: &Round) -> String {
    format!("{}–{}", first.number, last.number)
}

fn has_wrong_side(piece: &Piece) -> bool {
    piece.rounds.iter().any(|round| round.wrong_side)
}

fn change(difference: i64) -> String {
    match difference {
        0 => ", no change".to_owned(),
        more @ 1.. => format!(", +{more}"),
        fewer => format!(", −{}", fewer.unsigned_abs()),
    }
}

/// `, yarn A` or `, yarns A, B`: the yarns of a round in the order of work, where the pattern has several.
fn yarns(fabric: &Fabric, piece: &Piece, round: &Round) -> String {
    if fabric.yarns.len() < 2 {
        return String::new();
    }
    let mut letters: Vec<&str> = Vec::new();
    for (_, stitch) in piece.round_stitches(round) {
        let yarn = stitch
            .yarn
            .and_then(|yarn| fabric.yarns.get(usize::from(yarn.0)));
        if let Some(yarn) = yarn.filter(|yarn| !letters.contains(&yarn.letter.as_str())) {
            letters.push(&yarn.letter);
        }
    }
    match letters.as_slice() {
        [] => String::new(),
        [letter] => format!(", yarn {letter}"),
        several => format!(", yarns {}", several.join(", ")),
    }
}

/// The rounds in the words of the pattern; told anew where those are in other terms.
fn words(
    source: &Source,
    piece: &Piece,
    rounds: Range<usize>,
    says: &str,
    title: &str,
    options: Options,
) -> Vec<String> {
    let mut spans: Vec<Span> = rounds.map(|round| piece.rounds[round].span).collect();
    spans.dedup();
    let mut words: Vec<String> = spans
        .into_iter()
        .map(|span| plain(source.slice(span)))
        .filter(|words| !words.is_empty())
        .collect();
    words.truncate(MOST_LINES);
    if words.is_empty() || options.other_terms {
        let told = says.split_once(": ").map_or(says, |(_, told)| told);
        return vec![format!("{title}: {told}")];
    }
    for_hand(words, options)
}

/// Words of the pattern on one line, without what marks them up.
fn plain(words: &str) -> String {
    let words: Vec<&str> = words.split_whitespace().collect();
    words.join(" ").replace("**", "").replace('`', "")
}

fn for_hand(words: Vec<String>, options: Options) -> Vec<String> {
    match options.other_hand {
        true => words.iter().map(|words| sides::swapped(words)).collect(),
        false => words,
    }
}

/// The parts that the rounds join, in the order of work.
fn parts(fabric: &Fabric, piece: &Piece, rounds: Range<usize>) -> Vec<Part> {
    let joins = piece.joins.iter().filter(|join| {
        let first = join.stitches.first();
        first.is_some_and(|(id, _)| rounds.contains(&(piece.stitch(*id).round as usize)))
    });
    joins
        .map(|join| {
            let part = fabric.pieces.get(join.part);
            let name = part.map_or("", |part| part.name.trim());
            let name = if name.is_empty() { "the part" } else { name };
            let name = match part {
                Some(part) if part.make > 1 => format!("{name} {}", join.copy),
                _ => name.to_owned(),
            };
            Part {
                name,
                layers: join.layers,
                stitches: join.stitches.iter().map(|(id, _)| id.0).collect(),
            }
        })
        .collect()
}

/// What is done after the rounds and before the next, in the sentences of the pattern; what the rounds' own words
/// say is not said again.
fn then(
    source: &Source,
    piece: &Piece,
    rounds: Range<usize>,
    tasks: &[Task],
    options: Options,
) -> String {
    let own = piece.rounds[rounds.end - 1].span;
    let next = piece.rounds.get(rounds.end).map(|round| round.span.start);
    let until = next
        .filter(|&next| next > own.end)
        .unwrap_or(source.text().len());
    let mut sentences: Vec<Span> = piece
        .steps
        .iter()
        .filter(|step| step.after_round as usize == rounds.end)
        .filter(|step| step.span.start >= own.end)
        .map(|step| sentence(source.text(), step.span, own.end..until))
        .collect();
    sentences.dedup();
    let words = sentences.into_iter().map(|span| plain(source.slice(span)));
    let words: Vec<String> = words.filter(|words| !words.is_empty()).collect();
    let mut said = for_hand(words, options);
    if !said.is_empty() {
        said.extend(opening(tasks, rounds.end));
    }
    said.join(" ")
}

/// How wide the opening is where eyes or stuffing go in, or the hole is closed, after so many rounds.
fn opening(tasks: &[Task], rounds: usize) -> Option<String> {
    let when = When::After(rounds.checked_sub(1)?);
    let task = tasks.iter().find(|task| task.when == when)?;
    let across = order::length(task.opening_mm?);
    Some(format!("The opening is {across} across here."))
}

/// The sentence that words stand in, within their paragraph and a range that keeps other rounds out.
fn sentence(text: &str, words: Span, within: Range<usize>) -> Span {
    let before = &text[..words.start];
    let ends = [". ", ".\n", "! ", "\n\n", "\n- ", "\n* ", ": "];
    let start = ends
        .iter()
        .filter_map(|end| Some(before.rfind(end)? + end.len()))
        .max()
        .unwrap_or(0);
    let after = &text[words.end..];
    let end = [". ", ".\n", "! ", "!\n", "\n\n", "\n- ", "\n#", "\r\n\r\n"]
        .iter()
        .filter_map(|end| Some(after.find(end)? + usize::from(end.starts_with(['.', '!']))))
        .min()
        .unwrap_or(after.len());
    Span::new(
        start.max(within.start).min(words.start),
        (words.end + end).min(within.end).max(words.end),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sentence_ends_with_its_full_stop_or_its_paragraph() {
        let text =
            "Rnd 1: 6 sc (6)\n\nStuff the head. Insert eyes between\nrounds, 6 sts apart.\n\nNext";
        let at = |words: &str| {
            let start = text.find(words).unwrap();
            let span = sentence(text, Span::new(start, start + words.len()), 15..text.len());
            &text[span.range()]
        };
        assert_eq!(at("Stuff"), "Stuff the head.");
        assert_eq!(
            at("Insert eyes"),
            "Insert eyes between\nrounds, 6 sts apart."
        );
        assert_eq!(at("Next"), "Next");
    }

    #[test]
    fn changes_have_their_sign() {
        assert_eq!(
            [change(6), change(0), change(-6)],
            [", +6", ", no change", ", −6"]
        );
    }
}
