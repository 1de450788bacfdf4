//! Phrases that close a round or join something: `join with sl st to first sc`, `join B`, `join the ear with 3 sc`.

use super::body::Reader;
use super::clause::Clause;
use super::lex::Kind;
use super::tree::*;
use crate::terms::Height;
use crate::terms::words::Word;

impl Reader<'_> {
    /// At a slip stitch that takes `taken` tokens: true if it goes into the start of the round.
    pub(super) fn closes_round(&self, taken: usize) -> bool {
        let mut ahead = taken;
        let mut preposition = false;
        for _ in 0..12 {
            let Some(token) = self.tokens.get(self.at + ahead) else {
                return false;
            };
            match self.word_ahead(ahead) {
                Some((Word::In | Word::To, taken)) => {
                    preposition = true;
                    ahead += taken;
                }
                Some((Word::Join, _)) if preposition => return true,
                Some((Word::First, taken)) if preposition => {
                    // `in first ch` is the ring or a picot; `in first ch of beg ch-3` closes.
                    let chain = matches!(
                        self.word_ahead(ahead + taken),
                        Some((Word::Stitch(Height::Chain), _))
                    );
                    return !chain || self.beginning_chain_follows(ahead + taken);
                }
                Some((Word::Filler | Word::Of, taken)) => ahead += taken,
                Some((Word::CloseHole, _)) if preposition => return true,
                _ if self.top_of_the_same(ahead).is_some() => return false,
                _ if preposition
                    && ["top", "closing", "close"]
                        .iter()
                        .any(|word| token.is(word)) =>
                {
                    return true;
                }
                _ if preposition && matches!(token.kind, Kind::Number(_)) => {
                    return self.beginning_chain_follows(ahead) || self.first_stitch(ahead);
                }
                _ => return false,
            }
        }
        false
    }

    /// `sl st in first st of Row 5 to join`
    pub(super) fn says_it_joins(&self, mut ahead: usize) -> bool {
        while matches!(self.kind(ahead), Some(Kind::Word | Kind::Number(_))) {
            if matches!(self.word_ahead(ahead), Some((Word::Join | Word::Turn, _))) {
                return true;
            }
            ahead += 1;
        }
        false
    }

    /// `to form a ring`, `to make a circle`, `into a ring`, behind a slip stitch.
    pub(super) fn forms_a_ring(&self, mut ahead: usize) -> bool {
        let mut makes = self.is_word(ahead, "into") && self.is_word(ahead + 1, "a");
        while let Some((Word::To | Word::In | Word::Filler, taken)) = self.word_ahead(ahead) {
            makes |= (ahead..ahead + taken).any(|at| {
                let forms = ["form", "forming", "make", "create"];
                forms.iter().any(|word| self.is_word(at, word))
            });
            ahead += taken;
        }
        makes && matches!(self.word_ahead(ahead), Some((Word::Ring, _)))
    }

    /// `Magic ring, 6 sc. Sl st.`: true if a slip stitch without a place ends a round in a ring.
    pub(super) fn closes_ring_round(
        &self,
        taken: usize,
        clause: &Clause,
        items: &[Instruction],
    ) -> bool {
        let ends = match self.kind(taken) {
            None => true,
            _ if self.total_leaves_out(taken, items) => true,
            Some(Kind::Stop | Kind::Semicolon | Kind::Open(_)) => !self.works_from[self.at + taken],
            _ => false,
        };
        let alone = clause.stitch.is_none() && clause.count.is_none() && clause.places.is_empty();
        let opens_sentence = self
            .at
            .checked_sub(1)
            .is_some_and(|at| self.tokens[at].kind == Kind::Stop);
        let closes = || opens_sentence || self.total_leaves_out(taken, items);
        let in_ring = |item: &Instruction| match &item.act {
            Act::MagicRing => true,
            Act::Work(work) => matches!(work.target, Target::Ring | Target::NewRing),
            _ => false,
        };
        // All that stands before is looked through last.
        let may_close = self.first_round && self.depth == 0 && alone && ends && closes();
        may_close && items.iter().any(in_ring)
    }

    /// `6 sc, ss (6)`, `6 dc, ss. (6 dc)`: the total counts the stitches before alone.
    fn total_leaves_out(&self, taken: usize, items: &[Instruction]) -> bool {
        let taken = taken + usize::from(self.kind(taken) == Some(Kind::Stop));
        let (Some(Kind::Open(_)), Some(Kind::Number(total))) =
            (self.kind(taken), self.kind(taken + 1))
        else {
            return false;
        };
        let mut worked = items.iter().filter_map(|item| match &item.act {
            Act::Work(work) if work.stitch.height != Some(Height::Chain) => Some(work),
            _ => None,
        });
        let only = worked.next().filter(|_| worked.next().is_none());
        only.is_some_and(|work| match work.over {
            Over::Count(count) => count.saturating_mul(work.each) == total,
            _ => false,
        })
    }

    /// `1st st`, but not `1st ch`.
    fn first_stitch(&self, ahead: usize) -> bool {
        matches!(self.kind(ahead), Some(Kind::Number(1)))
            && self.is_word(ahead + 1, "st")
            && matches!(
                self.word_ahead(ahead + 2),
                Some((Word::AnyStitch | Word::Stitch(_), _))
            )
            && !matches!(
                self.word_ahead(ahead + 2),
                Some((Word::Stitch(Height::Chain), _))
            )
    }

    /// `… of beg ch-3` before the clause ends.
    fn beginning_chain_follows(&self, mut ahead: usize) -> bool {
        let mut of = false;
        while let Some(kind) = self.kind(ahead) {
            if matches!(
                kind,
                Kind::Comma | Kind::Semicolon | Kind::Stop | Kind::Close(_) | Kind::Open(_)
            ) {
                return false;
            }
            match self.word_ahead(ahead) {
                // `sl st in 2nd ch from hook and in each of the next 19 ch`
                Some((Word::And | Word::Each, _)) => return false,
                Some((Word::Of, _)) => of = true,
                Some((Word::First | Word::Turn | Word::Stitch(Height::Chain), _)) if of => {
                    return true;
                }
                _ => {}
            }
            ahead += 1;
        }
        false
    }

    /// `join with sl st to first sc`, `join B`, `join the ear with 3 sc`. True if the clause ends here.
    pub(super) fn join_phrase(
        &mut self,
        clause: &mut Clause,
        items: &mut Vec<Instruction>,
    ) -> bool {
        let start = self.at;
        if let Some((_, taken)) = self.word() {
            self.at += taken;
        }
        if self.pass_to_yarn() && self.yarn_name().is_none() {
            // `join yarn in first skipped st`: the yarn in use.
            self.flush(clause, items);
            items.push(Instruction {
                act: Act::Step(StepKind::JoinYarn),
                span: self.span_from(start),
            });
            self.start_at(items, start);
            return true;
        }
        let with = matches!(self.word(), Some((Word::With, _)));
        let ahead = if with {
            self.word().map_or(0, |(_, taken)| taken)
        } else {
            0
        };
        let named = {
            let here = self.at;
            self.at += ahead;
            // `Join gold with sc`, though nobody listed it
            let unlisted = || self.colour_name().filter(|_| !self.names_a_part());
            let named = self.yarn_name().or_else(unlisted);
            self.at = here;
            named
        };
        if let Some((name, taken)) = named {
            self.flush(clause, items);
            self.at += ahead + taken;
            let span = self.span_from(start);
            items.push(Instruction {
                act: Act::Yarn(name),
                span,
            });
            items.push(Instruction {
                act: Act::Step(StepKind::JoinYarn),
                span,
            });
            self.start_at(items, start);
            return true;
        }
        if self.joins_to_a_part(clause, items, start)
            || self.joins_by_a_stitch(clause, items, start)
        {
            return clause.stitch.is_none();
        }
        // `Join in any ch-2 sp`, before anything is worked: where the round starts.
        if items.is_empty() && self.joins_in_a_space() {
            self.flush(clause, items);
            self.start_at(items, start);
            return true;
        }
        let closes = self.at_separator()
            || with && !self.part_then_stitch()
            || matches!(
                self.word(),
                Some((
                    Word::In | Word::To | Word::Stitch(Height::Slip) | Word::Round,
                    _
                ))
            )
            || matches!(self.kind(0), Some(Kind::Open(_)));
        if closes {
            self.flush(clause, items);
            self.swallow();
            items.push(Instruction {
                act: Act::Close,
                span: self.span_from(start),
            });
            return true;
        }
        let Some(through) = self.part_name(start, 0) else {
            return false;
        };
        if clause.stitch.is_some() {
            clause.through = Some(through);
        } else {
            self.through_ahead = Some(through);
        }
        false
    }

    /// True at the words for a chain space.
    fn joins_in_a_space(&mut self) -> bool {
        let here = self.at;
        let place = self.place();
        self.at = here;
        place.is_some_and(|place| matches!(place.target, Target::Space(_)))
    }

    /// `with a sc into the first leg`, after "join": the stitch into that part. False if the words at the cursor are others.
    fn joins_by_a_stitch(
        &mut self,
        clause: &mut Clause,
        items: &mut Vec<Instruction>,
        start: usize,
    ) -> bool {
        let here = self.at;
        let found = self.stitch_to_join_with().and_then(|(height, count)| {
            let opened = matches!(self.word(), Some((Word::To | Word::In, _)));
            while let Some((Word::To | Word::In, taken)) = self.word() {
                self.at += taken;
            }
            let part = (opened && self.names_a_part())
                .then(|| self.numbered_part(start))
                .flatten();
            part.map(|part| (height, count, part))
        });
        let Some((height, count, part)) = found.filter(|found| found.0 > Height::Slip) else {
            self.at = here;
            return false;
        };
        // `… at the inner side`
        self.swallow();
        self.flush_before(clause, items, start);
        self.stitch_into_part(clause, items, (part, height, count), start);
        true
    }

    /// Ends the clause that stands before a token; the cursor stays where it is.
    fn flush_before(&mut self, clause: &mut Clause, items: &mut Vec<Instruction>, start: usize) {
        let end = self.at;
        self.at = start;
        self.flush(clause, items);
        self.at = end;
    }

    /// So many stitches into a part, by which it is joined.
    fn stitch_into_part(
        &mut self,
        clause: &mut Clause,
        items: &mut Vec<Instruction>,
        (part, height, count): (Through, Height, u32),
        start: usize,
    ) {
        clause.first = start;
        clause.part = Some((part, false));
        self.stitch(clause, items, height, start);
        clause.count = Some(count);
    }

    /// `with a sc`, `with 1 sc`: the stitch and how many of it; the cursor moves behind it.
    fn stitch_to_join_with(&mut self) -> Option<(Height, u32)> {
        let mut with = false;
        let mut count = 1;
        loop {
            if let Some((n, taken)) = self.number() {
                count = n;
                self.at += taken;
                continue;
            }
            // `with X`
            if let Some((stitch, 1)) = self.letter_ahead(0).filter(|_| with) {
                self.at += 1;
                return stitch.height.map(|height| (height, count));
            }
            match self.word()? {
                (word @ (Word::With | Word::Filler), taken) => {
                    with |= word == Word::With;
                    self.at += taken;
                }
                (Word::Stitch(height), taken) if with => {
                    self.at += taken;
                    return Some((height, count));
                }
                _ => return None,
            }
        }
    }

    /// A part's name, `the first leg` or `leg 1`.
    fn numbered_part(&mut self, first: usize) -> Option<Through> {
        let mut part = self.part_name(first, 1)?;
        if part.copy.is_none()
            && let Some(Kind::Number(n)) = self.kind(0)
        {
            part.copy = Some(n);
            self.at += 1;
        }
        Some(part)
    }

    /// `to the first leg with a sc`, after "join": a stitch into that part; a slip stitch is none.
    fn joins_to_a_part(
        &mut self,
        clause: &mut Clause,
        items: &mut Vec<Instruction>,
        start: usize,
    ) -> bool {
        let here = self.at;
        while let Some((Word::To | Word::In, taken)) = self.word() {
            self.at += taken;
        }
        let opened = self.at > here;
        let part = (opened && self.names_a_part())
            .then(|| self.numbered_part(start))
            .flatten();
        let stitch = part.as_ref().and_then(|_| self.stitch_to_join_with());
        let (Some(part), Some((height, count))) = (part, stitch) else {
            self.at = here;
            return false;
        };
        self.flush_before(clause, items, start);
        if height == Height::Slip {
            clause.first = self.at;
            return true;
        }
        self.stitch_into_part(clause, items, (part, height, count), start);
        true
    }

    /// `… with sl st in any ch-1 sp`, after a yarn that is joined: where the round starts.
    fn start_at(&mut self, items: &mut Vec<Instruction>, first: usize) {
        let mut joining = None;
        loop {
            match self.word() {
                Some((Word::With | Word::Filler | Word::Stitch(Height::Slip), taken)) => {
                    self.at += taken;
                }
                // `… with sc in any back loop`: the first stitch of the round.
                Some((Word::Stitch(height), taken)) if height > Height::Slip => {
                    joining = Some(height);
                    self.at += taken;
                    break;
                }
                _ => break,
            }
        }
        let place = self.place();
        let words = self.at;
        self.swallow();
        // `in first skipped st`, `in the first unworked st of Rnd 5`
        let skipped = self.tokens[words..self.at]
            .iter()
            .any(|t| t.is("skipped") || t.is("unworked"))
            || place.is_some_and(|place| place.target == Target::JustSkipped);
        if let Some(place) = place.filter(|place| place.named) {
            let target = if skipped {
                Target::Skipped
            } else {
                place.target
            };
            let span = self.span_from(first);
            let act = match (target, place.hold) {
                // `in any free back loop of Rnd 27`: the loops are for all that follows.
                (Target::Earlier(number), Some(_)) => Act::IntoRound {
                    number,
                    hold: place.hold,
                },
                (target, _) => Act::StartAt(target),
            };
            items.push(Instruction { act, span });
            items.extend(joining.map(|height| {
                let target = match place.target {
                    Target::Space(_) => place.target,
                    _ => Target::Next,
                };
                Instruction {
                    act: Act::Work(Work {
                        stitch: StitchWord::plain(height),
                        each: 1,
                        over: Over::Count(1),
                        target,
                        hold: place.hold,
                        through: None,
                        bare: Bare::No,
                    }),
                    span,
                }
            }));
        }
    }

    /// After `join with`: a part and then stitches, rather than a slip stitch.
    fn part_then_stitch(&self) -> bool {
        let ahead = self.word().map_or(0, |(_, taken)| taken);
        // `with 1 sl st`
        if let Some((1, taken)) = self.number_ahead(ahead)
            && let Some((Word::Stitch(Height::Slip), _)) = self.word_ahead(ahead + taken)
        {
            return false;
        }
        !matches!(
            self.word_ahead(ahead),
            Some((Word::Stitch(_) | Word::Filler, _))
        )
    }
}
