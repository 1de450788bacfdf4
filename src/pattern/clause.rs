//! One clause of a round: what stands between two commas. Its phrases may come in any order (`6 sc in B`,
//! `with B, sc 6`, `sc in next 6 sts BLO`); each fills a slot, and the slots together make an instruction.

use super::between::from_step;
use super::body::Reader;
use super::eyes;
use super::lex::Kind;
use super::place::Place;
use super::tree::*;
use crate::source::Span;
use crate::terms::words::Word;
use crate::terms::{Form, Height, Into};

/// The slots.
#[derive(Default)]
pub(super) struct Clause {
    pub(super) first: usize,
    pub(super) count: Option<u32>,
    pub(super) count_first: Option<usize>,
    pub(super) stitch: Option<StitchWord>,
    /// Stitches in one place that the stitch's own name asks for: 2 for `inc`.
    pub(super) in_one: u32,
    /// A spaced number stands after `inc` or `dec`.
    pub(super) number_after: bool,
    pub(super) places: Vec<Place>,
    pub(super) hold: Option<Into>,
    pub(super) yarn: Option<Spanned<String>>,
    pub(super) yarn_after: Option<Spanned<String>>,
    /// A yarn from one of the rounds on that the label stands for.
    pub(super) yarn_from: Option<(Spanned<String>, u32)>,
    pub(super) through: Option<Through>,
    /// A part that is worked into on its own; true if all of its edge is.
    pub(super) part: Option<(Through, bool)>,
    /// `sc inc`, in two words.
    pub(super) apart: bool,
    pub(super) extended: bool,
    /// Worked backwards.
    pub(super) reverse: bool,
    /// Each pair of stitches crossed.
    pub(super) crossed: bool,
    pub(super) foundation: bool,
    /// `inc 6 evenly`: somewhere around, at even steps.
    pub(super) evenly: bool,
    /// Rounds further down than the round below.
    pub(super) deeper: u32,
    pub(super) unknown: Vec<Span>,
}

impl Clause {
    /// True for an increase or a decrease.
    pub(super) fn changes(&self) -> bool {
        self.stitch
            .is_some_and(|stitch| self.in_one > 1 || matches!(stitch.form, Form::Together(_)))
    }
}

impl Reader<'_> {
    /// Reads one clause into instructions. `top` says that no bracket is open.
    pub(super) fn clause(&mut self, items: &mut Vec<Instruction>, top: bool) {
        let mut clause = Clause {
            first: self.at,
            ..Clause::default()
        };
        self.at = self.tokens.len() - from_step(&self.tokens[self.at..]).len();
        let (first, from) = (self.at, items.len());
        self.after_chain = items
            .last()
            .is_some_and(|item| item.act.is_chain() && !item.act.is_chain_of(1));
        while let Some(token) = self.peek() {
            let before = self.at;
            match token.kind {
                // `1st to 3rd rounds as for body`
                Kind::Number(_)
                    if self.ordinal().is_some()
                        && clause.stitch.is_none()
                        && clause.count.is_none()
                        && self.first_rounds_of_a_piece(&mut clause, items) => {}
                Kind::Number(_) => {
                    if self.number_phrase(&mut clause, items, top) {
                        return;
                    }
                }
                Kind::Word => {
                    if self.word_phrase(&mut clause, items, top) {
                        break;
                    }
                }
                Kind::Dash if self.dash_joins() => self.at += 1,
                // `3 sc in 2nd ch from hook & in each ch across`
                Kind::Ampersand if self.adds_a_place(&clause, 1) => self.at += 1,
                Kind::Ampersand | Kind::Plus if clause.stitch.is_some() => {
                    self.at += 1;
                    self.flush(&mut clause, items);
                }
                Kind::Star(1)
                    if clause.stitch.is_some()
                        && !self.star_open
                        && self.number_ahead(1).is_some()
                        && self.at_star_times() =>
                {
                    self.times_for_clause(&mut clause, items);
                }
                Kind::Times if self.number_ahead(1).is_some() => {
                    self.times_for_clause(&mut clause, items)
                }
                _ => break,
            }
            if self.at == before {
                self.at += 1;
            }
        }
        self.flush(&mut clause, items);
        self.share_a_place(items, from, (first, self.at));
    }

    /// Tokens of `pinch the wing flat`.
    fn pressed_flat(&self) -> Option<usize> {
        const LONGEST: usize = 5;
        let presses = ["pinch", "press", "squash", "squish", "squeeze"];
        if !presses.iter().any(|word| self.is_word(0, word)) {
            return None;
        }
        (1..LONGEST)
            .find(|&at| self.is_word(at, "flat"))
            .map(|at| at + 1)
    }

    /// Tokens of `starting at bottom`, `for the peak`, `working two rows A and two rows B throughout`: words that say where or for what
    /// something is worked, and nothing else.
    fn says_where_only(&self) -> Option<usize> {
        const LONGEST: usize = 14;
        let word = |ahead: usize| self.tokens.get(self.at + ahead);
        let is_plain =
            |ahead: usize| self.kind(ahead) == Some(Kind::Word) && self.word_ahead(ahead).is_none();
        let opens = word(0)?;
        if opens.is("working") {
            let (_, number) = self.number_ahead(1)?;
            let (Word::Round | Word::Row, _) = self.word_ahead(1 + number)? else {
                return None;
            };
            let ends =
                |&ahead: &usize| !matches!(self.kind(ahead), Some(Kind::Word | Kind::Number(_)));
            return (1..LONGEST).find(ends);
        }
        let begins =
            opens.is("starting") || opens.is("beginning") || opens.is("begin") || opens.is("start");
        let link = match () {
            () if begins && (word(1)?.is("at") || word(1)?.is("from")) => 2,
            () if opens.is("for") => 1,
            () => return None,
        };
        let article = usize::from(word(link)?.is("the"));
        if opens.is("for") && article == 0 {
            return None;
        }
        let named = link + article;
        // A part has its own way to be read.
        let is_part = self
            .names
            .pieces
            .contains(&super::stem::stem(&word(named)?.text));
        (is_plain(named) && (begins || !is_part)).then_some(named + 1)
    }

    /// At `in each ch across`, after an "and" behind stitches with a place.
    fn adds_a_place(&self, clause: &Clause, ahead: usize) -> bool {
        matches!(
            self.word_ahead(ahead),
            Some((Word::In | Word::Each | Word::Next | Word::Over, _))
        ) && clause.stitch.is_some()
            && !clause.places.is_empty()
    }

    /// A hyphen that holds a compound together: `ch-3`, `hdc-inc`.
    pub(super) fn dash_joins(&self) -> bool {
        // `turn—2 sc`
        let glued_before = self.peek().is_some_and(|t| !t.spaced && !t.is_long_dash());
        let glued_after = self.tokens.get(self.at + 1).is_some_and(|t| !t.spaced);
        glued_before && glued_after
    }

    /// A word in a clause. True if the clause ends here.
    fn word_phrase(
        &mut self,
        clause: &mut Clause,
        items: &mut Vec<Instruction>,
        top: bool,
    ) -> bool {
        if let Some(taken) = self.for_rounds() {
            self.at += taken;
            return false;
        }
        if self.at == 0 && self.word().is_none() && self.refers_to_round_before() {
            self.as_round_before(clause, items);
            return false;
        }
        if self.at_each_end(clause, items)
            || self.pairs_drawn_together(clause, items)
            || self.doubled(clause, items)
        {
            return false;
        }
        if clause.places.is_empty()
            && let Some(place) = self.border_place()
        {
            clause.places.push(place);
            // `in each row end down the side`
            self.border_place();
            return false;
        }
        if self.yarn_phrase(clause, items) || self.held_part(clause, items) {
            return false;
        }
        if clause.stitch.is_none() && clause.count.is_none() && self.goes_on(clause, items) {
            return false;
        }
        if let Some(through) = &mut clause.through
            && let Some(side) = self.side_phrase()
        {
            through.side = Some(side);
            return false;
        }
        if clause.stitch.is_none()
            && clause.count.is_none()
            && self.first_rounds_of_a_piece(clause, items)
        {
            return false;
        }
        if self.picks_up_a_part(clause, items)
            || self.starts_from_a_part(clause)
            || self.part_before_its_stitches(clause)
        {
            return false;
        }
        if let Some(taken) = self.says_where_only() {
            self.at += taken;
            return false;
        }
        // `back to orange`
        if self.is_word(0, "back") && self.is_word(1, "to") {
            let back = self.at;
            self.at += 2;
            clause.first = self.at;
            if self.yarn_phrase(clause, items) {
                return false;
            }
            self.at = back;
        }
        // `connect, left leaf 9 sc, right leaf 9 sc`
        if items.is_empty()
            && (self.is_word(0, "connect") || self.is_word(0, "join"))
            && matches!(self.kind(1), Some(Kind::Comma | Kind::Colon))
        {
            self.at += 1;
            clause.first = self.at;
            return false;
        }
        if let Some(taken) = self.of_what_is_picked_up(clause) {
            self.at += taken;
            return false;
        }
        // `8 sc around this one`: the piece itself.
        if clause.stitch.is_some()
            && matches!(self.word(), Some((Word::Around | Word::In, 1)))
            && self.is_word(1, "this")
            && self.is_word(2, "one")
        {
            self.at += 3;
            return false;
        }
        if clause.part.is_none()
            && let Some(part) = self.part_place()
        {
            clause.part = Some(part);
            return false;
        }
        if let Some((stitch, in_one)) = self.code_letter() {
            self.begin_stitch(clause, items, stitch, in_one);
            self.at += 1;
            return false;
        }
        if let Some(taken) = self.pressed_flat() {
            let start = self.at;
            self.flush(clause, items);
            self.at += taken;
            items.push(Instruction {
                act: Act::Step(StepKind::Flatten),
                span: self.span_from(start),
            });
            clause.first = self.at;
            return false;
        }
        let Some((word, taken)) = self.word() else {
            // `behind rd 11, into the back loops of rd 10, dc`
            let number = usize::from(self.number_ahead(2).is_some());
            if self.is_word(0, "behind")
                && matches!(self.word_ahead(1), Some((Word::Round | Word::Row, 1)))
                && matches!(self.kind(2 + number), Some(Kind::Comma | Kind::Colon))
            {
                self.at += 2 + number;
                clause.first = self.at;
                return false;
            }
            if self.free_loops_follow() {
                return self.place_or_filler(clause, items, 0);
            }
            // `as Row 2, but do not turn`
            if self.is_word(0, "but") && matches!(self.word_ahead(1), Some((Word::Remark, _))) {
                self.at += 1;
                return false;
            }
            // `8 dc down the other side`
            if let Some(ahead) = self.other_side_ahead() {
                self.other_side(clause, items, ahead);
                return false;
            }
            return self.compound_or_unknown(clause, items);
        };
        let start = self.at;
        match word {
            Word::Stitch(Height::Slip)
                if self.closes_round(taken)
                    && (self.depth > 0 || makes_stitches(items) || self.says_it_joins(taken))
                    || self.forms_a_ring(taken)
                    || self.closes_ring_round(taken, clause, items) =>
            {
                self.flush(clause, items);
                self.swallow();
                items.push(Instruction {
                    act: Act::Close,
                    span: self.span_from(start),
                });
                clause.first = self.at;
            }
            // `inc 6 sc evenly`, `dec 1 sc over next 2 sts`
            Word::Stitch(height)
                if clause.changes()
                    && clause.number_after
                    && clause.places.is_empty()
                    && self.is_of_change(0) =>
            {
                self.at += taken;
                if let Some(stitch) = &mut clause.stitch {
                    stitch.height = Some(height);
                }
            }
            Word::Stitch(height) => {
                self.at += taken;
                self.stitch(clause, items, height, start);
            }
            Word::Number(_) => return self.number_phrase(clause, items, top),
            // `sc twice into each stitch`
            Word::TimesWord(n)
                if clause.stitch.is_some()
                    && clause.count.is_none()
                    && clause.places.is_empty()
                    && matches!(self.word_ahead(taken), Some((Word::In, _))) =>
            {
                clause.count = Some(n);
                clause.count_first = Some(start);
                self.at += taken;
            }
            Word::TimesWord(_) if clause.stitch.is_some() => {
                self.times_for_clause(clause, items);
            }
            Word::Increase => {
                self.at += taken;
                self.increase(clause, items);
            }
            Word::Decrease | Word::InvisibleDecrease => {
                self.at += taken;
                self.decrease(clause, items, word == Word::InvisibleDecrease);
            }
            // `sc next 6 sts together with wing`
            Word::Together if matches!(self.word_ahead(taken), Some((Word::With, _))) => {
                self.at += taken + self.word_ahead(taken).map_or(0, |(_, with)| with);
                // `with the 6 sts of the wing`
                while let Some((Word::Filler | Word::AnyStitch | Word::Of, taken)) = self.word() {
                    self.at += taken;
                    self.at += self.number().map_or(0, |(_, number)| number);
                }
                clause.through = self.part_name(start, 0);
            }
            // `crochet the next 2 stitches together`
            Word::Together if clause.stitch.is_none() => {
                self.at += taken;
                let named = match clause.places[..] {
                    [
                        Place {
                            over: Over::Count(n),
                            target: Target::Next,
                            ..
                        },
                    ] => Some(n),
                    [] => clause.count.take(),
                    _ => None,
                };
                if let Some(n) = named {
                    clause.places.clear();
                    let mut stitch = StitchWord::OPEN.together(n);
                    // `work the 3 sts together as dc`
                    if let Some((Word::As, like)) = self.word()
                        && let Some((Word::Stitch(height), taken)) = self.word_ahead(like)
                    {
                        stitch.height = Some(height);
                        self.at += like + taken;
                    }
                    // `always 2 stitches together`
                    let said = self.tokens.get(clause.first..start).unwrap_or_default();
                    let always = said.iter().any(|t| t.is("always"));
                    self.begin_stitch(clause, items, stitch, 1);
                    if always {
                        clause.places.push(Place::around());
                    }
                }
            }
            Word::Together => {
                self.at += taken;
                if let Some(stitch) = &mut clause.stitch {
                    *stitch = stitch.together(clause.count.take().unwrap_or(2));
                }
            }
            Word::Bobble | Word::Popcorn | Word::Puff => {
                self.at += taken;
                self.gathered_in_one(clause, items, word);
            }
            Word::Surface => self.surface(clause, items, taken),
            Word::Picot => {
                self.at += taken;
                let chains = match (&clause.stitch, clause.count) {
                    (Some(stitch), Some(n)) if stitch.height == Some(Height::Chain) => n,
                    _ => 3,
                };
                if clause
                    .stitch
                    .is_some_and(|s| s.height == Some(Height::Chain))
                {
                    clause.stitch = None;
                    clause.count = None;
                }
                let stitch = StitchWord {
                    picot: true,
                    ..StitchWord::plain(Height::Chain)
                };
                self.begin_stitch(clause, items, stitch, chains);
            }
            Word::Own(place) => {
                self.at += taken;
                self.own_stitch(clause, items, place);
            }
            Word::Spike => {
                self.at += taken;
                self.short_stitch(clause, items, Form::Spike);
                clause.deeper = 1;
            }
            Word::LoopStitch | Word::CrabStitch => {
                self.at += taken;
                let form = if word == Word::LoopStitch {
                    Form::Loop
                } else {
                    Form::Reverse
                };
                self.short_stitch(clause, items, form);
            }
            Word::Reverse if self.stitch_at(taken) => {
                self.at += taken;
                self.start_anew(clause, items);
                clause.reverse = true;
            }
            Word::Crossed if self.stitch_at(taken) => {
                self.at += taken;
                self.start_anew(clause, items);
                clause.crossed = true;
            }
            // `decreasing 6 times evenly`, `inc 6 sts evenly`
            Word::Times | Word::AnyStitch
                if clause.count.is_some()
                    && clause.places.is_empty()
                    && matches!(self.word_ahead(taken), Some((Word::Evenly, _)))
                    && clause.stitch.is_some() =>
            {
                self.at += taken;
            }
            // `sc 8 each round`
            Word::Each
                if matches!(self.word_ahead(taken), Some((Word::Round | Word::Row, _)))
                    && clause.stitch.is_some() =>
            {
                self.at += taken + 1;
            }
            Word::Evenly if clause.changes() => {
                self.at += taken;
                clause.evenly = true;
            }
            Word::Extended => {
                self.at += taken;
                clause.extended = true;
            }
            Word::Foundation => {
                self.at += taken;
                clause.foundation = true;
            }
            Word::FrontPost | Word::BackPost => {
                self.at += taken;
                self.start_anew(clause, items);
                clause.hold = Some(if word == Word::FrontPost {
                    Into::FrontPost
                } else {
                    Into::BackPost
                });
            }
            Word::Skip => {
                self.flush(clause, items);
                self.at += taken;
                let place = self.skipped_place();
                // `skip the chain nearest the hook`
                if self.is_word(0, "nearest") || self.is_word(0, "closest") {
                    self.swallow();
                }
                if let Some(first) = self.skips_at_hook(place, items) {
                    self.place_ahead = Some(Place::one(Target::FromHook(first)));
                    self.place_ahead_span = self.span_from(start);
                    clause.first = self.at;
                    return false;
                }
                items.push(Instruction {
                    act: Act::Skip {
                        over: place.0,
                        target: place.1,
                    },
                    span: self.span_from(start),
                });
                clause.first = self.at;
            }
            // `6 sc MR`
            Word::MagicRing if clause.count.is_some() && clause.places.is_empty() => {
                self.at += taken;
                clause.places.push(Place::in_new_ring());
            }
            Word::MagicRing => {
                self.at += taken;
                self.flush(clause, items);
                items.push(Instruction {
                    act: Act::MagicRing,
                    span: self.span_from(start),
                });
                clause.first = self.at;
            }
            // `Make a ring and work 6 dc into it.`
            Word::Filler if self.opens_ring(items) => {
                while !matches!(self.word(), None | Some((Word::Ring, _))) {
                    self.at += 1;
                }
                self.at += 1;
                items.push(Instruction {
                    act: Act::MagicRing,
                    span: self.span_from(start),
                });
                clause.first = self.at;
            }
            Word::MainColour if self.first_round && items.is_empty() => {
                self.at += taken;
                items.push(Instruction {
                    act: Act::MagicRing,
                    span: self.span_from(start),
                });
                clause.first = self.at;
            }
            // `across both sides`, `6 sc for both walls`
            Word::Around | Word::Over | Word::In | Word::Filler
                if (word != Word::Filler || self.is_word(0, "for"))
                    && self.both_layers_follow(taken) =>
            {
                if let Some(through) = self.through_phrase() {
                    clause.through = Some(through);
                }
            }
            Word::Through => {
                if let Some(through) = self.through_phrase() {
                    clause.through = Some(through);
                }
            }
            Word::Join => return self.join_phrase(clause, items),
            Word::Change => self.change_phrase(clause),
            Word::Turn => {
                self.flush(clause, items);
                self.at += taken;
                items.push(Instruction {
                    act: Act::Turn,
                    span: self.span_from(start),
                });
                clause.first = self.at;
            }
            // The list repeats what it has so far.
            Word::Alternating => return true,
            // `close with 6 sc through both layers`
            Word::CloseHole
                if matches!(self.word_ahead(taken), Some((Word::With, _)))
                    && self.number_ahead(taken + 1).is_some()
                    && self.stitch_at(taken + 2) =>
            {
                self.at += taken + 1;
            }
            // Away from a chain, the piece is only turned.
            Word::OtherSide if self.is_word(0, "turn") && !self.first_round => {
                self.flush(clause, items);
                self.at += taken;
                items.push(Instruction {
                    act: Act::Turn,
                    span: self.span_from(start),
                });
                clause.first = self.at;
            }
            // Stitches before it have said what is worked.
            Word::GoOn => self.at += taken,
            Word::As | Word::Same
                if clause.stitch.is_none()
                    && !self.refers_to_rounds(0)
                    && !self.refers_to_a_number()
                    && self.as_piece(clause, items) => {}
            Word::As | Word::Same | Word::Repeat if self.refers_to_round_before() => {
                self.as_round_before(clause, items);
            }
            Word::Same if self.refers_to_rounds(taken) => self.as_rounds(clause, items),
            Word::Round | Word::Row if self.rounds_of_a_piece() => self.as_rounds(clause, items),
            Word::As | Word::Repeat if self.refers_to_rounds(0) => self.as_rounds(clause, items),
            Word::As | Word::Same | Word::Repeat if self.refers_to_a_number() => {
                self.as_rounds(clause, items);
            }
            // `sc, inc repeat`, `and repeat this 6 times`: the list repeats what it has so far.
            Word::Repeat if self.at > clause.first => return true,
            Word::OtherSide => self.other_side(clause, items, taken),
            Word::NewStart | Word::LeaveRest | Word::CountsAs | Word::DoesNotCount => {
                // `ch 3 – counts as dc – dc`
                let dashed = start > 0 && self.tokens[start - 1].kind == Kind::Dash;
                self.flush(clause, items);
                self.at += taken;
                if dashed {
                    self.swallow_to_dash();
                } else {
                    self.swallow();
                }
                let (from, to) = (start, self.at);
                self.at = start;
                let bridge = self.chains_named(from, to);
                self.at = to;
                let act = match word {
                    Word::NewStart => Act::NewStart,
                    Word::LeaveRest => Act::LeaveRest,
                    word => Act::StartCounts {
                        counts: word == Word::CountsAs,
                        bridge,
                    },
                };
                items.push(Instruction {
                    act,
                    span: self.span_from(start),
                });
                clause.first = self.at;
            }
            Word::And => {
                self.at += taken;
                // `sc, inc and repeat 6 times`
                if matches!(self.word(), Some((Word::Repeat, _))) {
                    return true;
                }
                if !self.adds_a_place(clause, 0) {
                    self.start_anew(clause, items);
                }
            }
            // `4 sc with flipper`
            Word::With if clause.stitch.is_some() && clause.through.is_none() => {
                self.at += taken;
                if self.names_a_part() {
                    clause.through = self.part_name(start, 0);
                }
            }
            Word::With => {
                self.at += taken;
            }
            Word::Remark => {
                let even = self.only_says_no_change(clause, items);
                self.flush(clause, items);
                self.swallow_remark();
                if even {
                    let span = self.span_from(start);
                    let around = Clause {
                        places: vec![Place::around()],
                        ..Clause::default()
                    };
                    self.push_work(&around, StitchWord::OPEN, span, items);
                } else if self.tokens[start..self.at].iter().any(|t| t.is("unworked")) {
                    // `leave the remaining 6 unworked`
                    items.push(Instruction {
                        act: Act::LeaveRest,
                        span: self.span_from(start),
                    });
                }
                clause.first = self.at;
            }
            // `increase 6 stitches` is all that is said: somewhere around.
            Word::AnyStitch
                if clause.number_after
                    && clause.changes()
                    && clause.places.is_empty()
                    && matches!(self.tokens[start - 1].kind, Kind::Number(_))
                    && top
                    && items.is_empty()
                    && self.number_ahead(taken).is_none()
                    && !self.works_from[start + taken] =>
            {
                self.at += taken;
                clause.evenly = true;
            }
            Word::Ending if !items.is_empty() => {
                // `dc in each st across, ending with dc in top of turning ch` says again where the round ends.
                self.flush(clause, items);
                self.swallow();
                clause.first = self.at;
            }
            word if step_of(word).is_some() => {
                self.flush(clause, items);
                let kind = step_of(word).unwrap_or(StepKind::Stuff);
                self.at += taken;
                self.swallow_step();
                let kind = match kind {
                    StepKind::Eyes(_) => {
                        StepKind::Eyes(eyes::place(&self.text[self.span_from(start).range()]))
                    }
                    kind => kind,
                };
                items.push(Instruction {
                    act: Act::Step(kind),
                    span: self.span_from(start),
                });
                return true;
            }
            _ => return self.place_or_filler(clause, items, taken),
        }
        false
    }

    /// True at `no increase or decrease`, where nothing else says what to work.
    fn only_says_no_change(&self, clause: &Clause, items: &[Instruction]) -> bool {
        let change = |t: &&super::lex::Token<'_>| {
            let stems = ["increas", "decreas", "change"];
            stems.iter().any(|stem| t.text.starts_with(stem))
                || matches!(
                    &*t.text,
                    "inc" | "dec" | "or" | "and" | "nor" | "no" | "any"
                )
        };
        let opens = self.is_word(0, "no") || self.is_word(0, "without");
        let changes = self.tokens[self.at + 1..].iter().take_while(change).count();
        opens
            && changes > 0
            && clause.stitch.is_none()
            && clause.count.is_none()
            && !items.iter().any(|item| item.act.is_worked())
            && !self.works_from[self.at + 1 + changes]
    }

    /// At `make a ring`, `form ring`, where a piece begins.
    fn opens_ring(&self, items: &[Instruction]) -> bool {
        let makes = self.is_word(0, "make") || self.is_word(0, "form");
        let mut ahead = 1;
        while let Some((Word::Filler, taken)) = self.word_ahead(ahead) {
            ahead += taken;
        }
        makes
            && self.first_round
            && !items.iter().any(|item| item.act.is_worked())
            && matches!(self.word_ahead(ahead), Some((Word::Ring, _)))
    }

    /// At words that say nothing and then a chain: `work ch 3`.
    fn chain_follows(&self) -> bool {
        let mut ahead = 0;
        while let Some((Word::Filler, taken)) = self.word_ahead(ahead) {
            ahead += taken;
        }
        matches!(
            self.word_ahead(ahead),
            Some((Word::Stitch(Height::Chain), _))
        )
    }

    fn place_or_filler(
        &mut self,
        clause: &mut Clause,
        items: &mut Vec<Instruction>,
        taken: usize,
    ) -> bool {
        let start = self.at;
        // The other side of the chain, with its preposition.
        if let Some(ahead) = self.other_side_ahead() {
            self.other_side(clause, items, ahead);
            return false;
        }
        if let Some(place) = self.place() {
            // `10 sc starting from 2nd ch from hook`: only the first goes there.
            let from = self.tokens[start].is("from")
                || start > 0 && matches!(&*self.tokens[start - 1].text, "starting" | "beginning");
            if place.loop_only {
                self.loop_phrase(clause, items, place, start);
            } else if from && matches!(place.target, Target::FromHook(_)) {
                self.place_ahead = Some(place);
                self.place_ahead_span = self.span_from(clause.first.min(start));
                // `from the 2nd ch on`
                let on = ["on", "onwards", "onward"];
                self.at += usize::from(on.iter().any(|word| self.is_word(0, word)));
            } else {
                clause.places.push(place);
            }
            // `into MR work ch 3 and 11 dc`: the ring is for all that follows.
            let in_ring = matches!(place.target, Target::Ring | Target::NewRing);
            return in_ring
                && clause.stitch.is_none()
                && clause.count.is_none()
                && self.chain_follows();
        }
        // Words that say nothing on their own.
        self.at += taken;
        false
    }

    /// `BLO`: for the stitch of this clause, or from here on if it stands alone.
    fn loop_phrase(
        &mut self,
        clause: &mut Clause,
        items: &mut Vec<Instruction>,
        place: Place,
        start: usize,
    ) {
        if clause.stitch.is_none() && clause.count.is_none() && self.at_separator() {
            let hold = place.hold.filter(|hold| *hold != Into::Stitch);
            items.push(Instruction {
                act: Act::Hold(hold),
                span: self.span_from(start),
            });
            clause.first = self.at;
        } else {
            clause.hold = place.hold;
        }
    }
}

/// True if something has been worked: what a slip stitch into the first stitch can close.
pub(super) fn makes_stitches(items: &[Instruction]) -> bool {
    items.iter().any(|item| match &item.act {
        // `ch 3, sl st in first of these`; a chain of one only lifts the hook.
        Act::Work(work) => work.stitch.height != Some(Height::Chain) || work.each > 1,
        act => act.is_worked(),
    })
}

/// The step that a word names.
pub(super) fn step_of(word: Word) -> Option<StepKind> {
    Some(match word {
        Word::FastenOff => StepKind::FastenOff,
        Word::Stuff => StepKind::Stuff,
        Word::LeaveEmpty => StepKind::LeaveEmpty,
        Word::Flatten => StepKind::Flatten,
        Word::Marker => StepKind::PlaceMarker,
        Word::Eyes => StepKind::Eyes(EyePlace::default()),
        Word::CloseHole => StepKind::CloseHole,
        Word::Sew => StepKind::Sew,
        _ => return None,
    })
}
