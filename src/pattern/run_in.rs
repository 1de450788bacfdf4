//! Names that run into the sentence after them: `BODY With A, make a slip ring.`, `**CAP.** White yarn.`

use super::heading;
use super::label;
use super::lex::{Kind, Token};
use super::lines::{LineKind, RawLine};

/// Most tokens of a name with its bracket.
const LONGEST_NAME: usize = 12;

/// Lines with the names that run into a sentence on lines of their own.
pub(super) fn parted<'s>(lines: Vec<RawLine<'s>>, text: &str) -> Vec<RawLine<'s>> {
    let mut parted = Vec::with_capacity(lines.len());
    let mut lines = lines.into_iter().peekable();
    while let Some(mut line) = lines.next() {
        let mut opens_rounds = || {
            lines.peek().is_some_and(|next| {
                label::read(&next.tokens).is_some_and(|l| l.numbers.first() == Some(&(1, 1)))
            })
        };
        let end = match line.kind {
            LineKind::Text if label::read(&line.tokens).is_none() => end_of_bold(&line.tokens)
                .or_else(|| end_before_a_dash(&line.tokens))
                .or_else(|| end_of_number_to_make(&line.tokens))
                .or_else(|| end_of_capitals(&line.tokens, text))
                .or_else(|| end_before_a_chain(&line.tokens))
                .or_else(|| end_before_a_last_chain(&line.tokens).filter(|_| opens_rounds()))
                .or_else(|| end_before_a_join(&line.tokens).filter(|_| opens_rounds()))
                .or_else(|| end_of_bracket(&line.tokens).filter(|_| opens_rounds())),
            _ => None,
        };
        if let Some(end) = end {
            let rest = line.tokens.split_off(end);
            let mut name = std::mem::replace(&mut line.tokens, rest);
            // A full stop would make it a sentence.
            while name
                .pop_if(|last| matches!(last.kind, Kind::Stop | Kind::Tilde | Kind::Dash))
                .is_some()
            {}
            let whole = line.span;
            line.span = line.tokens[0].span.to(whole);
            parted.push(line.part(&name));
        }
        parted.push(line);
    }
    parted
}

/// The end of `**CAP.**`, with a sentence behind it.
fn end_of_bold(tokens: &[Token<'_>]) -> Option<usize> {
    tokens.first().filter(|t| t.is_bold())?;
    let inner = tokens.iter().take(LONGEST_NAME).skip(1);
    let end = inner.take_while(|t| !t.is_bold()).count() + 1;
    let ends = tokens.get(end).is_some_and(Token::is_bold) && tokens[end - 1].kind == Kind::Stop;
    let goes_on = tokens.get(end + 1).is_some_and(|t| t.kind == Kind::Word);
    (ends && goes_on).then_some(end + 1)
}

/// The end of `Body. —`, or of `Hind Flipper. — Make 2.`, with a sentence behind it.
fn end_before_a_dash(tokens: &[Token<'_>]) -> Option<usize> {
    const MOST_WORDS: usize = 5;
    let stop = tokens
        .iter()
        .take(MOST_WORDS + 1)
        .position(|t| t.kind != Kind::Word)?;
    let named = stop > 0 && tokens[0].has_capital() && !heading::opens_remarks(&tokens[..stop]);
    let [full_stop, dash, next, ..] = tokens.get(stop..)? else {
        return None;
    };
    let parts = full_stop.kind == Kind::Stop && dash.kind == Kind::Dash && dash.spaced;
    let goes_on = next.kind == Kind::Word && next.has_capital() && next.spaced;
    if !named || !parts || !goes_on {
        return None;
    }
    Some(match &tokens[stop + 2..] {
        [make, number, end, _, ..]
            if make.is("make")
                && (matches!(number.kind, Kind::Number(_)) || number.kind == Kind::Word)
                && end.kind == Kind::Stop =>
        {
            stop + 5
        }
        _ => stop + 2,
    })
}

/// The end of `Hull, red.` before `Ch 9.`, of `BELLY – white.` before `Ch 8, work round both sides of the chain.`
fn end_before_a_chain(tokens: &[Token<'_>]) -> Option<usize> {
    const MOST_WORDS: usize = 9;
    const LONGEST_REST: usize = 16;
    let stop = tokens
        .iter()
        .take(LONGEST_NAME)
        .position(|t| t.kind == Kind::Stop)?;
    let named = tokens[..stop].iter().all(|t| {
        matches!(
            t.kind,
            Kind::Word | Kind::Comma | Kind::Dash | Kind::Open(_) | Kind::Close(_)
        ) || matches!(t.kind, Kind::Number(_) | Kind::Times)
    });
    let chains = match &tokens[stop + 1..] {
        [chain, number, end @ ..] => {
            let says_how = matches!(end.first(), Some(t) if t.kind == Kind::Comma)
                && end.len() <= LONGEST_REST
                && end
                    .iter()
                    .all(|t| !matches!(t.kind, Kind::Number(_) | Kind::Colon));
            chain.has_capital()
                && matches!(&*chain.text, "ch" | "chain")
                && matches!(number.kind, Kind::Number(_))
                && (says_how || end.iter().all(|t| t.kind == Kind::Stop))
        }
        _ => false,
    };
    let opens = tokens.first().is_some_and(Token::has_capital);
    (named && chains && opens && (1..=MOST_WORDS).contains(&stop)).then_some(stop + 1)
}

/// The end of `Outer ear (make 2)` before `Using A, make a magic loop.`
fn end_of_number_to_make(tokens: &[Token<'_>]) -> Option<usize> {
    const MOST_WORDS: usize = 4;
    let open = tokens
        .iter()
        .take(MOST_WORDS + 1)
        .position(|t| matches!(t.kind, Kind::Open(_)))?;
    let named = open > 0 && tokens[..open].iter().all(|t| t.kind == Kind::Word);
    let makes = matches!(&tokens[open + 1..], [make, number, close, ..]
        if make.is("make")
            && (matches!(number.kind, Kind::Number(_)) || number.is("two"))
            && matches!(close.kind, Kind::Close(_)));
    let next = tokens.get(open + 4)?;
    let opens = next.has_capital() && ["using", "with"].iter().any(|word| next.is(word));
    (named && makes && opens && tokens[0].has_capital()).then_some(open + 4)
}

/// The end of `Fish (sandy brown).` before a sentence.
fn end_of_bracket(tokens: &[Token<'_>]) -> Option<usize> {
    const MOST_WORDS: usize = 4;
    let mut inner = tokens.iter().take(LONGEST_NAME);
    let open = inner.position(|t| t.kind != Kind::Word)?;
    let named = (1..=MOST_WORDS).contains(&open) && tokens[0].has_capital();
    let length = tokens[open..]
        .iter()
        .take(LONGEST_NAME)
        .position(|t| matches!(t.kind, Kind::Close(_)))?;
    let close = open + length;
    let [stop, next, ..] = tokens.get(close + 1..)? else {
        return None;
    };
    let opens_bracket = matches!(tokens[open].kind, Kind::Open(_));
    let sentence = stop.kind == Kind::Stop && next.has_capital() && next.spaced;
    let is_name = named && opens_bracket && !heading::opens_remarks(&tokens[..open]);
    (is_name && sentence).then_some(close + 2)
}

/// The end of `Door ~ brown` before `~ ch 6` and nothing else.
fn end_before_a_last_chain(tokens: &[Token<'_>]) -> Option<usize> {
    let [named @ .., sign, chain, number] = tokens else {
        return None;
    };
    // `BODY (coral) ch 8`
    let behind_bracket = matches!(sign.kind, Kind::Close(_));
    let chains = matches!(&*chain.text, "ch" | "chain") && matches!(number.kind, Kind::Number(_));
    let parts = matches!(
        sign.kind,
        Kind::Tilde | Kind::Dash | Kind::Comma | Kind::Stop
    );
    let opens = named.first().is_some_and(Token::has_capital);
    let is_name = (1..=LONGEST_NAME).contains(&named.len())
        && named
            .iter()
            .all(|t| !matches!(t.kind, Kind::Colon | Kind::Stop));
    let signed = named.iter().any(|t| t.kind == sign.kind);
    let apart = signed || behind_bracket || sign.kind != Kind::Comma;
    (chains && parts && opens && is_name && apart).then_some(named.len() + 1)
}

/// The end of `Thumb:` before `join red to the first of the 6 skipped sts`, of `PEAK:` before `now work in rows`.
fn end_before_a_join(tokens: &[Token<'_>]) -> Option<usize> {
    const MOST_WORDS: usize = 3;
    const OPENS: &[&str] = &[
        "join", "rejoin", "attach", "now", "continue", "working", "work",
    ];
    let mut inner = tokens.iter().take(MOST_WORDS + 1);
    let colon = inner.position(|t| t.kind == Kind::Colon)?;
    let name = &tokens[..colon];
    let named = colon > 0 && name.iter().all(|t| t.kind == Kind::Word);
    let joins = tokens
        .get(colon + 1)
        .is_some_and(|t| OPENS.iter().any(|word| t.is(word)));
    (named && joins && name[0].has_capital() && !heading::opens_remarks(name)).then_some(colon + 1)
}

/// The end of `TAIL (make 2)` before a sentence: words in capitals, and a word after them that opens one.
fn end_of_capitals(tokens: &[Token<'_>], text: &str) -> Option<usize> {
    let words = |t: &Token<'_>| &text[t.span.range()];
    let is_capitals = |t: &Token<'_>| {
        t.kind == Kind::Word && words(t).chars().all(|c| !c.is_lowercase())
            || t.kind == Kind::Ampersand
    };
    let mut end = tokens
        .iter()
        .take(LONGEST_NAME)
        .take_while(|t| is_capitals(t))
        .count();
    let longest = tokens[..end]
        .iter()
        .map(|t| words(t).chars().count())
        .max()?;
    let of_letter = |t: &Token<'_>| words(t).chars().count() == 1;
    if longest < 3 || end == LONGEST_NAME || of_letter(&tokens[end - 1]) {
        return None;
    }
    let explains = heading::explains(&tokens[..end]);
    if matches!(tokens.get(end)?.kind, Kind::Open(_)) {
        let inner = tokens[end..].iter().take(LONGEST_NAME);
        end += inner
            .take_while(|t| !matches!(t.kind, Kind::Close(_)))
            .count()
            + 1;
    }
    // `SHELL: Beginning at top with green,`
    const BEGINS: &[&str] = &["beginning", "starting", "begin", "start", "with", "using"];
    let opens_work = |t: &Token<'_>| BEGINS.iter().any(|word| t.is(word));
    if tokens.get(end).is_some_and(|t| t.kind == Kind::Colon)
        && tokens.get(end + 1).is_some_and(opens_work)
    {
        return (!heading::opens_remarks(&tokens[..end])).then_some(end + 1);
    }
    // `WING (make 2)--With grey, ch 9.`
    if tokens.get(end).is_some_and(Token::is_long_dash)
        && tokens.get(end + 1).is_some_and(opens_work)
    {
        return (!heading::opens_remarks(&tokens[..end])).then_some(end + 1);
    }
    // `HEAD . . . Starting at top`
    let dots = tokens
        .get(end..)?
        .iter()
        .take_while(|t| t.kind == Kind::Stop)
        .count();
    // `BEARD. Grey yarn. Dial 13 ch.`
    let sentence = dots == 1
        && tokens
            .get(end + 1)
            .is_some_and(|t| t.has_capital() && t.spaced);
    let is_leader = dots > 1 || sentence && !heading::opens_remarks(&tokens[..end]);
    if is_leader {
        end += dots;
    }
    // `MATERIALS 1 x 50 g …`, `ABBREVIATIONS ch = chain; …`
    let next = tokens.get(end)?;
    let opens = match next.kind {
        Kind::Word => explains || words(next).starts_with(char::is_uppercase),
        Kind::Number(_) => explains,
        _ => false,
    };
    // `IMPORTANT Do not stuff the arms.` would only hide the name above it; a list is found by its heading.
    if !explains && heading::opens_remarks(&tokens[..end]) {
        return None;
    }
    // A title is no sentence.
    const FEWEST_WORDS: usize = 3;
    let ends = tokens.last().is_some_and(|t| t.kind == Kind::Stop);
    (opens && (ends || is_leader) && tokens.len() >= end + FEWEST_WORDS && next.spaced)
        .then_some(end)
}
