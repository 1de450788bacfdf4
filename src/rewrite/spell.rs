//! Instructions in words, in the one form that each has.

use std::collections::BTreeSet;

use super::own::{Own, OwnStitches};
use super::places::{Around, ordinal_word, place};
use super::settled::each_work;
use super::style::{Number, Style};
use super::used::{Used, base, skip};
use crate::fabric::{Join, PartSide, Piece, Role};
use crate::pattern::{
    Act, Border, Evenly, Group, Instruction, Over, Repeat, StepKind, StitchWord, Surface, Target,
    Through, Times, Work,
};
use crate::source::{Source, Span};
use crate::terms::{Form, Height, Into, Stitch, Terms};

/// Writes the instructions of one round.
pub(super) struct Speller<'a> {
    pub source: &'a Source,
    pub style: Style,
    pub terms: Terms,
    /// The piece as worked, for what the words leave open.
    pub piece: &'a Piece,
    /// Its rounds of this line.
    pub rounds: &'a [usize],
    /// Letters of the yarns, by every name that they go by.
    pub yarn: &'a dyn Fn(&str) -> String,
    /// How many of a part are made.
    pub copies: &'a dyn Fn(usize) -> u32,
    /// The pattern's own stitches.
    pub own: &'a OwnStitches<'a>,
    pub is_row: bool,
    /// The height that `inc` and `dec` take in this round, if they may stand alone.
    pub bare: Option<Height>,
    /// `2 dc in next st` stands in this round, so plain stitches say their places too: `dc in next 2 sts`.
    pub names_places: bool,
    /// What has been used so far, for the list of abbreviations.
    pub used: &'a mut BTreeSet<Used>,
    /// Something has been worked in the round.
    pub worked: bool,
    /// The first place of the round below has been worked into.
    pub goes_on: bool,
    /// Brackets that are open.
    pub depth: usize,
    /// Brackets that are open of groups that go into one place.
    pub groups: usize,
    /// The last place named was a chain space.
    pub on_space: bool,
    /// The round goes along the edge of rows, so that its spaces are corners.
    pub on_edge: bool,
    /// What goes into each corner comes next: the number of all stitches is the total's.
    pub corners_follow: bool,
    /// The round goes along its starting chain.
    pub on_chain: bool,
    /// Chains last made.
    pub chains: u32,
}

/// One thing in words, and whether it hangs on what stands before it without a comma.
pub(super) struct Words {
    pub text: String,
    pub glued: bool,
}

/// Parted by commas.
pub(super) fn joined(list: &[Words]) -> String {
    let mut joined = String::new();
    for words in list {
        if !joined.is_empty() {
            joined += if words.glued { " " } else { ", " };
        }
        joined += &words.text;
    }
    joined
}

impl Speller<'_> {
    /// The list in words; `None` if something in it has no form of ours.
    pub fn list(&mut self, items: &[Instruction]) -> Option<Vec<Words>> {
        let mut list = Vec::new();
        let mut at = 0;
        while at < items.len() {
            let (text, taken) = self.next(&items[at..])?;
            let glued = matches!(items[at].act, Act::StartCounts { .. });
            list.push(Words { text, glued });
            at += taken;
        }
        Some(list)
    }

    /// The first of some instructions in words, and how many of them that says.
    pub fn next(&mut self, items: &[Instruction]) -> Option<(String, usize)> {
        if let Some(joins) = self.joined_yarn(items) {
            return Some(joins);
        }
        let item = items.first()?;
        let behind = items.get(1).map(|item| &item.act);
        self.corners_follow = behind.is_some_and(Act::goes_into_corners);
        let words = match &item.act {
            Act::Work(work) => match self.own.single(work, item.span) {
                Some((own, each)) => self.own_single(work, own, each)?,
                None => self.work(work)?,
            },
            Act::Together(group) => self.together(group)?,
            Act::Repeat(repeat) => match self.own.whole(item) {
                Some((own, times)) => self.own_list(&repeat.items, own, times)?,
                None => self.repeat(repeat)?,
            },
            Act::Evenly(evenly) => self.evenly(evenly)?,
            Act::Skip { over, target } => self.skip(*over, *target)?,
            // Where nothing says what a piece goes on from, nothing has to.
            Act::IntoRound { hold: None, .. }
                if !self.worked
                    && items.len() > 1
                    && !self.source.slice(item.span).contains("loop") =>
            {
                let (words, taken) = self.next(&items[1..])?;
                return Some((words, taken + 1));
            }
            Act::IntoRound { number, hold } => self.loops_of_round(*number, *hold)?,
            Act::MagicRing => "magic ring".to_owned(),
            Act::Close => self.close(),
            Act::Turn => "turn".to_owned(),
            Act::Hold(hold) => format!("in {}", self.loops(*hold)?),
            Act::Yarn(name) => {
                let letter = (self.yarn)(&name.value);
                if self.worked && self.depth == 0 {
                    self.used.insert(Used::St);
                    format!("change to {letter} in the last st")
                } else {
                    format!("with {letter}")
                }
            }
            Act::YarnFrom { yarn, round } => {
                let from = self.style.rounds(self.is_row, &[(*round, *round)]);
                format!("with {} from {from}", (self.yarn)(&yarn.value))
            }
            Act::Surface(surface) => self.surface(surface),
            Act::Step(_) | Act::GoOn { .. } | Act::AsPiece { .. } => self.as_it_stands(item.span),
            Act::OtherSide => "on the other side of the chain".to_owned(),
            Act::NewStart => "new start of the round".to_owned(),
            Act::LeaveRest => "leave the rest unworked".to_owned(),
            Act::StartCounts { counts, bridge } => self.start_counts(*counts, *bridge),
            Act::AsRounds { first, last } => {
                format!("as {}", self.style.rounds(self.is_row, &[(*first, *last)]))
            }
            _ => return None,
        };
        self.worked |= item.act.is_worked();
        self.goes_on |= match &item.act {
            Act::Work(work) => work.stitch.height != Some(Height::Chain),
            Act::StartCounts { counts, .. } => *counts,
            act => act.is_worked(),
        };
        Some((words, 1))
    }

    /// Words of the pattern, on one line and without emphasis.
    pub fn as_it_stands(&self, span: Span) -> String {
        plain(self.source.slice(span))
    }

    // ---- stitches ----

    fn work(&mut self, work: &Work) -> Option<String> {
        let height = work.stitch.height?;
        let mut words = if work.stitch.picot {
            self.used.insert(Used::Picot(work.each));
            let name = if work.each == 3 {
                "picot".to_owned()
            } else {
                format!("ch-{} picot", work.each)
            };
            self.counted(&name, work.over)?
        } else if height == Height::Chain {
            self.used.insert(Used::Height(Height::Chain));
            self.chains = work.each;
            format!("ch {}", work.each)
        } else if let (Target::Part, Some(part)) = (work.target, &work.through) {
            return self.around_part(work, height, part);
        } else {
            self.stitches(work, height)?
        };
        if let Some(through) = &work.through {
            words += " ";
            words += &self.through(through)?;
        }
        Some(words)
    }

    fn stitches(&mut self, work: &Work, height: Height) -> Option<String> {
        if let Target::Border(part) = work.target {
            return self.along_edge(work, height, part);
        }
        // A spike goes into the round under the one below by its name.
        if work.stitch.form == Form::Spike && work.target == Target::Deeper(1) {
            let work = Work {
                target: Target::Next,
                ..work.clone()
            };
            return self.stitches(&work, height);
        }
        let is_post = matches!(work.hold, Some(Into::FrontPost | Into::BackPost));
        if is_change(work, self.groups > 0) && self.bare == Some(height) {
            return self.change(work);
        }
        let name = self.name(work.stitch, height, work.hold);
        let fixed = self.groups > 0;
        let feet = Stitch {
            height,
            form: work.stitch.form,
        }
        .feet();
        let plain_next = work.target == Target::Next && !is_post;
        let words = match work.over {
            Over::Count(n) if plain_next && fixed => {
                self.counted(&name, Over::Count(n * work.each))?
            }
            Over::Count(_) if work.stitch.foundation => self.counted(&name, work.over)?,
            // Its name says that it goes into the round below the last.
            Over::Count(_)
                if work.stitch.form == Form::Spike && work.target == Target::Deeper(1) =>
            {
                self.counted(&name, work.over)?
            }
            Over::Count(_)
                if plain_next
                    && work.each == 1
                    && !(self.names_places && work.through.is_none()) =>
            {
                self.counted(&name, work.over)?
            }
            Over::Rest if work.target == Target::Next && feet > 1 && !is_post => {
                self.used.insert(Used::St);
                format!("{name} {}", if self.is_row { "across" } else { "around" })
            }
            over => self.placed(&name, work, over, feet, is_post)?,
        };
        Some(self.with_hold(words, work.hold, is_post))
    }

    /// `10 sc along the side`, `2 sc in each row end`
    fn along_edge(&mut self, work: &Work, height: Height, part: Border) -> Option<String> {
        self.on_edge = true;
        let name = self.name(work.stitch, height, None);
        let each = match work.each {
            1 => name.clone(),
            each => format!("{each} {name}"),
        };
        let place = match part {
            Border::RowEnds => {
                return Some(match (work.over, work.each) {
                    (Over::Rest, _) => format!("{each} in each row end"),
                    (Over::Count(1), _) => format!("{each} in next row end"),
                    (Over::Count(n), 1) => format!("{each} in next {n} row ends"),
                    (Over::Count(n), _) => format!("{each} in each of next {n} row ends"),
                    _ => return None,
                });
            }
            Border::Side => "along the side",
            Border::Bottom => "along the bottom",
            Border::Top => "along the top",
            Border::All => "evenly around the edge",
        };
        Some(match work.over {
            _ if work.each != 1 => return None,
            _ if self.corners_follow => format!("{name} {place}"),
            // Without a number it is as many as the side has.
            Over::Count(1) => format!("1 {name} {place}"),
            Over::Count(_) => format!("{} {place}", self.counted(&name, work.over)?),
            Over::Rest => format!("{name} {place}"),
            _ => return None,
        })
    }

    /// `bo`, `bo x 3`, `shell in next ch-2 sp`: a stitch that the pattern defines.
    fn own_single(&mut self, work: &Work, own: Own<'_>, each: u32) -> Option<String> {
        self.used.insert(Used::Own(own.place));
        // Its definition names the stitch.
        self.used.extend(work.stitch.height.map(Used::Height));
        let is_plain = work.target == Target::Next && each == 1 && work.through.is_none();
        let words = match work.over {
            Over::Count(1) if is_plain => own.name.to_owned(),
            Over::Count(n) if is_plain => format!("{} {}", own.name, self.style.times(n)),
            over => {
                let work = Work {
                    each,
                    ..work.clone()
                };
                self.placed(own.name, &work, over, 1, false)?
            }
        };
        let mut words = self.with_hold(words, work.hold, false);
        if let Some(through) = &work.through {
            words += " ";
            words += &self.through(through)?;
        }
        Some(words)
    }

    /// `mini picot`, `V-st in next st`: a list that the pattern has a name for.
    fn own_list(&mut self, items: &[Instruction], own: Own<'_>, times: u32) -> Option<String> {
        self.used.insert(Used::Own(own.place));
        let used = &mut self.used;
        each_work(items, &mut |work| {
            used.extend(work.stitch.height.map(Used::Height));
        });
        let mut words = own.name.to_owned();
        if let [
            Instruction {
                act: Act::Together(group),
                ..
            },
        ] = items
        {
            words += " in ";
            words += &self.place(group.over, group.target, true)?;
            words = self.with_hold(words, group.hold, false);
        }
        if times > 1 {
            self.used.insert(Used::Brackets);
            words = format!(
                "{} {}",
                self.style.bracketed(&words),
                self.style.times(times)
            );
        }
        Some(words)
    }

    /// `2 hdc in each of next 3 sts`, `sc in 2nd ch from hook`, `FPdc around next st`.
    fn placed(
        &mut self,
        name: &str,
        work: &Work,
        over: Over,
        feet: u32,
        is_post: bool,
    ) -> Option<String> {
        let over = match over {
            Over::Count(n) => Over::Count(n * feet),
            over => over,
        };
        let place = self.place_or_post(over, work.target, work.each > 1 || is_post, is_post)?;
        let preposition = if is_post { "around" } else { "in" };
        let number = if work.each > 1 {
            format!("{} ", work.each)
        } else {
            String::new()
        };
        // Into a ring or one chain, the number goes the way of all numbers.
        let is_one = matches!(
            work.target,
            Target::Ring | Target::NewRing | Target::FromHook(_)
        );
        if is_one && work.each > 1 && self.style.number == Number::After {
            return Some(format!("{name} {} {preposition} {place}", work.each));
        }
        Some(format!("{number}{name} {preposition} {place}"))
    }

    /// `inc`, `dec x 6`, `inc in each st around`.
    fn change(&mut self, work: &Work) -> Option<String> {
        let increases = work.stitch.form == Form::Plain;
        let invisible = !increases && work.hold == Some(Into::FrontLoop);
        let (name, used) = match (increases, invisible) {
            (true, _) => ("inc", Used::Inc),
            (false, false) => ("dec", Used::Dec),
            (false, true) => ("invdec", Used::Invdec),
        };
        self.used.insert(used);
        let hold = work.hold.filter(|_| !invisible);
        let words = match (work.over, work.target) {
            (Over::Count(1), Target::Next) => name.to_owned(),
            (Over::Count(n), Target::Next) if hold.is_none() => {
                format!("{name} {}", self.style.times(n))
            }
            (Over::Rest, Target::Next) if !increases => {
                format!("{name} {}", if self.is_row { "across" } else { "around" })
            }
            (Over::Count(n), target) if !increases => {
                format!(
                    "{name} over {}",
                    self.place(Over::Count(2 * n), target, false)?
                )
            }
            (over, target) => format!("{name} in {}", self.place(over, target, true)?),
        };
        Some(self.with_hold(words, hold, false))
    }

    /// `inc 6 evenly around`, `hdc2tog 3 evenly across`.
    fn evenly(&mut self, evenly: &Evenly) -> Option<String> {
        let height = evenly.stitch.height?;
        let mut hold = evenly.hold;
        if matches!(hold, Some(Into::FrontPost | Into::BackPost)) {
            return None;
        }
        let is_bare = self.bare == Some(height);
        let name = match (evenly.stitch.form, evenly.each) {
            (Form::Plain, 2) if is_bare => {
                self.used.insert(Used::Inc);
                "inc".to_owned()
            }
            (Form::Plain, each) => self.increase(height, each),
            (Form::Together(2), 1) if is_bare && hold == Some(Into::FrontLoop) => {
                self.used.insert(Used::Invdec);
                hold = None;
                "invdec".to_owned()
            }
            (Form::Together(2), 1) if is_bare => {
                self.used.insert(Used::Dec);
                "dec".to_owned()
            }
            (Form::Together(_), 1) => self.name(evenly.stitch, height, None),
            _ => return None,
        };
        let around = if self.is_row { "across" } else { "around" };
        let words = format!("{name} {} evenly {around}", evenly.times);
        Some(self.with_hold(words, hold, false))
    }

    /// `hdc-inc`, `sc-inc3`: an increase that names its stitch.
    fn increase(&mut self, height: Height, each: u32) -> String {
        self.used.insert(Used::Inc);
        let name = self.name(StitchWord::plain(height), height, None);
        match each {
            2 => format!("{name}-inc"),
            n => format!("{name}-inc{n}"),
        }
    }

    /// `12 sc around the first leg`, `sc in each st of the second leg`.
    fn around_part(&mut self, work: &Work, height: Height, part: &Through) -> Option<String> {
        if !matches!(work.stitch.form, Form::Plain | Form::Extended) {
            return None;
        }
        let name = match work.each {
            1 => self.name(work.stitch, height, None),
            each => self.increase(height, each),
        };
        if let Some(border) = part.border {
            let on_edge = self.on_edge;
            let along = self.along_edge(work, height, border)?;
            self.on_edge = on_edge;
            return Some(format!("{along} of {}", self.part_named(part)?));
        }
        let part = self.part_named(part)?;
        let words = match work.over {
            Over::Count(n) if n > 1 && work.each == 1 => {
                format!("{} around {part}", self.counted(&name, Over::Count(n))?)
            }
            Over::ToLast(_) | Over::ToCorner => return None,
            Over::Rest => {
                self.used.insert(Used::St);
                format!("{name} in each st of {part}")
            }
            over => format!(
                "{name} in {} of {part}",
                self.place(over, Target::Next, false)?
            ),
        };
        Some(self.with_hold(words, work.hold, false))
    }

    fn with_hold(&mut self, words: String, hold: Option<Into>, is_post: bool) -> String {
        match hold.filter(|_| !is_post) {
            Some(Into::Stitch) => words + " in both loops",
            hold => match hold.and_then(|hold| self.loops(Some(hold))) {
                Some(loops) => format!("{words} in {loops}"),
                None => words,
            },
        }
    }

    /// `6 sc`, `sc 6`, `bobble x 3`; one stitch has no number.
    fn counted(&mut self, name: &str, over: Over) -> Option<String> {
        let Over::Count(n) = over else {
            return None;
        };
        let is_word = name.contains("tog") || name.ends_with("picot") || is_gathered(name);
        Some(match (n, self.style.number) {
            (1, _) => name.to_owned(),
            (n, _) if is_word => format!("{name} {}", self.style.times(n)),
            (n, Number::Before) => format!("{n} {name}"),
            (n, Number::After) => format!("{name} {n}"),
        })
    }

    fn name(&mut self, stitch: StitchWord, height: Height, hold: Option<Into>) -> String {
        let kind = Stitch {
            height,
            form: stitch.form,
        };
        let short = base(height, self.terms);
        self.used.insert(match stitch.form {
            Form::Plain if !stitch.foundation => Used::Height(height),
            Form::Plain => Used::Foundation(height),
            form => Used::Form(height, form),
        });
        let post = match hold {
            Some(Into::FrontPost) => Some("FP"),
            Some(Into::BackPost) => Some("BP"),
            _ => None,
        };
        if let Some(post) = post {
            self.used.insert(if post == "FP" {
                Used::FrontPost
            } else {
                Used::BackPost
            });
            return format!("{post}{}", kind.abbreviation(self.terms));
        }
        match stitch.form {
            Form::Plain if stitch.foundation => format!("f{short}"),
            Form::Bobble(5) | Form::Popcorn(5) if height == Height::Double => {
                kind.abbreviation(self.terms)
            }
            Form::Puff(3) if height == Height::HalfDouble => kind.abbreviation(self.terms),
            Form::Bobble(n) | Form::Popcorn(n) | Form::Puff(n) => {
                format!("{n}-{short} {}", kind.abbreviation(self.terms))
            }
            _ => kind.abbreviation(self.terms),
        }
    }

    fn place(&mut self, over: Over, target: Target, several: bool) -> Option<String> {
        self.place_or_post(over, target, several, false)
    }

    fn place_or_post(
        &mut self,
        over: Over,
        target: Target,
        several: bool,
        is_post: bool,
    ) -> Option<String> {
        let around = Around {
            is_row: self.is_row,
            goes_on: self.goes_on && !is_post,
            on_chain: self.on_chain,
            on_space: self.on_space,
            several,
        };
        if self.on_edge && target == Target::Corner && over == Over::Count(1) {
            return Some("corner".to_owned());
        }
        self.used.insert(Used::St);
        match target {
            Target::Space(_) | Target::StitchOrSpace => {
                self.used.insert(Used::Sp);
                self.on_space = true;
            }
            Target::Same => {}
            _ => self.on_space = false,
        }
        place(over, target, around)
    }

    fn loops(&mut self, hold: Option<Into>) -> Option<&'static str> {
        Some(match hold {
            None => "both loops",
            Some(Into::BackLoop) => {
                self.used.insert(Used::Blo);
                "BLO"
            }
            Some(Into::FrontLoop) => {
                self.used.insert(Used::Flo);
                "FLO"
            }
            Some(_) => return None,
        })
    }

    // ---- lists ----

    fn together(&mut self, group: &Group) -> Option<String> {
        self.groups += 1;
        self.depth += 1;
        let list = self.list(&group.items);
        self.groups -= 1;
        self.depth -= 1;
        let inner = joined(&list?);
        let mut place = self.place(group.over, group.target, true)?;
        if let Some(hold) = group.hold {
            place = format!("{} of {place}", self.loops(Some(hold))?);
        }
        Some(format!("{} in {place}", self.style.bracketed(&inner)))
    }

    fn repeat(&mut self, repeat: &Repeat) -> Option<String> {
        if repeat.last_stops_after.is_some() {
            return None;
        }
        self.depth += 1;
        let list = self.list(&repeat.items);
        self.depth -= 1;
        let list = self.style.bracketed(&joined(&list?));
        Some(match repeat.times {
            Times::Exactly(n) | Times::Loose(n) => {
                self.used.insert(Used::Brackets);
                format!("{list} {}", self.style.times(n))
            }
            Times::Around if self.is_row => format!("{list} across"),
            Times::Around => format!("{list} around"),
            Times::ToLast(1) => format!("{list} to last st"),
            Times::ToLast(n) => format!("{list} to last {n} sts"),
            Times::Unsure(_) | Times::OrTotal(_) | Times::Total(_) => return None,
        })
    }

    fn skip(&mut self, over: Over, target: Target) -> Option<String> {
        let skip = skip(self.terms);
        let place = match over {
            Over::Rest => "all remaining sts".to_owned(),
            over => self.place(over, target, false)?,
        };
        Some(format!("{skip} {place}"))
    }

    fn loops_of_round(&mut self, number: u32, hold: Option<Into>) -> Option<String> {
        let loops = match hold {
            Some(Into::FrontLoop) => "front loops",
            Some(Into::BackLoop) => "back loops",
            None => "free loops",
            Some(_) => return None,
        };
        let round = self.style.rounds(self.is_row, &[(number, number)]);
        Some(format!("in the {loops} of {round}"))
    }

    // ---- starts and ends ----

    /// `join B with sl st in any ch-1 sp`, or `join in any ch-1 sp` with the yarn in use.
    fn joined_yarn(&mut self, items: &[Instruction]) -> Option<(String, usize)> {
        let join = |item: &Instruction| item.act == Act::Step(StepKind::JoinYarn);
        let (mut words, mut taken) = match items {
            [
                Instruction {
                    act: Act::Yarn(name),
                    ..
                },
                step,
                ..,
            ] if join(step) => (format!("join {}", (self.yarn)(&name.value)), 2),
            [step, ..] if join(step) => ("join yarn".to_owned(), 1),
            [
                Instruction {
                    act: Act::StartAt(Target::Space(_)),
                    ..
                },
                ..,
            ] => ("join".to_owned(), 0),
            _ => return None,
        };
        if let Some(Instruction {
            act: Act::StartAt(target),
            ..
        }) = items.get(taken)
        {
            let place = self.place(Over::Count(1), *target, false)?;
            if *target == Target::Skipped {
                return Some((format!("{words} in {place}"), taken + 1));
            }
            let place = match place.strip_prefix("next ") {
                Some(rest) if !self.worked => format!("any {rest}"),
                _ => place,
            };
            if taken == 0 {
                return Some((format!("{words} in {place}"), 1));
            }
            self.used.insert(Used::Height(Height::Slip));
            words += &format!(" with {} in {place}", base(Height::Slip, self.terms));
            taken += 1;
        }
        Some((words, taken))
    }

    /// `join with sl st to first sc`, by the stitch that the round begins with.
    fn close(&mut self) -> String {
        self.used.insert(Used::Height(Height::Slip));
        let slip = base(Height::Slip, self.terms);
        let place = self.first_stitch();
        format!("join with {slip} to {place}")
    }

    fn first_stitch(&mut self) -> String {
        let Some(round) = self
            .rounds
            .first()
            .and_then(|&at| self.piece.rounds.get(at))
        else {
            return "first st".to_owned();
        };
        let mut stitches = self.piece.round_stitches(round).map(|(_, stitch)| stitch);
        let Some(first) = stitches.find(|s| matches!(s.role, Role::Head | Role::Foundation)) else {
            return "first st".to_owned();
        };
        let stands = self
            .piece
            .round_stitches(round)
            .filter(|(_, stitch)| stitch.role == Role::Stand)
            .count();
        match (first.role, first.kind.height, first.kind.form) {
            (Role::Foundation, ..) => "first ch".to_owned(),
            (_, Height::Chain, _) => format!("top of ch-{}", stands + 1),
            (_, height, Form::Plain) => format!("first {}", base(height, self.terms)),
            _ => "first st".to_owned(),
        }
    }

    /// `(counts as dc)`, after the chain that it is about.
    fn start_counts(&mut self, counts: bool, bridge: u32) -> String {
        if !counts {
            self.used.insert(Used::St);
            return "(does not count as a st)".to_owned();
        }
        let chains = self.chains.saturating_sub(bridge);
        let height = Height::ALL
            .into_iter()
            .find(|h| *h > Height::Slip && h.turning_chains() == chains);
        let stands_for = height.map_or("a st".to_owned(), |height| base(height, self.terms));
        if bridge > 0 {
            format!("(counts as {stands_for}, ch {bridge})")
        } else {
            format!("(counts as {stands_for})")
        }
    }

    /// `surface sl st around Rnd 4 with B`
    fn surface(&mut self, surface: &Surface) -> String {
        self.used.insert(Used::Height(Height::Slip));
        let mut words = format!("surface {}", base(Height::Slip, self.terms));
        if let Some((first, last)) = surface.rounds {
            let rounds = self.style.rounds(self.is_row, &[(first, last)]);
            let place = if first == last { "around" } else { "between" };
            words += &format!(" {place} {rounds}");
        }
        if let Some(yarn) = &surface.yarn {
            words += &format!(" with {}", (self.yarn)(&yarn.value));
        }
        words
    }

    // ---- parts ----

    /// The joins of this round that some words ask for.
    fn joins(&self, words: Span) -> Vec<&Join> {
        let Some(&round) = self.rounds.first() else {
            return Vec::new();
        };
        let joins = &self.piece.joins;
        let first = joins.partition_point(|join| (join.round as usize) < round);
        joins[first..]
            .iter()
            .take_while(|join| join.round as usize == round)
            .filter(|join| join.span == words)
            .collect()
    }

    /// True if the stitches of a join go into another copy of the part as well.
    fn joins_another_too(&self, join: &Join) -> bool {
        let first = |join: &Join| join.stitches.first().map(|(id, _)| *id);
        self.piece.joins.iter().any(|other| {
            (other.part, other.round) == (join.part, join.round)
                && other.copy != join.copy
                && first(other) == first(join)
        })
    }

    /// `through both layers of the first wing`.
    fn through(&mut self, through: &Through) -> Option<String> {
        let joins = self.joins(through.span);
        // Two copies that are laid to each other.
        if let (Some(part), Some(join)) = (&through.part, joins.first())
            && self.joins_another_too(join)
        {
            return Some(format!("through both layers of the {}", plain(&part.value)));
        }
        let layers = match joins.first() {
            Some(join) => join.layers,
            None => through.layers,
        };
        let layers = match layers {
            1 => "through one layer".to_owned(),
            2 => "through both layers".to_owned(),
            n if n > 2 => format!("through {n} layers"),
            _ => return None,
        };
        let side = match joins.first().map(|join| join.side) {
            Some(PartSide::Inside) => " on the inside",
            // Seen from outside it lies in front, where nothing is said.
            Some(PartSide::Outside) | None => "",
        };
        Some(match self.part_named(through) {
            Some(part) => format!("{layers} of {part}{side}"),
            None => format!("{layers}{side}"),
        })
    }

    /// `the first wing`; `None` if the words name no part.
    fn part_named(&self, through: &Through) -> Option<String> {
        let part = through.part.as_ref()?;
        let copy = match self.joins(through.span).as_slice() {
            [join] if self.rounds.len() == 1 && (self.copies)(join.part) > 1 => Some(join.copy),
            _ => through.copy,
        };
        let name = plain(&part.value);
        Some(match copy {
            Some(copy) => format!("the {} {name}", ordinal_word(copy)),
            None => format!("the {name}"),
        })
    }
}

/// Gathered stitches, whose names are words.
fn is_gathered(name: &str) -> bool {
    name.ends_with("bobble") || name.ends_with("pc") || name.ends_with("puff")
}

/// On one line, with single spaces, without the marks of bold and italics.
pub(super) fn plain(words: &str) -> String {
    let words = words.replace("**", "").replace("__", "");
    words.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// True if these stitches may be called `inc` or `dec`. That is for single crochet: taller ones are named.
fn is_change(work: &Work, in_group: bool) -> bool {
    let is_post = matches!(work.hold, Some(Into::FrontPost | Into::BackPost));
    if work.stitch.height != Some(Height::Single) {
        return false;
    }
    match (work.each, work.stitch.form) {
        (2, Form::Plain) => {
            work.target == Target::Next && !is_post && !in_group && !work.stitch.foundation
        }
        (1, Form::Together(2)) => !is_post,
        _ => false,
    }
}

/// The height that a bare `inc` or `dec` takes in a round, given that of the rounds before; `None` if each has to name its own.
pub(super) fn bare_height(items: &[Instruction], before: Height) -> Option<Height> {
    let (mut changed, mut plain) = (BTreeSet::new(), BTreeSet::new());
    heights(items, false, &mut changed, &mut plain);
    let mut all = changed.union(&plain);
    if let (Some(&only), None) = (all.next(), all.next()) {
        return (!plain.is_empty() || only == before).then_some(only);
    }
    // Where the heights that are named differ, the rounds before decide.
    let named = plain.iter().chain(changed.iter().filter(|h| **h != before));
    (named.collect::<BTreeSet<_>>().len() > 1).then_some(before)
}

fn heights(
    items: &[Instruction],
    in_group: bool,
    changed: &mut BTreeSet<Height>,
    plain: &mut BTreeSet<Height>,
) {
    for item in items {
        match &item.act {
            Act::Work(work) if !work.stitch.picot => {
                let height = work.stitch.height.filter(|h| *h > Height::Slip);
                if is_change(work, in_group) {
                    changed.extend(height);
                } else {
                    plain.extend(height);
                }
            }
            Act::Evenly(evenly) => changed.extend(evenly.stitch.height),
            Act::Together(group) => heights(&group.items, true, changed, plain),
            Act::Repeat(repeat) => heights(&repeat.items, in_group, changed, plain),
            _ => {}
        }
    }
}

/// True if a number of stitches goes into one stitch or space in words, so that a bare number beside it could be misread.
pub(super) fn names_places(items: &[Instruction], bare: Option<Height>) -> bool {
    items.iter().any(|item| match &item.act {
        Act::Work(work) => {
            let is_named = is_change(work, false) && work.stitch.height == bare;
            work.each > 1
                && work.stitch.height > Some(Height::Slip)
                && !work.stitch.picot
                && !work.stitch.foundation
                && !is_named
                && matches!(work.target, Target::Next | Target::Space(_))
                && matches!(work.over, Over::Count(_))
        }
        Act::Repeat(repeat) => names_places(&repeat.items, bare),
        _ => false,
    })
}
