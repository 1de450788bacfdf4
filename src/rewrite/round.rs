//! One round of the text, written anew: label, body, total, and the words after it.

use std::collections::BTreeSet;

use super::edits::Edits;
use super::own::OwnStitches;
use super::settled::{Known, each_work, settled, settled_round, without_loops};
use super::spell::{Speller, Words, bare_height, joined, names_places, plain};
use super::style::Style;
use super::terms_left;
use super::used::Used;
use crate::fabric::{self, Piece, Role, YarnId};
use crate::pattern::{Act, Instruction, Round};
use crate::source::{Source, Span};
use crate::terms::words::{self, Word};
use crate::terms::{Form, Height, Into, Terms};

/// What every round of a pattern is written with.
pub(super) struct Desk<'a> {
    pub source: &'a Source,
    pub style: Style,
    pub terms: Terms,
    /// The terms of the words as they stand.
    pub old_terms: Terms,
    /// Letters of the yarns, by every name that they go by.
    pub yarn: &'a dyn Fn(&str) -> String,
    /// The name of a yarn of the fabric, as it is written.
    pub letter: &'a dyn Fn(YarnId) -> String,
    /// How many of a part are made.
    pub copies: &'a dyn Fn(usize) -> u32,
    /// The pattern's own stitches.
    pub own: &'a OwnStitches<'a>,
}

/// What is left open by the rounds before one.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Before {
    /// How many they are is for the maker to choose, so that `Next rnd` has no number.
    pub is_open: bool,
    /// What one of them makes can't be read, and no total has told since: only the designer knows the totals.
    pub is_unsure: bool,
}

/// A round in its new words.
pub(super) struct Written {
    pub text: String,
    /// Words of it that are kept as they stood.
    pub kept: Vec<Span>,
}

impl Desk<'_> {
    /// Writes a round; `at` are its places in the piece. `None` if something in it has no form of ours.
    pub fn write(
        &self,
        round: &Round,
        piece: &Piece,
        at: &[usize],
        before: Before,
        used: &mut BTreeSet<Used>,
    ) -> Option<Written> {
        // Its words say the other ways, or the other sizes, as well.
        if !round.choices.is_empty() || round.several_sizes {
            return None;
        }
        if round.flawed || round.body.iter().any(|item| item.act == Act::Unread) {
            return None;
        }
        let parts = Parts::of(round, self.source);
        let known = self.known(piece, at);
        let items = one_loop(self.yarn_first(settled_round(&parts.body, &known), piece, at));
        let mut speller = self.speller(round, &known, at, &items, used);
        let body = with_remarks(&mut speller, &items, &parts.remarks)?;
        let mut kept: Vec<Span> = parts.remarks.iter().map(|(span, _)| *span).collect();
        kept.extend(steps(&items));
        kept.extend(parts.tail.filter(|_| !parts.tail_works));

        let mut text = match self.next(round).filter(|_| before.is_open) {
            Some(next) => next,
            None => self.label(round),
        };
        if let Some(remark) = &parts.label_remark {
            text += &format!(" ({remark})");
        }
        text += ": ";
        text += &joined(&body);
        let total = total(round, piece, at).filter(|_| !before.is_unsure);
        if let Some(total) = total {
            text = format!("{} {}", text.trim_end(), self.style.total(&total));
            used.extend(total.contains("st").then_some(Used::St));
            used.extend(total.contains("sp").then_some(Used::Sp));
        }
        if let Some(tail) = parts.tail {
            let tail = self.tail(tail, parts.tail_works);
            // A note in a cell of its own.
            let note = tail.trim_start_matches(['\t', '|', ' ']);
            let in_cell = tail[..tail.len() - note.len()].contains(['\t', '|']);
            let tail = match in_cell {
                true => format!(". {}", note.trim_end_matches(['\t', '|', ' '])),
                false => tail,
            };
            text += &collapsed(&tail);
        }
        if !round.label.is_row {
            used.insert(Used::Rnd);
        }
        Some(Written { text, kept })
    }

    /// What is worked after a round on a line of its own: `Work 3 sc, new start of the round`. `None` if there is no such line.
    pub fn ending(
        &self,
        round: &Round,
        piece: &Piece,
        at: &[usize],
        used: &mut BTreeSet<Used>,
    ) -> Option<(Span, String)> {
        let span = round.ending.first()?.span.to(round.ending.last()?.span);
        let known = self.known(piece, at);
        let items = settled(&round.ending, &known);
        let words = self.speller(round, &known, at, &items, used).list(&items)?;
        // A line that begins with a number or a stitch would go on with the round above.
        Some((span, format!("Work {}", joined(&words))))
    }

    /// What is known of a round besides its words.
    fn known<'s>(&'s self, piece: &'s Piece, at: &[usize]) -> Known<'s> {
        let round = at.first().copied();
        Known {
            piece,
            round,
            reading: round.map(|at| piece.rounds[at].reading).unwrap_or_default(),
            height: height_before(piece, round.unwrap_or(piece.rounds.len())),
            own: self.own,
        }
    }

    fn speller<'s>(
        &'s self,
        round: &Round,
        known: &Known<'s>,
        at: &'s [usize],
        items: &[Instruction],
        used: &'s mut BTreeSet<Used>,
    ) -> Speller<'s> {
        let bare = bare_height(items, known.height);
        Speller {
            source: self.source,
            style: self.style,
            terms: self.terms,
            piece: known.piece,
            rounds: at,
            yarn: self.yarn,
            copies: self.copies,
            own: self.own,
            is_row: round.label.is_row,
            bare,
            names_places: names_places(items, bare),
            used,
            worked: false,
            goes_on: false,
            depth: 0,
            groups: 0,
            on_space: false,
            on_edge: false,
            corners_follow: false,
            on_chain: known.round.is_some_and(|at| along_chain(known.piece, at)),
            chains: 0,
        }
    }

    /// `6 sc in magic ring, with A` is `with A, 6 sc in magic ring`, where all of the round is in that yarn.
    fn yarn_first(
        &self,
        mut items: Vec<Instruction>,
        piece: &Piece,
        at: &[usize],
    ) -> Vec<Instruction> {
        let is_last = |at: usize| {
            items[at + 1..]
                .iter()
                .all(|item| matches!(item.act, Act::Step(_)))
        };
        let found = items
            .iter()
            .rposition(|item| matches!(item.act, Act::Yarn(_)))
            .filter(|&at| is_last(at));
        if let Some(place) = found
            && let Act::Yarn(name) = &items[place].act
            && at.iter().all(|&at| {
                let stitches = piece.round_stitches(&piece.rounds[at]);
                stitches.into_iter().all(|(_, stitch)| {
                    let letter = stitch.yarn.map(|id| (self.letter)(id));
                    letter.is_some_and(|letter| letter == (self.yarn)(&name.value))
                })
            })
        {
            let yarn = items.remove(place);
            items.insert(0, yarn);
        }
        items
    }

    /// The words after a total. Stitches that are worked there are named in the terms that are written.
    fn tail(&self, tail: Span, works: bool) -> String {
        let mut edits = Edits::default();
        if works && self.terms != self.old_terms {
            for (span, name) in
                terms_left::renamed(self.source, &[tail], self.old_terms, self.terms)
            {
                edits.replace(
                    Span::new(span.start - tail.start, span.end - tail.start),
                    name,
                );
            }
        }
        edits.made(self.source.slice(tail))
    }

    /// `Next rnd`, where the round's label says no more.
    fn next(&self, round: &Round) -> Option<String> {
        let words = self
            .source
            .slice(round.label.span)
            .trim_start_matches(['*', '_']);
        let opening = words.get(..4)?;
        opening
            .eq_ignore_ascii_case("next")
            .then(|| self.style.next(round.label.is_row, round.label.count()))
    }

    fn label(&self, round: &Round) -> String {
        let mut runs: Vec<(u32, u32)> = Vec::new();
        for &(first, last) in &round.label.numbers {
            match runs.last_mut() {
                Some(run) if run.1.checked_add(1) == Some(first) => run.1 = last,
                _ => runs.push((first, last)),
            }
        }
        let label = self.style.rounds(round.label.is_row, &runs);
        match round.label.wrong_side {
            Some(true) => label + " (WS)",
            Some(false) => label + " (RS)",
            None => label,
        }
    }
}

/// The words of a round, told apart.
struct Parts {
    /// What is worked, and done before the total.
    body: Vec<Instruction>,
    /// Words in the body that are no instructions, with the place among them.
    remarks: Vec<(Span, String)>,
    /// What stands after the total.
    tail: Option<Span>,
    /// Stitches are worked there: `Ss to close.`
    tail_works: bool,
    /// A remark in the label that is no instruction.
    label_remark: Option<String>,
}

impl Parts {
    fn of(round: &Round, source: &Source) -> Parts {
        let is_done = |item: &Instruction| !matches!(item.act, Act::Step(_));
        let stated = round
            .stated
            .map(|stated| stated.span)
            .filter(|span| span.start >= round.words.start);
        let end_of_work = round
            .body
            .iter()
            .filter(|item| is_done(item))
            .map(|item| item.span.end)
            .max()
            .unwrap_or(round.words.start);
        let total_end = stated.map_or(end_of_work, |span| span.end);
        let (mut body, mut after): (Vec<_>, Vec<_>) = round
            .body
            .iter()
            .cloned()
            .partition(|item| item.span.start < total_end || is_done(item));
        let mut tail_start = total_end;
        let tail_works = stated.is_some()
            && body.iter().any(|item| {
                item.span.start >= total_end && item.act.is_worked() && item.act != Act::Close
            });
        if tail_works {
            body.retain(|item| item.span.start < total_end);
        }
        // Where the round goes on after its total, the steps up to there are put before it.
        if end_of_work > total_end && !tail_works {
            body.append(
                &mut after
                    .extract_if(.., |item| item.span.start < end_of_work)
                    .collect(),
            );
            tail_start = end_of_work;
        }
        // `sc around for 5 rounds`: the number of rounds behind them is the label.
        tail_start = tail_start.max(round.label.span.end);
        let tail = Span::new(tail_start.min(round.span.end), round.span.end);
        let words = source.slice(tail);
        let has_words = words.contains(char::is_alphanumeric)
            && !says_how_many(words, round)
            && !says_for_which(words, round)
            && !is_change(words);
        let mut covered: Vec<Span> = body.iter().map(|item| item.span).collect();
        covered.extend(stated);
        let words = Span::new(round.words.start.min(tail_start), tail_start);
        let mut remarks = Vec::new();
        for gap in gaps(words, covered.clone()) {
            if says_for_which(source.slice(gap), round) {
                continue;
            }
            if let Some(span) = remark(gap, source) {
                remarks.push((span, plain(source.slice(span))));
            }
        }
        let label = Span::new(
            round.label.span.end,
            round.words.start.max(round.label.span.end),
        );
        covered.extend(round.stated.map(|stated| stated.span));
        Parts {
            body,
            remarks,
            tail: has_words.then_some(tail),
            tail_works,
            label_remark: label_remark(round, label, covered, source),
        }
    }
}

/// True for the cell of a table that says by how many stitches a round grew: `+6`.
fn is_change(words: &str) -> bool {
    let words = words.trim_start_matches(' ');
    if !words.starts_with(['|', '\t']) {
        return false;
    }
    let cell = words.trim_matches(['|', '\t', ' ']);
    let number = cell.trim_start_matches(['+', '-', '−', '–', ' ']);
    !number.is_empty() && number.chars().all(|c| c.is_ascii_digit())
}

/// True for `(3 rnds)` after a round whose label says so already.
fn says_how_many(words: &str, round: &Round) -> bool {
    let words = words.trim().trim_end_matches('.');
    let inner = words
        .strip_prefix(['(', '['])
        .and_then(|words| words.strip_suffix([')', ']']));
    let Some((number, unit)) = inner.and_then(|words| words.trim().split_once(' ')) else {
        return false;
    };
    let is_unit = matches!(
        unit.trim().to_lowercase().as_str(),
        "rnds" | "rounds" | "rows" | "rds"
    );
    is_unit && number.parse() == Ok(round.label.count())
}

/// True for `repeat this for Rnd 5` after a round whose label ends with that number.
fn says_for_which(words: &str, round: &Round) -> bool {
    let words = words.to_lowercase();
    // `Keep doing that for 3 more rounds, through Rnd 8.`
    let keeps = ["keep", "continue", "do ", "repeat", "carry"];
    if words.contains(" more r")
        && keeps
            .iter()
            .any(|word| words.trim_start_matches(['.', ' ']).starts_with(word))
    {
        return true;
    }
    let Some((again, rounds)) = words.rsplit_once(" for r") else {
        return false;
    };
    let says_again = ["repeat", "rep ", "same", "also"]
        .iter()
        .any(|word| again.contains(word));
    let mut numbers = rounds
        .split(|c: char| !c.is_ascii_digit())
        .filter(|number| !number.is_empty());
    says_again && numbers.next_back().and_then(|n| n.parse().ok()) == last_number(round)
}

fn last_number(round: &Round) -> Option<u32> {
    round.label.numbers.last().map(|run| run.1)
}

/// Words of a label that are neither its side, nor how many rounds it is, nor an instruction.
fn label_remark(round: &Round, label: Span, covered: Vec<Span>, source: &Source) -> Option<String> {
    if round.label.wrong_side.is_some() {
        return None;
    }
    let words: Vec<String> = gaps(label, covered)
        .into_iter()
        .filter_map(|gap| remark(gap, source))
        .map(|span| plain(source.slice(span)))
        .collect();
    (!words.is_empty()).then(|| words.join(" "))
}

/// What of a stretch the spans leave uncovered.
pub(super) fn gaps(words: Span, mut covered: Vec<Span>) -> Vec<Span> {
    covered.sort();
    let mut gaps = Vec::new();
    let mut at = words.start;
    for span in covered {
        if span.start > at && span.start <= words.end {
            gaps.push(Span::new(at, span.start));
        }
        at = at.max(span.end);
    }
    if at < words.end {
        gaps.push(Span::new(at, words.end));
    }
    gaps
}

/// The words of a gap that say something: a remark, or words that nobody knows. Words that only join, and how often a
/// list is repeated, are said by what is written.
fn remark(gap: Span, source: &Source) -> Option<Span> {
    let text = source.slice(gap);
    // `</td><td>`
    if text.trim().starts_with('<') && text.trim().ends_with('>') {
        return None;
    }
    let is_word = |c: char| c.is_alphabetic() || matches!(c, '\'' | '’');
    let lower = text.to_lowercase();
    let list: Vec<&str> = lower
        .split(|c| !is_word(c))
        .filter(|word| !word.is_empty())
        .collect();
    let mut at = 0;
    let mut says = false;
    while at < list.len() {
        match words::longest(|i| list.get(at + i).copied(), Terms::Us) {
            Some((Word::Remark, _)) | None if list[at].chars().count() > 1 => {
                says = true;
                at += 1;
            }
            Some((_, taken)) => at += taken,
            None => at += 1,
        }
    }
    if !says {
        return None;
    }
    let is_edge = |c: char| !c.is_alphanumeric();
    let mut words = text.trim_matches(is_edge);
    // What joins it to the next instruction is no part of it.
    for and in [" and", " then"] {
        words = words
            .strip_suffix(and)
            .unwrap_or(words)
            .trim_end_matches(is_edge);
    }
    let start = gap.start + (text.len() - text.trim_start_matches(is_edge).len());
    // `now the legs!` is a remark for its mark.
    let exclaims = text[start - gap.start + words.len()..].starts_with(['!', '?']);
    Some(Span::new(
        start,
        start + words.len() + usize::from(exclaims),
    ))
}

/// The body in words, its remarks where they stood.
fn with_remarks(
    speller: &mut Speller<'_>,
    items: &[Instruction],
    remarks: &[(Span, String)],
) -> Option<Vec<Words>> {
    let mut list = Vec::new();
    let mut waiting = remarks.iter().peekable();
    let mut at = 0;
    while at < items.len() {
        while let Some((_, text)) = waiting.next_if(|(span, _)| span.start < items[at].span.start) {
            list.push(Words {
                text: text.clone(),
                glued: false,
            });
        }
        let (text, taken) = speller.next(&items[at..])?;
        list.push(Words {
            text,
            glued: matches!(items[at].act, Act::StartCounts { .. }),
        });
        at += taken;
    }
    list.extend(waiting.map(|(_, text)| Words {
        text: text.clone(),
        glued: false,
    }));
    Some(list)
}

fn steps(items: &[Instruction]) -> impl Iterator<Item = Span> + '_ {
    items
        .iter()
        .filter(|item| matches!(item.act, Act::Step(_)))
        .map(|item| item.span)
}

/// The total as the fabric has it; as the words have it where the two differ, since that is for the designer to mend.
fn total(round: &Round, piece: &Piece, at: &[usize]) -> Option<String> {
    let first = &piece.rounds[*at.first()?];
    let alike = at.iter().all(|&i| {
        let other = &piece.rounds[i];
        (other.count, other.spaces) == (first.count, first.spaces)
    });
    let (heads, bridges, sizes) = edge(piece, first);
    let stated = round.stated.and_then(|s| s.stitches);
    let is_wrong = at
        .iter()
        .any(|&i| stated.is_some_and(|n| n != piece.rounds[i].count))
        || round
            .stated
            .and_then(|s| s.spaces)
            .is_some_and(|n| n != first.spaces);
    if is_wrong || !alike {
        let stated = round.stated?;
        return match (stated.stitches, stated.spaces) {
            (Some(n), None) => Some(n.to_string()),
            (None, Some(n)) => Some(format!("{n} sps")),
            (Some(n), Some(spaces)) => Some(format!("{n} sts, {spaces} sps")),
            (None, None) => None,
        };
    }
    if first.spaces > 0 && first.count == heads {
        let size = match sizes.iter().collect::<Vec<_>>().as_slice() {
            [n] => format!("ch-{n} "),
            _ => String::new(),
        };
        let space = if first.spaces == 1 { "sp" } else { "sps" };
        return Some(format!(
            "{} sts, {} {size}{space}",
            first.count, first.spaces
        ));
    }
    // Where some chains count and some do not, no total says so.
    (first.spaces == 0 || first.count == heads + bridges).then(|| first.count.to_string())
}

/// Heads and bridging chains that a round leaves, and the sizes of its spaces.
fn edge(piece: &Piece, round: &fabric::Round) -> (u32, u32, BTreeSet<u32>) {
    let (mut heads, mut bridges, mut run) = (0, 0, 0);
    let mut sizes = BTreeSet::new();
    for &id in &round.edge {
        if piece.stitch(id).role == Role::Bridge {
            bridges += 1;
            run += 1;
            continue;
        }
        heads += 1;
        if run > 0 {
            sizes.insert(std::mem::take(&mut run));
        }
    }
    if run > 0 {
        sizes.insert(run);
    }
    (heads, bridges, sizes)
}

/// The height that earlier rounds hand down to `inc` and `work even`: that of the last round whose stitches are all alike.
fn height_before(piece: &Piece, round: usize) -> Height {
    let main = |round: &fabric::Round| {
        let mut heights = piece
            .round_stitches(round)
            .map(|(_, stitch)| stitch.kind)
            .filter(|kind| {
                kind.height > Height::Slip && matches!(kind.form, Form::Plain | Form::Together(_))
            })
            .map(|kind| kind.height);
        let first = heights.next()?;
        heights.all(|height| height == first).then_some(first)
    };
    let before = piece.rounds[..round.min(piece.rounds.len())].iter();
    before.rev().find_map(main).unwrap_or(Height::Single)
}

/// True if a round is worked along the chain that the piece starts from.
fn along_chain(piece: &Piece, round: usize) -> bool {
    piece
        .round_stitches(&piece.rounds[round])
        .any(|(_, stitch)| stitch.role == Role::Foundation)
}

/// `(sc, dec) x 6 in BLO` is `in BLO, (sc, dec) x 6`: where all stitches of a round take the same loop, that is said once.
fn one_loop(mut items: Vec<Instruction>) -> Vec<Instruction> {
    let says_hold = |item: &Instruction| matches!(item.act, Act::Hold(_) | Act::IntoRound { .. });
    let mut holds = BTreeSet::new();
    let mut plain = false;
    each_work(&items, &mut |work| {
        if work.stitch.height != Some(Height::Chain) {
            holds.insert(work.hold);
            plain |= !matches!(work.stitch.form, Form::Together(_));
        }
    });
    let one = holds.first().copied().flatten();
    let Some(hold @ (Into::BackLoop | Into::FrontLoop)) = one else {
        return items;
    };
    let groups = items.iter().any(has_group);
    if holds.len() > 1 || !plain || groups || items.iter().any(says_hold) {
        return items;
    }
    without_loops(&mut items);
    let span = items[0].span;
    let first = items
        .iter()
        .position(|item| item.act.is_worked())
        .unwrap_or(0);
    items.insert(
        first,
        Instruction {
            act: Act::Hold(Some(hold)),
            span: Span::new(span.start, span.start),
        },
    );
    items
}

fn has_group(item: &Instruction) -> bool {
    match &item.act {
        Act::Together(_) => true,
        Act::Repeat(repeat) => repeat.items.iter().any(has_group),
        _ => false,
    }
}

/// The words after a total, on one line.
fn collapsed(words: &str) -> String {
    let spaced = words.starts_with(char::is_whitespace);
    let words = plain(words);
    if spaced { format!(" {words}") } else { words }
}
