//! The slots of a clause made into instructions.

use super::body::{Reader, start_of_repeat};
use super::clause::{Clause, makes_stitches};
use super::lex::Kind;
use super::place::Place;
use super::tree::*;
use crate::source::{Problem, Span};
use crate::terms::words::Word;
use crate::terms::{Form, Height, Into};

impl Reader<'_> {
    pub(super) fn flush(&mut self, clause: &mut Clause, items: &mut Vec<Instruction>) {
        let next = Clause {
            first: self.at,
            ..Clause::default()
        };
        let done = std::mem::replace(clause, next);
        let span = self.span_from(done.first.min(self.at.saturating_sub(1)));
        self.report_unknown(&done);
        if let Some(yarn) = &done.yarn {
            items.push(Instruction {
                act: Act::Yarn(yarn.clone()),
                span,
            });
        }
        // `(4 B, A) x 6`: a yarn alone among yarns with numbers is one stitch.
        let one_of_yarn = done.yarn.is_some()
            && self.depth > 0
            && done.stitch.is_none()
            && done.count.is_none()
            && matches!(&items[..items.len().saturating_sub(1)],
                [.., Instruction { act: Act::Yarn(_), .. }, Instruction { act: Act::Work(work), .. }]
                    if work.stitch == StitchWord::OPEN);
        let yarn_only =
            one_of_yarn || done.yarn.is_some() && done.count.is_some() && done.stitch.is_none();
        if let Some(stitch) = done
            .stitch
            .or_else(|| yarn_only.then_some(StitchWord::OPEN))
        {
            self.push_work(&done, stitch, span, items);
        } else if let Some(first) = done
            .count_first
            .filter(|_| self.counts_into_ring(&done, items))
        {
            // `magic ring 6`, `6 in MR`, `6 sts in magic ring`: the stitch is the round's.
            let span = self.span_from(first.min(done.first));
            self.push_work(&done, StitchWord::OPEN, span, items);
        } else if counts_into_place(&done)
            && let Some(stitch) = last_stitch(items)
        {
            // `sc in next st, 2 in next`: of the same stitch.
            self.push_work(&done, stitch, span, items);
        } else if self.joins_over(&done) {
            // `join the wing over the next 5 sts`: by the round's own stitch.
            self.push_work(&done, StitchWord::OPEN, span, items);
        } else if !done.places.is_empty() {
            let place = done.places[0];
            let implied = done.unknown.is_empty()
                && matches!(place.target, Target::Next)
                && place.over == Over::Rest;
            if implied && done.count.is_none() && !place.named {
                // `work even`, `around`: whatever stitch the round before had.
                self.push_work(&done, StitchWord::OPEN, span, items);
            } else if let Target::Earlier(number) = place.target {
                let hold = place.hold;
                items.push(Instruction {
                    act: Act::IntoRound { number, hold },
                    span,
                });
            } else {
                self.place_ahead = Some(place);
                self.place_ahead_span = span;
            }
        } else if let (Some(through), None) = (&done.through, done.count) {
            self.attach_through(through, items);
        } else if let (Some((part, _)), None) = (&done.part, done.count) {
            // `then into the first fluke, sc in 6 sts`
            self.part_ahead = Some(part.clone());
        } else if let (Some(hold), None) = (done.hold, done.count) {
            items.push(Instruction {
                act: Act::Hold(Some(hold)),
                span,
            });
        } else if self.depth > 0
            && done.count.is_some()
            && done.unknown.is_empty()
            && (self.works_from.first() == Some(&true) || self.names.small_letters)
        {
            // `(1, inc) x 6`
            self.push_work(&done, StitchWord::OPEN, span, items);
        } else if done.unknown.is_empty() && done.count.is_some() && self.change_follows(&done) {
            // `1, inc x 6`
            self.push_work(&done, StitchWord::OPEN, span, items);
        } else if items.is_empty() && self.only_a_number(&done) {
            // `Rnd 4: 18 (18)`
            self.push_work(&done, StitchWord::OPEN, span, items);
        } else if let (Some(first), true) = (done.count_first, done.unknown.is_empty())
            && self.stated.is_none()
        {
            let span = self.span_from(first);
            self.problem(
                Problem::error("unread", span, "a number without a stitch")
                    .help("say what is worked so often, or put a total in brackets at the end"),
            );
            items.push(Instruction {
                act: Act::Unread,
                span,
            });
        }
        if let Some((yarn, round)) = done.yarn_from {
            items.push(Instruction {
                act: Act::YarnFrom { yarn, round },
                span,
            });
        }
        if let Some(yarn) = done.yarn_after {
            items.push(Instruction {
                act: Act::Yarn(yarn),
                span,
            });
        }
    }

    /// True if a clause joins a part over a number of stitches, and names none.
    fn joins_over(&self, clause: &Clause) -> bool {
        let opens = self.tokens.get(clause.first).map_or(0, |t| t.span.start);
        let part = self.through_ahead.as_ref();
        let is_own = part.is_some_and(|part| part.part.is_some() && part.span.start >= opens);
        let counts = |place: &Place| {
            place.target == Target::Next && matches!(place.over, Over::Count(n) if n > 1)
        };
        is_own && clause.count.is_none() && matches!(&clause.places[..], [place] if counts(place))
    }

    /// True at the comma after a number alone that is the only one so, before an increase or a decrease.
    fn change_follows(&self, clause: &Clause) -> bool {
        let alone = clause.count_first.is_some_and(|first| {
            first + 1 == self.at
                && (first == 0
                    || matches!(
                        self.tokens[first - 1].kind,
                        Kind::Comma | Kind::Star(1) | Kind::Open(_)
                    ))
        });
        let change = matches!(
            self.word_ahead(1),
            Some((Word::Increase | Word::Decrease | Word::InvisibleDecrease, _))
        );
        alone && !self.first_round && self.kind(0) == Some(Kind::Comma) && change
    }

    /// A later round of which a number is all that is said, but for a total.
    fn only_a_number(&mut self, clause: &Clause) -> bool {
        !self.first_round
            && self.depth == 0
            && clause.count.is_some()
            && clause.count_first == Some(0)
            && clause.unknown.is_empty()
            && (matches!(self.kind(0), None | Some(Kind::Equals | Kind::Arrow))
                || matches!(self.kind(0), Some(Kind::Open(_)))
                    && (self.total_follows(0) || self.rounds_in_bracket(0).is_some()))
    }

    /// A number without a stitch, in a ring that has just been opened or is named.
    fn counts_into_ring(&self, clause: &Clause, items: &[Instruction]) -> bool {
        let opened = matches!(items.last().map(|i| &i.act), Some(Act::MagicRing))
            && clause.places.is_empty();
        let named = clause
            .places
            .iter()
            .any(|p| matches!(p.target, Target::NewRing | Target::Ring));
        clause.unknown.is_empty() && (opened || named)
    }

    pub(super) fn push_work(
        &mut self,
        clause: &Clause,
        stitch: StitchWord,
        span: Span,
        items: &mut Vec<Instruction>,
    ) {
        let through = match clause.through.clone() {
            Some(through) => Some(self.with_what_was_held(through)),
            None => self.through_ahead.take(),
        };
        let in_one = clause.in_one.max(1);
        let is_chain = stitch.height == Some(Height::Chain) && !stitch.picot;
        let feet = match stitch.form {
            Form::Together(n) => u32::from(n),
            _ => 1,
        };
        if clause.crossed {
            push_crossed(clause, stitch, span, items);
            return;
        }
        if is_plain(clause, stitch) && says_how_many(clause, stitch, span, items) {
            return;
        }
        if clause.evenly {
            self.push_evenly(clause, stitch, in_one, span, items);
            return;
        }
        let border = clause.places.first().and_then(|place| match place.target {
            Target::Border(part) => Some(part),
            _ => None,
        });
        let ahead = self
            .part_ahead
            .take_if(|_| !is_chain)
            .map(|part| (part, false));
        if let Some((part, whole)) = clause.part.as_ref().or(ahead.as_ref())
            && border.is_none()
        {
            let over = match (clause.places.first(), clause.count) {
                (Some(place), _) if place.named => place.over,
                (_, Some(n)) => Over::Count(n),
                (Some(place), None) => place.over,
                (None, None) if *whole => Over::Rest,
                (None, None) => Over::Count(1),
            };
            items.push(Instruction {
                act: Act::Work(Work {
                    stitch,
                    each: in_one,
                    over,
                    target: Target::Part,
                    hold: clause.hold,
                    through: Some(part.clone()),
                    bare: Bare::No,
                }),
                span,
            });
            return;
        }
        if let Some(place) = clause.places.first()
            && let Some(border) = border
        {
            // `2 sc in each row end`, `10 sc along the side`
            let in_each = border == Border::RowEnds;
            let (each, over) = match clause.count {
                // `6 sc in the row ends`
                Some(n) if in_each && place.over == Over::Rest && !place.each => {
                    (in_one, Over::Count(n))
                }
                Some(n) if in_each => (n.saturating_mul(in_one), place.over),
                Some(n) => (in_one, Over::Count(n)),
                None => (in_one, place.over),
            };
            let (each, over) = match over {
                Over::Count(n) if in_each && each == n => (in_one, over),
                _ => (each, over),
            };
            // `along the side of the flap`
            let of_part = clause.part.as_ref().map(|(part, _)| Through {
                border: Some(border),
                ..part.clone()
            });
            items.push(Instruction {
                act: Act::Work(Work {
                    stitch,
                    each,
                    over,
                    target: of_part.as_ref().map_or(place.target, |_| Target::Part),
                    hold: clause.hold,
                    through: of_part,
                    bare: Bare::No,
                }),
                span,
            });
            return;
        }
        if let (Some(place), Some(n)) = (self.place_ahead, clause.count)
            && matches!(place.target, Target::FromHook(_))
            && clause.places.is_empty()
            && !is_chain
            && n > 1
        {
            // `starting in 2nd ch from hook, 10 sc`: the first goes there, the others along.
            self.place_ahead = None;
            let span = self.place_ahead_span.to(span);
            let along = (Target::Next, Over::Count(n - 1));
            push_from_hook(clause, stitch, in_one, place.target, along, span, items);
            return;
        }
        if let (Some(ahead), [place]) = (self.place_ahead, &clause.places[..])
            && (clause.count.is_none_or(|n| n == 1) || place.each)
            && matches!(ahead.target, Target::FromHook(_))
            && matches!(place.target, Target::Next | Target::NextChain)
            && let Some(others) = all_but_one(place.over)
            && !is_chain
        {
            // `starting in 2nd ch from hook, dc in each ch to end`
            self.place_ahead = None;
            let in_one = in_one.saturating_mul(clause.count.unwrap_or(1));
            let span = self.place_ahead_span.to(span);
            let along = (place.target, others);
            push_from_hook(clause, stitch, in_one, ahead.target, along, span, items);
            return;
        }
        let mut places = clause.places.clone();
        let ahead = if is_chain {
            None
        } else {
            self.place_ahead.take()
        };
        if places.is_empty() {
            places.extend(ahead);
        }
        // `evenly around` is one place.
        let around = |place: &super::place::Place| place.over == Over::Rest && !place.named;
        places.dedup_by(|next, before| around(next) && around(before));
        // `sc around in the front loops of Rnd 2`
        let earlier = places.iter().position(
            |p| matches!(p.target, Target::Earlier(_) if matches!(p.over, Over::Count(1) | Over::Rest) && !p.each),
        );
        if let Some(at) = earlier.filter(|_| places.len() > 1)
            && let Target::Earlier(number) = places[at].target
        {
            let hold = places.remove(at).hold;
            items.push(Instruction {
                act: Act::IntoRound { number, hold },
                span,
            });
        }
        let work = |each, over, target, hold, bare| {
            Act::Work(Work {
                stitch,
                each,
                over,
                target,
                hold,
                through: through.clone(),
                bare,
            })
        };
        if is_chain && !places.iter().any(|p| p.named) {
            let n = clause.count.unwrap_or(1);
            items.push(Instruction {
                act: work(n, Over::Count(1), Target::Next, None, Bare::No),
                span,
            });
            return;
        }
        if stitch.height == Some(Height::Slip)
            && let Some(place) = places.first()
            && place.target == Target::First
            && (self.depth > 0 || makes_stitches(items))
        {
            items.push(Instruction {
                act: Act::Close,
                span,
            });
            return;
        }
        let below = match clause.deeper.max(places.first().map_or(0, |p| p.deeper)) {
            0 => Target::Next,
            rounds => Target::Deeper(rounds),
        };
        if places.is_empty() || (places.len() == 1 && !places[0].named && clause.count.is_some()) {
            let is_change = in_one > 1 || feet > 1;
            let bare = match clause.count {
                _ if clause.apart => Bare::Apart,
                Some(n) if n > 1 && clause.number_after && is_change => Bare::After,
                Some(n) if n > 1 && !is_change => Bare::Several,
                _ => Bare::No,
            };
            match bare {
                Bare::After => self.doubts.bigger = true,
                Bare::Apart => self.doubts.apart = true,
                Bare::Several if !stitch.picot => self.doubts.many_in_one = true,
                _ => {}
            }
            let hold = clause.hold.or(places.first().and_then(|p| p.hold));
            // `flatten and sc through both layers`: all of them.
            let both_layers = through
                .as_ref()
                .is_some_and(|t| t.part.is_none() && t.layers > 1 && in_one == 1 && feet == 1);
            let over = match (clause.count, places.first()) {
                (Some(n), _) => Over::Count(n),
                (None, None) if both_layers => Over::Rest,
                (None, Some(place)) => place.over,
                (None, None) => Over::Count(1),
            };
            items.push(Instruction {
                act: work(in_one, over, below, hold, bare),
                span,
            });
            return;
        }
        let around_list = clause.count.is_none()
            && matches!(&places[..], [place] if place.over == Over::Rest && !place.named)
            && self.depth == 0
            && self.is_word_before("around")
            && is_plain_list(items);
        for mut place in places {
            if place.target == Target::Next {
                place.target = below;
            }
            // `5 sc, 3 dc all in the same st`: one and the same for the three.
            if place.target == Target::Same && self.all_in_the_same(clause, items) {
                place.target = Target::Next;
            }
            // `BPsc around next st`: the stitch's own name says which side of the post.
            let post = clause
                .hold
                .filter(|hold| matches!(hold, Into::FrontPost | Into::BackPost));
            let hold = post.or(place.hold).or(clause.hold);
            let count = clause.count.unwrap_or(1);
            let several = match place.over {
                Over::Count(k) => k > 1 && k == count && !place.each,
                _ => false,
            };
            let mut act_place = place;
            let mut each = count.saturating_mul(in_one);
            let mut form = stitch;
            let mut bare = Bare::No;
            if several {
                each = in_one;
            }
            // `12 sc in back loops of R3`, `3 sc on the chain` between two legs: along them.
            if let (Target::Earlier(number), Over::Count(1) | Over::Rest) =
                (place.target, place.over)
                && !place.each
                && count > 1
            {
                let act = Act::IntoRound {
                    number,
                    hold: place.hold,
                };
                items.push(Instruction { act, span });
                let act = work(in_one, Over::Count(count), Target::Next, None, Bare::No);
                items.push(Instruction { act, span });
                continue;
            }
            // `sc in each front loop of Rnd 3`, where a piece begins: all along them.
            if let (Target::Earlier(number), Over::Rest, true) =
                (place.target, place.over, self.first_round)
            {
                let act = Act::IntoRound {
                    number,
                    hold: place.hold,
                };
                items.push(Instruction { act, span });
                let act = work(each, Over::Rest, Target::Next, None, Bare::No);
                items.push(Instruction { act, span });
                continue;
            }
            let along_gap = place.bare_chain && (place.along || items.iter().any(goes_into_a_part));
            if along_gap && place.over == Over::Count(1) {
                act_place.over = Over::Count(count);
                each = in_one;
            }
            // Into stitches one after another, a number may be of each or of all.
            if count > 1 && in_one == 1 && feet == 1 && place.target == Target::Next {
                match place.over {
                    Over::Count(_) if several => bare = Bare::Same(count),
                    Over::Rest => bare = Bare::Same(1),
                    _ => {}
                }
                self.doubts.same |= bare != Bare::No;
            }
            // `1 sc, 2 sc in same st`
            let after_one = matches!(items.last(), Some(Instruction { act: Act::Work(before), .. })
                if before.target == Target::Next && before.stitch == stitch && before.each == 1);
            if count > 1
                && in_one == 1
                && feet == 1
                && place.target == Target::Same
                && place.over == Over::Count(1)
                && after_one
            {
                bare = Bare::InOne;
                self.doubts.in_one = true;
            }
            // `dc5tog in next st`: all of them in one.
            let in_one_place = place.over == Over::Count(1)
                && !place.each
                && feet > 2
                && !clause.number_after
                && stitch.height > Some(Height::Single)
                && matches!(place.target, Target::Next | Target::Same | Target::Space(_));
            if in_one_place {
                form.form = Form::Bobble(feet as u8);
                each = 1;
                act_place.over = Over::Count(count);
            } else if feet > 1
                || stitch.height.is_none() && matches!(stitch.form, Form::Together(_))
            {
                // `sc2tog over next 2 sts`: the places are those it draws together.
                act_place.over = match place.over {
                    Over::Count(k) if count == 1 && k > feet && k <= 12 && clause.number_after => {
                        Over::Count(1)
                    }
                    Over::Count(k) if k >= feet && k % feet == 0 => Over::Count(k / feet),
                    Over::Count(k) if (2..=12).contains(&k) => {
                        form = form.together(k);
                        Over::Count(1)
                    }
                    Over::Count(_) => Over::Count(count),
                    over => over,
                };
                each = 1;
            }
            if around_list {
                bare = Bare::List;
                self.doubts.around = true;
            }
            if let Some(n) = place.every {
                let each = if feet > 1 { in_one } else { each };
                self.push_every(n, stitch, each, hold, span, items);
                continue;
            }
            // Into one place together: a number of stitches in a ring or a space.
            let act = Act::Work(Work {
                stitch: form,
                each,
                over: act_place.over,
                target: place.target,
                hold,
                through: through.clone(),
                bare,
            });
            items.push(Instruction { act, span });
        }
    }
}

/// True for a number of stitches, with nothing else said of them.
fn is_plain(clause: &Clause, stitch: StitchWord) -> bool {
    stitch.form == Form::Plain
        && clause.in_one <= 1
        && clause.places.is_empty()
        && clause.part.is_none()
        && clause.through.is_none()
        && clause.hold.is_none()
        && !clause.number_after
}

/// `sc through both layers, 6 sc`: the number of those that close the piece. False where the stitches before are others.
fn says_how_many(
    clause: &Clause,
    stitch: StitchWord,
    span: Span,
    items: &mut [Instruction],
) -> bool {
    let (
        Some(n),
        Some(Instruction {
            act: Act::Work(work),
            span: before,
        }),
    ) = (clause.count, items.last_mut())
    else {
        return false;
    };
    let through_itself = work
        .through
        .as_ref()
        .is_some_and(|t| t.part.is_none() && t.layers > 1);
    let same = work.stitch == stitch && work.each == 1 && work.over == Over::Rest;
    if through_itself && same {
        work.over = Over::Count(n);
        *before = before.to(span);
    }
    through_itself && same
}

/// How many places are left of those that are told, when the first has been worked into; `None` where none is.
fn all_but_one(over: Over) -> Option<Over> {
    match over {
        Over::Rest => Some(Over::Rest),
        Over::Count(n) if n > 1 => Some(Over::Count(n - 1)),
        _ => None,
    }
}

/// The first stitch into the chain that is told from the hook, the others along it.
fn push_from_hook(
    clause: &Clause,
    stitch: StitchWord,
    each: u32,
    first: Target,
    along: (Target, Over),
    span: Span,
    items: &mut Vec<Instruction>,
) {
    for (target, over) in [(first, Over::Count(1)), along] {
        items.push(Instruction {
            act: Act::Work(Work {
                stitch,
                each,
                over,
                target,
                hold: clause.hold,
                through: None,
                bare: Bare::No,
            }),
            span,
        });
    }
}

fn goes_into_a_part(item: &Instruction) -> bool {
    matches!(&item.act, Act::Work(work) if work.target == Target::Part)
}

/// `3 crossed dc`: pairs of stitches, the first past one stitch, the second back into it.
fn push_crossed(clause: &Clause, stitch: StitchWord, span: Span, items: &mut Vec<Instruction>) {
    let work = |target| {
        Act::Work(Work {
            stitch,
            each: 1,
            over: Over::Count(1),
            target,
            hold: clause.hold,
            through: None,
            bare: Bare::No,
        })
    };
    let skip = Act::Skip {
        over: Over::Count(1),
        target: Target::Next,
    };
    let acts = [skip, work(Target::Next), work(Target::JustSkipped)];
    let around = clause.places.iter().any(|place| place.over == Over::Rest);
    items.push(Instruction {
        act: Act::Repeat(Repeat {
            items: acts.map(|act| Instruction { act, span }).to_vec(),
            times: if around {
                Times::Around
            } else {
                Times::Exactly(clause.count.unwrap_or(1))
            },
            last_stops_after: None,
        }),
        span,
    });
}

/// Stitches in numbers, after what only prepares the round.
fn is_plain_list(items: &[Instruction]) -> bool {
    let list = &items[start_of_repeat(items)..];
    let plain = |item: &Instruction| match &item.act {
        Act::Work(work) => {
            matches!(work.over, Over::Count(_))
                && work.target == Target::Next
                && work.through.is_none()
        }
        _ => false,
    };
    !list.is_empty() && list.iter().all(plain)
}

/// True for a number and a place with nothing else.
fn counts_into_place(clause: &Clause) -> bool {
    clause.count.is_some()
        && clause.unknown.is_empty()
        && matches!(&clause.places[..], [place] if place.named
            && matches!(place.target, Target::Next | Target::First | Target::Last))
}

/// The plain stitch that was worked last in a list.
fn last_stitch(items: &[Instruction]) -> Option<StitchWord> {
    let worked = items.iter().rev().find(|item| item.act.is_worked());
    match worked.map(|item| &item.act) {
        Some(Act::Work(work)) if work.stitch.height > Some(Height::Slip) && !work.stitch.picot => {
            Some(StitchWord {
                form: Form::Plain,
                ..work.stitch
            })
        }
        _ => None,
    }
}
