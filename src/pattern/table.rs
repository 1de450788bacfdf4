//! Rows of a table that give a total and a change, and leave the rest to the maker: `3 | 18 | +6`.

use super::body::{self, Names};
use super::lex::{Kind, Token};
use super::tree::*;
use crate::source::Span;
use crate::terms::words::Word;

/// What such a row works: so many changes at even steps, or so many stitches in a ring. `None` for a row that tells its work.
///
/// Charts in this form say elsewhere that the changes are spread evenly (common practice of Japanese texts, no source).
pub(super) fn change_only(
    tokens: &[Token<'_>],
    round: &Round,
    first_round: bool,
    names: &Names,
    text: &str,
) -> Option<Vec<Instruction>> {
    let stated = round.stated.and_then(|stated| stated.stitches)?;
    let (first, last) = (tokens.first()?.span, tokens.last()?.span);
    let span = first.to(last);
    let reader = body::Reader::new(tokens, text, names, first_round);
    let words = || (0..tokens.len()).filter_map(|at| reader.word_ahead(at));
    let item = |act, span: Span| vec![Instruction { act, span }];
    if first_round && stated > 0 {
        let in_ring = words().any(|(word, _)| matches!(word, Word::Ring | Word::MagicRing));
        let says_more =
            words().any(|(word, _)| word.names_stitch() || matches!(word, Word::Number(_)));
        let counts = tokens.iter().any(|t| matches!(t.kind, Kind::Number(_)));
        let ring = Work {
            stitch: StitchWord::OPEN,
            each: stated,
            over: Over::Count(1),
            target: Target::NewRing,
            hold: None,
            through: None,
            bare: Bare::No,
        };
        return (in_ring && !says_more && !counts).then(|| item(Act::Work(ring), span));
    }
    let [sign, number, ..] = tokens else {
        return None;
    };
    let grows = match sign.kind {
        Kind::Plus => true,
        Kind::Dash => false,
        _ => return None,
    };
    let Kind::Number(times @ 1..) = number.kind else {
        return None;
    };
    // `+6, half double crochet`
    let mut height = None;
    let mut at = 2;
    while at < tokens.len() {
        at += match (tokens[at].kind, reader.word_ahead(at)) {
            (_, Some((Word::Stitch(of), taken))) if height.is_none() => {
                height = Some(of);
                taken
            }
            (Kind::Comma | Kind::Semicolon | Kind::Open(_) | Kind::Close(_), _) => 1,
            (_, Some((Word::AnyStitch | Word::Filler | Word::Evenly | Word::In, taken))) => taken,
            _ => return None,
        };
    }
    let plain = StitchWord {
        height,
        ..StitchWord::OPEN
    };
    let evenly = Evenly {
        stitch: if grows { plain } else { plain.together(2) },
        each: if grows { 2 } else { 1 },
        times,
        hold: None,
    };
    Some(item(Act::Evenly(evenly), span))
}
