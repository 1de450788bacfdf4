//! Text → tokens. Nothing is dropped but white space and marks that say nothing; every token keeps its bytes.

use std::borrow::Cow;

use crate::source::Span;

/// What a token is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Letters.
    Word,
    /// Digits, as their number (the largest number there is, if there are too many digits).
    Number(u32),
    /// `(`, `[` or `{`.
    Open(Bracket),
    /// `)`, `]` or `}`.
    Close(Bracket),
    /// `,`
    Comma,
    /// `;`
    Semicolon,
    /// `:`
    Colon,
    /// A full stop.
    Stop,
    /// One or more `*`.
    Star(u8),
    /// `×` and its like.
    Times,
    /// Any dash.
    Dash,
    /// `~`
    Tilde,
    /// `=`
    Equals,
    /// `→`, `->`, `=>`
    Arrow,
    /// `+`
    Plus,
    /// `/`
    Slash,
    /// `&`
    Ampersand,
    /// Anything else that is not white space.
    Other,
}

/// The three kinds of bracket.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bracket {
    /// `(…)`
    Round,
    /// `[…]`
    Square,
    /// `{…}`
    Curly,
}

/// A token.
#[derive(Debug, Clone)]
pub struct Token<'s> {
    /// What it is.
    pub kind: Kind,
    /// Its bytes.
    pub span: Span,
    /// True if white space stands before it.
    pub spaced: bool,
    /// A word in lower case without soft hyphens; other tokens as they stand.
    pub text: Cow<'s, str>,
}

impl Token<'_> {
    /// True if it is this word (given in lower case).
    pub fn is(&self, word: &str) -> bool {
        self.kind == Kind::Word && self.text == word
    }

    /// True for a word for a round, a row or several of them.
    pub fn names_rounds(&self) -> bool {
        matches!(
            &*self.text,
            "rnd" | "rnds" | "round" | "rounds" | "rd" | "rds" | "row" | "rows"
        )
    }

    /// True for a dash that parts words and never joins them.
    pub fn is_long_dash(&self) -> bool {
        self.kind == Kind::Dash && matches!(&*self.text, "—" | "--")
    }

    /// True at the mark of bold type.
    pub fn is_bold(&self) -> bool {
        matches!(self.kind, Kind::Star(2 | 3))
    }

    /// True for a word with a capital.
    pub fn has_capital(&self) -> bool {
        // A word's text is borrowed as it stands unless it had to be put into lower case.
        self.kind == Kind::Word && matches!(self.text, Cow::Owned(_))
    }

    /// True for a word without a capital.
    pub fn is_small(&self) -> bool {
        self.kind == Kind::Word && !self.has_capital()
    }
}

/// The tokens of a stretch of `text`.
pub fn lex(text: &str, span: Span) -> Vec<Token<'_>> {
    let mut tokens = Vec::new();
    let mut spaced = false;
    let mut at = span.start;
    while let Some(c) = text[at..span.end].chars().next() {
        let after = at + c.len_utf8();
        // A cell of a table ends.
        if let Some(length) = end_of_cell(&text[at..span.end]) {
            tokens.push(Token {
                kind: Kind::Other,
                span: Span::new(at, at + length),
                spaced: true,
                text: Cow::Borrowed("|"),
            });
            at += length;
            continue;
        }
        if let Some(length) = blank_entity(&text[at..span.end]) {
            spaced = true;
            at += length;
            continue;
        }
        if is_blank(c) {
            spaced |= !is_invisible(c);
            at = after;
            continue;
        }
        let (mut kind, end) = token_at(text, at, span.end, c);
        // `④-⑥ 18 sc`: numbers only before all else.
        if let Some(n) = circled(c)
            && tokens.iter().all(|t: &Token<'_>| {
                t.text.starts_with(is_circled) || matches!(t.kind, Kind::Dash | Kind::Tilde)
            })
        {
            kind = Kind::Number(n);
        }
        let end = at + without_times(&text[at..end], &text[end..span.end]);
        let token_span = Span::new(at, end);
        let words = &text[at..end];
        tokens.push(Token {
            kind,
            span: token_span,
            spaced: std::mem::take(&mut spaced),
            text: if kind == Kind::Word {
                lower(words)
            } else {
                Cow::Borrowed(words)
            },
        });
        at = end;
    }
    tokens
}

/// `incx6`: the length of the stitch's name, where a sign for "times" and a number are glued to it.
fn without_times(word: &str, rest: &str) -> usize {
    const NAMES: &[&str] = &[
        "sc", "inc", "dec", "invdec", "hdc", "dc", "tr", "st", "v", "a",
    ];
    let name = word.strip_suffix(['x', 'X']).unwrap_or_default();
    let counted = rest.starts_with(|c: char| c.is_ascii_digit());
    let is_name = NAMES.iter().any(|known| known.eq_ignore_ascii_case(name));
    if counted && is_name {
        name.len()
    } else {
        word.len()
    }
}

/// The number in a circle: `①` to `⑳`.
fn circled(c: char) -> Option<u32> {
    let place = u32::from(c).checked_sub(u32::from('①'))?;
    (place < 20).then_some(place + 1)
}

/// True for a number in a circle.
pub(super) fn is_circled(c: char) -> bool {
    circled(c).is_some()
}

fn token_at(text: &str, at: usize, limit: usize, c: char) -> (Kind, usize) {
    let rest = &text[at..limit];
    let run = |keep: fn(char) -> bool| at + rest.find(|c| !keep(c)).unwrap_or(rest.len());
    let one = at + c.len_utf8();
    match c {
        '0'..='9' => {
            let end = run(|c| c.is_ascii_digit());
            (Kind::Number(text[at..end].parse().unwrap_or(u32::MAX)), end)
        }
        // `F/O` is one word.
        'f' | 'F' if is_fasten_off(rest) => (Kind::Word, at + "f/o".len()),
        _ if c.is_alphabetic() => {
            let end = run(|c| c.is_alphabetic() || matches!(c, '\u{ad}' | '\'' | '’' | '\u{200b}'));
            (
                Kind::Word,
                at + text[at..end].trim_end_matches(['\'', '’']).len(),
            )
        }
        '*' | '∗' | '＊' => {
            let end = run(|c| matches!(c, '*' | '∗' | '＊'));
            // `rep between *'s`
            let plural = ["'s", "’s", "'S", "’S"];
            let plural = plural.iter().find(|s| text[end..limit].starts_with(**s));
            let plural =
                plural.filter(|s| !text[end + s.len()..limit].starts_with(char::is_alphanumeric));
            if let Some(plural) = plural.filter(|_| end == one) {
                return (Kind::Star(1), end + plural.len());
            }
            (Kind::Star(text[at..end].chars().count().min(9) as u8), end)
        }
        // `^sc, inc^` marks a repeat as stars do.
        '^' => (Kind::Star(1), one),
        '-' if rest.starts_with("->") => (Kind::Arrow, at + 2),
        '=' if rest.starts_with("=>") => (Kind::Arrow, at + 2),
        // A typewriter's long dash.
        '-' if rest.starts_with("--") && !rest.starts_with("---") => (Kind::Dash, at + 2),
        '-' | '–' | '—' | '−' | '‐' | '‑' | '‒' | '―' => (Kind::Dash, one),
        '(' | '（' => (Kind::Open(Bracket::Round), one),
        ')' | '）' => (Kind::Close(Bracket::Round), one),
        '[' => (Kind::Open(Bracket::Square), one),
        ']' => (Kind::Close(Bracket::Square), one),
        '{' => (Kind::Open(Bracket::Curly), one),
        '}' => (Kind::Close(Bracket::Curly), one),
        // `<6>`: a total, and no tag of a web page.
        '<' if angle_total(rest).is_some() => (Kind::Open(Bracket::Curly), one),
        '>' if ends_angle_total(&text[..at]) => (Kind::Close(Bracket::Curly), one),
        ',' | '，' | '、' => (Kind::Comma, one),
        ';' => (Kind::Semicolon, one),
        ':' | '：' => (Kind::Colon, one),
        '.' | '…' => (Kind::Stop, one),
        '×' | '✕' | '✖' | '⨯' => (Kind::Times, one),
        '~' | '〜' | '～' | '∼' => (Kind::Tilde, one),
        '=' => (Kind::Equals, one),
        '→' | '⇒' | '➔' | '➝' | '►' => (Kind::Arrow, one),
        '+' => (Kind::Plus, one),
        '/' => (Kind::Slash, one),
        '&' if rest.starts_with("&times;") => (Kind::Times, at + "&times;".len()),
        '&' if rest.starts_with("&#215;") => (Kind::Times, at + "&#215;".len()),
        '&' if rest.starts_with("&#8211;") || rest.starts_with("&#8212;") => {
            (Kind::Dash, at + "&#8211;".len())
        }
        '&' if rest.starts_with("&#40;") => (Kind::Open(Bracket::Round), at + "&#40;".len()),
        '&' if rest.starts_with("&#41;") => (Kind::Close(Bracket::Round), at + "&#41;".len()),
        '&' if rest.starts_with("&amp;") => (Kind::Ampersand, at + "&amp;".len()),
        '&' if rest.starts_with("&ndash;") || rest.starts_with("&mdash;") => {
            (Kind::Dash, at + "&ndash;".len())
        }
        '&' => (Kind::Ampersand, one),
        _ => (Kind::Other, one),
    }
}

/// The length of `<18>` or `<18 sts>` at the front of some text.
fn angle_total(rest: &str) -> Option<usize> {
    const LONGEST: usize = 16;
    let inner = rest.strip_prefix('<')?;
    let end = inner.bytes().take(LONGEST).position(|b| b == b'>')?;
    let starts = inner.starts_with(|c: char| c.is_ascii_digit());
    let plain = inner[..end]
        .chars()
        .all(|c| c.is_ascii_alphanumeric() || c == ' ');
    (starts && plain).then_some(end + 2)
}

/// True if such a total begins before the end of some text and ends there.
fn ends_angle_total(before: &str) -> bool {
    const LONGEST: usize = 16;
    let mut back = before.bytes().rev().take(LONGEST);
    let length = back.position(|b| b == b'<');
    length.is_some_and(|length| {
        let inner = &before[before.len() - length..];
        inner.starts_with(|c: char| c.is_ascii_digit())
            && inner.chars().all(|c| c.is_ascii_alphanumeric() || c == ' ')
    })
}

fn is_fasten_off(rest: &str) -> bool {
    let rest = rest.strip_prefix(['f', 'F']);
    let rest = rest.and_then(|rest| rest.strip_prefix("/O").or_else(|| rest.strip_prefix("/o")));
    rest.is_some_and(|rest| !rest.starts_with(char::is_alphanumeric))
}

/// The length of the tag that ends a cell of a web page's table.
fn end_of_cell(rest: &str) -> Option<usize> {
    let tags = ["</td>", "</th>"];
    tags.iter()
        .find(|tag| rest.starts_with(**tag))
        .map(|tag| tag.len())
}

/// The length of white space that a web page spells out, or of one of its tags.
fn blank_entity(rest: &str) -> Option<usize> {
    ["&nbsp;", "&ensp;", "&emsp;", "&shy;", "&#160;"]
        .iter()
        .find(|entity| rest.starts_with(**entity))
        .map(|entity| entity.len())
        .or_else(|| tag(rest))
        .or_else(|| forum_tag(rest))
}

/// The length of a tag of a forum's post: `[b]` where `[/b]` follows, `[/b]`, `[size=4]`.
fn forum_tag(rest: &str) -> Option<usize> {
    const NAMES: &[&str] = &["b", "i", "u", "s", "center", "quote", "list", "img", "url"];
    const WITH_VALUE: &[&str] = &["size", "color", "font", "url"];
    const LONGEST: usize = 24;
    const FAR: usize = 200;
    let inner = rest.strip_prefix('[')?;
    let end = inner.bytes().take(LONGEST).position(|b| b == b']')?;
    let name = &inner[..end];
    let closes = |name: &str| {
        let after = &inner.as_bytes()[end..inner.len().min(end + FAR)];
        let closing = format!("[/{name}]");
        after
            .windows(closing.len())
            .any(|words| words == closing.as_bytes())
    };
    let is_tag = match (name.strip_prefix('/'), name.split_once('=')) {
        (Some(name), _) => NAMES.contains(&name) || WITH_VALUE.contains(&name),
        (None, Some((name, _))) => WITH_VALUE.contains(&name),
        (None, None) => NAMES.contains(&name) && closes(name),
    };
    is_tag.then_some(end + 2)
}

/// The length of a tag with a plain name: `<b>`, `</li>`, `<br />`.
fn tag(rest: &str) -> Option<usize> {
    const LONGEST: usize = 12;
    let inner = rest.strip_prefix('<')?;
    let end = inner.bytes().take(LONGEST).position(|b| b == b'>')?;
    let name = inner[..end]
        .trim_start_matches('/')
        .trim_end_matches('/')
        .trim_end();
    let is_name = |name: &str| {
        name.starts_with(|c: char| c.is_ascii_lowercase())
            && name
                .bytes()
                .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit())
    };
    is_name(name).then_some(end + 2)
}

/// White space and marks that stand for nothing: the byte order mark, soft hyphens on their own, Markdown's backslash.
fn is_blank(c: char) -> bool {
    c.is_whitespace() || c.is_control() || is_invisible(c)
}

fn is_invisible(c: char) -> bool {
    matches!(
        c,
        '\u{feff}' | '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{2060}' | '\u{fe0f}' | '\\'
    )
}

fn lower(word: &str) -> Cow<'_, str> {
    let plain = |c: char| c.is_lowercase() || matches!(c, '\'');
    if word.chars().all(plain) {
        return Cow::Borrowed(word);
    }
    Cow::Owned(
        word.chars()
            .filter(|c| !is_invisible(*c))
            .map(|c| if c == '’' { '\'' } else { c })
            .flat_map(char::to_lowercase)
            .collect(),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kinds(text: &str) -> Vec<Kind> {
        lex(text, Span::new(0, text.len()))
            .iter()
            .map(|t| t.kind)
            .collect()
    }

    #[test]
    fn words_and_numbers_part_where_letters_and_digits_meet() {
        use Kind::*;
        assert_eq!(kinds("sc2tog"), [Word, Number(2), Word]);
        assert_eq!(
            kinds("(6V)*6"),
            [
                Open(Bracket::Round),
                Number(6),
                Word,
                Close(Bracket::Round),
                Star(1),
                Number(6)
            ]
        );
        assert_eq!(kinds("99999999999"), [Number(u32::MAX)]);
    }

    #[test]
    fn a_soft_hyphen_is_no_part_of_a_word() {
        let text = "in\u{ad}crease";
        let tokens = lex(text, Span::new(0, text.len()));
        assert_eq!(tokens.len(), 1);
        assert!(tokens[0].is("increase"));
    }
}
