//! A pattern's own stitches: `Bobble (bo): 5 dc together in one stitch`, `mini picot = ch 2, sl st in first ch`, `X: sc`.

use std::collections::BTreeMap;

use super::body::{self, Names};
use super::lex::{Kind, Token};
use super::lines::RawLine;
use super::stem::stem;
use super::tree::*;
use crate::source::Span;
use crate::terms::words::{self, Word};
use crate::terms::{Form, Height};

/// A stitch that the pattern defines.
#[derive(Debug, Clone)]
pub(super) struct OwnStitch {
    /// What is worked for it.
    pub items: Vec<Instruction>,
    /// The stitch, and how many of it go into one place, where that is all there is to it.
    pub single: Option<(StitchWord, u32)>,
}

/// The pattern's own stitches and their names.
#[derive(Debug, Clone, Default)]
pub(super) struct OwnStitches {
    stitches: Vec<OwnStitch>,
    /// Names in lower case by their first word: all of their words, and the stitch.
    names: BTreeMap<String, Vec<(Vec<String>, u16)>>,
    /// Single capital letters.
    letters: BTreeMap<String, u16>,
    /// The lines that define them, with what they say of each.
    lines: BTreeMap<Span, Definition>,
}

/// Most stitches that a pattern may define.
const MOST: usize = 200;
/// Most tokens of a definition.
const LONGEST: usize = 48;

impl OwnStitches {
    /// The stitch of a place in the list.
    pub fn get(&self, place: u16) -> &OwnStitch {
        &self.stitches[usize::from(place)]
    }

    /// The stitch that a capital letter stands for.
    pub fn letter(&self, letter: &str) -> Option<(StitchWord, u32)> {
        self.get(*self.letters.get(letter)?).single
    }

    /// True if this line defines a stitch.
    pub fn defines(&self, line: Span) -> bool {
        self.lines.contains_key(&line)
    }

    /// The stitches as their lines define them, in the order of the lines.
    pub fn definitions(&self) -> Vec<Definition> {
        self.lines.values().cloned().collect()
    }

    /// The longest name that some words begin with: the stitch, and how many words it takes.
    pub fn longest<'w>(&self, words: impl Fn(usize) -> Option<&'w str>) -> Option<(u16, usize)> {
        let first = words(0)?;
        let named = |first: &str| self.names.get(first);
        let names = named(first).or_else(|| named(first.strip_suffix('s')?))?;
        names
            .iter()
            .filter(|(name, _)| {
                (1..name.len()).all(|at| words(at).is_some_and(|w| is_same(w, &name[at])))
            })
            .map(|(name, place)| (*place, name.len()))
            .max_by_key(|&(_, taken)| taken)
    }

    /// Takes in a line if it defines a stitch.
    pub fn add(&mut self, line: &RawLine<'_>, text: &str, names: &Names) {
        if self.stitches.len() >= MOST {
            return;
        }
        let Some(mut parts) = parts_of(&line.tokens) else {
            return;
        };
        // `spike st: spike stitch` says nothing new.
        let says_itself = |name: &[&Token<'_>]| {
            name[0].is("spike") && parts.value.first().is_some_and(|t| t.is("spike"))
        };
        parts
            .names
            .retain(|name| may_be_named(name, text, names) && !says_itself(name));
        if parts.names.is_empty() {
            return;
        }
        let Some(stitch) = definition(parts.value, text, names) else {
            return;
        };
        // `Band: ch 5` is how a piece starts.
        let is_picot = |name: &Vec<&Token<'_>>| name.iter().any(|t| t.is("picot"));
        let only_chains = stitch.items.iter().all(|item| item.act.is_chain());
        if only_chains && !parts.names.iter().any(is_picot) {
            return;
        }
        let place = self.stitches.len() as u16;
        let mut definition = Definition {
            names: Vec::new(),
            single: stitch.single,
            span: line.span,
        };
        for name in parts.names {
            let letter = &text[name[0].span.range()];
            if name.len() == 1 && is_letter(letter) {
                if stitch.single.is_some() {
                    self.letters.insert(letter.to_owned(), place);
                }
                continue;
            }
            definition
                .names
                .push(name[0].span.to(name[name.len() - 1].span));
            let words: Vec<String> = name.iter().map(|t| t.text.to_string()).collect();
            let entry = self.names.entry(words[0].clone()).or_default();
            entry.push((words, place));
        }
        self.stitches.push(stitch);
        self.lines.entry(line.span).or_insert(definition);
    }

    /// True if letters stand for stitches.
    pub fn has_letters(&self) -> bool {
        !self.letters.is_empty()
    }
}

fn is_same(word: &str, name: &str) -> bool {
    word == name || word.strip_suffix('s') == Some(name)
}

fn is_letter(word: &str) -> bool {
    word.len() == 1 && word.chars().all(|c| c.is_ascii_uppercase())
}

/// The entries of a line that explains several letters: `V: increase (2 X in one), A: decrease`. `None` for another line.
pub(super) fn entries<'s>(line: &RawLine<'s>) -> Option<Vec<RawLine<'s>>> {
    const MOST: usize = 12;
    let tokens = &line.tokens;
    let opens = |at: usize| {
        let is_letter = tokens[at].kind == Kind::Word && tokens[at].text.chars().count() == 1;
        let sign = tokens.get(at + 1).map(|t| t.kind);
        is_letter && tokens[at].has_capital() && matches!(sign, Some(Kind::Colon | Kind::Equals))
    };
    let parts = |at: usize| matches!(tokens[at].kind, Kind::Comma | Kind::Slash | Kind::Semicolon);
    if tokens.is_empty() || !opens(0) {
        return None;
    }
    let seams = (1..tokens.len().saturating_sub(1)).filter(|&at| parts(at) && opens(at + 1));
    let seams: Vec<usize> = seams.take(MOST).collect();
    if seams.is_empty() {
        return None;
    }
    let starts = std::iter::once(0).chain(seams.iter().map(|at| at + 1));
    let ends = seams.iter().copied().chain([tokens.len()]);
    let entries = starts.zip(ends);
    Some(
        entries
            .map(|(start, end)| line.part(&tokens[start..end]))
            .collect(),
    )
}

/// The words of a name, and what it stands for.
struct Line<'t, 's> {
    /// The name before the sign, and the one in brackets; hyphens left out.
    names: Vec<Vec<&'t Token<'s>>>,
    /// Up to a semicolon.
    value: &'t [Token<'s>],
}

/// Takes a line of the form `name (name): value` apart.
fn parts_of<'t, 's>(tokens: &'t [Token<'s>]) -> Option<Line<'t, 's>> {
    const LONGEST_NAME: usize = 8;
    let is_mark = |t: &Token<'_>| matches!(t.kind, Kind::Star(_));
    let is_sign = |t: &Token<'_>| {
        matches!(t.kind, Kind::Colon | Kind::Equals) || t.kind == Kind::Dash && t.spaced
    };
    let mut start = tokens.iter().position(|t| !is_mark(t))?;
    // `Special stitch: Shell = 5 dc in the same stitch`
    let announced = tokens[start..].iter().position(|t| t.kind == Kind::Colon);
    if let Some(colon) = announced.filter(|&at| at <= 2)
        && tokens[start].is("special")
        && tokens[start..].iter().any(|t| t.kind == Kind::Equals)
    {
        start += colon + 1;
    }
    let sign = start
        + tokens[start..]
            .iter()
            .take(LONGEST_NAME)
            .position(is_sign)?;
    let mut names = vec![Vec::new()];
    for token in &tokens[start..sign] {
        match token.kind {
            Kind::Word => names.last_mut()?.push(token),
            Kind::Open(_) | Kind::Close(_) | Kind::Star(_) => names.push(Vec::new()),
            Kind::Dash => {}
            // `"take off" = …`
            Kind::Other if matches!(&*token.text, "\"" | "“" | "”" | "„" | "'" | "‘" | "’") =>
                {}
            _ => return None,
        }
    }
    names.retain(|name| !name.is_empty());
    let value = &tokens[sign + 1..];
    let value = &value[value
        .iter()
        .position(|t| !is_mark(t))
        .unwrap_or(value.len())..];
    // `picot single crochet: sc, ch 3, …`: the long name again.
    let long = value
        .iter()
        .take(LONGEST_NAME)
        .position(|t| t.kind == Kind::Colon);
    let value = &value[long.map_or(0, |colon| colon + 1)..];
    // A sentence behind says what it is for.
    let ends = |pair: &[Token<'_>]| {
        pair[0].kind == Kind::Semicolon
            || pair[0].kind == Kind::Stop && pair[1].spaced && pair[1].kind == Kind::Word
    };
    let end = value.windows(2).position(ends);
    let value = &value[..end.unwrap_or(value.len())];
    let short = names.iter().all(|name| name.len() <= 3);
    (short && (1..=LONGEST).contains(&value.len())).then_some(Line { names, value })
}

/// A name that the trade does not know already, or that patterns make in many ways.
fn may_be_named(name: &[&Token<'_>], text: &str, names: &Names) -> bool {
    let word = |at: usize| name.get(at).map(|t| &*t.text);
    let letter = &text[name[0].span.range()];
    if name.len() == 1 && is_letter(letter) {
        // The only yarn of a pattern has a letter, whoever gave it.
        let lettered = names.yarns.iter().filter(|yarn| is_letter(yarn)).count();
        return lettered == 1 || !names.given_letters.contains(letter);
    }
    if name.len() == 1 && name[0].text.chars().count() == 1 {
        return false;
    }
    let whole: Vec<&str> = name.iter().map(|t| &*t.text).collect();
    if names.pieces.contains(&stem(&whole.join(" "))) {
        return false;
    }
    match words::longest(word, names.terms) {
        None => super::compound::split(&name[0].text, names.terms).is_none(),
        Some((Word::Bobble | Word::Popcorn | Word::Puff | Word::Picot | Word::Spike, _)) => true,
        Some((Word::Figure | Word::Filler, taken)) => taken < name.len(),
        // A space to most, a stitch where the pattern says so.
        Some((Word::Space, 1)) => name.len() == 1 && name[0].is("sp"),
        Some(_) => false,
    }
}

/// What a definition works, if all of it can be read. `bobble (4 dc together in one st)`, `bobble, 4 dc together in 1 st`: what
/// stands behind the name, where that can be.
fn definition(value: &[Token<'_>], text: &str, names: &Names) -> Option<OwnStitch> {
    let named = value.iter().take_while(|t| t.kind == Kind::Word).count();
    let behind = value.get(named).map(|t| t.kind).filter(|_| named > 0);
    let explained = match (behind, value) {
        (Some(Kind::Open(_)), [.., last]) if matches!(last.kind, Kind::Close(_)) => {
            Some(&value[named + 1..value.len() - 1])
        }
        // `sc, ch 3, sl st` tells what is worked from its first word on.
        (Some(Kind::Comma), _) if !is_plain_stitch(value, names) => Some(&value[named + 1..]),
        _ => None,
    };
    let in_bracket = explained.and_then(|explained| worked(explained, text, names));
    // `sp = single crochet point`, as translated texts call a stitch
    let value = match value {
        [before @ .., last] if last.is("point") && !before.is_empty() => before,
        value => value,
    };
    in_bracket.or_else(|| worked(value, text, names))
}

fn is_plain_stitch(value: &[Token<'_>], names: &Names) -> bool {
    let word = |at: usize| {
        let token = value.get(at)?;
        (token.kind == Kind::Word).then_some(&*token.text)
    };
    matches!(
        words::longest(word, names.terms),
        Some((Word::Stitch(_), _))
    )
}

fn worked(value: &[Token<'_>], text: &str, names: &Names) -> Option<OwnStitch> {
    // `5 tr into the same stitch, leaving the last loop of each on the hook, …`: they are drawn together.
    let leaving = value
        .windows(2)
        .position(|pair| pair[0].kind == Kind::Comma && pair[1].is("leaving"));
    if let Some(end) = leaving {
        let mut stitch = worked(&value[..end], text, names)?;
        if let Some((word, each)) = &mut stitch.single
            && let Ok(n @ 2..=12) = u8::try_from(*each)
        {
            word.form = Form::Bobble(n);
            *each = 1;
            return Some(stitch);
        }
        return None;
    }
    let read = body::read(value, text, names, false);
    let mut items = read.items;
    let works = items.iter().any(|item| item.act.is_worked());
    let plain = |item: &Instruction| match &item.act {
        Act::Work(work) => matches!(work.over, Over::Count(_)) && work.through.is_none(),
        Act::Together(group) => matches!(group.over, Over::Count(_)),
        act => matches!(act, Act::Repeat(_) | Act::Skip { .. }),
    };
    if !works || !read.problems.is_empty() || !items.iter().all(plain) {
        return None;
    }
    let in_one = value.windows(2).any(|pair| {
        (pair[0].is("one") || pair[0].is("same") || pair[0].kind == Kind::Number(1))
            && matches!(&*pair[1].text, "st" | "stitch" | "sp" | "space")
    });
    let single = match &mut items[..] {
        [
            Instruction {
                act: Act::Work(work),
                ..
            },
        ] => single(work, in_one),
        [
            Instruction {
                act: Act::Together(group),
                ..
            },
            ..,
        ] if group.target == Target::Same => {
            group.target = Target::Next;
            None
        }
        _ => None,
    };
    Some(OwnStitch { items, single })
}

fn single(work: &mut Work, in_one: bool) -> Option<(StitchWord, u32)> {
    if work.target == Target::Same {
        work.target = Target::Next;
    }
    // `5 dc together in one stitch`
    if let (Form::Together(n), true) = (work.stitch.form, in_one) {
        work.stitch.form = Form::Bobble(n);
    }
    let is_chain = work.stitch.height == Some(Height::Chain);
    (work.over == Over::Count(1) && work.target == Target::Next && !is_chain && work.hold.is_none())
        .then_some((work.stitch, work.each))
}
