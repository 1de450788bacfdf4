//! How many of a piece its words say to make: `(make 2)`, `x2`, `2 pcs`, `You need 2 of these.`

use super::heading::is_mark;
use super::lex::{Kind, Token};
use crate::terms::Terms;
use crate::terms::words::{self, Word};

/// `Make 2.`, `You need 2 of these.`, `Make eight of these. Sew …`: how many to make of the piece that is named above it.
pub(super) fn only_makes(tokens: &[Token<'_>]) -> Option<u32> {
    let words: Vec<&Token<'_>> = tokens
        .iter()
        .filter(|t| !is_mark(t) && !matches!(t.kind, Kind::Open(_) | Kind::Close(_)))
        .take(6)
        .collect();
    let word = |at: usize, list: &[&str]| words.get(at).is_some_and(|t| list.contains(&&*t.text));
    let addressed = usize::from(word(0, &["you", "you'll"]));
    let verb = match addressed {
        0 => word(0, &["make", "work", "crochet"]),
        _ => word(1, &["need", "make", "want"]),
    };
    let at = addressed + 1;
    let number = words.get(at).filter(|_| verb)?;
    let number = number_at(std::slice::from_ref(*number), 0, 1)?;
    let alone = addressed == 0 && word(0, &["make"]) && words.len() == 2;
    let of_these = word(at + 1, &["of"]) && word(at + 2, &["these", "them"]);
    (alone || of_these).then_some(number)
}

/// `First make 2 flukes.`, `blue, make 2 tips:`, `First make two little lobes like this:`: what is made so often, in a line that
/// says nothing else.
pub(super) fn of_parts<'t, 's>(tokens: &'t [Token<'s>]) -> Option<&'t Token<'s>> {
    const FARTHEST: usize = 4;
    const MOST_WORDS: usize = 3;
    let words: Vec<&Token<'_>> = tokens.iter().filter(|t| !is_mark(t)).collect();
    let make = words.iter().take(FARTHEST).position(|t| t.is("make"))?;
    let [_, number, named @ ..] = &words[make..] else {
        return None;
    };
    let like = named.iter().position(|t| t.is("like") || t.is("as"));
    let named = &named[..like.unwrap_or(named.len())];
    let noun = *named.last()?;
    let counts = number_at(std::slice::from_ref(*number), 0, 1).is_some();
    let plain = named.len() <= MOST_WORDS && named.iter().all(|t| t.kind == Kind::Word && t.spaced);
    (counts && plain && !noun.is("these")).then_some(noun)
}

/// `2 Ears`, `Two fins`, `MAKE 2: CLAW`: the number, and where the name begins. `5. Hat` only has a list's number.
pub(super) fn number_before(
    tokens: &[Token<'_>],
    first: usize,
    end: usize,
) -> Option<(u32, usize)> {
    let is_make = tokens.get(first)?.is("make");
    let at = first + usize::from(is_make);
    let number = number_at(tokens, at, end)?;
    let mark = tokens.get(at + 1).filter(|_| at + 1 < end)?;
    // `Make 7ch.`
    if is_make && matches!(&*mark.text, "ch" | "chain" | "chains") {
        return None;
    }
    match mark.kind {
        Kind::Stop | Kind::Close(_) if !is_make => None,
        Kind::Colon | Kind::Dash => (at + 2 < end).then_some((number, at + 2)),
        Kind::Word if number <= 12 && !mark.is("x") => Some((number, at + 1)),
        _ => None,
    }
}

/// The number at a token, in digits or words.
pub(super) fn number_at(tokens: &[Token<'_>], at: usize, end: usize) -> Option<u32> {
    let token = tokens.get(at).filter(|_| at < end)?;
    match token.kind {
        Kind::Number(n) => Some(n),
        Kind::Word if token.is("both") => Some(2),
        Kind::Word => match words::longest(|i| (i == 0).then_some(&*token.text), Terms::Us)? {
            (Word::Number(n), _) => Some(n),
            _ => None,
        },
        _ => None,
    }
}

/// At `make 2`, `crochet 2`, `x2`, `(2)`, `both`: the number, and the index at which the name ends.
pub(super) fn number_to_make(tokens: &[Token<'_>], at: usize, end: usize) -> Option<(u32, usize)> {
    let token = &tokens[at];
    let number = |index: usize| number_at(tokens, index, end);
    let ends_or_opens =
        |at: usize| at >= end || matches!(tokens[at].kind, Kind::Open(_) | Kind::Dash);
    // `Wings – 2 pcs.`, `CHEEKS - 2 pcs (pink)`
    let counts_pieces = tokens
        .get(at + 1)
        .filter(|_| at + 1 < end)
        .is_some_and(|t| matches!(&*t.text, "pc" | "pcs" | "piece" | "pieces"));
    if counts_pieces
        && at > 0
        && !matches!(tokens[at - 1].kind, Kind::Open(_))
        && ends_or_opens(at + 2)
    {
        return number(at).map(|n| (n, at));
    }
    // `flippers, 2 of them`
    let of_them = tokens.get(at + 1).is_some_and(|t| t.is("of"))
        && tokens
            .get(at + 2)
            .is_some_and(|t| t.is("them") || t.is("these"));
    if of_them && at > 0 && !matches!(tokens[at - 1].kind, Kind::Word) {
        return number(at).map(|n| (n, at));
    }
    // `THE EARS (two alike)`
    let alike = tokens
        .get(at + 1)
        .filter(|_| at + 1 < end)
        .is_some_and(|t| t.is("alike"));
    if alike && at > 0 {
        return number(at).map(|n| (n, at));
    }
    // `Paws (you need four)`
    let needs = token.is("need")
        && at > 1
        && tokens[at - 1].is("you")
        && matches!(tokens[at - 2].kind, Kind::Open(_));
    if ["make", "work", "crochet"]
        .iter()
        .any(|word| token.is(word))
        || needs
    {
        let more = further(tokens, at + 2, end);
        let goes_on = tokens
            .get(at + 2)
            .is_some_and(|t| t.is("in") || t.is("with"));
        // `With B, make 8 ch` makes a chain.
        if tokens.get(at + 2).is_some_and(|t| {
            matches!(
                &*t.text,
                "ch" | "chain" | "chains" | "st" | "sts" | "stitch" | "stitches" | "sc" | "dc"
            )
        }) {
            return None;
        }
        // `make 2, 1 in grey and 1 in white`: the numbers after the first say how these come about.
        return number(at + 1).map(|n| match more == n && !goes_on {
            true => (n, at),
            false => (n.saturating_add(more), at),
        });
    }
    // `Wings x2 (dark grey)`
    let may_end = |at: usize| at + 1 >= end || ends_or_opens(at);
    let is_sign = |at: usize| {
        tokens
            .get(at)
            .is_some_and(|t| t.is("x") || t.kind == Kind::Times)
    };
    if is_sign(at) && number(at + 1).is_some() && may_end(at + 2) {
        return number(at + 1).map(|n| (n, at));
    }
    // `Cheeks 2x`
    if at > 0 && is_sign(at + 1) && !tokens[at + 1].spaced && may_end(at + 2) && at + 1 < end {
        let is_name = matches!(tokens[at - 1].kind, Kind::Word | Kind::Dash | Kind::Star(_));
        return number(at).filter(|_| is_name).map(|n| (n, at));
    }
    // `(2)`, `(x2)`, `(2 pieces)`, `(4x) – light green`: a bracket with nothing else in it, at the end of the name.
    if let Kind::Open(_) = token.kind
        && let Some(close) = closing(tokens, at, end)
        && tokens
            .get(close + 1)
            .is_none_or(|t| t.kind != Kind::Word || matches!(&*t.text, "in" | "with" | "using"))
    {
        // `(beige, 2x)`
        let counts = |part: &[Token<'_>]| match part {
            [n, sign] | [sign, n] if sign.is("x") || sign.kind == Kind::Times => match n.kind {
                Kind::Number(n) => Some(n),
                _ => None,
            },
            _ => None,
        };
        let mut parts = tokens[at + 1..close].split(|t| t.kind == Kind::Comma);
        if let Some(n) = parts.find_map(counts) {
            return Some((n, at));
        }
        let signed = is_sign(at + 1);
        let n = number(at + 1 + usize::from(signed))?;
        // `(2x)`
        let inner = &tokens[at + 1..close];
        let only = inner
            .iter()
            .all(|t| matches!(t.kind, Kind::Number(_) | Kind::Times | Kind::Word) && !t.is("in"));
        return only.then_some((n, at));
    }
    None
}

/// `make 2 in A and 2 in B`: the numbers after the first.
fn further(tokens: &[Token<'_>], from: usize, end: usize) -> u32 {
    (from..end)
        .filter(|&at| {
            let joins = tokens[at].is("and")
                || matches!(tokens[at].kind, Kind::Comma | Kind::Plus | Kind::Ampersand);
            joins
                && tokens
                    .get(at + 2)
                    .is_some_and(|t| t.is("in") || t.is("with"))
        })
        .filter_map(|at| number_at(tokens, at + 1, end))
        .fold(0, u32::saturating_add)
}

/// The bracket that closes the one at `open`, before `end` and not far off. None where no bracket opens.
pub(super) fn closing(tokens: &[Token<'_>], open: usize, end: usize) -> Option<usize> {
    const LONGEST: usize = 24;
    if !matches!(tokens.get(open)?.kind, Kind::Open(_)) {
        return None;
    }
    let mut depth = 0usize;
    (open..end.min(tokens.len()).min(open + LONGEST)).find(|&at| {
        match tokens[at].kind {
            Kind::Open(_) => depth += 1,
            Kind::Close(_) => depth = depth.saturating_sub(1),
            _ => {}
        }
        depth == 0
    })
}
