//! More copies of a part than rounds join, or words sew on.

use std::collections::{BTreeMap, BTreeSet};

use super::draft::{Draft, Place, Sentence};
use super::parts::{Names, fastens, is_goal, joined, times_told};
use crate::source::Problem;
use crate::source::words::Word;

/// Copies that are left over after all joins, where no words fasten the part in another way.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let names = Names::new(draft.pattern);
    let mut fastened: BTreeSet<&str> = BTreeSet::new();
    for sentence in &draft.prose.sentences {
        if !sentence.in_round && fastens(sentence) {
            fastened.extend(names.in_sentence(sentence).map(|(_, stem)| stem));
        }
    }
    let mut problems = Vec::new();
    let joined = joined(draft);
    let sewn = sewn(draft, &names);
    for (place, piece) in draft.fabric.pieces.iter().enumerate() {
        let joined = joined[place].copies;
        if joined == 0
            && let Some(Some(sewn)) = sewn.get(&place).copied()
            && sewn < piece.make as usize
        {
            let are = if sewn == 1 { "is" } else { "are" };
            let message = format!(
                "{} of this piece are made, but only {sewn} {are} put on",
                piece.make
            );
            problems.push(
                Problem::warning("part-left-over", piece.span, message)
                    .help(format!("make {sewn}, or say where the others go")),
            );
        }
        if joined == 0 || joined >= piece.make as usize || names.is_among(place, &fastened) {
            continue;
        }
        problems.push(
            Problem::warning(
                "part-left-over",
                piece.span,
                format!(
                    "{} of this piece are made, but only {joined} {} joined",
                    piece.make,
                    if joined == 1 { "is" } else { "are" }
                ),
            )
            .help(format!("make {joined}, or say where the others go")),
        );
    }
    problems
}

/// How many of each piece are put on, where the words that do it all say `the two wings` or `both wings`; `None` where some of
/// them say something else.
fn sewn(draft: &Draft<'_>, names: &Names) -> BTreeMap<usize, Option<usize>> {
    // `Sew the two wings to the back, the other one to the front` would need a reader of its own.
    const OTHERS: &[&str] = &[
        "each",
        "other",
        "others",
        "another",
        "remaining",
        "rest",
        "repeat",
        "same",
        "again",
        "pair",
        "pairs",
        "every",
    ];
    let mut sewn: BTreeMap<usize, Option<usize>> = BTreeMap::new();
    let mut last: Vec<usize> = Vec::new();
    for sentence in draft.below_the_header().filter(|s| !s.in_round) {
        // Each piece with the first word that names it; nothing where a second one does.
        let mut named: BTreeMap<usize, Option<usize>> = BTreeMap::new();
        let objects = names.in_sentence(sentence);
        // `in front of the legs` puts no legs on.
        for (at, stem) in objects.filter(|&(at, _)| !is_goal(sentence, at)) {
            if let Some(piece) = names.only(stem) {
                named
                    .entry(piece)
                    .and_modify(|first| *first = None)
                    .or_insert(Some(at));
            }
        }
        if !fastens(sentence) {
            continue;
        }
        if named.is_empty() {
            // `Sew one under each eye`: the copies of what was named last.
            if sentence.has(OTHERS) {
                sewn.extend(last.drain(..).map(|piece| (piece, None)));
            }
            continue;
        }
        last = named.keys().copied().collect();
        for (piece, at) in named {
            let each_side = at.filter(|_| !sewn_to_one_another(draft, piece));
            let each_side = each_side.and_then(|at| {
                each_side_of(&sentence.words, at)
                    .or_else(|| each_piece_of(draft, names, sentence, at))
            });
            let more = at.filter(|_| !sentence.has(OTHERS)).and_then(|at| {
                all_named_before(&sentence.words, at).or_else(|| one_side(sentence, at))
            });
            let more = each_side.or(more);
            let before = sewn.get(&piece).copied().unwrap_or(Some(0));
            sewn.insert(piece, before.zip(more).map(|(before, more)| before + more));
        }
    }
    sewn
}

/// 2 for `sew a fin to each side of the body`, 6 for `three legs to each side`, where nothing else is told of each.
fn each_side_of(words: &[Word<'_>], name: usize) -> Option<usize> {
    const OTHERS: &[&str] = &[
        "other",
        "others",
        "another",
        "remaining",
        "rest",
        "repeat",
        "same",
        "pair",
        "pairs",
        "every",
        "and",
    ];
    let before = &words[name.checked_sub(1)?];
    let of_each = match before.is_any(&["a", "an", "one"]) {
        true => 1,
        false => before.number()? as usize,
    };
    let sides = words
        .windows(2)
        .filter(|pair| pair[0].is_any(&["each", "either"]));
    let mut sides = sides.map(|pair| pair[1].is("side"));
    let is_all = sides.next() == Some(true) && sides.next().is_none();
    // `between Rounds 3 and 8`
    let between = |at: usize| {
        let number = |at: usize| words.get(at).is_some_and(|word| word.number().is_some());
        words[at].is("and") && at > 0 && number(at - 1) && number(at + 1)
    };
    let is_plain = !(0..words.len()).any(|at| words[at].is_any(OTHERS) && !between(at));
    (is_all && is_plain).then_some(2 * of_each)
}

/// 5 for `sew one sucker to the underside of each arm`, of which five are made.
fn each_piece_of(
    draft: &Draft<'_>,
    names: &Names,
    sentence: &Sentence<'_>,
    name: usize,
) -> Option<usize> {
    let before = &sentence.words[name.checked_sub(1)?];
    let of_each = match before.is_any(&["a", "an", "one"]) {
        true => 1,
        false => before.number()? as usize,
    };
    let plain = !sentence.has(&[
        "other",
        "others",
        "another",
        "remaining",
        "rest",
        "side",
        "and",
    ]);
    let times = times_told(draft, names, sentence, name).filter(|_| plain)?;
    Some(of_each * times)
}

/// True where two of a piece become one: `sew them together in pairs`.
fn sewn_to_one_another(draft: &Draft<'_>, piece: usize) -> bool {
    let mut own = draft.in_place(Place::Piece(piece));
    own.any(|sentence| sentence.has(&["together", "pair", "pairs", "half", "halves", "layers"]))
}

/// 1 for `sew the wing to the left side`.
fn one_side(sentence: &Sentence<'_>, name: usize) -> Option<usize> {
    let word = &sentence.words[name];
    let is_single = word.text.to_lowercase() == word.stem();
    (is_single && sentence.has(&["left"]) != sentence.has(&["right"])).then_some(1)
}

/// The number before a name, if the words say that it is of all: 2 for `the two wings` and `both wings`.
fn all_named_before(words: &[Word<'_>], name: usize) -> Option<usize> {
    let number = &words[name.checked_sub(1)?];
    let is_all =
        number.is("both") || name >= 2 && words[name - 2].is("the") && number.number() > Some(1.0);
    is_all.then(|| number.number().map(|n| n as usize))?
}
