//! What a round leaves unsaid, settled once all of it is read.

use super::body::{Reader, for_each_work};
use super::lex::Kind;
use super::tree::*;
use crate::source::Span;
use crate::terms::Height;
use crate::terms::words::Word;

impl Reader<'_> {
    /// `For neck, sc in each st around`: what the round is for.
    pub(super) fn pass_purpose(&mut self) {
        const LONGEST: usize = 4;
        let comma = self
            .tokens
            .iter()
            .take(LONGEST)
            .position(|t| t.kind == Kind::Comma);
        let plain = |at: usize| {
            let word = self.word_ahead(at).map(|(word, _)| word);
            matches!(word, None | Some(Word::Filler)) && self.kind(at) == Some(Kind::Word)
        };
        if let Some(comma) = comma.filter(|&comma| self.is_word(0, "for") && (1..comma).all(plain))
        {
            self.at = comma + 1;
        }
    }

    /// `sc in each st across with 2 sc in last st`: the last is left for them.
    pub(super) fn leave_the_last(&self, items: &mut [Instruction]) {
        for at in 1..items.len() {
            let in_last = matches!(&items[at].act, Act::Work(work)
                if work.target == Target::Last && work.over == Over::Count(1) && work.each > 1);
            if in_last
                && let Act::Work(before) = &mut items[at - 1].act
                && (before.target, before.over) == (Target::Next, Over::Rest)
            {
                before.over = Over::ToLast(1);
            }
        }
    }

    /// `Rnd 7: sc (24)`: the only stitch of a round, with neither number nor place, goes into every stitch.
    pub(super) fn alone_is_around(&self, items: &mut [Instruction]) {
        let total = self.stated.map_or(Span::default(), |stated| stated.span);
        // `(8 rnds)` at the end
        let end = match self.tokens.len().checked_sub(4) {
            Some(at) if self.rounds_at(at) => at,
            _ => self.tokens.len(),
        };
        let says_more = self.tokens[..end].iter().enumerate().any(|(at, token)| {
            let in_total = total.start <= token.span.start && token.span.end <= total.end;
            let meaning = self.meanings[at].map(|(word, _)| word);
            // `sc in BLO (24)`
            if meaning == Some(Word::In) && self.loops_at(at + 1) {
                return false;
            }
            // `into the back loops of Rnd 2, sc`
            let of_a_round = at > 0
                && matches!(self.meanings[at - 1], Some((Word::Round | Word::Row, _)))
                && matches!(token.kind, Kind::Number(_));
            !in_total
                && !of_a_round
                && (matches!(token.kind, Kind::Number(_) | Kind::Open(_) | Kind::Star(_))
                    || matches!(
                        meaning,
                        Some(
                            Word::Number(_)
                                | Word::TimesWord(_)
                                | Word::Next
                                | Word::First
                                | Word::Last
                                | Word::Same
                                | Word::In
                                | Word::Together
                                | Word::Ordinal(_)
                        )
                    ))
        });
        self.all_of_the_edge(items);
        // `Rnd 1 dc (12)`, round a chain
        let of_several = self.stated.and_then(|stated| stated.stitches) > Some(1);
        let one_alone = self.first_round && !of_several;
        let mut worked = items.iter_mut().filter(|item| item.act.is_worked());
        if let (Some(item), None, false, false) =
            (worked.next(), worked.next(), says_more, one_alone)
            && let Act::Work(work) = &mut item.act
            && work.over == Over::Count(1)
            && work.target == Target::Next
            && work.through.is_none()
            && work.bare == Bare::No
            && work
                .stitch
                .height
                .is_none_or(|height| height > Height::Slip)
            && !work.stitch.picot
            && self.stated.and_then(|stated| stated.stitches) != Some(1)
        {
            work.over = Over::Rest;
        }
    }

    /// True at `(8 rnds)`.
    fn rounds_at(&self, at: usize) -> bool {
        matches!(
            &self.tokens[at..],
            [open, number, _, close]
                if matches!(open.kind, Kind::Open(_))
                    && matches!(number.kind, Kind::Number(_))
                    && matches!(close.kind, Kind::Close(_))
        ) && matches!(self.meanings[at + 2], Some((Word::Round | Word::Row, 1)))
    }

    /// True at `BLO`, `the back loops`.
    fn loops_at(&self, mut at: usize) -> bool {
        let word = |at: usize| self.meanings.get(at).copied().flatten();
        while let Some((Word::Filler, taken)) = word(at) {
            at += taken;
        }
        matches!(
            word(at),
            Some((
                Word::BackLoop | Word::FrontLoop | Word::ThirdLoop | Word::BothLoops,
                _
            ))
        )
    }

    /// `sc evenly around the edge (30)`: the total says how many.
    pub(super) fn all_of_the_edge(&self, items: &mut [Instruction]) {
        let mut worked = items
            .iter_mut()
            .filter(|item| item.act.is_worked() && !item.act.goes_into_corners());
        if let (Some(item), None) = (worked.next(), worked.next())
            && let Act::Work(work) = &mut item.act
            && let (Target::Border(Border::All), Over::Rest) = (work.target, work.over)
            && let Some(n) = self.stated.and_then(|stated| stated.stitches)
        {
            work.over = Over::Count(n);
        }
    }

    /// `inc` and `dec` take the height of the round's other stitches where these are all of one height; else single.
    pub(super) fn settle_heights(&self, items: &mut [Instruction]) {
        let mut seen: Option<Height> = None;
        let mut mixed = false;
        for_each_work(items, &mut |work| {
            if let Some(height) = work.stitch.height
                && height > Height::Slip
                && !work.stitch.picot
            {
                mixed |= seen.is_some_and(|s| s != height);
                seen = Some(height);
            }
        });
        let height = match (seen, mixed) {
            (Some(height), false) => height,
            _ => return,
        };
        for_each_work(items, &mut |work| {
            work.stitch.height.get_or_insert(height);
        });
    }
}
