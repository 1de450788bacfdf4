//! A left part on the right.

use super::draft::{Draft, Sentence};
use super::parts::{Names, sews};
use crate::place::Side;
use crate::prose::{Word, words};
use crate::source::{Problem, quoted};

/// Parts that are called left or right, by their name or by the words that put them on, and sit on the other side of the toy.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let mut problems = Vec::new();
    for (_, attachment) in draft.attachments() {
        let name: Vec<_> = words::split(&attachment.part, 0).collect();
        let told: Vec<_> = words::split(draft.source.slice(attachment.span), 0).collect();
        let called = |pair: &[Word<'_>], side: &str| {
            let is_part = name
                .last()
                .is_some_and(|part| part.stem() == pair[1].stem());
            pair[0].is(side) && is_part
        };
        let named = |side: &str| {
            name.iter().any(|word| word.is(side)) || told.windows(2).any(|pair| called(pair, side))
        };
        let told = match (named("left"), named("right")) {
            (true, false) => Side::Left,
            (false, true) => Side::Right,
            _ => continue,
        };
        let wrong = match told {
            Side::Left => Side::Right,
            _ => Side::Left,
        };
        if attachment.side() != Some(wrong) {
            continue;
        }
        let message = format!(
            "{} comes to sit on the toy's own {}",
            quoted(&attachment.part),
            wrong.name()
        );
        problems.push(
            Problem::warning("part-wrong-side", attachment.span, message)
                .help("left and right are the toy's own: join them in the other order, or change their names"),
        );
    }
    let names = Names::new(draft.pattern);
    for sentence in draft.below_the_header().filter(|s| !s.in_round && sews(s)) {
        match told_otherwise(draft, &names, sentence) {
            Some(problem) => problems.push(problem),
            None => problems.extend(made_for_the_other(draft, &names, sentence)),
        }
    }
    problems
}

/// `Sew the left wing to the right side`: the words say both.
fn told_otherwise(draft: &Draft<'_>, names: &Names, sentence: &Sentence<'_>) -> Option<Problem> {
    let words = &sentence.words;
    let side = |at: usize| {
        let word = words
            .get(at)
            .filter(|word| word.is_any(&["left", "right"]))?;
        Some(word.is("left"))
    };
    let mut named = names.in_sentence(sentence).map(|(at, _)| at);
    let part = named.find_map(|at| at.checked_sub(1).filter(|&at| side(at).is_some()))?;
    let goal = (part + 1..words.len())
        .find(|&at| side(at).is_some() && words.get(at + 1).is_some_and(|word| word.is("side")))?;
    let others = ["other", "opposite", "hand"];
    if side(part) == side(goal) || sentence.has(&others) || sentence.has(&["and"]) {
        return None;
    }
    let message = format!(
        "{} goes to the {} side in these words",
        quoted(
            draft
                .source
                .slice(words[part].span.to(words[part + 1].span))
        ),
        words[goal].text
    );
    Some(
        Problem::warning(
            "part-wrong-side",
            words[goal].span.to(words[goal + 1].span),
            message,
        )
        .help("left and right are the toy's own: change one of the two"),
    )
}

/// `Sew the big claw to the left and the small claw to the right`, where the heading of the big claw says that it is the right one.
fn made_for_the_other(draft: &Draft<'_>, names: &Names, sentence: &Sentence<'_>) -> Vec<Problem> {
    let words = &sentence.words;
    let side = |word: &Word<'_>| word.is_any(&["left", "right"]).then(|| word.is("left"));
    if !words.iter().any(|word| side(word).is_some())
        || sentence.has(&["other", "opposite", "viewer", "you"])
    {
        return Vec::new();
    }
    let told_in_heading = |piece: usize| {
        let span = draft.pattern.pieces[piece].span;
        let line = draft.source.line_of(span.start) - 1;
        let words = words::split(draft.source.slice(draft.source.line_span(line)), 0);
        let mut sides: Vec<bool> = words.filter_map(|word| side(&word)).collect();
        sides.dedup();
        <[bool; 1]>::try_from(sides).ok().map(|[side]| side)
    };
    let mut problems = Vec::new();
    let named: Vec<(usize, usize)> = names
        .in_sentence(sentence)
        // A heading such as `Big claw (the crab's right)` lends its other words as well.
        .filter(|(_, stem)| !matches!(*stem, "left" | "right" | "the"))
        .filter_map(|(at, stem)| Some((at, piece_named(draft, names, sentence, (at, stem))?)))
        .collect();
    for (place, &(at, piece)) in named.iter().enumerate() {
        let end = named.get(place + 1).map_or(words.len(), |next| next.0);
        // `to the left wing` names another piece.
        let goal = (at + 1..end).find(|&at| side(&words[at]).is_some() && words[at - 1].is("the"));
        let told = goal.and_then(|goal| Some((goal, told_in_heading(piece)?)));
        let Some((goal, made)) = told else {
            continue;
        };
        if side(&words[goal]) == Some(made) {
            continue;
        }
        let message = format!(
            "{} is made as the {} one, but these words put it on the {}",
            quoted(&draft.pattern.pieces[piece].name),
            if made { "left" } else { "right" },
            words[goal].text
        );
        problems.push(
            Problem::warning("part-wrong-side", words[goal].span, message)
                .help("left and right are the toy's own: change one of the two"),
        );
    }
    problems
}

/// The piece that two words or one name: `big claw`, where another claw is made too.
fn piece_named(
    draft: &Draft<'_>,
    names: &Names,
    sentence: &Sentence<'_>,
    (at, stem): (usize, &str),
) -> Option<usize> {
    if let Some(piece) = names.only(stem) {
        return Some(piece);
    }
    let before = sentence.words[at.checked_sub(1)?].stem();
    let both = |piece: &usize| {
        let mut called = words::split(&draft.pattern.pieces[*piece].name, 0);
        called.any(|word| word.stem() == before)
    };
    let mut found = names.all(stem).iter().copied().filter(both);
    match (found.next(), found.next()) {
        (Some(piece), None) => Some(piece),
        _ => None,
    }
}
