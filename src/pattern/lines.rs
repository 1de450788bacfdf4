//! The text cut into lines that mean something: headings, text, blanks.

use super::lex::{Kind, Token, lex};
use crate::source::{Source, Span};

/// A line with its bullet and indentation left out.
#[derive(Debug)]
pub(super) struct RawLine<'s> {
    pub kind: LineKind,
    /// The words, from the first to the last character that is not white space.
    pub span: Span,
    /// The tokens of the words (of a heading, without its `#`).
    pub tokens: Vec<Token<'s>>,
    /// White space stands before the words.
    pub indented: bool,
    /// A bullet stands before the words.
    pub bullet: bool,
}

impl<'s> RawLine<'s> {
    /// The break before the line is a space.
    pub fn space(&mut self) {
        if let Some(first) = self.tokens.first_mut() {
            first.spaced = true;
        }
    }

    /// Some tokens of the line, at least one, as a line.
    pub fn part(&self, tokens: &[Token<'s>]) -> RawLine<'s> {
        RawLine {
            kind: LineKind::Text,
            span: tokens[0].span.to(tokens[tokens.len() - 1].span),
            tokens: tokens.to_vec(),
            indented: self.indented,
            bullet: false,
        }
    }

    /// What stands before and behind the first colon among the first so many tokens, each as a line: a name and its work.
    pub fn parted_at_colon(&self, longest: usize) -> Option<(RawLine<'s>, RawLine<'s>)> {
        let mut first = self.tokens.iter().take(longest);
        let colon = first.position(|t| t.kind == Kind::Colon)?;
        let (before, behind) = (&self.tokens[..colon], &self.tokens[colon + 1..]);
        let both = !before.is_empty() && !behind.is_empty();
        both.then(|| (self.part(before), self.part(behind)))
    }

    /// Takes in the words of the next line.
    pub fn goes_on_with(&mut self, mut next: RawLine<'s>) {
        next.space();
        self.span = self.span.to(next.span);
        self.tokens.extend(next.tokens);
    }
}

/// What a line is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum LineKind {
    /// Nothing but white space.
    Blank,
    /// A heading of a level, 1 the highest.
    Heading(u8),
    /// Anything else.
    Text,
}

/// The lines of a text. A line break that a word processor puts inside a paragraph parts lines too.
pub(super) fn read(source: &Source) -> Vec<RawLine<'_>> {
    let text = source.text();
    let mut lines = Vec::new();
    for index in 0..source.line_count() {
        let whole = source.line_span(index);
        let mut start = whole.start;
        for (at, c) in text[whole.range()].char_indices() {
            if matches!(c, '\u{b}' | '\u{c}' | '\u{2028}' | '\u{2029}' | '\u{85}') {
                lines.push(line(text, Span::new(start, whole.start + at)));
                start = whole.start + at + c.len_utf8();
            }
        }
        lines.push(line(text, Span::new(start, whole.end)));
    }
    underlined_headings(&mut lines);
    comma_tables(&mut lines);
    lines
}

/// `1, 6 sc in MR, 6` above `2, inc x 6, 12`: a table whose cells have commas between them. Bars stand for those after a round's
/// number and before its total.
fn comma_tables(lines: &mut [RawLine<'_>]) {
    let mut run: Vec<(usize, usize)> = Vec::new();
    let mut last = 0;
    for index in 0..=lines.len() {
        let row = lines.get(index).and_then(|line| comma_row(&line.tokens));
        match row {
            Some((first, end, comma)) if first == last + 1 => {
                run.push((index, comma));
                last = end;
            }
            None if lines
                .get(index)
                .is_some_and(|line| line.kind == LineKind::Blank) => {}
            _ => {
                if run.len() > 1 {
                    for (index, comma) in run.drain(..) {
                        let tokens = &mut lines[index].tokens;
                        let total = tokens.len() - 2;
                        for at in [comma, total] {
                            tokens[at].kind = Kind::Other;
                            tokens[at].text = "|".into();
                        }
                    }
                }
                run.clear();
                last = 0;
                if let Some((1, end, comma)) = row {
                    run.push((index, comma));
                    last = end;
                }
            }
        }
    }
}

/// The first and the last round of a line `4-6, sc around, 18`, and the place of its first comma.
fn comma_row(tokens: &[Token<'_>]) -> Option<(u32, u32, usize)> {
    let number = |at: usize| match tokens.get(at)?.kind {
        Kind::Number(n) => Some(n),
        _ => None,
    };
    let is = |at: usize, kind| tokens.get(at).is_some_and(|t| t.kind == kind);
    let first = number(0)?;
    let (end, comma) = match is(1, Kind::Dash) {
        true => (number(2)?, 3),
        false => (first, 1),
    };
    let total = tokens.len().checked_sub(2)?;
    let has_words = total > comma + 1 && tokens[comma..total].iter().any(|t| t.kind == Kind::Word);
    let is_row = is(comma, Kind::Comma) && is(total, Kind::Comma) && has_words;
    number(total + 1).filter(|_| is_row)?;
    Some((first, end, comma))
}

fn line(text: &str, span: Span) -> RawLine<'_> {
    let trimmed = trim(text, span);
    let words = &text[trimmed.range()];
    let blank = RawLine {
        kind: LineKind::Blank,
        span: trimmed,
        tokens: Vec::new(),
        indented: false,
        bullet: false,
    };
    if words.is_empty() {
        return blank;
    }
    let hashes = words.bytes().take_while(|&b| b == b'#').count();
    if (1..=6).contains(&hashes) && words[hashes..].starts_with([' ', '\t', '\u{a0}']) {
        let inner = trim(text, Span::new(trimmed.start + hashes, trimmed.end));
        let end = inner.start + text[inner.range()].trim_end_matches(['#', ' ']).len();
        let inner = Span::new(inner.start, end);
        return RawLine {
            kind: LineKind::Heading(hashes as u8),
            span: inner,
            tokens: lex(text, inner),
            indented: false,
            bullet: false,
        };
    }
    if is_time(words) {
        return blank;
    }
    let bullet_len = bullet(words);
    let inner = trim(text, Span::new(trimmed.start + bullet_len, trimmed.end));
    if inner.is_empty() {
        return blank;
    }
    RawLine {
        kind: LineKind::Text,
        span: inner,
        tokens: cells(lex(text, inner), text),
        indented: trimmed.start > span.start && bullet_len == 0,
        bullet: bullet_len > 0,
    }
}

/// `0:41`, `[1:02:10]`: the time stamp of a film alone on its line.
fn is_time(words: &str) -> bool {
    let inner = words.trim_matches(|c| matches!(c, '[' | ']' | '(' | ')'));
    let parts: Vec<&str> = inner.split(':').take(4).collect();
    let is_part =
        |part: &&str| (1..=2).contains(&part.len()) && part.bytes().all(|b| b.is_ascii_digit());
    (2..=3).contains(&parts.len())
        && parts.iter().all(is_part)
        && parts.last().is_some_and(|part| part.len() == 2)
}

/// True at the time stamp of a film: `12:20`, glued, of two digits behind the colon.
pub(super) fn opens_with_time(tokens: &[Token<'_>]) -> bool {
    opens_with_numbers(tokens) && tokens[2].text.len() == 2
}

/// True at two numbers with a colon between them and nothing else: `2:10`.
pub(super) fn opens_with_numbers(tokens: &[Token<'_>]) -> bool {
    let is_number = |t: &Token<'_>| matches!(t.kind, Kind::Number(_));
    matches!(tokens, [first, colon, second, ..]
        if is_number(first)
            && colon.kind == Kind::Colon
            && !colon.spaced
            && is_number(second)
            && !second.spaced)
}

/// Bytes of the bullets and quotation marks at the front of a line.
fn bullet(words: &str) -> usize {
    let mut taken = 0;
    loop {
        let rest = &words[taken..];
        let Some(c) = rest.chars().next() else {
            return taken;
        };
        let after = rest[c.len_utf8()..].chars().next();
        let spaced = after.is_none_or(char::is_whitespace);
        let is_bullet = match c {
            '•' | '·' | '▪' | '▫' | '●' | '○' | '◦' | '‣' | '☐' | '□' | '☑' | '■' | '➤'
            | '\u{f0b7}' | '>' => true,
            '-' | '+' | '–' | '—' | '→' => spaced && !is_total(&rest[c.len_utf8()..]),
            // A word processor's round bullet, as text.
            'o' => spaced && rest[1..].trim_start().starts_with(['R', 'r']),
            // `* sc, inc; rep from * around` opens a repeat.
            '*' => {
                let words = &rest[1..];
                spaced && (!words.contains('*') || opens_with_label(words)) && !ends_a_repeat(words)
            }
            '[' => rest.starts_with("[ ]") || rest.starts_with("[x]"),
            _ => false,
        };
        if !is_bullet {
            return taken;
        }
        taken += if c == '[' { 3 } else { c.len_utf8() };
        let space = words[taken..].len() - words[taken..].trim_start().len();
        taken += space;
    }
}

/// `– 12 sts`: a total on a line of its own.
fn is_total(words: &str) -> bool {
    let words = words.trim().trim_end_matches('.');
    let unit = words.trim_start_matches(|c: char| c.is_ascii_digit());
    unit.len() < words.len()
        && matches!(
            unit.trim_start().to_ascii_lowercase().as_str(),
            "" | "st" | "sts" | "stitches" | "sc" | "dc"
        )
}

/// A row of a table that was pasted has tabs between its cells: bars stand for the one after a round's number, and for the one
/// before a number at the end.
fn cells<'s>(tokens: Vec<Token<'s>>, text: &str) -> Vec<Token<'s>> {
    const LONGEST_LABEL: usize = 5;
    if tokens.len() < 2 {
        return tokens;
    }
    let tab = |at: usize| {
        let from = tokens[at - 1].span.end;
        let gap = &text[from..tokens[at].span.start];
        let at = gap.find('\t')?;
        Some(Span::new(from + at, from + at + 1))
    };
    let is_number = |t: &Token<'_>| matches!(t.kind, Kind::Number(_));
    let first = (1..tokens.len().min(LONGEST_LABEL + 1)).find(|&at| tab(at).is_some());
    let ends_label = |at: &usize| matches!(tokens[at - 1].kind, Kind::Number(_));
    let first = first.filter(ends_label);
    let total = |at: usize| tokens[at..].iter().any(is_number);
    let last = (tokens.len().saturating_sub(4).max(1)..tokens.len())
        .rev()
        .find(|&at| tab(at).is_some())
        .filter(|&at| total(at));
    // After a label every cell is one of the row's.
    let bars: Vec<(usize, Span)> = (1..tokens.len())
        .filter(|&at| first.is_some_and(|first| first <= at) || last == Some(at))
        .filter_map(|at| Some((at, tab(at)?)))
        .collect();
    let mut parted = Vec::with_capacity(tokens.len() + bars.len());
    let mut bars = bars.into_iter().peekable();
    for (at, token) in tokens.into_iter().enumerate() {
        if let Some((_, span)) = bars.next_if(|bar| bar.0 == at) {
            parted.push(Token {
                kind: Kind::Other,
                span,
                spaced: true,
                text: "|".into(),
            });
        }
        parted.push(token);
    }
    parted
}

/// `rep from ⏎ * once more`: the star of a repeat, at the front of a wrapped line.
fn ends_a_repeat(words: &str) -> bool {
    let after_number = words
        .trim_start()
        .trim_start_matches(|c: char| c.is_ascii_digit());
    // `2 ⏎ * (sc, inc)`
    if words.trim_start().starts_with(['(', '[', '{']) {
        return true;
    }
    // `* 2, then sc`, `* 2 (10 sts)`, `* 2 and sc in next st`
    let next = after_number.trim_start();
    if after_number.len() < words.trim_start().len()
        && (next.is_empty()
            || next.starts_with([',', ';', '(', '[', '{', '=', '→', '–'])
            || next.starts_with("and "))
    {
        return true;
    }
    let mut words = words
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase);
    let first = words.next().unwrap_or_default();
    let counts = |word: &str| matches!(word, "times" | "more");
    matches!(
        first.as_str(),
        "once" | "twice" | "to" | "around" | "across" | "until" | "times" | "more"
    ) || words
        .next()
        .is_some_and(|second| counts(&second) || first == "a" && second == "total")
}

/// A round's label after a bullet, bold or not: `Rnd`, `Round`, `R3`, `Row`, `3.`, `3rd rnd`.
fn opens_with_label(words: &str) -> bool {
    let words = words.trim_start().trim_start_matches('*');
    let after_number = words.trim_start_matches(|c: char| c.is_ascii_digit());
    let next = after_number.trim_start();
    let is_ordinal = ["st", "nd", "rd", "th"].iter().any(|ending| {
        let rest = after_number.strip_prefix(ending);
        rest.is_some_and(|rest| rest.starts_with(char::is_whitespace))
    });
    let numbered = after_number.len() < words.len()
        && (is_ordinal
            || after_number.starts_with(['.', ')', '-', '–'])
            || ["rnd", "row", "round"]
                .iter()
                .any(|word| next.starts_with(word)));
    numbered || words.starts_with(['R', 'r'])
}

fn trim(text: &str, span: Span) -> Span {
    let words = &text[span.range()];
    let is_blank = |c: char| c.is_whitespace() || matches!(c, '\u{feff}' | '\u{200b}');
    let start = span.start + (words.len() - words.trim_start_matches(is_blank).len());
    let end = start + text[start..span.end].trim_end_matches(is_blank).len();
    Span::new(start, end)
}

/// A line of `===` or `---` makes the line above it a heading.
fn underlined_headings(lines: &mut [RawLine<'_>]) {
    for index in 1..lines.len() {
        let rule = |kind| {
            let tokens = &lines[index].tokens;
            tokens.len() >= 3 && tokens.iter().all(|t| t.kind == kind)
        };
        let level = if rule(Kind::Equals) {
            1
        } else if rule(Kind::Dash) {
            2
        } else {
            continue;
        };
        if lines[index - 1].kind == LineKind::Text && !lines[index - 1].bullet {
            lines[index - 1].kind = LineKind::Heading(level);
        }
        lines[index].kind = LineKind::Blank;
    }
}
