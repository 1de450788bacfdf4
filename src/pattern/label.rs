//! Labels of rounds: `Rnd 3:`, `R5–R8:`, `4th to 6th rnds (3 rounds):`, `Row 3 (RS):`, `3.`

use super::lex::{Kind, Token};

/// A label as it stands, not yet checked.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct RawLabel {
    pub is_row: bool,
    /// Runs of numbers; empty for `Next rnd:`.
    pub numbers: Vec<(u32, u32)>,
    /// How many rounds `Next 3 rnds:` stands for; 0 where numbers are given.
    pub relative: u32,
    /// Just a number: a round only if its body reads as one.
    pub bare: bool,
    /// No colon or other mark ends it: a round only if its body reads as one.
    pub open_ended: bool,
    /// Tokens between numbers and colon: `(BLO)`, `(36 sts)`, `with B`.
    pub remark: std::ops::Range<usize>,
    /// Where the label's own tokens begin.
    pub start: usize,
    /// Index after its last number.
    pub end: usize,
    /// Index of the first token of the body.
    pub body: usize,
}

/// The label at the front of a line's tokens.
pub(super) fn read(tokens: &[Token<'_>]) -> Option<RawLabel> {
    let mut at = 0;
    while tokens
        .get(at)
        .is_some_and(|t| matches!(t.kind, Kind::Star(_) | Kind::Other))
    {
        at += 1;
    }
    let start = at;
    let mut label = RawLabel {
        is_row: false,
        numbers: Vec::new(),
        relative: 0,
        bare: false,
        open_ended: false,
        remark: 0..0,
        start,
        end: start,
        body: 0,
    };
    let mut plural = false;
    let token = tokens.get(at)?;
    if let Some(word) = round_word(tokens, at) {
        label.is_row = word.is_row;
        plural = word.plural;
        at = word.end;
        let (numbers, end) = numbers(tokens, at, plural)?;
        label.numbers = numbers;
        at = end;
    } else if token.is("next") {
        at += 1;
        let mut count = 1;
        if let Some(Kind::Number(n)) = tokens.get(at).map(|t| t.kind) {
            count = n;
            at += 1;
        }
        let word = round_word(tokens, at)?;
        label.is_row = word.is_row;
        label.relative = count.clamp(1, 1000);
        at = word.end;
        if !tokens
            .get(at)
            .is_some_and(|t| matches!(t.kind, Kind::Colon | Kind::Open(_) | Kind::Dash))
        {
            return None;
        }
    } else if let Kind::Number(_) = token.kind {
        let (numbers, end, worded) = counted(tokens, at)?;
        label.numbers = numbers;
        label.bare = worded.is_none();
        if let Some(word) = worded {
            label.is_row = word.is_row;
        }
        at = end;
    } else {
        return None;
    }
    label.end = at;
    let bold = tokens[..start]
        .iter()
        .any(|t| matches!(t.kind, Kind::Star(2..)));
    let (remark, body, ended) = ending(tokens, at, label.bare, bold)?;
    if label.bare && !ended {
        return None;
    }
    label.remark = remark;
    label.body = body;
    label.open_ended = !ended;
    if label.open_ended
        && !plural
        && label.numbers.len() == 1
        && label.numbers[0].0 != label.numbers[0].1
    {
        return None;
    }
    Some(label)
}

struct RoundWord {
    is_row: bool,
    plural: bool,
    end: usize,
}

/// `Rnd`, `Rounds`, `R` (before a number), `Row`, with a full stop after it or not.
fn round_word(tokens: &[Token<'_>], at: usize) -> Option<RoundWord> {
    let token = tokens.get(at)?;
    if token.kind != Kind::Word {
        return None;
    }
    let (is_row, plural) = match &*token.text {
        "rnd" | "round" | "rd" | "rn" => (false, false),
        "rnds" | "rounds" | "rds" | "rs" => (false, true),
        "r" => (false, false),
        "row" | "rw" => (true, false),
        "rows" => (true, true),
        _ => return None,
    };
    let mut end = at + 1;
    if tokens.get(end).is_some_and(|t| t.kind == Kind::Stop) {
        end += 1;
    }
    let numbered = tokens
        .get(end)
        .is_some_and(|t| matches!(t.kind, Kind::Number(_)));
    (numbered || !matches!(&*token.text, "r" | "rs" | "rn")).then_some(RoundWord {
        is_row,
        plural,
        end,
    })
}

/// `3`, `5-8`, `5, 7, 9`, `4 & 5`, `7 and Rnd 8`, with ordinals or without.
fn numbers(tokens: &[Token<'_>], at: usize, plural: bool) -> Option<(Vec<(u32, u32)>, usize)> {
    let (first, end) = number(tokens, at)?;
    let mut runs = vec![(first, first)];
    let mut at = end;
    let mut ends = vec![(runs.clone(), at)];
    loop {
        let Some(token) = tokens.get(at) else { break };
        let ranges = matches!(token.kind, Kind::Dash | Kind::Tilde)
            || token.is("to")
            || token.is("through")
            || token.is("thru");
        let lists =
            matches!(token.kind, Kind::Comma | Kind::Ampersand | Kind::Plus) || token.is("and");
        if !ranges && !lists {
            break;
        }
        let mut next = at + 1;
        // `5, 7, and 9`
        if lists && tokens.get(next).is_some_and(|t| t.is("and")) {
            next += 1;
        }
        if let Some(word) = round_word(tokens, next) {
            next = word.end;
        }
        let Some((n, end)) = number(tokens, next) else {
            break;
        };
        if ranges {
            let last = runs.last_mut()?;
            if last.0 != last.1 {
                break;
            }
            last.1 = n;
        } else {
            runs.push((n, n));
        }
        at = end;
        ends.push((runs.clone(), at));
        if ends.len() > 200 {
            break;
        }
    }
    // `Rnd 1 - 6 sc`, `Rnd 3, 6 sc`: numbers that are followed by a stitch are no part of the label.
    while ends.len() > 1 {
        let (_, end) = &ends[ends.len() - 1];
        let closes = tokens.get(*end).is_none_or(|t| {
            matches!(
                t.kind,
                Kind::Colon
                    | Kind::Close(_)
                    | Kind::Stop
                    | Kind::Open(_)
                    | Kind::Dash
                    | Kind::Star(_)
            )
        });
        if closes || plural {
            break;
        }
        ends.pop();
    }
    ends.pop()
}

/// A number with or without an ordinal's ending.
fn number(tokens: &[Token<'_>], at: usize) -> Option<(u32, usize)> {
    let Kind::Number(n) = tokens.get(at)?.kind else {
        return None;
    };
    let suffix = tokens
        .get(at + 1)
        .is_some_and(|t| !t.spaced && matches!(&*t.text, "st" | "nd" | "rd" | "th"));
    Some((n, at + 1 + usize::from(suffix)))
}

/// `3rd rnd`, `4th to 6th rnds`, `3 row`, or just `3`, `4-6`.
#[allow(clippy::type_complexity)]
fn counted(tokens: &[Token<'_>], at: usize) -> Option<(Vec<(u32, u32)>, usize, Option<RoundWord>)> {
    let (first, end) = number(tokens, at)?;
    let mut run = (first, first);
    let mut at = end;
    // `4)-5)`
    let closed = tokens
        .get(at)
        .is_some_and(|t| matches!(t.kind, Kind::Close(_)))
        && tokens
            .get(at + 1)
            .is_some_and(|t| matches!(t.kind, Kind::Dash | Kind::Tilde))
        && number(tokens, at + 2).is_some();
    at += usize::from(closed);
    if let Some(token) = tokens.get(at)
        && (matches!(token.kind, Kind::Dash | Kind::Tilde) || token.is("to") || token.is("and"))
        && let Some((last, end)) = number(tokens, at + 1)
    {
        run.1 = last;
        at = end;
    }
    if let Some(word) = round_word(tokens, at) {
        let end = word.end;
        return Some((vec![run], end, Some(word)));
    }
    Some((vec![run], at, None))
}

/// The remark, the index of the body and whether a mark ends the label.
fn ending(
    tokens: &[Token<'_>],
    mut at: usize,
    bare: bool,
    bold: bool,
) -> Option<(std::ops::Range<usize>, usize, bool)> {
    let skip_stars = |mut at: usize| {
        while bold
            && tokens
                .get(at)
                .is_some_and(|t| matches!(t.kind, Kind::Star(2..)))
        {
            at += 1;
        }
        at
    };
    at = skip_stars(at);
    let start = at;
    let is_end = |at: usize| {
        tokens.get(at).is_some_and(|t| {
            matches!(t.kind, Kind::Colon | Kind::Stop)
                || matches!(t.kind, Kind::Close(super::lex::Bracket::Round))
                || matches!(t.kind, Kind::Dash) && !bare
        })
    };
    if is_end(at) {
        return Some((start..start, skip_stars(at + 1), true));
    }
    if bare {
        return Some((start..start, at, false));
    }
    // A remark in brackets or words, up to a colon.
    let mut depth = 0usize;
    let mut index = at;
    while let Some(token) = tokens.get(index) {
        match token.kind {
            Kind::Open(_) => depth += 1,
            Kind::Close(_) => depth = depth.saturating_sub(1),
            Kind::Colon if depth == 0 => return Some((start..index, skip_stars(index + 1), true)),
            _ => {}
        }
        if index - at > 12 {
            break;
        }
        index += 1;
    }
    // `Row 3 (RS) sc across`: the side, without a colon.
    if tokens
        .get(at)
        .is_some_and(|t| matches!(t.kind, Kind::Open(_)))
        && tokens.get(at + 1).is_some_and(|t| t.is("rs") || t.is("ws"))
        && tokens
            .get(at + 2)
            .is_some_and(|t| matches!(t.kind, Kind::Close(_)))
    {
        return Some((start..at + 3, at + 3, true));
    }
    if tokens.get(at).is_some_and(|t| t.kind == Kind::Comma) {
        at += 1;
    }
    Some((start..start, at, false))
}

#[cfg(test)]
mod tests {
    use super::super::lex::lex;
    use super::*;
    use crate::source::Span;

    fn label(text: &str) -> Option<(Vec<(u32, u32)>, String)> {
        let tokens = lex(text, Span::new(0, text.len()));
        let label = read(&tokens)?;
        let body = tokens.get(label.body).map_or("", |t| &text[t.span.start..]);
        Some((label.numbers, body.to_owned()))
    }

    #[test]
    fn labels_in_many_hands() {
        for (text, numbers) in [
            ("Rnd 3: sc", vec![(3, 3)]),
            ("Rnd. 3) sc", vec![(3, 3)]),
            ("R3: sc", vec![(3, 3)]),
            ("R 3. sc", vec![(3, 3)]),
            ("3rd rnd: sc", vec![(3, 3)]),
            ("3 row: sc", vec![(3, 3)]),
            ("Rnds 5-8: sc", vec![(5, 8)]),
            ("R5–R8: sc", vec![(5, 8)]),
            ("R5~R8: sc", vec![(5, 8)]),
            ("4th to 6th rnds (3 rounds): sc", vec![(4, 6)]),
            ("Rnd 4 to Rnd 6: sc", vec![(4, 6)]),
            ("4-6. sc", vec![(4, 6)]),
            ("Rnds 4 & 5: sc", vec![(4, 4), (5, 5)]),
            ("Rnd 7 and Rnd 8: sc", vec![(7, 7), (8, 8)]),
            ("Rnds 5, 7, 9: sc", vec![(5, 5), (7, 7), (9, 9)]),
            ("**Rnd 3:** sc", vec![(3, 3)]),
            ("Rnd 6 (36 sts): sc", vec![(6, 6)]),
            ("Rnd 6 in BLO: sc", vec![(6, 6)]),
            ("Rnds 5-8 sc around", vec![(5, 8)]),
        ] {
            let (found, body) = label(text).unwrap_or_else(|| panic!("{text}"));
            assert_eq!(found, numbers, "{text}");
            assert!(body.starts_with("sc"), "{text}: {body}");
        }
    }

    #[test]
    fn a_dash_before_a_count_ends_the_label() {
        assert_eq!(
            label("Rnd 1 - 6 sc in MR"),
            Some((vec![(1, 1)], "6 sc in MR".into()))
        );
        assert_eq!(label("Rnd 3, 6 sc").unwrap().0, vec![(3, 3)]);
    }

    #[test]
    fn prose_has_no_label() {
        assert_eq!(label("Rounds are worked in a spiral"), None);
        assert_eq!(label("Row houses"), None);
    }
}
