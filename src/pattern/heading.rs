//! Names of pieces: `## Wing (make 2)`, `EARS – make two`, `Foot x2`.

use super::lex::{Kind, Token};
use super::lines::{self, RawLine};
use super::make::{closing, number_at, number_before, number_to_make, only_makes};
use crate::source::{Span, limits};
use crate::terms::Terms;
use crate::terms::colours;
use crate::terms::words::{self, Word};

/// A heading taken apart.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Name {
    pub name: String,
    pub make: u32,
    /// The words say how many to make.
    pub says_make: bool,
    /// The words in brackets or after "in", which may name a yarn.
    pub rest: Option<Span>,
    /// `Arms (make 2) and Legs (make 2)`: a second piece of the same rounds, with its words.
    pub also: Option<Box<(Name, Span)>>,
}

/// The name and number of a piece, or of two.
pub(super) fn read(tokens: &[Token<'_>], text: &str) -> Name {
    let Some(and) = between_two(tokens) else {
        return read_one(tokens, text);
    };
    if let Some(name) = numbered_pair(tokens, and, text) {
        return name;
    }
    let (mut first, second) = (
        read_one(&tokens[..and], text),
        read_one(&tokens[and + 1..], text),
    );
    if !first.says_make || !second.says_make || second.name.is_empty() {
        return read_one(tokens, text);
    }
    let words = tokens[and + 1].span.to(tokens[tokens.len() - 1].span);
    first.also = Some(Box::new((second, words)));
    first
}

/// `LEG 1 and LEG 2`: two of a piece.
fn numbered_pair(tokens: &[Token<'_>], and: usize, text: &str) -> Option<Name> {
    let numbered = |tokens: &[Token<'_>], number: u32| {
        let [.., name, last] = tokens else {
            return false;
        };
        name.kind == Kind::Word && last.kind == Kind::Number(number)
    };
    let second = tokens[and + 1..].split(|t| t.kind == Kind::Colon).next()?;
    let same = and >= 2 && second.first()?.text == tokens[and - 2].text;
    let pair = same && numbered(&tokens[..and], 1) && numbered(second, 2) && second.len() == 2;
    pair.then(|| Name {
        make: 2,
        says_make: true,
        ..read_one(&tokens[..and - 1], text)
    })
}

/// The `and` after the number to make of one piece and before the name of another.
fn between_two(tokens: &[Token<'_>]) -> Option<usize> {
    let mut depth = 0usize;
    let outside = |t: &Token<'_>| {
        match t.kind {
            Kind::Open(_) => depth += 1,
            Kind::Close(_) => depth = depth.saturating_sub(1),
            _ => {}
        }
        depth == 0
    };
    let outside: Vec<bool> = tokens.iter().map(outside).collect();
    (1..tokens.len().saturating_sub(1)).find(|&at| {
        let is_and = tokens[at].is("and") || tokens[at].kind == Kind::Ampersand;
        is_and
            && outside[at]
            && matches!(tokens[at - 1].kind, Kind::Close(_) | Kind::Number(_))
            && tokens[at + 1].kind == Kind::Word
    })
}

fn read_one(tokens: &[Token<'_>], text: &str) -> Name {
    let mut first = tokens.iter().position(|t| !is_mark(t)).unwrap_or(0);
    let mut end = tokens
        .iter()
        .rposition(|t| !is_mark(t))
        .map_or(first, |i| i + 1);
    (first, end) = without_time(tokens, first, end);
    let last = end;
    first += addressed(tokens, first);
    first += list_number(tokens, first, end);
    first += part_number(tokens, first);
    let mut make = None;
    if let Some((number, from)) = number_before(tokens, first, end) {
        make = Some(number.clamp(1, limits::COPIES));
        first = from;
    }
    for at in first..end {
        if let Some((number, from)) = number_to_make(tokens, at, end) {
            make = Some(number.clamp(1, limits::COPIES));
            // `Claw (red, make 2)`: the whole bracket is no part of the name.
            let open = (first + 1..from)
                .rev()
                .find(|&at| matches!(tokens[at].kind, Kind::Open(_) | Kind::Close(_)));
            end = match open {
                Some(at) if matches!(tokens[at].kind, Kind::Open(_)) => at,
                _ => from,
            };
            break;
        }
        if at > first && opens_remark(tokens, at) {
            make = (at..end)
                .find_map(|at| number_to_make(tokens, at, end))
                .map(|(number, _)| number.clamp(1, limits::COPIES));
            end = at;
            break;
        }
    }
    // Brackets and marks before the number belong to neither.
    while end > first + 1
        && (is_mark(&tokens[end - 1])
            || matches!(tokens[end - 1].kind, Kind::Open(_) | Kind::Comma))
    {
        end -= 1;
    }
    end = without_colour_bracket(tokens, first, end);
    let rest = (end < last).then(|| tokens[end].span.to(tokens[last - 1].span));
    // A bracket that does not say how many stays out of the name if it names a yarn; that is for the caller to say.
    let name = match (tokens.get(first), tokens.get(end.max(first + 1) - 1)) {
        (Some(a), Some(b)) => clean(&text[a.span.to(b.span).range()]),
        _ => String::new(),
    };
    Name {
        name,
        make: make.unwrap_or(1),
        says_make: make.is_some(),
        rest,
        also: None,
    }
}

/// The end of `TAIL` in `TAIL (blue) x2`: before a bracket that names a colour and nothing else.
fn without_colour_bracket(tokens: &[Token<'_>], first: usize, end: usize) -> usize {
    let closes = end > first + 1 && matches!(tokens[end - 1].kind, Kind::Close(_));
    let open = (first + 1..end)
        .rev()
        .find(|&at| matches!(tokens[at].kind, Kind::Open(_)));
    let Some(open) = open.filter(|_| closes) else {
        return end;
    };
    let inner = &tokens[open + 1..end - 1];
    let is_colour = |t: &Token<'_>| colours::COLOURS.contains(&&*t.text);
    let only = inner.iter().all(|t| colours::is_part(&t.text)) && inner.iter().any(is_colour);
    if only { open } else { end }
}

/// The words of a title, without the marks around them.
pub(super) fn title(tokens: &[Token<'_>], text: &str) -> String {
    let first = tokens.iter().find(|t| !is_mark(t));
    let last = tokens.iter().rfind(|t| !is_mark(t));
    match (first, last) {
        (Some(first), Some(last)) => clean(&text[first.span.to(last.span).range()]),
        _ => String::new(),
    }
}

/// A name without the time stamp of a film before or after it: `2:10 HEAD`, `HEAD (2:10)`, `HEAD – 14:32`.
fn without_time(tokens: &[Token<'_>], first: usize, end: usize) -> (usize, usize) {
    let is_time = |at: usize| lines::opens_with_numbers(&tokens[at..]);
    if first + 3 < end && is_time(first) {
        return (first + 3, end);
    }
    let bracketed =
        end > first + 5 && is_time(end - 4) && matches!(tokens[end - 5].kind, Kind::Open(_));
    if bracketed {
        return (first, end - 5);
    }
    if end > first + 3 && is_time(end - 3) {
        let mut end = end - 3;
        while end > first + 1 && is_mark(&tokens[end - 1]) {
            end -= 1;
        }
        return (first, end);
    }
    (first, end)
}

/// Marks around a name: `**Foot**`, `~ Tail ~`, `=== BEAK ===`, `► Fin`, `Snout.`
pub(super) fn is_mark(token: &Token<'_>) -> bool {
    matches!(
        token.kind,
        Kind::Star(_)
            | Kind::Tilde
            | Kind::Equals
            | Kind::Dash
            | Kind::Colon
            | Kind::Stop
            | Kind::Arrow
            | Kind::Other
    )
}

/// Tokens of the list's number in `5. Hat`.
fn list_number(tokens: &[Token<'_>], first: usize, end: usize) -> usize {
    let marked = |at: usize| {
        tokens
            .get(at)
            .is_some_and(|t| matches!(t.kind, Kind::Stop | Kind::Close(_)) || t.text == "\u{20e3}")
    };
    let counts = number_at(tokens, first, end).is_some() && marked(first + 1);
    if counts && first + 2 < end { 2 } else { 0 }
}

/// Tokens of `Part 1:` in `Part 1: Head`.
fn part_number(tokens: &[Token<'_>], first: usize) -> usize {
    let is_part = tokens.get(first).is_some_and(|t| {
        matches!(
            &*t.text,
            "part" | "step" | "section" | "piece" | "card" | "lesson" | "chapter" | "day"
        )
    });
    let marked = tokens
        .get(first + 2)
        .is_some_and(|t| matches!(t.kind, Kind::Colon | Kind::Dash | Kind::Stop));
    let numbered = number_at(tokens, first + 1, tokens.len()).is_some();
    let named = tokens.get(first + 3).is_some_and(|t| t.kind == Kind::Word);
    if is_part && numbered && marked && named {
        3
    } else {
        0
    }
}

/// Tokens of `For the` in `For the hat:`.
fn addressed(tokens: &[Token<'_>], first: usize) -> usize {
    let word = |ahead: usize, word| {
        tokens
            .get(first + ahead)
            .is_some_and(|t: &Token<'_>| t.is(word))
    };
    let ends = tokens
        .iter()
        .rev()
        .find(|t| !matches!(t.kind, Kind::Star(_)));
    if !word(0, "for") || ends.is_none_or(|t| t.kind != Kind::Colon) || tokens.len() < first + 3 {
        return 0;
    }
    1 + usize::from(word(1, "the"))
}

/// `Body (start with A)`, `Body – cream, 5 mm hook`: a bracket, or words after a dash, that are no part of the name.
fn opens_remark(tokens: &[Token<'_>], at: usize) -> bool {
    // A name's remark is short; of a long line each comma asks.
    const LONGEST: usize = 64;
    if tokens.len() > at + LONGEST {
        return false;
    }
    let names_hook = |t: &Token<'_>| matches!(&*t.text, "hook" | "mm" | "yarn");
    if tokens[at].kind == Kind::Dash && tokens[at].spaced && tokens[at..].iter().any(names_hook) {
        return true;
    }
    // `Body (blue yarn)`, `Head – light grey`
    let is_colour = |t: &Token<'_>| colours::COLOURS.contains(&&*t.text);
    let parts = matches!(tokens[at].kind, Kind::Open(_) | Kind::Tilde | Kind::Colon)
        || tokens[at].kind == Kind::Dash && tokens[at].spaced;
    let rest = tokens[at + 1..]
        .iter()
        .filter(|t| !matches!(t.kind, Kind::Close(_)) && !is_mark(t));
    let said = |t: &Token<'_>| {
        colours::is_part(&t.text) || matches!(&*t.text, "yarn" | "the" | "color" | "colour")
    };
    if parts && rest.clone().any(is_colour) && rest.clone().all(said) {
        return true;
    }
    // `Hull, red.`
    let to_end = tokens[at + 1..].iter().filter(|t| !is_mark(t));
    if tokens[at].kind == Kind::Comma
        && to_end.clone().any(is_colour)
        && to_end.clone().all(|t| colours::is_part(&t.text))
    {
        return true;
    }
    // `Body in blue`, `Wing, in white`: a yarn to the end of the line.
    let comma = usize::from(tokens[at].kind == Kind::Comma);
    let preposition = tokens.get(at + comma);
    if preposition.is_some_and(|t| matches!(&*t.text, "in" | "with" | "using")) {
        let rest = tokens[at + comma + 1..].iter().filter(|t| !is_mark(t));
        if rest.clone().any(is_colour) && rest.clone().all(said) {
            return true;
        }
    }
    // `BODY – start at the top of the head with cocoa`
    if tokens[at].kind == Kind::Dash && tokens[at].spaced && says_how(&tokens[at + 1..]) {
        return true;
    }
    matches!(tokens[at].kind, Kind::Open(_))
        && (says_how(&tokens[at + 1..]) || opens_bracket_of_yarn(tokens, at))
}

/// `start with A)`, `worked in rows)`
fn says_how(inner: &[Token<'_>]) -> bool {
    inner.first().is_some_and(|t| {
        matches!(
            &*t.text,
            "start"
                | "starts"
                | "starting"
                | "begin"
                | "begins"
                | "with"
                | "using"
                | "in"
                | "worked"
                | "work"
        )
    })
}

/// `(black, from the bottom up)`, `(string-coloured cotton, 3.5mm hook)`: the last bracket, which names what the piece is made
/// with, or has more words than a name would.
fn opens_bracket_of_yarn(tokens: &[Token<'_>], open: usize) -> bool {
    const MOST_WORDS: usize = 5;
    let Some(close) = closing(tokens, open, tokens.len()) else {
        return false;
    };
    let inner = &tokens[open + 1..close];
    let is_yarn = |t: &Token<'_>| {
        colours::COLOURS.contains(&&*t.text)
            || matches!(
                &*t.text,
                "yarn"
                    | "cotton"
                    | "wool"
                    | "acrylic"
                    | "colour"
                    | "color"
                    | "coloured"
                    | "colored"
                    | "tone"
                    | "hook"
            )
    };
    let is_last = tokens[close + 1..].iter().all(is_mark);
    let words = inner.iter().filter(|t| t.kind == Kind::Word).count();
    is_last && (inner.iter().any(is_yarn) || words > MOST_WORDS)
}

/// `Yarn R: red`: a line of the list of yarns.
fn lists_yarn(tokens: &[Token<'_>]) -> bool {
    let mut words = tokens.iter().skip_while(|t| is_mark(t));
    let called = words
        .next()
        .is_some_and(|t| matches!(&*t.text, "yarn" | "colour" | "color"));
    let letter = words.next().is_some_and(|t| t.kind == Kind::Word);
    called
        && letter
        && words.next().is_some_and(|t| t.kind == Kind::Colon)
        && words.next().is_some()
}

/// True if a line without a heading's mark may name the rounds below it: short, no sentence, with a capital; or it says how many to make.
pub(super) fn may_name(line: &RawLine<'_>, text: &str) -> bool {
    const MOST_WORDS: usize = 6;
    let tokens = &line.tokens;
    let found = read(tokens, text);
    let is_number = |word: &&str| !word.starts_with(|c: char| c.is_ascii_digit());
    let words = found.name.split_whitespace().filter(is_number).count();
    let first = tokens.iter().find(|t| t.kind == Kind::Word);
    let capital = first.is_some_and(|t| text[t.span.range()].starts_with(char::is_uppercase));
    // Of a yarn, of the text itself, of its pages.
    let other = first.is_some_and(|t| {
        matches!(
            &*t.text,
            "with"
                | "using"
                | "in"
                | "work"
                | "working"
                | "worked"
                | "start"
                | "starting"
                | "beginning"
                | "note"
                | "to"
                | "how"
                | "if"
                | "when"
                | "page"
                | "photo"
                | "picture"
                | "pic"
                | "image"
                | "figure"
                | "fig"
                | "copyright"
                | "www"
                | "http"
                | "https"
        )
    }) || tokens.iter().any(|t| t.text == "©")
        || lists_yarn(tokens);
    if is_of_material(tokens, text) || only_makes(tokens).is_some() || has_cells(line, text) {
        return false;
    }
    // `body (blue)`, `tail fins x2`, `pearl:`
    let closed = tokens
        .last()
        .is_some_and(|t| matches!(t.kind, Kind::Colon | Kind::Close(_)));
    let remark = (1..tokens.len()).any(|at| opens_remark(tokens, at));
    // `lil fish friend (orange)`
    let of_the_trade = first
        .is_some_and(|t| words::longest(|at| (at == 0).then_some(&*t.text), Terms::Us).is_some());
    let is_short = words <= 2 && (found.says_make || closed && remark)
        || words == 3 && closed && remark && !of_the_trade;
    // `0:42 body`
    let is_timed = without_time(tokens, 0, tokens.len()).0 > 0;
    let capital = capital || is_timed || first.is_some_and(|t| is_short && !t.is("make"));
    // `V = inc`
    let inner = tokens.iter().position(|t| !is_mark(t)).unwrap_or(0)
        ..tokens
            .iter()
            .rposition(|t| !is_mark(t))
            .map_or(0, |at| at + 1);
    let explains = tokens[inner].iter().any(|t| t.kind == Kind::Equals);
    let word = |at: usize| tokens.get(at).map(|t| &*t.text);
    let starts = words::longest(word, Terms::Us).is_some_and(|(word, _)| word == Word::MagicRing);
    let tells_yarn = is_yarn(tokens);
    // `- Body:` is a name, `- Hook: 3 mm` is none.
    let is_listed = line.bullet && !tokens.last().is_some_and(|t| t.kind == Kind::Colon);
    if is_listed
        || starts
        || tells_yarn
        || explains
        || !capital
        || other
        || !(1..=MOST_WORDS).contains(&words)
    {
        return false;
    }
    let ends = tokens
        .iter()
        .rev()
        .find(|t| !matches!(t.kind, Kind::Star(_)));
    // `**BODY.**`
    let capitals = tokens
        .iter()
        .filter(|t| t.kind == Kind::Word)
        .all(|t| text[t.span.range()].chars().all(|c| !c.is_lowercase()));
    // `THE BODY.`
    let in_capitals = capitals && tokens.len() == words + 1;
    let bold_name = (is_all_bold(tokens) || in_capitals) && words <= 3 && !opens_remarks(tokens);
    let sentence = !bold_name
        && ends.is_some_and(|t| matches!(t.kind, Kind::Stop | Kind::Comma | Kind::Semicolon));
    let start = tokens.iter().position(|t| !is_mark(t)).unwrap_or(0);
    let start = start + part_number(tokens, start);
    let tokens = &tokens[without_time(tokens, start, tokens.len()).0..];
    // `Nose: (black)`
    let keyed = tokens
        .iter()
        .position(|t| t.kind == Kind::Colon)
        .is_some_and(|at| {
            let behind = &tokens[at + 1..];
            // `First fluke: Blue yarn`
            let has_words = behind.iter().any(|t| t.kind == Kind::Word) && !is_yarn(behind);
            has_words && !(at + 1 < tokens.len() && opens_bracket_of_yarn(tokens, at + 1))
        });
    found.says_make || !sentence && !keyed
}

/// `**Body**`: true if marks of bold type stand at both ends.
pub(super) fn is_all_bold(tokens: &[Token<'_>]) -> bool {
    let ends = [tokens.first(), tokens.last()];
    ends.into_iter().all(|t| t.is_some_and(Token::is_bold))
}

/// `White`, `Skin color`, `Yarn B (or lighter)` alone: the yarn of the rounds below.
pub(super) fn is_yarn(tokens: &[Token<'_>]) -> bool {
    const MOST_WORDS: usize = 3;
    // `Satchel (canvas colour)` is a name, `White for the paw` is none.
    let ends = |t: &Token<'_>| matches!(t.kind, Kind::Open(_)) || t.is("for");
    let end = tokens.iter().position(ends);
    let tokens = &tokens[..end.unwrap_or(tokens.len())];
    let mut words = tokens.iter().filter(|t| t.kind == Kind::Word);
    let says_yarn = |t: &Token<'_>| matches!(&*t.text, "colour" | "color" | "yarn");
    let ends = [words.clone().next(), words.clone().next_back()];
    let is_called = ends.into_iter().flatten().any(says_yarn)
        && (2..=MOST_WORDS).contains(&words.clone().count())
        && !words.clone().any(|t| t.is("change") || t.is("changes"));
    // `Pink or any leftover`
    let says_yarn = |t: &Token<'_>| {
        colours::is_part(&t.text)
            || matches!(
                &*t.text,
                "or" | "any" | "leftover" | "leftovers" | "scrap" | "and"
            )
    };
    is_called || words.clone().all(says_yarn) && words.any(|t| colours::COLOURS.contains(&&*t.text))
}

/// True for two or three words in small letters and nothing else: a name where nobody writes capitals.
pub(super) fn may_name_in_small(line: &RawLine<'_>, text: &str) -> bool {
    const MOST_WORDS: usize = 3;
    let words = |t: &Token<'_>| matches!(t.kind, Kind::Word | Kind::Number(_));
    let short = (1..=MOST_WORDS).contains(&line.tokens.len()) && line.tokens.iter().all(words);
    let opens = line.tokens.first().is_some_and(|t| {
        t.kind == Kind::Word
            && words::longest(|at| (at == 0).then_some(&*t.text), Terms::Us).is_none()
    });
    short && opens && !line.bullet && !is_yarn(&line.tokens) && !is_of_material(&line.tokens, text)
}

/// `hinge:`, `big claw:`: one or two words in small letters and a colon, which could be a name where nobody writes capitals.
pub(super) fn may_be_called(line: &RawLine<'_>, text: &str) -> bool {
    const OTHER: &[&str] = &[
        "assembly",
        "finishing",
        "pattern",
        "instructions",
        "directions",
        "colour",
        "color",
        "colours",
        "colors",
        "yarns",
        "hook",
        "supplies",
        "size",
        "needed",
        "note",
    ];
    let Some((colon, words)) = line.tokens.split_last() else {
        return false;
    };
    let plain = |t: &Token<'_>| t.kind == Kind::Word && !colours::is_part(&t.text);
    colon.kind == Kind::Colon
        && matches!(words.len(), 1 | 2)
        && words.iter().all(plain)
        && words.iter().all(|t| !OTHER.contains(&&*t.text))
        && !line.bullet
        && !explains(words)
        && !is_of_material(words, text)
}

/// `Rnd | Sts | Work`: the heads of a table's columns.
pub(super) fn has_cells(line: &RawLine<'_>, text: &str) -> bool {
    let cells = text[line.span.range()].split(['\t', '|']);
    cells.filter(|cell| !cell.trim().is_empty()).count() > 1
}

/// `Stitch guide`, `Abbreviations`, `Notes`: a heading over words that explain.
pub(super) fn explains(tokens: &[Token<'_>]) -> bool {
    tokens.iter().any(|t| {
        matches!(
            &*t.text,
            "guide"
                | "abbreviations"
                | "abbreviation"
                | "notes"
                | "note"
                | "glossary"
                | "techniques"
                | "technique"
                | "terms"
                | "tips"
                | "key"
                | "legend"
                | "materials"
                | "gauge"
                | "tension"
        )
    })
}

/// `Important`, `Finished size`: words above remarks, which name no piece.
pub(super) fn opens_remarks(tokens: &[Token<'_>]) -> bool {
    let first = tokens.iter().find(|t| t.kind == Kind::Word);
    explains(tokens)
        || first.is_some_and(|t| {
            matches!(
                &*t.text,
                "important"
                    | "hint"
                    | "warning"
                    | "remember"
                    | "please"
                    | "nb"
                    | "do"
                    | "don't"
                    | "finished"
                    | "size"
                    | "level"
                    | "skill"
                    | "difficulty"
                    | "tip"
                    | "note"
                    | "fasten"
                    | "stuff"
                    | "assembly"
                    | "finishing"
            )
        })
}

/// True for a line on yarn, hook, terms, a chain to start with or fastening off: `Brown yarn`, `Hook 3mm`, `US terms`, `F/O`.
pub(super) fn is_of_material(tokens: &[Token<'_>], text: &str) -> bool {
    let name = read(tokens, text).name.to_lowercase();
    let words: Vec<&str> = name
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty())
        .collect();
    let has = |word: &str| words.contains(&word);
    let numbered = words
        .iter()
        .any(|word| word.starts_with(|c: char| c.is_ascii_digit()));
    let (Some(first), Some(last)) = (words.first(), words.last()) else {
        return false;
    };
    let before_last = words.len().checked_sub(2).map(|at| words[at]);
    // `Any bright colour, 7 ch`
    let is_number = |word: &str| word.bytes().all(|b| b.is_ascii_digit());
    let is_chain = |word: &str| matches!(word, "ch" | "chain" | "chains");
    let chains = before_last.is_some_and(|before| {
        is_chain(last) && is_number(before) || is_chain(before) && is_number(last)
    });
    // `CH7`
    let glued = |word: &str| {
        word.strip_prefix("ch")
            .is_some_and(|n| !n.is_empty() && is_number(n))
    };
    *last == "yarn"
        || chains
        || words.iter().any(|word| glued(word))
        || matches!(*last, "terms" | "terminology")
        || matches!(*first, "use" | "fo" | "fasten" | "stuff" | "stuffing")
        || words.starts_with(&["f", "o"])
        || numbered && matches!(*first, "ch" | "chain")
        || numbered && has("hook")
        || words.iter().any(|w| matches!(*w, "worsted" | "mm" | "dk"))
}

/// One line, single spaces, no control characters, no marks of bold type.
fn clean(words: &str) -> String {
    let kept: String = words
        .chars()
        .filter(|c| !c.is_control() && *c != '\u{ad}')
        .collect();
    let plain = kept.replace("**", "");
    plain.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::super::lex::lex;
    use super::*;

    #[test]
    fn a_heading_may_name_two_pieces() {
        for (text, second, make) in [
            ("Front leg (make 2) & Back leg (make 2)", "Back leg", 2),
            ("Arms x2 and Fins x4", "Fins", 4),
        ] {
            let found = read(&lex(text, Span::new(0, text.len())), text);
            let also = found.also.map(|also| (also.0.name, also.0.make));
            assert_eq!(also, Some((second.to_owned(), make)), "{text}");
        }
    }

    #[test]
    fn the_number_to_make_is_no_part_of_the_name() {
        for (text, name, make) in [
            ("Wing (make 2)", "Wing", 2),
            ("EARS – make two", "EARS", 2),
            ("Foot x2", "Foot", 2),
            ("Foot (x 2)", "Foot", 2),
            ("Leg (2)", "Leg", 2),
            ("Head and body", "Head and body", 1),
            ("**Beak**", "Beak", 1),
            ("Wing (make 2, in B)", "Wing", 2),
            ("Tail:", "Tail", 1),
            ("2 Ears", "Ears", 2),
            ("MAKE 2: CLAW", "CLAW", 2),
            ("5. Hat", "Hat", 1),
            ("Two fins", "fins", 2),
            ("Snout. Make 1.", "Snout", 1),
            ("**Foot** *(make 2)*", "Foot", 2),
            ("For the hat:", "hat", 1),
            ("For the love of boats", "For the love of boats", 1),
            ("Body (start with A)", "Body", 1),
            ("Hoof (make 2 in A and 2 in B)", "Hoof", 4),
            ("Wing (make 2, 1 in grey and 1 in white)", "Wing", 2),
            ("EARS x2", "EARS", 2),
            ("Ear (in brown, make 2)", "Ear", 2),
            ("Body (blue)", "Body", 1),
            ("Head - beige", "Head", 1),
            ("Body in dark blue:", "Body", 1),
            ("Body, with white yarn", "Body", 1),
            ("Man in black boots", "Man in black boots", 1),
            ("Wings – 2 pcs.", "Wings", 2),
            ("Paws - 4 pieces", "Paws", 4),
            ("Claw: (red, make 2)", "Claw", 2),
            ("2:10 HEAD", "HEAD", 1),
            ("HEAD (2:10)", "HEAD", 1),
            ("LEGS x4 – 14:32", "LEGS", 4),
            ("Body – cream, 5 mm hook", "Body", 1),
            ("~ Tail ~", "Tail", 1),
            ("--- WING (2x) ---", "WING", 2),
            ("=== BEAK ===", "BEAK", 1),
            ("Eyes: make 2", "Eyes", 2),
            ("► FLIPPERS (4x) – light green", "FLIPPERS", 4),
            ("Wings x2 (dark grey)", "Wings", 2),
            ("Fin (2x)", "Fin", 2),
            ("**HULL** (black, from the bottom up)", "HULL", 1),
            ("**Base** (string-coloured cotton, 3.5mm hook)", "Base", 1),
            ("**Lid** (same cotton)", "Lid", 1),
            ("Satchel (canvas colour)", "Satchel", 1),
            ("ARM 2 pcs", "ARM", 2),
            ("**LEGS (2 parts).**", "LEGS", 2),
            ("FRONT & back – make 2 (yellow)", "FRONT & back", 2),
            ("flippers, 2 of them", "flippers", 2),
            ("Cheeks 2x", "Cheeks", 2),
            ("TOP FIN With B, make 8 ch.", "TOP FIN With B, make 8 ch", 1),
            ("Wing (left)", "Wing (left)", 1),
            ("✿ FEET (x4) in dark brown ✿", "FEET", 4),
            ("Paws (you need four)", "Paws", 4),
            ("CHEEKS - 2 pcs (pink)", "CHEEKS", 2),
            ("Patch (make 1 in white & 1 in grey)", "Patch", 2),
            (
                "Body (bottom up? no – from the top of the head down)",
                "Body",
                1,
            ),
        ] {
            let found = read(&lex(text, Span::new(0, text.len())), text);
            assert_eq!((found.name.as_str(), found.make), (name, make), "{text}");
        }
    }
}
