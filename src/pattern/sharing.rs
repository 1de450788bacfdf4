//! Several stitches told one after another, with a place behind the last that all of them share: `(hdc + dc + hdc in next st)`.

use super::body::Reader;
use super::clause::Clause;
use super::lex::Kind;
use super::tree::*;
use crate::terms::Height;
use crate::terms::words::Word;

impl Reader<'_> {
    /// Makes one group of the items from `from` on, which the tokens from `first` up to `end` tell, if they name one place and
    /// name it last. `all in next st` leaves no doubt; signs and commas between them do, so arithmetic decides.
    pub(super) fn share_a_place(
        &mut self,
        items: &mut Vec<Instruction>,
        from: usize,
        (first, end): (usize, usize),
    ) {
        let Some((last, before)) = items.get(from..).and_then(|items| items.split_last()) else {
            return;
        };
        let Act::Work(last) = &last.act else { return };
        let places = (first..end).filter(|&at| self.opens_a_place(at));
        let [place] = places.collect::<Vec<_>>()[..] else {
            return;
        };
        let target = match last.target {
            // One and the same for all of them.
            Target::Same => Target::Next,
            target => target,
        };
        let may = matches!(
            target,
            Target::Next | Target::Space(_) | Target::Last | Target::First
        ) && last.over == Over::Count(1)
            && last.through.is_none()
            && !before.is_empty()
            && before.iter().all(may_share);
        let word_before = place.checked_sub(1).filter(|&at| at >= first);
        let says_all = word_before.is_some_and(|at| {
            let meaning = self.meanings[at].map(|(word, _)| word);
            matches!(meaning, Some(Word::All | Word::Both | Word::Together))
        });
        let begins_with_chain = before.first().is_some_and(|item| item.act.is_chain());
        if !may || !self.names_one_place(place) || begins_with_chain && !says_all {
            return;
        }
        let parted = self.tokens[first..end]
            .iter()
            .any(|t| t.kind == Kind::Comma);
        let several = before
            .iter()
            .any(|item| matches!(&item.act, Act::Work(work) if work.over != Over::Count(1)));
        let sharing = match (says_all, parted || several) {
            (true, _) => Sharing::Sure,
            (false, false) => Sharing::Usual,
            (false, true) => Sharing::Unusual,
        };
        // `(sc, sc in next ch-1 sp)`
        if sharing == Sharing::Unusual && target != Target::Next {
            return;
        }
        self.doubts.sharing |= sharing != Sharing::Sure;
        let mut inner: Vec<Instruction> = items.drain(from..).collect();
        if let Some(Instruction {
            act: Act::Work(work),
            ..
        }) = inner.last_mut()
        {
            work.target = Target::Next;
        }
        let span = inner[0].span.to(inner[inner.len() - 1].span);
        let act = Act::Together(Group {
            items: inner,
            over: Over::Count(1),
            target,
            hold: None,
            sharing,
        });
        items.push(Instruction { act, span });
    }

    /// True for a clause such as `3 dc all in the same st`, after stitches that it does not lean on.
    pub(super) fn all_in_the_same(&self, clause: &Clause, items: &[Instruction]) -> bool {
        let end = self.at.min(self.tokens.len());
        let words = &self.meanings[clause.first.min(end)..end];
        let meaning = |word: &Option<(Word, usize)>| word.map(|(word, _)| word);
        let all_in = words.windows(2).any(|pair| {
            matches!(meaning(&pair[0]), Some(Word::All | Word::Both))
                && meaning(&pair[1]) == Some(Word::In)
        });
        let leans = words.iter().any(|word| meaning(word) == Some(Word::As));
        all_in
            && !leans
            && items.last().is_some_and(may_share)
            && !items.last().is_some_and(|item| item.act.is_chain())
    }

    /// At the `in` of a place, but not of `in back loops`.
    fn opens_a_place(&self, at: usize) -> bool {
        matches!(
            self.meanings[at],
            Some((Word::In | Word::Around | Word::Over | Word::Each, _))
        )
    }
}

/// True for stitches with no place of their own.
fn may_share(item: &Instruction) -> bool {
    matches!(&item.act, Act::Work(work)
        if work.target == Target::Next
            && matches!(work.over, Over::Count(_))
            && work.through.is_none()
            && work.stitch.height != Some(Height::Slip))
}
