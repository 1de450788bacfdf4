//! What a round leaves unsaid, settled once all of it is read.

use super::body::{Reader, for_each_work};
use super::lex::Kind;
use super::tree::*;
use crate::source::Span;
use crate::terms::Height;
use crate::terms::words::Word;

impl Reader<'_> {
    /// `Rnd 7: sc (24)`: the only stitch of a round, with neither number nor place, goes into every stitch.
    pub(super) fn alone_is_around(&self, items: &mut [Instruction]) {
        let total = self.stated.map_or(Span::default(), |stated| stated.span);
        let says_more = self.tokens.iter().enumerate().any(|(at, token)| {
            let in_total = total.start <= token.span.start && token.span.end <= total.end;
            let meaning = self.meanings[at].map(|(word, _)| word);
            !in_total
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
        let mut worked = items.iter_mut().filter(|item| item.act.is_worked());
        if let (Some(item), None, false, false) =
            (worked.next(), worked.next(), says_more, self.first_round)
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

    /// `sc evenly around the edge (30)`: the total says how many.
    pub(super) fn all_of_the_edge(&self, items: &mut [Instruction]) {
        let mut worked = items.iter_mut().filter(|item| item.act.is_worked());
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
