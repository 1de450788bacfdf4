//! What the whole pattern tells before any round is read: US or UK terms, yarns, pieces, stitches of its own.

use std::collections::BTreeSet;

use super::blocks::Block;
use super::body::Names;
use super::heading;
use super::lex::{Kind, Token};
use super::own::{self, OwnStitches};
use super::pairs;
use super::stem::{short_names, stem};
use super::tree::{Header, Pattern};
use crate::source::{Problem, Span, quoted};
use crate::terms::Terms;
use crate::terms::colours;
use crate::terms::words;

/// The custom of the stitch names: as stated, or by the words.
pub(super) fn terms(header: &Header, blocks: &[Block<'_>], problems: &mut Vec<Problem>) -> Terms {
    let mut first: [Option<(Span, String)>; 2] = [None, None];
    let mut count = [0usize; 2];
    let mut doubtful = None;
    let mut heights = false;
    for block in blocks {
        let Block::Round(round) = block else { continue };
        for token in &round.tokens {
            if token.kind != Kind::Word {
                continue;
            }
            match words::tells_terms(&token.text) {
                Some(terms) => {
                    let slot = usize::from(terms == Terms::Uk);
                    count[slot] += 1;
                    first[slot].get_or_insert_with(|| (token.span, token.text.to_string()));
                }
                None if &*token.text == "dc" => doubtful = doubtful.or(Some(token.span)),
                None => heights |= matches!(&*token.text, "tr" | "dtr" | "treble" | "ch"),
            }
        }
    }
    if let Some(stated) = &header.terms {
        let other = usize::from(stated.value == Terms::Us);
        if let Some((span, word)) = &first[other] {
            problems.push(
                Problem::warning(
                    "terms-mixed",
                    *span,
                    format!(
                        "{} is not a word of {} terms, which this pattern says that it uses",
                        quoted(word),
                        stated.value.name()
                    ),
                )
                .help("use one custom throughout, or correct the line `Terms:`"),
            );
        }
        return stated.value;
    }
    let [us, uk] = count;
    if let Some(terms) = terms_in_prose(blocks) {
        let other = usize::from(terms == Terms::Us);
        if let Some((span, word)) = &first[other] {
            let mut problem = Problem::warning(
                "terms-mixed",
                *span,
                format!(
                    "{} is not a word of {} terms, which this pattern says that it uses",
                    quoted(word),
                    terms.name()
                ),
            )
            .help("use one custom throughout");
            if let Some(own) = words::in_us_terms(word).filter(|_| count[other] == 1) {
                problem = problem.help(format!("write `{own}`")).mend(*span, own);
            }
            problems.push(problem);
        }
        return terms;
    }
    let terms = if uk > us { Terms::Uk } else { Terms::Us };
    if us > 0 && uk > 0 {
        let slot = usize::from(terms == Terms::Us);
        if let Some((span, word)) = &first[slot] {
            problems.push(
                Problem::warning(
                    "terms-mixed",
                    *span,
                    format!(
                        "{} is a word of the other custom: the rest of the pattern is in {} terms",
                        quoted(word),
                        terms.name()
                    ),
                )
                .help("use one custom throughout, and add a line `Terms: US` or `Terms: UK`"),
            );
        }
    }
    if us == 0
        && uk == 0
        && let Some(span) = doubtful
    {
        if !heights && starts_with_six(blocks) {
            problems.push(
                Problem::warning(
                    "terms-unsure",
                    span,
                    "nothing but `dc`, six in the ring: most likely UK terms, and read so",
                )
                .help("add a line `Terms: UK` (or `Terms: US`) above the first piece"),
            );
            return Terms::Uk;
        }
        problems.push(
            Problem::note(
                "terms-assumed",
                span,
                "nothing tells US from UK terms here: read as US",
            )
            .help("add a line `Terms: US` or `Terms: UK` above the first piece"),
        );
    }
    terms
}

/// `This pattern is written in US terms.`, `Little tugboat – UK terminology`, `Pocket puppy (UK)`.
fn terms_in_prose(blocks: &[Block<'_>]) -> Option<Terms> {
    let named = |token: &Token<'_>| match &*token.text {
        "us" | "american" | "usa" => Some(Terms::Us),
        "uk" | "british" => Some(Terms::Uk),
        _ => None,
    };
    let speaks = |token: &Token<'_>| {
        matches!(
            &*token.text,
            "terms" | "terminology" | "notation" | "abbreviations" | "pattern"
        )
    };
    let title = blocks.iter().find_map(Block::line);
    let by_title = title.and_then(|line| match &line.tokens[..] {
        [.., mark, word] if mark.kind != Kind::Word => named(word),
        [.., mark, word, _] if matches!(mark.kind, Kind::Open(_)) => named(word),
        _ => None,
    });
    let said = || {
        blocks.iter().filter_map(Block::line).find_map(|line| {
            (0..line.tokens.len()).find_map(|at| {
                let mut behind = line.tokens[at + 1..].iter().take(2);
                // `Abbreviations, UK:`
                let mut before = line.tokens[at.saturating_sub(2)..at].iter();
                let mut is_headed = || before.any(|t| t.is("abbreviations") || t.is("terms"));
                named(&line.tokens[at]).filter(|_| behind.any(speaks) || is_headed())
            })
        })
    };
    by_title.or_else(said)
}

/// The first round puts six into the ring.
fn starts_with_six(blocks: &[Block<'_>]) -> bool {
    let first = blocks.iter().find_map(|b| match b {
        Block::Round(round) => Some(round),
        _ => None,
    });
    first.is_some_and(|round| {
        round.tokens[round.label.body.min(round.tokens.len())..]
            .iter()
            .any(|t| t.kind == Kind::Number(6) || t.is("six"))
    })
}

/// What the yarns are called: their letters and their colours.
pub(super) fn yarn_names(header: &Header) -> Vec<String> {
    let mut names = Vec::new();
    for yarn in &header.yarns {
        names.push(yarn.letter.clone());
        if !yarn.name.is_empty() {
            names.push(yarn.name.clone());
        }
    }
    names
}

/// What the readers of rounds need to know.
pub(super) fn names(pattern: &Pattern, blocks: &[Block<'_>], text: &str) -> Names {
    let mut names = Names {
        terms: pattern.terms,
        yarns: yarn_names(&pattern.header),
        // A yarn's own letter that no line gives it is free for a stitch.
        given_letters: {
            let given = pattern.header.yarns.iter().filter(|yarn| yarn.is_given);
            given.map(|yarn| yarn.letter.clone()).collect()
        },
        letter_code: false,
        small_letters: false,
        pieces: names_of_pieces(blocks, text),
        own: OwnStitches::default(),
        in_loops: false,
    };
    names.own = own_stitches(blocks, text, &names);
    names.letter_code = names.own.has_letters()
        || blocks.iter().any(|block| match block {
            Block::Round(round) => uses_letter_code(
                &round.tokens[round.label.body.min(round.tokens.len())..],
                text,
            ),
            _ => false,
        });
    names.small_letters = !names.letter_code && uses_small_letters(blocks, text);
    names
}

/// The rounds are written in small letters (`6v`, `(x, v)*6`): a `v` stands for a stitch, and no stitch is named in words.
fn uses_small_letters(blocks: &[Block<'_>], text: &str) -> bool {
    let rounds = || {
        blocks.iter().filter_map(|block| match block {
            Block::Round(round) => Some(&round.tokens[round.label.body.min(round.tokens.len())..]),
            _ => None,
        })
    };
    let is_v = |tokens: &[Token<'_>]| {
        let parted = |t: Option<&Token<'_>>| {
            t.is_none_or(|t| !matches!(t.kind, Kind::Word | Kind::Dash) || t.spaced)
        };
        (0..tokens.len())
            .any(|at| &text[tokens[at].span.range()] == "v" && parted(tokens.get(at + 1)))
    };
    let names_stitch =
        |t: &Token<'_>| matches!(&*t.text, "sc" | "inc" | "dec" | "dc" | "hdc" | "tr" | "htr");
    // `v: Increase` in the pattern's own list
    let is_listed = || {
        blocks.iter().any(|block| {
            let tokens = block.line().map_or(&[][..], |line| &line.tokens);
            matches!(tokens, [letter, sign, ..]
                if letter.is("v") && letter.text.len() == 1
                    && matches!(sign.kind, Kind::Colon | Kind::Equals | Kind::Dash))
        })
    };
    rounds().any(is_v) && (!rounds().flatten().any(names_stitch) || is_listed())
}

fn own_stitches(blocks: &[Block<'_>], text: &str, names: &Names) -> OwnStitches {
    let mut own = OwnStitches::default();
    for block in blocks {
        if let Block::Text(line) = block {
            match own::entries(line) {
                Some(entries) => entries.iter().for_each(|entry| own.add(entry, text, names)),
                None => own.add(line, text, names),
            }
        }
    }
    own
}

/// Names that pieces may have: headings and short lines, whole and what they may be called by alone.
fn names_of_pieces(blocks: &[Block<'_>], text: &str) -> BTreeSet<String> {
    const LONGEST: usize = 12;
    let mut names = BTreeSet::new();
    for block in blocks {
        let line = match block {
            Block::Heading(_, line) | Block::Text(line) => line,
            Block::Round(round) => {
                names.extend(pairs::joined(&round.tokens).map(|noun| stem(&noun.text)));
                continue;
            }
            Block::Blank => continue,
        };
        if line.tokens.len() > LONGEST {
            continue;
        }
        let found = heading::read(&line.tokens, text);
        let second = found.also.as_ref().map(|also| &also.0.name);
        for name in [Some(&found.name), second].into_iter().flatten() {
            let name = name.to_lowercase();
            names.extend(short_names(&name));
            names.insert(stem(&name));
        }
    }
    names.remove("");
    // `Switch to grey` names no piece.
    names.retain(|name| !colours::COLOURS.contains(&name.as_str()));
    names
}

/// A capital V, or a capital X that can't mean "times", is a stitch of the letter code.
pub(super) fn uses_letter_code(tokens: &[Token<'_>], text: &str) -> bool {
    let is = |at: usize, letter: &str| {
        tokens
            .get(at)
            .is_some_and(|t| t.kind == Kind::Word && &text[t.span.range()] == letter)
    };
    (0..tokens.len()).any(|at| {
        let hyphened = tokens
            .get(at + 1)
            .is_some_and(|t| t.kind == Kind::Dash && !t.spaced);
        if is(at, "V") && !hyphened {
            return true;
        }
        let glued = !tokens[at].spaced && at > 0 && matches!(tokens[at - 1].kind, Kind::Number(_));
        // `DEC 6X`: how often.
        let times_a_stitch =
            glued && at > 1 && matches!(&*tokens[at - 2].text, "inc" | "dec" | "sc2tog");
        if times_a_stitch {
            return false;
        }
        let opens = at > 0 && matches!(tokens[at - 1].kind, Kind::Open(_));
        let followed = tokens.get(at + 1).is_none_or(|t| {
            matches!(t.kind, Kind::Comma | Kind::Close(_))
                || t.kind != Kind::Open(super::lex::Bracket::Round)
                    && !matches!(t.kind, Kind::Number(_))
                || glued
                    && t.spaced
                    && matches!(t.kind, Kind::Open(_))
                    && bracket_is_number(tokens, at + 1)
        });
        // `6 X`, and nothing else: there is nothing that it could multiply.
        let alone = at == 1
            && matches!(tokens[0].kind, Kind::Number(_))
            && tokens
                .get(2)
                .is_none_or(|t| matches!(t.kind, Kind::Open(_)))
            && (tokens.len() == 2 || bracket_is_number(tokens, 2));
        is(at, "X") && ((glued || opens) && followed || alone)
    })
}

fn bracket_is_number(tokens: &[Token<'_>], at: usize) -> bool {
    matches!(tokens.get(at + 1).map(|t| t.kind), Some(Kind::Number(_)))
        && matches!(tokens.get(at + 2).map(|t| t.kind), Some(Kind::Close(_)))
}

/// Numbers with a small letter stuck to them and no `(`, number or word after it: `6x in MR`, `(1x, v) x 6`, `5a`.
pub(super) fn has_small_letters(tokens: &[Token<'_>]) -> bool {
    let is_letter =
        |t: &Token<'_>| !t.spaced && (t.kind == Kind::Times || matches!(&*t.text, "x" | "v" | "a"));
    let counted =
        |pair: &[Token<'_>]| matches!(pair[0].kind, Kind::Number(_)) && is_letter(&pair[1]);
    let numbered = |at: usize| matches!(tokens.get(at).map(|t| t.kind), Some(Kind::Number(_)));
    // `(x, v)*6`
    let listed = |three: &[Token<'_>]| {
        matches!(three[0].kind, Kind::Open(_))
            && matches!(&*three[1].text, "x" | "v" | "a")
            && matches!(three[2].kind, Kind::Comma | Kind::Close(_))
    };
    // `(1, v) 6`
    let after_number = |four: &[Token<'_>]| {
        matches!(four[0].kind, Kind::Number(_))
            && four[1].kind == Kind::Comma
            && matches!(&*four[2].text, "x" | "v" | "a")
            && matches!(four[3].kind, Kind::Close(_))
    };
    if tokens.windows(3).any(listed) || tokens.windows(4).any(after_number) {
        return true;
    }
    tokens
        .windows(2)
        .enumerate()
        .any(|(at, pair)| counted(pair) && !numbered(at + 2))
}
