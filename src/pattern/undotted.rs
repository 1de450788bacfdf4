//! Abbreviations with full stops, as older books print them: `Sc. in next sc., 2 sc. in next sc.`

use super::lex::{Kind, Token};
use super::lines::RawLine;

/// So many in a text, and it is its way to write them.
const HABIT: usize = 4;

/// Takes out the full stops that belong to abbreviations and end no sentence, in a text that writes them.
pub(super) fn without_stops(lines: &mut [RawLine<'_>]) {
    let found = lines.iter().flat_map(|line| {
        let tokens = &line.tokens[..];
        (1..tokens.len()).filter(|&at| is_of_abbreviation(tokens, at))
    });
    if found.take(HABIT).count() < HABIT {
        return;
    }
    let mut next_opens = lines.iter().skip(1).map(opens_in_small).collect::<Vec<_>>();
    next_opens.push(false);
    for (line, goes_on) in lines.iter_mut().zip(next_opens) {
        let tokens = &line.tokens[..];
        let is_last = |at: usize| goes_on && at + 1 == tokens.len();
        let kept: Vec<bool> = (0..tokens.len())
            .map(|at| !(is_of_abbreviation(tokens, at) || is_last(at) && is_short(tokens, at)))
            .collect();
        let mut kept = kept.into_iter();
        line.tokens.retain(|_| kept.next().unwrap_or(true));
    }
}

/// True if a line begins with a small letter, and so goes on with the one above.
fn opens_in_small(line: &RawLine<'_>) -> bool {
    line.tokens.first().is_some_and(Token::is_small)
}

/// True at a full stop behind an abbreviation.
fn is_short(tokens: &[Token<'_>], at: usize) -> bool {
    const SHORT: &[&str] = &[
        "sc", "hdc", "dc", "tr", "htr", "dtr", "ch", "chs", "st", "sts", "sl", "ss", "inc", "dec",
        "sp", "sps", "sk", "tog", "beg", "lp", "lps", "rem",
    ];
    let stop = &tokens[at];
    let before = at.checked_sub(1).map(|at| &tokens[at]);
    stop.kind == Kind::Stop
        && !stop.spaced
        && before.is_some_and(|before| SHORT.iter().any(|word| before.is(word)))
}

/// True at the full stop of `sc. in`, `sc.,`, `(18 sc.)` and `Ch. 2`.
fn is_of_abbreviation(tokens: &[Token<'_>], at: usize) -> bool {
    let (Some(before), Some(after)) = (at.checked_sub(1).map(|at| &tokens[at]), tokens.get(at + 1))
    else {
        return false;
    };
    let counted = at >= 2 && matches!(tokens[at - 2].kind, Kind::Number(_));
    let goes_on = match after.kind {
        Kind::Comma | Kind::Semicolon | Kind::Close(_) => true,
        Kind::Word => after.spaced && after.is_small(),
        // `Ch. 2`, but not `to top of 2 ch. 8 hdc.`
        Kind::Number(_) => before.is("ch") && !counted,
        _ => false,
    };
    goes_on && is_short(tokens, at)
}
