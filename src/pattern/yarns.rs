//! Yarns as lines list them: `Yarn A: charcoal, B: orange`, `Colours: A white, B red`, `DK in white (A) and orange (B)`.

use super::lex::{Kind, Token};
use crate::source::Span;
use crate::terms::words::{self, Word};
use crate::terms::{Terms, colours};

/// A yarn that a line lists.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Listed {
    pub letter: String,
    /// The words that say what it is.
    pub words: Span,
}

/// Where a yarn's entry stands among the tokens of its line.
struct Entry {
    letter: String,
    /// Its first token.
    start: usize,
    /// Its words.
    from: usize,
    to: usize,
}

/// Most tokens of a key: `Main colour (MC):`.
const LONGEST_KEY: usize = 6;
/// Most words of a colour that stands without a letter.
const LONGEST_COLOUR: usize = 3;

/// The yarns of a line. In a list below `Yarns:`, `in_list`, a line need not say the word.
pub(super) fn listed(tokens: &[Token<'_>], text: &str, in_list: bool) -> Vec<Listed> {
    let tokens: Vec<Token<'_>> = tokens
        .iter()
        .filter(|t| !matches!(t.kind, Kind::Star(_)))
        .cloned()
        .collect();
    let tokens = &tokens[..];
    let colon = tokens
        .iter()
        .take(LONGEST_KEY)
        .position(|t| t.kind == Kind::Colon);
    let key = key_of(tokens, text);
    let reader = Reader { tokens, text };
    // `ch = chain, ss = slip stitch, g = ginger, n = navy`
    let small = reader.small_letters();
    if small.len() > 1 {
        return small.iter().map(|entry| reader.as_listed(entry)).collect();
    }
    // `A: decrease` in a list that a yarn has opened
    if key.is_none() && colon.is_some_and(|at| reader.is_of_the_trade(at + 1)) {
        return Vec::new();
    }
    let mut entries = reader.labelled();
    if key.is_none() && !in_list {
        // `1 ball DK in silver (A), oddment in blue (B)`
        let in_brackets = entries.is_empty();
        if in_brackets {
            entries = reader.in_brackets(0);
        }
        let are_yarns = match in_brackets {
            true => reader.are_plain_colours(&entries),
            false => reader.are_colours(&entries),
        };
        if !are_yarns {
            return Vec::new();
        }
        for entry in &mut entries {
            entry.to = reader.end_of_sentence(entry.from, entry.to);
        }
    }
    let value = colon.map_or(0, |at| at + 1);
    if entries.is_empty() {
        entries = reader.in_brackets(value);
    }
    if entries.is_empty() && (colon.is_some() || in_list) {
        entries = reader.by_first_word(value, in_list);
    }
    if entries.is_empty()
        && let (Some(key), Some(_)) = (key, colon)
    {
        entries = reader.whole(value, &key);
    }
    entries
        .iter()
        .map(|entry| reader.as_listed(entry))
        .collect()
}

/// True if a line opens a list of yarns: `Yarn`, `Colours:`.
pub(super) fn opens_list(tokens: &[Token<'_>]) -> bool {
    let words: Vec<&Token<'_>> = tokens
        .iter()
        .filter(|t| !matches!(t.kind, Kind::Star(_) | Kind::Colon))
        .collect();
    matches!(words[..], [word] if is_yarn_word(word))
}

fn is_yarn_word(token: &Token<'_>) -> bool {
    matches!(
        &*token.text,
        "yarn" | "yarns" | "colour" | "color" | "colours" | "colors"
    )
}

/// True for words of a yarn's weight, fibre and amount: all that may stand beside its colour.
fn is_material(token: &Token<'_>) -> bool {
    const MATERIALS: &[&str] = &[
        "dk",
        "aran",
        "worsted",
        "fingering",
        "sport",
        "sock",
        "lace",
        "chunky",
        "bulky",
        "jumbo",
        "weight",
        "cotton",
        "wool",
        "acrylic",
        "merino",
        "alpaca",
        "bamboo",
        "linen",
        "silk",
        "mohair",
        "hemp",
        "jute",
        "polyester",
        "nylon",
        "chenille",
        "velvet",
        "plush",
        "blend",
        "mix",
        "thread",
        "yarn",
        "yarns",
        "in",
        "of",
        "each",
        "a",
        "some",
        "little",
        "small",
        "amount",
        "amounts",
        "scraps",
        "scrap",
        "oddments",
        "oddment",
        "bit",
        "bits",
        "tiny",
        "leftover",
        "leftovers",
        "g",
        "gr",
        "grams",
        "m",
        "metres",
        "meters",
        "yd",
        "yds",
        "yards",
        "oz",
        "ball",
        "balls",
        "skein",
        "skeins",
    ];
    matches!(token.kind, Kind::Number(_)) || MATERIALS.contains(&&*token.text)
}

fn is_and(token: &Token<'_>) -> bool {
    token.is("and") || token.kind == Kind::Ampersand
}

/// What a key says of the yarns after it.
enum Key {
    /// `Yarn A`, `MC`, `Main colour`.
    Letter(String),
    /// `Yarn`.
    One,
    /// `Colours`.
    Several,
}

fn key_of(tokens: &[Token<'_>], text: &str) -> Option<Key> {
    let first = tokens.first()?;
    let second = tokens.get(1);
    let is_colour = |t: &&Token<'_>| is_yarn_word(t);
    Some(match &*first.text {
        "yarn" | "colour" | "color" => match second {
            Some(t) if t.kind == Kind::Colon || t.is("used") || t.is("needed") => Key::One,
            // `Yarn A`, `Yarn 1`, not `Yarn weight`.
            Some(t) => {
                let word = &text[t.span.range()];
                let is_letter = word.len() <= 2 && !word.starts_with(char::is_lowercase);
                let named = matches!(t.kind, Kind::Word | Kind::Number(_)) && is_letter;
                Key::Letter(named.then(|| word.to_owned())?)
            }
            None => Key::One,
        },
        "yarns" | "colours" | "colors" => Key::Several,
        "mc" | "cc" => Key::Letter(first.text.to_uppercase()),
        "main" if second.as_ref().is_some_and(is_colour) => Key::Letter("MC".to_owned()),
        "contrast" | "contrasting" if second.as_ref().is_some_and(is_colour) => {
            Key::Letter("CC".to_owned())
        }
        _ => return None,
    })
}

struct Reader<'t, 's> {
    tokens: &'t [Token<'s>],
    text: &'t str,
}

impl Reader<'_, '_> {
    fn kind(&self, at: usize) -> Option<Kind> {
        self.tokens.get(at).map(|t| t.kind)
    }

    /// At the `g` of `g = ginger`.
    fn is_small_letter(&self, at: usize) -> bool {
        let is_letter = |t: &Token<'_>| {
            let word = &self.text[t.span.range()];
            word.len() == 1 && word.chars().all(|c| c.is_ascii_lowercase())
        };
        let signed = self.kind(at + 1) == Some(Kind::Equals);
        let word = |ahead: usize| self.tokens.get(at + 2 + ahead).map(|t| &*t.text);
        is_letter(&self.tokens[at]) && signed && colours::words_of(word).is_some()
    }

    /// `A`, `MC`, `CC1`: the letter, and the index after it.
    fn letter(&self, at: usize) -> Option<(String, usize)> {
        let token = self.tokens.get(at).filter(|t| t.kind == Kind::Word)?;
        let word = &self.text[token.span.range()];
        let is_letter = word.len() == 1 && word.chars().all(|c| c.is_ascii_uppercase());
        if !is_letter && !matches!(word, "MC" | "CC") {
            return None;
        }
        match self.tokens.get(at + 1) {
            Some(digit) if matches!(digit.kind, Kind::Number(_)) && !digit.spaced => Some((
                self.text[token.span.to(digit.span).range()].to_owned(),
                at + 2,
            )),
            _ => Some((word.to_owned(), at + 1)),
        }
    }

    /// True if a word of the trade stands at a place that is none of yarns.
    fn is_of_the_trade(&self, at: usize) -> bool {
        let word = |ahead: usize| {
            let token = self.tokens.get(at + ahead)?;
            (token.kind == Kind::Word).then_some(&*token.text)
        };
        words::longest(word, Terms::Us).is_some_and(|(word, _)| {
            word.names_stitch() || matches!(word, Word::Decrease | Word::Increase)
        })
    }

    fn as_listed(&self, entry: &Entry) -> Listed {
        let words = match (self.tokens.get(entry.from), entry.to > entry.from) {
            (Some(first), true) => first.span.to(self.tokens[entry.to - 1].span),
            _ => {
                let end = self.tokens[entry.start].span.end;
                Span::new(end, end)
            }
        };
        Listed {
            letter: entry.letter.clone(),
            words,
        }
    }

    /// `g = ginger, n = navy`: each with its colour and nothing else.
    fn small_letters(&self) -> Vec<Entry> {
        let mut entries = Vec::new();
        for start in 0..self.tokens.len() {
            if !self.may_begin(start) || !self.is_small_letter(start) {
                continue;
            }
            let from = start + 2;
            let word = |ahead: usize| self.tokens.get(from + ahead).map(|t| &*t.text);
            entries.push(Entry {
                letter: self.tokens[start].text.to_string(),
                start,
                from,
                to: from + colours::words_of(word).unwrap_or(0),
            });
        }
        entries
    }

    /// Marks and words between two yarns.
    fn separates(&self, at: usize) -> bool {
        self.tokens.get(at).is_some_and(|t| {
            matches!(
                t.kind,
                Kind::Comma | Kind::Semicolon | Kind::Stop | Kind::Slash | Kind::Plus
            ) || is_and(t)
        })
    }

    /// Where the sentence at a place ends, before `end`.
    fn end_of_sentence(&self, from: usize, end: usize) -> usize {
        let stop = (from..end).find(|&at| self.kind(at) == Some(Kind::Stop));
        stop.unwrap_or(end)
    }

    /// True if an entry may begin here: at the front, after the key, after a separator.
    fn may_begin(&self, at: usize) -> bool {
        at == 0
            || self.separates(at - 1)
            || self.kind(at - 1) == Some(Kind::Colon)
            || is_yarn_word(&self.tokens[at - 1])
    }

    /// The index at which what stands before an entry ends: without separators and `Yarn`.
    fn end_before(&self, start: usize, from: usize) -> usize {
        let mut end = start;
        while end > from && (self.separates(end - 1) || is_yarn_word(&self.tokens[end - 1])) {
            end -= 1;
        }
        end
    }

    /// Gives each entry the words up to the next.
    fn bounded(&self, mut entries: Vec<Entry>) -> Vec<Entry> {
        let starts: Vec<usize> = entries.iter().map(|entry| entry.start).collect();
        for (entry, next) in entries
            .iter_mut()
            .zip(starts.into_iter().skip(1).chain([self.tokens.len()]))
        {
            entry.to = self.end_before(next, entry.from);
        }
        entries
    }

    /// `Yarn A: charcoal, B: orange`, `MC = navy; CC = cream`, `A – white`.
    fn labelled(&self) -> Vec<Entry> {
        let mut entries = Vec::new();
        for start in 0..self.tokens.len() {
            if !self.may_begin(start) {
                continue;
            }
            let Some((letter, end)) = self.letter(start) else {
                continue;
            };
            let marked = match self.kind(end) {
                Some(Kind::Colon | Kind::Equals | Kind::Arrow) => true,
                Some(Kind::Dash) => self.tokens[end].spaced,
                _ => false,
            };
            // `A: decrease` is of the letter code.
            if marked && !self.is_of_the_trade(end + 1) {
                entries.push(Entry {
                    letter,
                    start,
                    from: end + 1,
                    to: end + 1,
                });
            }
        }
        self.bounded(entries)
    }

    /// `A = charcoal, B = light grey` with no word that says so: each letter with a colour, from the front of a sentence on.
    fn are_colours(&self, entries: &[Entry]) -> bool {
        let names_colour = |entry: &Entry| {
            (entry.from..entry.to).any(|at| {
                colours::words_of(|ahead| self.tokens.get(at + ahead).map(|t| &*t.text)).is_some()
            })
        };
        let opens =
            |entry: &Entry| entry.start == 0 || self.kind(entry.start - 1) == Some(Kind::Stop);
        entries.first().is_some_and(opens) && entries.iter().all(names_colour)
    }

    /// `silver (A)`: each entry is a colour and what the yarn is made of, and nothing else.
    fn are_plain_colours(&self, entries: &[Entry]) -> bool {
        let is_colour = |entry: &Entry| {
            let (from, to) = self.without_materials(entry.from, entry.to);
            let word = |ahead: usize| self.tokens[..to].get(from + ahead).map(|t| &*t.text);
            from < to && colours::words_of(word) == Some(to - from)
        };
        !entries.is_empty() && entries.iter().all(is_colour)
    }

    /// `DK in white (A), orange (B) and dark blue (C)`, `A (white), B (red)`.
    fn in_brackets(&self, value: usize) -> Vec<Entry> {
        let mut entries = Vec::new();
        let mut from = value;
        for at in value..self.tokens.len() {
            let parts = self.separates(at)
                || matches!(
                    self.kind(at),
                    Some(Kind::Colon | Kind::Dash | Kind::Close(_))
                )
                || self.tokens[at].is("in");
            if parts {
                from = at + 1;
                continue;
            }
            if !matches!(self.kind(at), Some(Kind::Open(_))) {
                continue;
            }
            let Some((letter, end)) = self.letter(at + 1) else {
                continue;
            };
            if matches!(self.kind(end), Some(Kind::Close(_) | Kind::Comma)) && at > from {
                entries.push(Entry {
                    letter,
                    start: at,
                    from,
                    to: at,
                });
            }
        }
        if let Some(last) = entries.last().map(|entry| entry.start) {
            self.others_without_letters(last, &mut entries);
        }
        entries
    }

    /// `black (B), white (W), orange, slate blue`: the colours behind the last one with a letter, each by the first letter that is free.
    fn others_without_letters(&self, last: usize, entries: &mut Vec<Entry>) {
        const MOST: usize = 12;
        let close =
            (last..self.tokens.len()).find(|&at| matches!(self.kind(at), Some(Kind::Close(_))));
        let mut at = close.map_or(self.tokens.len(), |close| close + 1);
        while self.separates(at) && entries.len() < MOST {
            while self.separates(at) {
                at += 1;
            }
            let end = self.end_of_stretch(at);
            let word = |ahead: usize| self.tokens[..end].get(at + ahead).map(|t| &*t.text);
            if end == at || colours::words_of(word) != Some(end - at) {
                return;
            }
            let taken = |letter: &str| entries.iter().any(|entry| entry.letter == letter);
            let own = self.tokens[at]
                .text
                .chars()
                .next()
                .map(|c| c.to_uppercase().to_string());
            let free = ('A'..='Z').map(String::from);
            let Some(letter) = own.into_iter().chain(free).find(|letter| !taken(letter)) else {
                return;
            };
            entries.push(Entry {
                letter,
                start: at,
                from: at,
                to: end,
            });
            at = end;
        }
    }

    /// `A white, B red`, `A (white), B (red)`: one of them alone only in a list.
    fn by_first_word(&self, value: usize, in_list: bool) -> Vec<Entry> {
        let mut entries = Vec::new();
        for start in value..self.tokens.len() {
            if start > value && !self.may_begin(start) {
                continue;
            }
            let Some((letter, end)) = self.letter(start) else {
                continue;
            };
            let from = match self.kind(end) {
                Some(Kind::Open(_)) => end + 1,
                Some(Kind::Word) if !self.separates(end) => end,
                _ => continue,
            };
            entries.push(Entry {
                letter,
                start,
                from,
                to: from,
            });
        }
        if entries.len() < 2 && !in_list {
            return Vec::new();
        }
        let mut entries = self.bounded(entries);
        for entry in &mut entries {
            let inner = &self.tokens[entry.from..entry.to];
            let closes = inner.iter().position(|t| matches!(t.kind, Kind::Close(_)));
            entry.to = closes.map_or(entry.to, |at| entry.from + at);
        }
        entries
    }

    /// `Yarn: light grey (main), dark blue (stripe)`, `aran, charcoal and oatmeal`: colours, lettered in order, and beside them
    /// only what the yarn is made of. A colour that no table has is one where an "and" ends the list.
    fn colours_alone(&self, value: usize) -> Vec<Entry> {
        let mut entries: Vec<Entry> = Vec::new();
        let (mut all_known, mut ends_with_and) = (true, false);
        // `Yarn: cotton DK (100 g = 250 m) – black, white`
        let is_dash = |at: &usize| self.kind(*at) == Some(Kind::Dash) && self.tokens[*at].spaced;
        let dash = (value..self.tokens.len()).find(is_dash);
        let colours = dash.filter(|&dash| {
            let (from, to) = self.without_materials(value, dash);
            from >= to
        });
        let mut at = colours.map_or(value, |dash| dash + 1);
        while at < self.tokens.len() {
            let end = self.end_of_stretch(at);
            let (from, to) = self.without_materials(at, end);
            if from < to {
                let word = |ahead: usize| self.tokens[..to].get(from + ahead).map(|t| &*t.text);
                // `mouse grey, sunshine yellow`
                let last = &self.tokens[to - 1].text;
                let tinted = colours::COLOURS.contains(&&**last);
                all_known &= tinted || colours::words_of(word) == Some(to - from);
                ends_with_and = at > value && is_and(&self.tokens[at - 1]);
                let is_plain = self.tokens[from..to].iter().all(|t| t.kind == Kind::Word);
                let letter = u8::try_from(entries.len()).ok().filter(|&place| place < 26);
                let Some(place) = letter.filter(|_| is_plain && to - from <= LONGEST_COLOUR) else {
                    return Vec::new();
                };
                entries.push(Entry {
                    letter: char::from(b'A' + place).to_string(),
                    start: from,
                    from,
                    to,
                });
            }
            at = end;
            while self.separates(at) {
                at += 1;
            }
        }
        if !all_known && !ends_with_and {
            entries.clear();
        }
        entries
    }

    /// Where what begins at a place ends: at a separator outside of brackets.
    fn end_of_stretch(&self, from: usize) -> usize {
        let mut depth = 0;
        for at in from..self.tokens.len() {
            match self.tokens[at].kind {
                Kind::Open(_) => depth += 1,
                Kind::Close(_) => depth -= 1,
                _ if depth == 0 && self.separates(at) => return at,
                _ => {}
            }
        }
        self.tokens.len()
    }

    /// The colour among some tokens: without what the yarn is made of, how much it is, and remarks in brackets.
    fn without_materials(&self, mut from: usize, end: usize) -> (usize, usize) {
        let bracket = (from..end).find(|&at| matches!(self.kind(at), Some(Kind::Open(_))));
        let mut to = bracket.unwrap_or(end);
        let passes = |at: usize| {
            let t = &self.tokens[at];
            is_material(t) || t.kind == Kind::Colon || t.is("in")
        };
        while from < to && passes(from) {
            from += 1;
        }
        while to > from && is_material(&self.tokens[to - 1]) {
            to -= 1;
        }
        (from, to)
    }

    /// `Yarn B: white, DK`: all of the value; `Colours: white, red and blue`: one each, lettered in order.
    fn whole(&self, value: usize, key: &Key) -> Vec<Entry> {
        let end = self.tokens.len();
        let entry = |letter: &str, from, to| Entry {
            letter: letter.to_owned(),
            start: value.saturating_sub(1),
            from,
            to,
        };
        if let Key::Letter(letter) = key {
            return vec![entry(letter, value, end)];
        }
        if let Key::One = key {
            let colours = self.colours_alone(value);
            if colours.len() > 1 {
                return colours;
            }
        }
        if let Key::Several = key {
            let stretches = self.tokens[value..].split(|t| {
                matches!(
                    t.kind,
                    Kind::Comma | Kind::Semicolon | Kind::Ampersand | Kind::Stop
                ) || t.is("and")
            });
            let (mut entries, mut from) = (Vec::new(), value);
            for (place, stretch) in stretches.filter(|s| !s.is_empty()).enumerate() {
                let plain =
                    stretch.len() <= LONGEST_COLOUR && stretch.iter().all(|t| t.kind == Kind::Word);
                let Some(letter) = u8::try_from(place)
                    .ok()
                    .filter(|at| plain && *at < 26)
                    .map(|at| char::from(b'A' + at))
                else {
                    return vec![entry("A", value, end)];
                };
                while self.tokens[from].span != stretch[0].span {
                    from += 1;
                }
                entries.push(entry(&letter.to_string(), from, from + stretch.len()));
            }
            return entries;
        }
        vec![entry("A", value, end)]
    }
}

#[cfg(test)]
mod tests {
    use super::super::lex::lex;
    use super::*;

    fn yarns(text: &str, in_list: bool) -> Vec<String> {
        let tokens = lex(text, Span::new(0, text.len()));
        listed(&tokens, text, in_list)
            .iter()
            .map(|yarn| format!("{} {}", yarn.letter, &text[yarn.words.range()]))
            .collect()
    }

    #[test]
    fn lines_list_yarns_in_many_hands() {
        for (text, expected) in [
            ("Yarn A: charcoal, DK, 50 g", &["A charcoal, DK, 50 g"][..]),
            (
                "Yarn A: charcoal, B: orange, C: dark blue",
                &["A charcoal", "B orange", "C dark blue"],
            ),
            (
                "Yarn A: dark blue; Yarn B: orange",
                &["A dark blue", "B orange"],
            ),
            ("Colours: A white, B red", &["A white", "B red"]),
            ("Colours: A = white, B = red", &["A white", "B red"]),
            ("Colours: A (white), B (red)", &["A white", "B red"]),
            (
                "Colours: white, red and dark blue",
                &["A white", "B red", "C dark blue"],
            ),
            ("MC: navy; CC: cream", &["MC navy", "CC cream"]),
            ("Colors: white (MC), red (CC1)", &["MC white", "CC1 red"]),
            (
                "Yarn: DK in white (A), orange (B) and dark blue (C)",
                &["A white", "B orange", "C dark blue"],
            ),
            ("Yarn: DK cotton, white", &["A DK cotton, white"]),
            ("Main colour: navy", &["MC navy"]),
            (
                "Yarn: light grey (main), dark blue (stripe) and red",
                &["A light grey", "B dark blue", "C red"],
            ),
            (
                "Yarn: aran, charcoal and oatmeal",
                &["A charcoal", "B oatmeal"],
            ),
            (
                "Yarn: DK cotton in light grey (60 g), moss (20 g) and 10 g white",
                &["A light grey", "B moss", "C white"],
            ),
            (
                "Yarn: wool and silk blend, moss",
                &["A wool and silk blend, moss"],
            ),
            ("Yarn: white, 50 g", &["A white, 50 g"]),
            ("A = charcoal", &["A charcoal"]),
            (
                "A – light gray, B – orange cotton",
                &["A light gray", "B orange cotton"],
            ),
            (
                "US terms. **B** = black, **W** = white, **O** = orange. Change on the last loop.",
                &["B black", "W white", "O orange"],
            ),
            (
                "**Yarn:** DK cotton, gold 25 g, brown 5 g",
                &["A gold", "B brown"],
            ),
            (
                "Yarn: DK acrylic: white (25 g), yellow (5 g)",
                &["A white", "B yellow"],
            ),
            (
                "1 x 50g ball DK in silver (A), oddment in blue (B). 3.50mm hook.",
                &["A silver", "B blue"],
            ),
            ("Sew the red nose (A) on.", &[]),
            ("A = decrease", &[]),
            ("X = sc, V = inc, A = dec", &[]),
            ("Hook: A or B", &[]),
        ] {
            assert_eq!(yarns(text, false), expected, "{text}");
        }
        for (text, expected) in [
            ("A: white", &["A white"][..]),
            ("B – red", &["B red"]),
            ("DK weight, white (A) 50 g", &["A white"]),
            ("Hook 3.5 mm", &[]),
        ] {
            assert_eq!(yarns(text, true), expected, "{text}");
        }
    }
}
