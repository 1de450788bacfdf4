//! What lines say that are no rounds.

use super::assemble::Assembler;
use super::body::{self, Reader};
use super::eyes;
use super::heading;
use super::lex::{Kind, Token, lex};
use super::lines::RawLine;
use super::tree::*;
use crate::source::{Level, Span};
use crate::terms::words;
use crate::terms::{Height, Terms, colours};

/// A line that is no round.
pub(super) enum Reading {
    /// Steps, yarns, a chain to start from.
    Acts(Vec<Instruction>),
    /// `Sc 3 more; this is the new start`: it goes on with the round above.
    MovesStart(Vec<Instruction>),
    /// Stitches to be worked, but no round.
    Work,
    Prose,
}

/// A line from its eyes or its stuffing on, if all before only leads up to them: `Now place the safety eyes …`,
/// `Lightly stuff the body.`
pub(super) fn from_step<'t, 's>(tokens: &'t [Token<'s>]) -> &'t [Token<'s>] {
    const PUTS: &[&str] = &[
        "place", "put", "add", "attach", "fix", "fit", "set", "position", "install", "secure",
        "push", "pop",
    ];
    const WITH_IT: &[&str] = &[
        "now", "and", "then", "next", "here", "start", "begin", "to", "lightly", "firmly",
        "gently", "in", "on", "the", "your", "both", "two", "pair", "of", "safety", "black",
        "plastic", "mm", "after", "this",
    ];
    const LONGEST_LEAD: usize = 8;
    const LONGEST_SENTENCE: usize = 20;
    const NOT_HERE: &[&str] = &["aside", "away", "later", "ready", "yet", "end", "finished"];
    let is_any = |token: &Token<'_>, list: &[&str]| list.iter().any(|word| token.is(word));
    let leads = |token: &Token<'_>| {
        matches!(token.kind, Kind::Number(_) | Kind::Comma)
            || is_any(token, PUTS)
            || is_any(token, WITH_IT)
    };
    let (lead, rest) = tokens.split_at(
        tokens
            .iter()
            .take(LONGEST_LEAD)
            .take_while(|t| leads(t))
            .count(),
    );
    let puts = lead.iter().any(|t| is_any(t, PUTS));
    let begins = rest
        .first()
        .is_some_and(|step| step.is("stuff") || puts && is_any(step, &["eyes", "stuffing"]));
    let mut sentence = rest.iter().take(LONGEST_SENTENCE);
    if begins && !sentence.any(|t| is_any(t, NOT_HERE)) {
        rest
    } else {
        tokens
    }
}

impl<'s> Assembler<'s> {
    /// What a line that is no round says.
    pub(super) fn between(&self, line: &RawLine<'s>) -> Reading {
        const LONGEST_NAME: usize = 7;
        // `3` alone is the number of a page.
        let is_number = matches!(&line.tokens[..], [t] if matches!(t.kind, Kind::Number(_)));
        if is_number || self.explains(line) {
            return Reading::Prose;
        }
        let said = self.said_between(&line.tokens);
        // `Brim: working in the front loops of Rnd 2`, `Tail: ch 3, 2 dc in same st`
        let mut name = line.tokens.iter().take(LONGEST_NAME);
        let colon = name.position(|t| t.kind == Kind::Colon);
        match (said, colon) {
            (Reading::Prose, Some(colon)) if !heading::explains(&line.tokens[..colon]) => {
                self.said_between(&line.tokens[colon + 1..])
            }
            (said, _) => said,
        }
    }

    /// A line above the first round of a piece: what it says, or of several sentences the chain that one of them starts from, with
    /// the yarns that are told before it. `Flat. With D, ch 6. Ch 1 and turn after every row.`
    pub(super) fn above(&self, line: &RawLine<'s>) -> Reading {
        let is_start = |item: &Instruction| is_chain(item) && !item.act.is_chain_of(1);
        let whole = self.between(line);
        if self.explains(line) {
            return whole;
        }
        if let Reading::Acts(acts) = &whole
            && acts.iter().filter(|item| is_chain(item)).count() == 1
            && acts.iter().any(is_start)
        {
            return whole;
        }
        let mut acts = Vec::new();
        let sentences = line.tokens.split(|t| t.kind == Kind::Stop);
        let mut sentences = sentences.filter(|sentence| !sentence.is_empty()).peekable();
        while let Some(sentence) = sentences.next() {
            // A line of one sentence has been read as a whole.
            let only = acts.is_empty() && sentences.peek().is_none();
            if only && !matches!(whole, Reading::Prose) {
                break;
            }
            let said = match self.said_between(sentence) {
                Reading::Acts(said) => said,
                _ => match self.chain_among_clauses(sentence) {
                    Some(said) => said,
                    None => continue,
                },
            };
            let starts = said.iter().any(is_start);
            acts.extend(
                said.into_iter()
                    .filter(|item| starts || matches!(item.act, Act::Yarn(_))),
            );
            if starts {
                return Reading::Acts(acts);
            }
        }
        whole
    }

    /// The chain of `start at the neck, teal, ch 18, sl st to 1st ch to make a ring, leave a long end`, with what closes it.
    fn chain_among_clauses(&self, tokens: &[Token<'s>]) -> Option<Vec<Instruction>> {
        let clauses: Vec<&[Token<'s>]> = tokens
            .split(|t| t.kind == Kind::Comma)
            .filter(|clause| !clause.is_empty())
            .collect();
        let starts = |items: &Vec<Instruction>| {
            items.iter().all(is_chain) && !items.iter().any(|item| item.act.is_chain_of(1))
        };
        let found = |at: usize| Some((at, self.before_and(clauses[at]).filter(starts)?));
        let (at, mut acts) = (0..clauses.len()).find_map(found)?;
        let closes = |item: &Instruction| item.act == Act::Close || is_chain(item);
        if let Some(closing) = clauses
            .get(at + 1)
            .and_then(|clause| self.before_and(clause))
            && closing.iter().all(closes)
            && !closing.iter().any(|item| item.act.is_chain())
        {
            acts.extend(closing);
        }
        Some(acts)
    }

    /// True if a line says what words stand for.
    fn explains(&self, line: &RawLine<'s>) -> bool {
        self.names.own.defines(line.span)
            || explains_a_word(&line.tokens)
            || explains_words(&line.tokens)
    }

    /// What is worked in a clause up to its `and`, as in `ch 7 and work flat`; `None` where that can't be read.
    fn before_and(&self, clause: &[Token<'_>]) -> Option<Vec<Instruction>> {
        let and = clause.iter().position(|t| t.is("and"));
        let clause = &clause[..and.unwrap_or(clause.len())];
        let read = body::read(clause, self.text, &self.names, false);
        (read.problems.is_empty() && !read.items.is_empty()).then_some(read.items)
    }

    fn said_between(&self, tokens: &[Token<'s>]) -> Reading {
        if let Some(acts) = self.starts_in_loops(tokens) {
            return Reading::Acts(acts);
        }
        // `Put eyes at R9-R10, far from each other 20X`
        let puts_eyes = tokens.first().is_some_and(|t| {
            ["put", "place", "insert", "sew", "fix", "attach"]
                .iter()
                .any(|word| t.is(word))
        });
        if puts_eyes && tokens.iter().take(4).any(|t| t.is("eyes") || t.is("eye")) {
            let span = tokens[0].span.to(tokens[tokens.len() - 1].span);
            let place = eyes::place(&self.text[span.range()]);
            let act = Act::Step(StepKind::Eyes(place));
            return Reading::Acts(vec![Instruction { act, span }]);
        }
        // `Flatten the opening and work the next round through both layers to close.`
        let says = |word: &str| tokens.iter().any(|t| t.is(word));
        if says("flatten") && says("next") && says("both") {
            let span = tokens[0].span.to(tokens[tokens.len() - 1].span);
            let act = Act::Step(StepKind::Flatten);
            return Reading::Acts(vec![Instruction { act, span }]);
        }
        // `Slip the ring over the body.`, `Pop it on his head!`
        const THING: &[&str] = &["the", "it", "them", "this", "these", "over", "onto"];
        let slips_a_thing = |pair: &[Token<'_>]| {
            matches!(&*pair[0].text, "slip" | "pop") && THING.iter().any(|word| pair[1].is(word))
        };
        if tokens.windows(2).any(slips_a_thing) {
            return Reading::Prose;
        }
        let tokens = from_step(tokens);
        let read = body::read(tokens, self.text, &self.names, false);
        let repeats = |item: &Instruction| matches!(&item.act, Act::Repeat(r) if r.times != Times::Exactly(1));
        let clean = read.problems.is_empty();
        if read.problems.iter().any(|p| p.level == Level::Error) {
            return self.chain_at_end(tokens);
        }
        if read.items.iter().any(|item| item.act == Act::NewStart) {
            return Reading::MovesStart(read.items);
        }
        if !clean {
            // A repeat with its number is work, several stitches among few other words are, and a chain before the first round
            // is a start, whatever else the line says.
            const SEVERAL: usize = 3;
            let worked = read
                .items
                .iter()
                .filter(|i| i.act.is_worked() && !is_chain(i));
            let worked = worked.count();
            let is_work =
                worked >= SEVERAL && read.problems.len() < worked && !heading::explains(tokens);
            return if is_work || read.items.iter().any(repeats) {
                Reading::Work
            } else if read.items.iter().any(is_chain)
                && read
                    .items
                    .iter()
                    .all(|i| is_chain(i) || matches!(i.act, Act::Close | Act::Yarn(_)))
            {
                Reading::Acts(read.items)
            } else {
                self.chain_at_end(tokens)
            };
        }
        let counted = |item: &Instruction| match &item.act {
            Act::Work(work) => {
                work.bare != Bare::No || work.over != Over::Count(1) || work.target != Target::Next
            }
            act => act.is_worked(),
        };
        if read
            .items
            .iter()
            .any(|item| !is_chain(item) && counted(item))
        {
            return Reading::Work;
        }
        let does = |item: &Instruction| {
            is_chain(item)
                || matches!(
                    item.act,
                    Act::Step(_)
                        | Act::Yarn(_)
                        | Act::Turn
                        | Act::Hold(_)
                        | Act::MagicRing
                        | Act::Close
                        | Act::Surface(_)
                        | Act::IntoRound { .. }
                )
        };
        let opens = tokens.iter().find(|t| t.kind == Kind::Word);
        let starts = opens
            .zip(read.items.first())
            .is_some_and(|(token, item)| item.span.start <= token.span.start);
        let makes_start = |item: &Instruction| {
            is_chain(item)
                || matches!(
                    item.act,
                    Act::MagicRing | Act::Surface(_) | Act::IntoRound { .. }
                )
        };
        let makes_start = read.items.iter().any(makes_start);
        // `These are chain curls.`, `Ch 1 and turn after every row.`
        let says_chain = |item: &Instruction| item.act.is_chain_of(1) || item.act == Act::Turn;
        let opens_work = tokens.first().is_some_and(|t| {
            matches!(t.kind, Kind::Number(_)) || matches!(&*t.text, "ch" | "chain" | "turn")
        });
        let of_each = tokens.iter().any(|t| t.is("every") || t.is("each"));
        let speaks = read.items.iter().all(says_chain) && (!opens_work || of_each);
        if !speaks
            && (starts || makes_start)
            && read.items.iter().all(does)
            && !read.items.is_empty()
        {
            Reading::Acts(read.items)
        } else {
            Reading::Prose
        }
    }

    /// `Join black in a free front loop of round 6`, `Attach the yarn to one of the unused front loops of Rnd 17`.
    fn starts_in_loops(&self, tokens: &[Token<'_>]) -> Option<Vec<Instruction>> {
        const VERBS: &[&str] = &[
            "join", "joining", "rejoin", "attach", "reattach", "insert", "pull", "working", "work",
            "same",
        ];
        let verb = tokens
            .iter()
            .position(|t| VERBS.iter().any(|verb| t.is(verb)))?;
        // `Remember the front loops you left on rnd 19? Attach white in any of them.`
        let of_them = tokens[verb..].iter().any(|t| t.is("them"));
        let told = if of_them { tokens } else { &tokens[verb..] };
        let reader = Reader::new(told, self.text, &self.names, false);
        let (hold, number) = reader.loops_of_a_round()?;
        let span = tokens[verb].span.to(tokens[tokens.len() - 1].span);
        let act = |act| Instruction { act, span };
        let yarn = self.yarn_in(span).or_else(|| self.colour_in(span));
        let mut acts = Vec::from_iter(yarn.map(|yarn| act(Act::Yarn(yarn))));
        acts.push(act(Act::Step(StepKind::JoinYarn)));
        acts.push(act(Act::IntoRound { number, hold }));
        Some(acts)
    }

    /// True if all that is worked in some sentences ends the piece: `Sl st in next st, fasten off.`
    pub(super) fn only_ends(&self, tokens: &[Token<'s>]) -> bool {
        let is_end = |sentence: &[Token<'s>]| {
            let slips = |item: &Instruction| match &item.act {
                Act::Work(work) => work.stitch.height == Some(Height::Slip),
                act => !act.is_worked(),
            };
            let only_slips = || {
                let read = body::read(sentence, self.text, &self.names, false);
                read.items.iter().all(slips)
            };
            sentence.iter().any(|t| t.is("embroider"))
                || !matches!(self.said_between(sentence), Reading::Work)
                || sentence.iter().any(|t| t.is("fasten")) && only_slips()
        };
        let sentences = tokens.split(|t| matches!(t.kind, Kind::Stop | Kind::Semicolon));
        sentences
            .filter(|sentence| !sentence.is_empty())
            .all(is_end)
    }

    /// `Using a 3.5 mm hook, make 2 ch.`, `yellow, worked in rows. ch 2`: what comes last is a chain to start from.
    fn chain_at_end(&self, tokens: &[Token<'_>]) -> Reading {
        let parts = |t: &Token<'_>| matches!(t.kind, Kind::Comma | Kind::Stop);
        let length = tokens.iter().rposition(|t| t.kind != Kind::Stop);
        let tokens = &tokens[..length.map_or(0, |last| last + 1)];
        let Some(parting) = tokens.iter().rposition(parts) else {
            return Reading::Prose;
        };
        match self.before_and(&tokens[parting + 1..]) {
            Some(acts) if acts.iter().all(is_chain) => Reading::Acts(acts),
            _ => Reading::Prose,
        }
    }

    /// A yarn named in a heading's words.
    pub(super) fn yarn_in(&self, span: Span) -> Option<Spanned<String>> {
        let words = &self.text[span.range()];
        self.names
            .yarns
            .iter()
            .find(|yarn| {
                words
                    .split(|c: char| !c.is_alphanumeric())
                    .any(|w| w == yarn.as_str())
                    || yarn.len() > 2 && words.contains(yarn.as_str())
            })
            .map(|yarn| Spanned {
                value: yarn.clone(),
                span,
            })
    }

    /// `With A,` or `Colour: B` above the rounds.
    pub(super) fn starting_yarn(&self, line: &RawLine<'s>) -> Option<Spanned<String>> {
        let first = line.tokens.first()?;
        let opens = matches!(
            &*first.text,
            "with"
                | "using"
                | "in"
                | "yarn"
                | "colour"
                | "color"
                | "use"
                | "work"
                | "working"
                | "worked"
                | "start"
                | "starting"
                | "begin"
                | "beginning"
        );
        // `Yarn B: white` lists a yarn; `Yarn: B` is the one to start with.
        let colon = line.tokens.iter().position(|t| t.kind == Kind::Colon);
        if line.tokens.len() > 12 || colon.is_some_and(|at| at > 1) {
            return None;
        }
        if !opens && !heading::is_yarn(&line.tokens) {
            return None;
        }
        // `Using grey yarn`, where no list has it; `**White**` alone.
        self.yarn_in(line.span)
            .or_else(|| self.colour_among(&line.tokens))
    }

    /// A colour that no yarn is called by, in a heading's words: `Body, in white`.
    pub(super) fn colour_in(&self, span: Span) -> Option<Spanned<String>> {
        self.colour_among(&lex(self.text, span))
    }

    fn colour_among(&self, tokens: &[Token<'_>]) -> Option<Spanned<String>> {
        let word = |at: usize| tokens.get(at).map(|t| &*t.text);
        let at = |from: usize| colours::words_of(|ahead| word(from + ahead));
        let (from, taken) = (0..tokens.len()).find_map(|from| Some((from, at(from)?)))?;
        let words: Vec<&str> = (from..from + taken).filter_map(word).collect();
        Some(Spanned {
            value: words.join(" "),
            span: tokens[from].span.to(tokens[from + taken - 1].span),
        })
    }
}

/// `mr = magic ring · sc = single crochet`, `mr: magic ring / ch: chain / sc: single crochet`: several entries of a list of
/// abbreviations.
pub(super) fn explains_words(tokens: &[Token<'_>]) -> bool {
    let signed = |sign: Kind| {
        let is_entry =
            move |pair: &&[Token<'_>]| pair[0].kind == Kind::Word && pair[1].kind == sign;
        tokens.windows(2).filter(is_entry)
    };
    let spaced = |pair: &&[Token<'_>]| pair[1].spaced;
    signed(Kind::Equals).filter(spaced).nth(1).is_some() || signed(Kind::Colon).nth(2).is_some()
}

/// `ch – chain`: an entry of a list of abbreviations.
fn explains_a_word(tokens: &[Token<'_>]) -> bool {
    // `**Ch** = chain`
    let unmarked = tokens.iter().filter(|t| !matches!(t.kind, Kind::Star(_)));
    let tokens: Vec<&Token<'_>> = unmarked.collect();
    let word = |at: usize| tokens.get(at).map(|t| &*t.text);
    let is_sign = |t: &&Token<'_>| {
        matches!(t.kind, Kind::Equals | Kind::Colon) || t.kind == Kind::Dash && t.spaced
    };
    let is_number = |t: &&Token<'_>| matches!(t.kind, Kind::Number(_));
    let name = words::longest(word, Terms::Us).map_or(0, |(_, taken)| taken);
    name > 0 && tokens.get(name).is_some_and(is_sign) && !tokens.iter().any(is_number)
}

/// A chain, or the slip stitch into its first chain that makes it a ring.
pub(super) fn is_chain(item: &Instruction) -> bool {
    match &item.act {
        Act::Work(work) if work.stitch.height == Some(Height::Slip) => {
            work.target == Target::FirstChain
        }
        Act::Work(work) => work.stitch.height == Some(Height::Chain) && !work.stitch.picot,
        _ => false,
    }
}
