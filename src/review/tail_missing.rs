//! A part that is sewn on needs yarn to sew with.

use std::collections::BTreeSet;

use super::draft::{Draft, Place, Sentence};
use super::parts::{Names, SEW, is_goal, sews};
use crate::order::closes;
use crate::pattern::StepKind;
use crate::source::{Problem, Span};

/// Words that speak of the yarn to sew with.
const TAIL: &[&str] = &[
    "tail", "tails", "long", "leave", "leaving", "length", "cm", "inch", "inches",
];

/// A part that is sewn on and fastened off with no word on a tail, neither for it nor for what it is sewn to.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    if says_so_for_all(draft) {
        return Vec::new();
    }
    let names = Names::new(draft.pattern);
    let tails = with_tail(draft);
    let joined = draft.fabric.joined_copies();
    let mut seen: BTreeSet<usize> = BTreeSet::new();
    let mut problems = Vec::new();
    for sentence in draft.below_the_header() {
        // `With ivory, sew …`
        let own_yarn =
            sentence.has(&["yarn", "thread"]) || opens_with(sentence) && !uses_tail(sentence);
        if sentence.in_round || !sews(sentence) || own_yarn {
            continue;
        }
        let home = match sentence.place {
            Place::Piece(piece) => Some(piece),
            _ => None,
        };
        let named: Vec<(usize, usize)> = names
            .in_sentence(sentence)
            .filter_map(|(at, stem)| Some((at, names.only(stem)?)))
            .collect();
        // `Sew the beak to the head`; `sew both ends over the top of the buoy` sews the piece whose words these are.
        let object = named.iter().find(|&&(at, _)| !is_goal(sentence, at));
        // `Using the tails of the paws, sew one to each side`
        let object = object.or_else(|| named.first().filter(|_| uses_tail(sentence)));
        let home = home.filter(|_| sews_its_own(sentence));
        let Some(part) = object.map(|&(_, piece)| piece).or(home) else {
            continue;
        };
        // Where the end is woven in, the yarn of what is sewn on beside it is no help.
        let is_hidden = || draft.in_place(Place::Piece(part)).any(hides_the_end);
        let goals = named
            .iter()
            .filter(|&&(at, piece)| piece == part || is_goal(sentence, at) || !is_hidden());
        let mut mentioned = goals.map(|&(_, piece)| piece).chain(home);
        // The tail of a piece that closes has been used up.
        let has_yarn = |piece: usize| {
            tails.contains(&piece)
                && (piece == part || closes(&draft.fabric.pieces[piece]).is_none())
        };
        if mentioned.any(has_yarn) || !seen.insert(part) {
            continue;
        }
        let Some(piece) = draft.fabric.pieces.get(part) else {
            continue;
        };
        // To sew what rounds join is an offer, or holds its edges as well.
        if joined[part] >= piece.make {
            continue;
        }
        let mut steps = piece.steps.iter().rev();
        let last = steps
            .find(|step| step.kind == StepKind::FastenOff)
            .map(|step| step.span)
            .or_else(|| fastens_off(draft, part));
        // Where the sewing itself speaks of a tail, it is left unless the end is hidden.
        if uses_tail(sentence) && !is_hidden() {
            continue;
        }
        // `Fasten off. Sew to the front.`: at once, with the end that hangs there.
        let at_once = |end: &Span| {
            let line = |at: usize| draft.source.line_of(at);
            end.start < sentence.span().start
                && line(end.start) == line(sentence.span().start)
                && !is_hidden()
        };
        if let Some(end) = last.filter(|end| !at_once(end)) {
            problems.push(
                Problem::warning(
                    "tail-missing",
                    end,
                    "this part is sewn on, but no tail is left to sew with",
                )
                .help("fasten off, leaving 20 cm for sewing"),
            );
        }
    }
    problems
}

/// The words between the rounds that fasten a piece off, where they are no step of their own: `Press flat, 6 sc through both
/// layers. Fasten off and weave in the end.`
fn fastens_off(draft: &Draft<'_>, piece: usize) -> Option<Span> {
    let sentences = draft.in_place(Place::Piece(piece));
    let pairs = sentences.flat_map(|sentence| sentence.words.windows(2));
    let ends = pairs.filter(|pair| pair[0].is("fasten") && pair[1].is("off"));
    ends.last().map(|pair| pair[0].span.to(pair[1].span))
}

/// True if what is sewn are ends or edges of the piece itself or the piece as such, and not a thing that has no rounds, nor a hole.
fn sews_its_own(sentence: &Sentence<'_>) -> bool {
    const SAYS_NOTHING: &[&str] = &["the", "a", "an", "both", "two", "all", "its", "then"];
    const OWN: &[&str] = &[
        "end", "ends", "edge", "edges", "it", "them", "this", "these", "piece", "on", "to",
        "together", "in", "onto", "side", "sides", "top", "bottom", "open", "last",
    ];
    const SHUT: &[&str] = &["shut", "closed", "close", "hole", "opening"];
    let sewing = sentence.words.iter().position(|word| word.is_any(SEW));
    let object = sewing.and_then(|at| {
        let mut after = sentence.words[at + 1..].iter();
        after.find(|word| !word.is_any(SAYS_NOTHING))
    });
    !sentence.has(SHUT) && object.is_none_or(|word| word.is_any(OWN))
}

/// `With ivory, sew …`, `using the tails, sew …`
fn opens_with(sentence: &Sentence<'_>) -> bool {
    let first = sentence.words.first();
    first.is_some_and(|word| word.is_any(&["with", "using"]))
}

/// `Using the tails, sew one paw to each side`: needs a tail, and leaves none.
fn uses_tail(sentence: &Sentence<'_>) -> bool {
    let places = 0..sentence.words.len();
    let mut tails = places.filter(|&at| sentence.words[at].is_any(&["tail", "tails"]));
    sews(sentence)
        && !sentence.has(&["leave", "leaving", "left", "long"])
        && tails.any(|at| {
            let before = &sentence.words[at.saturating_sub(3)..at];
            before
                .iter()
                .any(|word| word.is_any(&["using", "with", "use"]))
        })
}

/// `Weave in the end`.
fn hides_the_end(sentence: &Sentence<'_>) -> bool {
    sentence.has(&["weave", "hide", "darn", "trim"]) && sentence.has(&["end", "ends"])
}

/// `Leave a long tail on every part.`
fn says_so_for_all(draft: &Draft<'_>) -> bool {
    draft.prose.sentences.iter().any(|sentence| {
        !matches!(sentence.place, Place::Piece(_))
            && sentence.has(&["tail", "tails"])
            && !sentence.has(&["hide", "weave"])
            && !uses_tail(sentence)
    })
}

/// The pieces whose own words speak of a tail.
fn with_tail(draft: &Draft<'_>) -> BTreeSet<usize> {
    let speaks = |sentence: &Sentence<'_>| sentence.has(TAIL) && !sentence.has(&["hide", "weave"]);
    (0..draft.pattern.pieces.len())
        .filter(|&piece| draft.in_place(Place::Piece(piece)).any(speaks))
        .collect()
}
