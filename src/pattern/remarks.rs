//! Brackets that are no groups: a yarn, how many layers, whether a chain counts, mere remarks.

use super::body::Reader;
use super::clause::step_of;
use super::lex::Kind;
use super::tree::*;
use crate::terms::Height;
use crate::terms::words::Word;

impl Reader<'_> {
    /// At an opening bracket: true, and past it, if it holds a yarn, a word on layers or chains, or a mere remark.
    pub(super) fn remark_in_bracket(&mut self, items: &mut Vec<Instruction>) -> bool {
        if self.other_side_in_bracket(items) {
            return true;
        }
        let start = self.at;
        let mut end = start + 1;
        let mut layers = None;
        let mut counts = None;
        let mut works = false;
        let mut numbers = false;
        let mut parts = 0;
        // `(picot made)`
        let mut remarks = false;
        // `(4 rnds)`
        let mut rounds = false;
        while let Some(token) = self.tokens.get(end) {
            match token.kind {
                Kind::Close(_) => break,
                Kind::Open(_) => return false,
                Kind::Star(_) => works = true,
                Kind::Number(_) => numbers = true,
                _ => {}
            }
            parts += usize::from(token.kind == Kind::Word);
            let word = self.word_ahead(end - start);
            match word {
                Some((Word::CountsAs, _)) => counts = counts.or(Some(true)),
                Some((Word::DoesNotCount, _)) => counts = counts.or(Some(false)),
                Some((Word::Both, _)) => layers = layers.or(Some(2)),
                Some((Word::Number(n), _)) if n <= 3 => layers = layers.or(Some(n)),
                Some((Word::Round | Word::Row, _)) => rounds = true,
                Some((Word::Layers, _)) => layers = layers.or(Some(1)),
                Some((word, _)) => works |= is_worked(word),
                None => remarks |= token.is("made") || token.is("completed"),
            }
            if let Kind::Number(_) = token.kind {
                let here = self.at;
                self.at = end + 1;
                // `(5A, 2B) x 3`
                works |= self.yarn_name().is_some();
                self.at = here;
            }
            if self.is_code_letter_at(end)
                || super::compound::split(&token.text, self.names.terms).is_some()
            {
                works = true;
            }
            end += word.map_or(1, |(_, taken)| taken);
        }
        if end >= self.tokens.len() {
            return false;
        }
        // `ch 3 (first dc)`, `ch 3 (= 1 dc)`
        if counts.is_none()
            && start > 0
            && matches!(items.last(), Some(Instruction { act: Act::Work(work), .. })
                if work.stitch.height == Some(Height::Chain) && !work.stitch.picot)
            && self.names_one_stitch(end)
        {
            counts = Some(true);
        }
        if let Some(counts) = counts {
            let bridge = self.chains_named(start, end);
            self.at = end + 1;
            items.push(Instruction {
                act: Act::StartCounts { counts, bridge },
                span: self.span_from(start),
            });
            return true;
        }
        self.at = start + 1;
        let mut ahead = 0;
        while let Some((Word::With | Word::In, taken)) = self.word_ahead(ahead) {
            ahead += taken;
        }
        self.at += ahead;
        self.pass_to_yarn();
        if let Some((name, taken)) = self.yarn_name().or_else(|| self.colour_name())
            && self.at + taken + self.yarn_said(taken) == end
        {
            self.at = end + 1;
            let span = self.span_from(start);
            let yarn = Instruction {
                act: Act::Yarn(name),
                span,
            };
            // `6 sc (A), 6 sc (B)`: the yarn of the stitches before it; `(A) 6 sc`: of those after it.
            let after = start > 0
                && matches!(self.tokens[start - 1].kind, Kind::Word | Kind::Number(_))
                && self.at_separator();
            match items.last() {
                Some(item) if after && item.act.is_worked() => items.insert(items.len() - 1, yarn),
                _ => items.push(yarn),
            }
            return true;
        }
        self.at = start;
        if works && !remarks {
            return false;
        }
        if let (
            Some(layers),
            Some(Instruction {
                act: Act::Work(work),
                ..
            }),
        ) = (layers, items.last_mut())
            && let Some(through) = &mut work.through
        {
            through.layers = layers;
            self.at = end + 1;
            return true;
        }
        // A single unknown word next to a number may be a stitch: let the list say so.
        if parts <= 1 && numbers && !remarks && !rounds {
            return false;
        }
        self.at = end + 1;
        true
    }

    /// `4 sc (on the other side of the chain)`: where the stitches before the bracket go.
    fn other_side_in_bracket(&mut self, items: &mut Vec<Instruction>) -> bool {
        let start = self.at;
        self.at += 1;
        let Some(ahead) = self.other_side_ahead() else {
            self.at = start;
            return false;
        };
        self.at += ahead;
        self.swallow_to_stitches();
        let closes = matches!(self.kind(0), Some(Kind::Close(_)));
        // `3 sc in last ch, (other side) 10 sc`: what comes behind it.
        let comma = start > 0 && self.tokens[start - 1].kind == Kind::Comma;
        let before = items.iter().rposition(|item| item.act.is_worked());
        let Some(worked) = before.map(|at| if comma { items.len() } else { at }) else {
            self.at = start;
            return false;
        };
        if !closes {
            self.at = start;
            return false;
        }
        self.at += 1;
        let span = self.span_from(start);
        items.insert(
            worked,
            Instruction {
                act: Act::OtherSide,
                span,
            },
        );
        true
    }

    /// At a bracket that closes at `end`: true if it holds `first dc`, `1st dc` or `= 1 dc`.
    fn names_one_stitch(&self, end: usize) -> bool {
        let mut ahead = 1;
        let mut opens = false;
        if matches!(self.kind(ahead), Some(Kind::Equals)) {
            ahead += 1;
            opens = true;
        }
        match (self.word_ahead(ahead), self.kind(ahead)) {
            (Some((Word::First, taken)), _) => {
                opens = true;
                ahead += taken;
            }
            (_, Some(Kind::Number(1))) if self.is_suffix(ahead + 1) => {
                opens = true;
                ahead += 2;
            }
            (_, Some(Kind::Number(1))) => ahead += 1,
            _ => {}
        }
        matches!(self.word_ahead(ahead), Some((Word::Stitch(height), taken))
            if opens && height > Height::Slip && self.at + ahead + taken == end)
    }

    /// The chains of `counts as dc, ch 1`, between two tokens.
    pub(super) fn chains_named(&self, from: usize, to: usize) -> u32 {
        for index in from..to {
            if let Some((Word::Stitch(Height::Chain), taken)) = self.word_ahead(index - self.at) {
                let after = index - self.at + taken;
                let dash = usize::from(self.kind(after) == Some(Kind::Dash));
                let before = index.checked_sub(1).map(|i| self.tokens[i].kind);
                return match (self.number_ahead(after + dash), before) {
                    (Some((n, _)), _) => n,
                    (None, Some(Kind::Number(n))) => n,
                    _ => 1,
                };
            }
        }
        0
    }

    fn is_code_letter_at(&self, index: usize) -> bool {
        index >= self.at && self.is_code_letter(index - self.at)
    }
}

fn is_worked(word: Word) -> bool {
    word.names_stitch()
        || matches!(
            word,
            Word::Skip
                | Word::Repeat
                | Word::Turn
                | Word::Change
                | Word::Join
                | Word::BackLoop
                | Word::FrontLoop
                | Word::BothLoops
                | Word::MagicRing
                | Word::OtherSide
                | Word::NewStart
                | Word::LeaveRest
        )
        || step_of(word).is_some()
}
