//! A part that is sewn on before it is made.

use super::draft::{Draft, Place};
use super::parts::{Names, is_goal, sews};
use crate::source::{Problem, quoted};

/// Words between the rounds of a piece that sew on a part whose rounds stand further down.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let names = Names::new(draft.pattern);
    let mut problems = Vec::new();
    for sentence in draft.below_the_header() {
        let Place::Piece(host) = sentence.place else {
            continue;
        };
        if sentence.in_round
            || !sews(sentence)
            || sentence.has(&["later", "below", "until", "when", "will"])
        {
            continue;
        }
        let at = sentence.span().start;
        let goes_on = draft
            .fabric
            .pieces
            .get(host)
            .and_then(|piece| piece.rounds.last())
            .is_some_and(|round| round.span.start > at);
        let object = names
            .in_sentence(sentence)
            .find(|&(at, _)| !is_goal(sentence, at));
        let part = object.and_then(|(_, stem)| names.only(stem));
        let Some(part) = part.filter(|&part| part > host) else {
            continue;
        };
        let steps = &draft.fabric.pieces[host].steps;
        let step_follows = steps.iter().any(|step| step.span.start > at);
        if !goes_on && !step_follows {
            continue;
        }
        let name = &draft.pattern.pieces[part].name;
        problems.push(
            Problem::warning(
                "part-later",
                sentence.span(),
                format!(
                    "{} is sewn on here, but it is made further down",
                    quoted(name)
                ),
            )
            .help("move the part above this piece, or sew it on at the end"),
        );
    }
    problems
}
