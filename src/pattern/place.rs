//! Where stitches go: `in next 6 sts`, `in each ch-2 sp around`, `to last 2 sts`, `in 2nd ch from hook`.

use super::body::Reader;
use super::lex::Kind;
use super::tree::{Act, Group, Instruction, Over, Sharing, Target};
use crate::terms::words::Word;
use crate::terms::{Height, Into};

/// A place as the words name it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Place {
    /// Over how many places.
    pub over: Over,
    /// Into what.
    pub target: Target,
    /// Loop or post.
    pub hold: Option<Into>,
    /// The word "each" stands there: a number of stitches goes into every one.
    pub each: bool,
    /// The words name a place, and not just a loop.
    pub named: bool,
    /// `every 3rd st`: increases stand in every third.
    pub every: Option<u32>,
    /// The words name loops, and nothing else.
    pub loop_only: bool,
    /// Rounds further down than the round below.
    pub deeper: u32,
    /// `on the chain`: a chain, and no word says which of its stitches.
    pub bare_chain: bool,
    /// `along the chain`: one stitch in each of it.
    pub along: bool,
}

impl Place {
    /// In a magic ring.
    pub fn in_new_ring() -> Place {
        Place::one(Target::NewRing)
    }

    /// One place, and nothing said but what it is.
    pub fn one(target: Target) -> Place {
        Place {
            over: Over::Count(1),
            target,
            hold: None,
            each: false,
            named: true,
            every: None,
            loop_only: false,
            deeper: 0,
            bare_chain: false,
            along: false,
        }
    }

    /// Some stitches that are all worked there.
    pub fn together(self, items: Vec<Instruction>) -> Act {
        Act::Together(Group {
            items,
            over: self.over,
            target: self.target,
            hold: self.hold,
            sharing: Sharing::Sure,
        })
    }

    /// As far as the round goes.
    pub fn around() -> Place {
        Place {
            over: Over::Rest,
            target: Target::Next,
            hold: None,
            each: true,
            named: false,
            every: None,
            loop_only: false,
            deeper: 0,
            bare_chain: false,
            along: false,
        }
    }
}

/// What the words of a place have said so far.
#[derive(Default)]
struct Said {
    number: Option<u32>,
    each: bool,
    all: bool,
    of: bool,
    /// `as join`, `as the first inc`: of a stitch made before.
    chains_too: bool,
    spaces_too: bool,
    space_size: Option<u32>,
    /// `3ch-sp`: the number belongs to the chain.
    glued_chain: bool,
    rest: bool,
    last: bool,
    first: bool,
    same: bool,
    next: bool,
    /// `in skipped st`
    skipped: bool,
    /// `in the free loops of Rnd 3`
    free_loops: bool,
    /// `in front loops of Rnd 3`
    loops: bool,
    along: bool,
    corner: bool,
    to_corner: bool,
    unit: Option<Unit>,
    ordinal: Option<u32>,
    from_hook: bool,
    hold: Option<Into>,
    to_last: Option<u32>,
    earlier: Option<u32>,
    deeper: u32,
    ring: Option<Target>,
    first_round: bool,
}

#[derive(Clone, Copy, PartialEq)]
enum Unit {
    Stitch,
    Chain,
    Space,
}

impl Reader<'_> {
    /// A place at the cursor, its preposition included; `None` (and the cursor unmoved) if there is none.
    pub(super) fn place(&mut self) -> Option<Place> {
        let start = self.at;
        let found = self.place_inner();
        if found.is_none() {
            self.at = start;
        }
        found
    }

    /// A place without a preposition: `2 sts`, `next ch-2 sp`.
    pub(super) fn bare_place(&mut self) -> Option<Place> {
        let start = self.at;
        if matches!(self.word(), Some((Word::In | Word::Over, _))) {
            return self.place();
        }
        let mut said = Said {
            first_round: self.first_round || self.after_chain,
            ..Said::default()
        };
        self.describe(&mut said);
        let found = said.into_place();
        if found.is_none() {
            self.at = start;
        }
        found
    }

    /// The place of a bracketed group: it must name a place, not just say "around".
    pub(super) fn group_place(&mut self) -> Option<Place> {
        let start = self.at;
        if self.kind(0) == Some(Kind::Comma) {
            return None;
        }
        if !matches!(self.word(), Some((Word::In | Word::Filler | Word::Over, _))) {
            return None;
        }
        while let Some((Word::Filler, taken)) = self.word() {
            self.at += taken;
        }
        match self.place() {
            Some(place) if place.named => Some(place),
            _ => {
                self.at = start;
                None
            }
        }
    }

    /// `to last 2 sts`, `until 2 sts remain`: how many are left.
    pub(super) fn until_last(&mut self) -> Option<u32> {
        let start = self.at;
        let (Word::To | Word::Until, taken) = self.word()? else {
            return None;
        };
        self.at += taken;
        let mut number = None;
        let mut said = false;
        loop {
            if let Some((n, taken)) = self.number() {
                number = Some(n);
                self.at += taken;
                continue;
            }
            match self.word() {
                Some((Word::Last | Word::Remaining, taken)) => {
                    said = true;
                    self.at += taken;
                }
                Some((Word::Filler | Word::AnyStitch, taken)) => self.at += taken,
                Some((Word::Stitch(_), taken)) if said => self.at += taken,
                None if self.is_word(0, "remain")
                    || self.is_word(0, "left")
                    || self.is_word(0, "before") =>
                {
                    said = true;
                    self.at += 1;
                }
                _ => break,
            }
        }
        if said {
            return Some(number.unwrap_or(1));
        }
        self.at = start;
        None
    }

    /// `to next corner`, `to corner sp`. False if the words at the cursor are others.
    fn until_corner(&mut self) -> bool {
        let mut ahead = self.word().map_or(0, |(_, taken)| taken);
        while let Some((Word::Filler | Word::Next | Word::Each, taken)) = self.word_ahead(ahead) {
            ahead += taken;
        }
        let Some((Word::Corner, taken)) = self.word_ahead(ahead) else {
            return false;
        };
        self.at += ahead + taken;
        while let Some((Word::Space | Word::AnyStitch | Word::Stitch(_), taken)) = self.word() {
            self.at += taken;
        }
        true
    }

    fn place_inner(&mut self) -> Option<Place> {
        let mut said = Said::default();
        // `free loops of Rnd 15: sc around`
        if self.free_loops_follow() {
            self.describe(&mut said);
            return said.into_place();
        }
        match self.word()? {
            (Word::In | Word::Over, taken) => self.at += taken,
            // `3 dc all in next st`, `both into the same st`
            (Word::All | Word::Both, all) if self.in_one_follows(all) => {
                self.at += all + self.word_ahead(all).map_or(0, |(_, taken)| taken);
            }
            // `10 sc starting from 2nd ch from hook`, `starting from the second ch`
            (Word::From, taken) => {
                let the = usize::from(self.is_word(taken, "the"));
                let counts = matches!(self.kind(taken + the), Some(Kind::Number(_)))
                    || matches!(self.word_ahead(taken + the), Some((Word::Ordinal(_), _)));
                if !counts {
                    return None;
                }
                self.at += taken + the;
            }
            // `in all stitches`, `in all 36 chains`
            (Word::Total, taken)
                if self.is_word(0, "in")
                    && (matches!(self.word_ahead(taken), Some((Word::AnyStitch, _)))
                        || self.number_ahead(taken).is_some()) =>
            {
                said.all = true;
                self.at += taken;
            }
            // `3 sc along chain`, `along the chain`
            (Word::Around, taken) if self.goes_along_a_chain(taken) => {
                said.along = true;
                self.at += taken;
            }
            // `fpdc around the fpdc`
            (Word::Around, taken) if self.is_word(taken, "the") && self.at_compound(taken + 1) => {
                self.at += taken + 2;
                said.hold = Some(Into::FrontPost);
                said.next = true;
                said.unit = Some(Unit::Stitch);
                return said.into_place();
            }
            (Word::Around, taken) => {
                let follows = self.word_ahead(taken);
                let is_place = matches!(
                    follows,
                    Some((
                        Word::Next
                            | Word::Each
                            | Word::Post
                            | Word::Same
                            | Word::Filler
                            | Word::FrontPost
                            | Word::BackPost,
                        _
                    ))
                ) && self.names_a_place(taken);
                self.at += taken;
                if !is_place {
                    let over = self.until_last().map_or(Over::Rest, Over::ToLast);
                    return Some(Place {
                        over,
                        ..Place::around()
                    });
                }
                said.hold = Some(Into::FrontPost);
            }
            // `sl st to first ch`
            (Word::To, taken) if self.first_follows(taken) => self.at += taken,
            (Word::To | Word::Until, _) => {
                let over = match self.until_corner() {
                    true => Over::ToCorner,
                    false => Over::ToLast(self.until_last()?),
                };
                return Some(Place {
                    over,
                    target: Target::Next,
                    hold: None,
                    each: true,
                    named: true,
                    every: None,
                    loop_only: false,
                    deeper: 0,
                    bare_chain: false,
                    along: false,
                });
            }
            (Word::Even | Word::Evenly, taken) => {
                self.at += taken;
                // `work even on these stitches`
                let mut on = 0;
                while let Some((Word::In | Word::Filler | Word::All, taken)) = self.word_ahead(on) {
                    on += taken;
                }
                if let (1.., Some((Word::AnyStitch, taken))) = (on, self.word_ahead(on)) {
                    self.at += on + taken;
                }
                // `work even in sc`
                if let Some((Word::In, into)) = self.word()
                    && matches!(self.word_ahead(into), Some((Word::Stitch(_), _)))
                {
                    self.at += into;
                }
                return Some(Place::around());
            }
            // `plain`, `plain through both edges`, but not `plain sc`
            (Word::Filler, taken) if self.is_word(0, "plain") && !self.stitch_at(taken) => {
                self.at += taken;
                return Some(Place::around());
            }
            (Word::Each | Word::Next | Word::Same | Word::Remaining, _) => {}
            // `inc all`
            (Word::All, _) if self.number_ahead(1).is_none() => {}
            (Word::BackLoop | Word::FrontLoop | Word::ThirdLoop | Word::BothLoops, _) => {}
            _ => return None,
        }
        // `sc in dc, dc in the sc`: into the one that comes next.
        let article = usize::from(self.is_word(0, "the"));
        if (self.is_word_before("in") || self.is_word_before("into"))
            && let Some((Word::Stitch(height), taken)) = self.word_ahead(article)
            && height > Height::Slip
            && height != Height::Chain
            && let made = self.just_made(article + taken)
            && (made > 0
                || matches!(
                    self.kind(article + taken),
                    None | Some(Kind::Comma | Kind::Close(_) | Kind::Semicolon | Kind::Star(_))
                ))
        {
            self.at += article + taken + made;
            // `3 ch, ss into the dc just made`
            said.same = made > 0;
            said.next = made == 0;
            said.unit = Some(Unit::Stitch);
            return said.into_place();
        }
        said.first_round = self.first_round || self.after_chain;
        self.describe(&mut said);
        said.into_place()
    }

    /// At `in next st`, `into the same stitch`, `in 1 st`, `in the ch-2 sp`: one place, not all of them.
    fn in_one_follows(&self, ahead: usize) -> bool {
        self.names_one_place(self.at + ahead)
    }

    /// True if the token at an index opens such words.
    pub(super) fn names_one_place(&self, at: usize) -> bool {
        const LONGEST: usize = 6;
        let meaning = |at: usize| self.meanings.get(at).copied().flatten();
        let Some((Word::In, taken)) = meaning(at) else {
            return false;
        };
        let is_word = |&at: &usize| {
            let kind = self.tokens.get(at).map(|t| t.kind);
            matches!(kind, Some(Kind::Word | Kind::Number(_)))
        };
        let words = (at + taken..at + taken + LONGEST).take_while(is_word);
        let mut says_one = false;
        for at in words {
            match (self.tokens[at].kind, meaning(at).map(|(word, _)| word)) {
                (_, Some(Word::Each | Word::All | Word::Around | Word::Remaining)) => return false,
                (_, Some(Word::Next | Word::Same | Word::Last | Word::First | Word::Space)) => {
                    says_one = true;
                }
                (Kind::Number(n), _) | (_, Some(Word::Number(n))) if n > 1 => return false,
                (Kind::Number(_), _) | (_, Some(Word::Number(_))) => says_one = true,
                _ => {}
            }
        }
        says_one
    }

    /// At `along` with a chain after it that is not made now: `along, ch 3`.
    fn goes_along_a_chain(&self, ahead: usize) -> bool {
        let article = usize::from(matches!(self.word_ahead(ahead), Some((Word::Filler, 1))));
        let chain = self.word_ahead(ahead + article);
        self.is_word(0, "along")
            && matches!(chain, Some((Word::Stitch(Height::Chain), 1)))
            && self.number_ahead(ahead + article + 1).is_none()
    }

    /// Tokens of `just made`.
    fn just_made(&self, ahead: usize) -> usize {
        let made = ["made", "worked"];
        let says = self.is_word(ahead, "just") && made.iter().any(|w| self.is_word(ahead + 1, w));
        if says { 2 } else { 0 }
    }

    /// At a word such as `fpdc`.
    fn at_compound(&self, ahead: usize) -> bool {
        let token = self.tokens.get(self.at + ahead);
        token.is_some_and(|t| super::compound::split(&t.text, self.names.terms).is_some())
    }

    fn first_follows(&self, mut ahead: usize) -> bool {
        while let Some((Word::Filler, taken)) = self.word_ahead(ahead) {
            ahead += taken;
        }
        matches!(self.word_ahead(ahead), Some((Word::First, _)))
    }

    /// True if "around" goes on to a stitch: `around the post of`, `around next 3 sts`.
    fn names_a_place(&self, mut ahead: usize) -> bool {
        for _ in 0..4 {
            match self.word_ahead(ahead) {
                Some((Word::Post | Word::AnyStitch | Word::Stitch(_) | Word::Next, _)) => {
                    return true;
                }
                Some((
                    Word::Filler
                    | Word::Of
                    | Word::Each
                    | Word::Same
                    | Word::FrontPost
                    | Word::BackPost,
                    taken,
                )) => ahead += taken,
                _ => return false,
            }
        }
        false
    }

    fn describe(&mut self, said: &mut Said) {
        loop {
            if let Some((deeper, taken)) = self.rounds_below() {
                said.deeper = deeper;
                self.at += taken;
                continue;
            }
            if let Some((n, taken)) = self.ordinal() {
                // A second place may not begin inside the first.
                if said.ring.is_some() || said.unit.is_some() {
                    return;
                }
                said.ordinal = Some(n);
                said.first |= n == 1 && !said.each;
                self.at += taken;
                continue;
            }
            if let Some((n, taken)) = self.number() {
                let chains = said.unit == Some(Unit::Chain);
                if !chains && (said.ring.is_some() || said.unit.is_some() || said.number.is_some())
                {
                    return;
                }
                // `ch 3 sp`: the number belongs to the space.
                if chains {
                    if matches!(self.word_ahead(taken), Some((Word::Space, _))) {
                        said.space_size = Some(n);
                        self.at += taken;
                        continue;
                    }
                    return;
                }
                // `BLO 12 sc`: the number is of stitches to work.
                let counts = said.hold.is_some() && !said.is_expecting_unit();
                if counts
                    || matches!(self.word_ahead(taken), Some((Word::Times, _)))
                    || self.at_times_sign(taken)
                        && (self.kind(taken) != Some(Kind::Star(1))
                            || !self.star_open && self.number_ahead(taken + 1).is_some())
                {
                    return;
                }
                said.number = Some(n);
                self.at += taken;
                continue;
            }
            if self.kind(0) == Some(Kind::Dash) && self.joins_chain_space() {
                self.at += 1;
                continue;
            }
            // `2 sc in the ch of the first sc`
            if said.unit == Some(Unit::Chain)
                && let Some(taken) = self.of_the_first_stitch()
            {
                said.first = true;
                said.unit = Some(Unit::Stitch);
                self.at += taken;
                return;
            }
            let Some((word, taken)) = self.word() else {
                if self.is_word(0, "skipped") || self.is_word(0, "sk'd") {
                    said.skipped = true;
                    self.at += 1;
                    continue;
                }
                if self.free_loops_follow() {
                    said.free_loops = true;
                    self.at += 1;
                    continue;
                }
                if said.each && said.unit.is_some() && self.all_but_the_last(said) {
                    return;
                }
                // `in the back loops left behind at row 9`
                const LEFT: &[&str] = &["left", "behind", "over", "that", "were", "from"];
                if said.hold.is_some()
                    && said.unit.is_none()
                    && LEFT.iter().any(|word| self.is_word(0, word))
                {
                    self.at += 1;
                    continue;
                }
                if self.is_word(0, "just") && self.is_word(1, "skipped") {
                    self.at += 1;
                    continue;
                }
                // `ch 3, sl st in top of that sc`
                if let Some(taken) = self.top_of_the_same(0) {
                    self.at += taken;
                    said.same = true;
                    return;
                }
                // `ch 3, sl st in base of ch`: what the stitch before the chain stands in.
                if self.is_word(0, "base") {
                    self.at += 1;
                    while matches!(
                        self.word(),
                        Some((Word::Of | Word::Filler | Word::Stitch(Height::Chain), _))
                    ) {
                        self.at += 1;
                    }
                    said.same = true;
                    return;
                }
                // `FPdc around next FPdc`
                if said.is_expecting_unit() && said.unit.is_none() && self.at_compound(0) {
                    said.unit = Some(Unit::Stitch);
                    self.at += 1;
                    continue;
                }
                // `in the front loops of R4`
                if self.is_word(0, "r")
                    && let Some((n, taken)) = self.number_ahead(1)
                {
                    said.earlier = Some(n);
                    self.at += 1 + taken;
                    if self.stitches_follow() {
                        return;
                    }
                    continue;
                }
                return;
            };
            match word {
                Word::Next => said.next = true,
                // `in the unworked front loops of Rnd 4`
                Word::LeaveRest if self.loops_follow(taken) => {}
                // `in every stitch for 5 more rounds`
                Word::Filler if self.for_rounds().is_some() => return,
                Word::Filler if said.each && !said.of && self.is_word(0, "other") => {
                    said.ordinal = Some(2);
                }
                Word::Each => said.each = true,
                Word::All => said.all = true,
                // `sc in both sts`
                Word::Both
                    if said.number.is_none()
                        && matches!(self.word_ahead(taken), Some((Word::AnyStitch, _))) =>
                {
                    said.number = Some(2);
                }
                Word::Remaining => said.rest = true,
                Word::Last => said.last = true,
                Word::First => said.first = true,
                Word::Same => said.same = true,
                // `each st of the first leg`: the part is named next.
                Word::Of if self.part_ahead() => return,
                Word::Of => said.of = true,
                Word::Filler => {}
                Word::And
                    if said.unit == Some(Unit::Stitch)
                        && said.number.is_none()
                        && (said.each || said.all || said.rest)
                        && self.names_chains_too(said, taken) =>
                {
                    continue;
                }
                Word::As if said.same => {
                    let start = self.at;
                    // `in same st as join and in each st around`
                    while !self.at_separator()
                        && !matches!(self.kind(0), Some(Kind::Open(_) | Kind::Star(_)))
                        && !matches!(
                            (self.word(), self.word_ahead(1)),
                            (
                                Some((Word::And, 1)),
                                Some((Word::In | Word::Each | Word::Next, _))
                            )
                        )
                    {
                        self.at += 1;
                    }
                    said.first = (start..self.at).any(|i| self.tokens[i].is("first"));
                    return;
                }
                Word::AnyStitch if said.unit.is_none() => {
                    // `in the corner sts`: in each of them
                    let several =
                        said.corner && !self.is_word(0, "st") && !self.is_word(0, "stitch");
                    said.each |= several && said.number.is_none();
                    said.unit = Some(Unit::Stitch);
                }
                Word::AnyStitch if said.unit == Some(Unit::Chain) => {}
                Word::Stitch(Height::Chain) if said.unit.is_none() && said.ring.is_none() => {
                    said.unit = Some(Unit::Chain);
                    said.glued_chain = said.number.is_some()
                        && self.peek().is_some_and(|t| !t.spaced)
                        && self.at > 0
                        && matches!(self.tokens[self.at - 1].kind, Kind::Number(_));
                }
                Word::Stitch(_)
                | Word::Increase
                | Word::Decrease
                | Word::Picot
                | Word::Bobble
                | Word::Popcorn
                | Word::Puff
                | Word::Own(_)
                    if said.unit.is_none() && said.is_expecting_unit() =>
                {
                    said.unit = Some(Unit::Stitch);
                }
                // `6 sc in a loop`
                Word::Space if said.unit.is_none() && self.opens_with_a_loop(said) => {
                    said.ring = Some(Target::Ring);
                }
                // `from the second loop`, along a chain
                Word::Space
                    if said.first_round
                        && self.at_loop()
                        && said.unit.is_none()
                        && said.number.is_none()
                        && said.ordinal.is_some_and(|n| (2..=4).contains(&n)) =>
                {
                    said.unit = Some(Unit::Chain);
                }
                // `12 hdc in 3rd loop`
                Word::Space if said.ordinal == Some(3) && self.at_loop() => {
                    said.ordinal = None;
                    said.hold = Some(Into::BackLoop);
                }
                Word::Space if said.free_loops && self.at_loop() => {
                    said.unit = Some(Unit::Stitch);
                    said.loops = true;
                }
                Word::Space if matches!(said.unit, None | Some(Unit::Chain)) => {
                    said.unit = Some(Unit::Space);
                    if said.glued_chain {
                        said.space_size = said.number.take();
                    }
                }
                Word::Corner if !said.corner => {
                    said.corner = true;
                    said.each |= self.is_word(0, "corners") && said.number.is_none();
                }
                // `sl st to the first ch so you have a circle`: the place has been told.
                Word::Ring if said.first && said.unit.is_some() => return,
                Word::Ring => said.ring = Some(Target::Ring),
                Word::MagicRing => said.ring = Some(Target::NewRing),
                Word::MainColour if self.first_round => said.ring = Some(Target::NewRing),
                Word::BackLoop | Word::FrontLoop => {
                    said.hold = Some(match word {
                        Word::BackLoop => Into::BackLoop,
                        _ => Into::FrontLoop,
                    });
                    let last = self.tokens.get(self.at + taken - 1);
                    said.loops = last.is_some_and(|t| t.is("loops") || t.is("lps"));
                }
                // `the front loops left on Rnd 3`
                Word::In if said.hold.is_some() && self.is_word_before("left") => {}
                Word::BothLoops => said.hold = Some(Into::Stitch),
                Word::ThirdLoop => said.hold = Some(Into::BackLoop),
                Word::Post => said.hold = Some(said.hold.unwrap_or(Into::FrontPost)),
                Word::FrontPost => said.hold = Some(Into::FrontPost),
                Word::BackPost => said.hold = Some(Into::BackPost),
                Word::From
                    if matches!(self.word_ahead(taken), Some((Word::Hook, _)))
                        || matches!(self.word_ahead(taken + 1), Some((Word::Hook, _))) =>
                {
                    said.from_hook = true;
                }
                Word::Hook => {}
                Word::Around if said.unit.is_some() || said.hold.is_some() || said.corner => {
                    said.rest |= said.number.is_none();
                    self.at += taken;
                    said.to_last = self.until_last();
                    return;
                }
                Word::To | Word::Until if said.unit.is_some() || said.each => {
                    said.to_corner = self.until_corner();
                    if !said.to_corner {
                        said.to_last = self.until_last();
                    }
                    return;
                }
                Word::Round | Word::Row => {
                    self.at += taken;
                    if let Some((n, taken)) = self.number() {
                        said.earlier = Some(n);
                        self.at += taken + self.of_a_piece(taken).unwrap_or(0);
                        if self.stitches_follow() {
                            return;
                        }
                    }
                    continue;
                }
                _ => return,
            }
            self.at += taken;
        }
    }

    /// At `free` or `unused` before the word for loops.
    pub(super) fn free_loops_follow(&self) -> bool {
        let is_loop = self.is_word(1, "loop") || self.is_word(1, "loops");
        (self.is_word(0, "unused") || self.is_word(0, "free")) && (self.loops_follow(1) || is_loop)
    }

    /// Tokens of `of the first sc`.
    fn of_the_first_stitch(&self) -> Option<usize> {
        let (Word::Of, mut ahead) = self.word()? else {
            return None;
        };
        while let Some((Word::Filler, taken)) = self.word_ahead(ahead) {
            ahead += taken;
        }
        let (Word::First, first) = self.word_ahead(ahead)? else {
            return None;
        };
        let (Word::Stitch(height), stitch) = self.word_ahead(ahead + first)? else {
            return None;
        };
        (height > Height::Slip && height != Height::Chain).then_some(ahead + first + stitch)
    }

    /// Tokens of `of the body` behind the number of a round.
    fn of_a_piece(&self, ahead: usize) -> Option<usize> {
        let (Word::Of, of) = self.word_ahead(ahead)? else {
            return None;
        };
        let article = usize::from(self.is_word(ahead + of, "the"));
        let name = self.tokens.get(self.at + ahead + of + article)?;
        let is_piece = self.names.pieces.contains(&super::stem::stem(&name.text));
        is_piece.then_some(of + article + 1)
    }

    /// At the word for a loop.
    fn at_loop(&self) -> bool {
        ["loop", "loops", "lp", "lps"]
            .iter()
            .any(|word| self.is_word(0, word))
    }

    /// At the loop that a piece's first round is worked into, where nothing has been made yet that has loops of its own.
    fn opens_with_a_loop(&self, said: &Said) -> bool {
        self.first_round
            && !self.after_chain
            && (self.is_word(0, "loop") || self.is_word(0, "lp"))
            && said.hold.is_none()
            && !said.is_expecting_unit()
    }

    /// `but the last`, `except for the last 2 sts`, after each stitch. False if the words at the cursor are others.
    fn all_but_the_last(&mut self, said: &mut Said) -> bool {
        if !self.is_word(0, "but") && !self.is_word(0, "except") {
            return false;
        }
        let start = self.at;
        self.at += 1;
        let mut last = false;
        let mut left = 1;
        loop {
            if let Some((n, taken)) = self.number() {
                left = n;
                self.at += taken;
            } else if let Some((word @ (Word::Filler | Word::Last | Word::AnyStitch), taken)) =
                self.word()
            {
                last |= word == Word::Last;
                self.at += taken;
            } else {
                break;
            }
        }
        if last {
            said.to_last = Some(left);
        } else {
            self.at = start;
        }
        last
    }

    /// `in the front loops of Rnd 2 12 sc`: what goes there comes behind.
    fn stitches_follow(&self) -> bool {
        let number = self.number().map_or(0, |(_, taken)| taken);
        self.word_ahead(number)
            .is_some_and(|(word, _)| word.names_stitch())
    }

    fn loops_follow(&self, ahead: usize) -> bool {
        matches!(
            self.word_ahead(ahead),
            Some((Word::FrontLoop | Word::BackLoop, _))
        )
    }

    /// Tokens of `top of that sc`, so many tokens on; `top of ch-3` is another place.
    pub(super) fn top_of_the_same(&self, ahead: usize) -> Option<usize> {
        let of = matches!(self.word_ahead(ahead + 1), Some((Word::Of, 1)));
        let which = ["that", "this"]
            .iter()
            .any(|word| self.is_word(ahead + 2, word))
            || matches!(
                self.word_ahead(ahead + 2),
                Some((Word::Same | Word::Last, 1))
            );
        if !self.is_word(ahead, "top") || !of || !which {
            return None;
        }
        match self.word_ahead(ahead + 3)? {
            (Word::Stitch(height), taken) if height > Height::Slip => Some(3 + taken),
            (Word::AnyStitch, taken) => Some(3 + taken),
            _ => None,
        }
    }

    fn part_ahead(&mut self) -> bool {
        let start = self.at;
        let found = self.part_place().is_some();
        self.at = start;
        found
    }

    /// `2 rnds below`: how many rounds further down than the round below, and how many tokens the words take.
    pub(super) fn rounds_below(&self) -> Option<(u32, usize)> {
        let (n, taken) = self.number()?;
        let Some((Word::Round | Word::Row, word)) = self.word_ahead(taken) else {
            return None;
        };
        let below = self.is_word(taken + word, "below") || self.is_word(taken + word, "down");
        below.then_some((n.clamp(1, 8) - 1, taken + word + 1))
    }

    /// At the "and" of `each st and ch around`, `each sc and ch-2 sp`.
    fn names_chains_too(&mut self, said: &mut Said, taken: usize) -> bool {
        let mut ahead = taken;
        while let Some((Word::In | Word::Each | Word::Filler, taken)) = self.word_ahead(ahead) {
            ahead += taken;
        }
        match self.word_ahead(ahead) {
            Some((Word::Stitch(Height::Chain), chain)) => {
                ahead += chain;
                let mut space = ahead + usize::from(self.kind(ahead) == Some(Kind::Dash));
                if let Some((_, taken)) = self.number_ahead(space) {
                    space += taken;
                    space += usize::from(self.kind(space) == Some(Kind::Dash));
                }
                if let Some((Word::Space, taken)) = self.word_ahead(space) {
                    said.spaces_too = true;
                    ahead = space + taken;
                } else {
                    said.chains_too = true;
                }
            }
            Some((Word::Space, taken)) => {
                said.spaces_too = true;
                ahead += taken;
            }
            _ => return false,
        }
        self.at += ahead;
        true
    }

    /// At the hyphen of `ch-3 sp` or `ch-sp`.
    fn joins_chain_space(&self) -> bool {
        let after_number = match self.number_ahead(1) {
            Some((_, taken)) => 1 + taken,
            None => 1,
        };
        let skip_dash = usize::from(self.kind(after_number) == Some(Kind::Dash));
        matches!(
            self.word_ahead(after_number + skip_dash),
            Some((Word::Space, _))
        )
    }
}

impl Said {
    /// `in 2nd ch`: from the hook, in a round that starts from a chain.
    fn is_chain_by_number(&self) -> bool {
        self.unit == Some(Unit::Chain)
            && self.ordinal.is_some_and(|n| (2..=4).contains(&n))
            && self.number.is_none()
            && !(self.each || self.same || self.of || self.next || self.last)
    }

    fn is_expecting_unit(&self) -> bool {
        self.next
            || self.each
            || self.all
            || self.rest
            || self.last
            || self.first
            || self.same
            || self.skipped
            || self.corner
            || self.ordinal.is_some()
            || self.number.is_some()
            || self.hold.is_some() && self.of
    }

    fn into_place(self) -> Option<Place> {
        let named_words = self.is_expecting_unit() || self.unit.is_some() || self.ring.is_some();
        if !named_words && self.hold.is_none() {
            return None;
        }
        let loop_only = self.hold.is_some()
            && self.unit.is_none()
            && self.number.is_none()
            && !(self.next
                || self.each
                || self.all
                || self.rest
                || self.last
                || self.first
                || self.same)
            && self.earlier.is_none()
            && self.to_last.is_none();
        let bare_chain = self.unit == Some(Unit::Chain)
            && self.number.is_none()
            && self.ordinal.is_none()
            && !(self.each || self.all || self.rest || self.next)
            && !(self.last || self.first || self.same);
        let mut every = None;
        let target = if let Some(ring) = self.ring {
            ring
        } else if self.skipped {
            Target::JustSkipped
        } else if self.corner && self.space_size.is_none() && !self.same {
            Target::Corner
        } else if self.unit == Some(Unit::Space) && self.first {
            Target::Space(self.space_size)
        } else if self.from_hook || self.first_round && self.is_chain_by_number() {
            Target::FromHook(self.ordinal.or(self.number).unwrap_or(2))
        } else if self.same {
            if self.first {
                Target::First
            } else {
                Target::Same
            }
        } else if self.last && self.number.is_none() {
            Target::Last
        } else if self.first && !self.next && self.number.is_none() {
            if self.unit == Some(Unit::Chain) {
                Target::FirstChain
            } else {
                Target::First
            }
        } else if let Some(round) = self
            .earlier
            .filter(|_| self.hold.is_some() || self.free_loops)
        {
            Target::Earlier(round)
        } else {
            match self.unit {
                Some(Unit::Space) => Target::Space(self.space_size),
                Some(Unit::Stitch) if self.spaces_too => Target::StitchOrSpace,
                Some(Unit::Stitch) if self.chains_too => Target::StitchOrChain,
                Some(Unit::Chain) => Target::NextChain,
                _ => Target::Next,
            }
        };
        if let (Some(n), true) = (self.ordinal, self.each) {
            every = Some(n);
        }
        let over = if self.to_corner {
            Over::ToCorner
        } else if let Some(left) = self.to_last {
            Over::ToLast(left)
        } else if let Some(n) = self.number {
            if self.all {
                Over::Whole(n)
            } else {
                Over::Count(n)
            }
        } else if self.each || self.all || self.rest || self.loops && self.earlier.is_some() {
            Over::Rest
        } else {
            Over::Count(1)
        };
        Some(Place {
            over,
            target,
            hold: self.hold,
            each: self.each || self.all || self.rest,
            named: !loop_only,
            every,
            loop_only,
            deeper: self.deeper,
            bare_chain,
            along: self.along,
        })
    }
}
