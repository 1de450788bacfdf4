//! Parts that are worked into a body as the rounds go.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;
use std::rc::Rc;

use super::edging::Edging;
use super::model::{Join, Piece, Role, Round, StitchId};
use super::rivals::{Rivals, resampled};
use crate::pattern::{Border, Over, Spanned, StepKind, Through};
use crate::pattern::{last_word, short_names, stem};
use crate::source::{Problem, Span, quoted};
use crate::terms::Into;

/// A piece that may be joined into a later one.
#[derive(Debug, Clone)]
pub(super) struct Part {
    name: String,
    make: u32,
    /// Which of several it is by its name: 2 for `Second leg` and `Leg 2`.
    ordinal: Option<u32>,
    /// Its open edge, in the order of work; `None` until it has been worked.
    edge: Option<Rc<Vec<StitchId>>>,
    /// The edges that it may have instead, where its rounds are wrong.
    others: Vec<Rc<Vec<StitchId>>>,
    /// Its edge may have any number of stitches, for its rounds could not be read.
    any_width: bool,
    /// The stitches that each of its rounds leaves, by its number, and the loops of them that the next round leaves free.
    rounds: Rc<Vec<FreeLoops>>,
    /// What its rounds passed over and left to be worked into, and the chains across it from below.
    left: Rc<Vec<StitchId>>,
    /// All of its edge, if it ends with rows.
    edging: Option<Edging>,
    /// It was pressed flat, or closed flat.
    flat: bool,
    /// Copies joined so far.
    used: u32,
}

/// All pieces, as parts.
#[derive(Debug, Clone, Default)]
pub(super) struct Parts {
    list: Vec<Part>,
    /// The parts by their whole names and by the last words of them, without article, number or plural.
    by_name: BTreeMap<String, Vec<usize>>,
    by_last_word: BTreeMap<String, Vec<usize>>,
    /// What has been joined, to be undone: the part, and the copies of it that were joined before.
    journal: Vec<(usize, u32)>,
    /// What has been joined of each copy by the piece that is being worked, in the order of work.
    joined: Vec<Joined>,
    /// The piece that is being worked.
    pub current: usize,
    /// Work goes into the edges that parts may have instead.
    pub work_others: bool,
    /// Some part may have another edge.
    have_others: bool,
}

/// What a round leaves open to be worked into later.
#[derive(Debug, Clone)]
struct FreeLoops {
    number: u32,
    stitches: Vec<StitchId>,
    free: Option<Into>,
    /// No round has been worked into it: all loops are free.
    is_last: bool,
}

/// A part that is joined over several rounds is looked for no further back than so many joins.
pub(super) const RECENT: usize = 256;

/// Stitches of a copy's edge that a round has joined.
#[derive(Debug, Clone)]
struct Joined {
    place: usize,
    copy: u32,
    /// Stitches of the join.
    count: usize,
    layers: u32,
    /// What is wrong with its width, unless a later join of the same copy takes the rest.
    short: Option<Problem>,
}

/// How far the joins had come.
#[derive(Clone, Copy)]
pub(super) struct PartsMark {
    journal: usize,
    joined: usize,
}

/// The edge of a part that stitches are worked into, with no stitch of the piece itself below them.
#[derive(Debug, Clone)]
pub(super) struct PartEdge {
    pub part: usize,
    pub copy: u32,
    pub name: String,
    pub edge: Rc<Vec<StitchId>>,
    /// The part of its edge that is worked along, if it is not what its last round leaves open.
    pub border: Option<Border>,
    /// It may have any number of stitches, for its rounds could not be read.
    pub any_width: bool,
    /// How many of its places are used up.
    pub at: usize,
}

impl PartEdge {
    /// No edge of any part.
    pub fn nothing() -> PartEdge {
        PartEdge {
            part: 0,
            copy: 0,
            name: String::new(),
            edge: Rc::default(),
            border: None,
            any_width: true,
            at: 0,
        }
    }
}

impl Parts {
    pub fn new<'p>(pieces: impl Iterator<Item = (&'p str, u32)>) -> Parts {
        let mut parts = Parts::default();
        for (place, (name, make)) in pieces.enumerate() {
            let name = name.to_lowercase();
            let by_name = parts.by_name.entry(stem(&name)).or_default();
            by_name.push(place);
            for short in short_names(&name) {
                parts.by_last_word.entry(short).or_default().push(place);
            }
            parts.list.push(Part {
                ordinal: ordinal(&name),
                name,
                make,
                edge: None,
                others: Vec::new(),
                any_width: false,
                rounds: Rc::default(),
                left: Rc::default(),
                edging: None,
                flat: false,
                used: 0,
            });
        }
        parts
    }

    /// Notes a finished piece's open edge, and the numbers of stitches that it may have instead.
    pub fn finished(&mut self, place: usize, piece: &Piece, rivals: Rivals) {
        let part = &mut self.list[place];
        let edge = piece.rounds.last().map_or(&[][..], |round| &round.edge);
        let edge: Vec<StitchId> = edge
            .iter()
            .copied()
            .filter(|&id| piece.stitch(id).role == Role::Head)
            .collect();
        let others = rivals.counts.iter();
        part.others = others
            .map(|&count| Rc::new(resampled(&edge, count as usize)))
            .collect();
        part.any_width = rivals.any;
        self.have_others |= !part.others.is_empty();
        part.edge = Some(Rc::new(edge));
        part.rounds = Rc::new(free_loops(piece));
        part.left = Rc::new(left_open(piece));
        part.edging = Edging::of_finished(piece);
        part.flat = piece
            .steps
            .iter()
            .any(|step| step.kind == StepKind::Flatten);
    }

    /// The edge of the part that some words name, to work into on its own, where `piece` is the one that is being worked.
    /// `None` if there is none (a problem) or if it is that piece, whose own edge is below the hook already.
    pub fn edge_of(
        &mut self,
        piece: &Piece,
        through: &Through,
        span: Span,
        problems: &mut Vec<Problem>,
    ) -> Option<PartEdge> {
        if let Some(name) = &through.part
            && self.is_current(&name.value, through.copy)
        {
            return None;
        }
        let begun = self.begun(piece, through);
        let (part, copy) = self.claim(begun.as_ref().unwrap_or(through), span, problems)?;
        Some(PartEdge {
            part,
            copy,
            name: self.list[part].name.clone(),
            edge: self.worked_edge(part),
            border: through.border,
            any_width: self.list[part].any_width,
            at: 0,
        })
    }

    /// `6 sc along the bottom of the flap` after `5 sc along its side`: the copy that has been worked along, while that part of
    /// its edge is free.
    fn begun(&self, piece: &Piece, through: &Through) -> Option<Through> {
        let place = match &through.part {
            Some(name) if through.copy.is_none() => self.find(&name.value, None)?,
            _ => return None,
        };
        let recent = || piece.joins.iter().rev().take(RECENT);
        let copy = recent().find(|join| join.part == place)?.copy;
        let mut along = None;
        let mut open_is_free = true;
        for join in recent() {
            if (join.part, join.copy) == (place, copy) {
                along = along.or(join.border);
                open_is_free &= join.border.is_some();
            }
        }
        let is_free = match through.border {
            None => along.is_some() && open_is_free,
            Some(part) => self.edging_left(piece, place, copy)?.is_free(part),
        };
        is_free.then(|| Through {
            copy: Some(self.list[place].ordinal.unwrap_or(copy)),
            ..through.clone()
        })
    }

    /// All of the edge of a part's copy, at the place that the piece that is being worked has come to.
    fn edging_left(&self, piece: &Piece, part: usize, copy: u32) -> Option<Edging> {
        let mut edging = self.list.get(part)?.edging.clone()?;
        for join in &piece.joins {
            if let Some(border) = join.border
                && (join.part, join.copy) == (part, copy)
            {
                edging.pass(border, join.places());
            }
        }
        Some(edging)
    }

    /// True if a part ends with rows.
    pub fn has_rows(&self, part: usize) -> bool {
        self.list
            .get(part)
            .is_some_and(|part| part.edging.is_some())
    }

    /// The places along an edge that so many stitches go into, each into so many of them; `None` if the part has no rows.
    pub fn places_along(
        &self,
        piece: &Piece,
        edge: &PartEdge,
        over: Over,
        feet: u32,
    ) -> Option<Vec<StitchId>> {
        let mut edging = self.edging_left(piece, edge.part, edge.copy)?;
        let over = match over {
            Over::Count(n) | Over::Whole(n) => Over::Count(n.saturating_mul(feet)),
            over => over,
        };
        let places = edging.places(edge.border?, over);
        Some(places.into_iter().flat_map(|foot| foot.ids).collect())
    }

    fn worked_edge(&self, part: usize) -> Rc<Vec<StitchId>> {
        let part = &self.list[part];
        let other = part.others.first().filter(|_| self.work_others);
        other.or(part.edge.as_ref()).cloned().unwrap_or_default()
    }

    /// True if a part may have another edge than has been worked.
    pub fn have_others(&self) -> bool {
        self.have_others
    }

    /// What the piece before this one passed over: `join yarn in first skipped st`.
    pub fn left_by_the_piece_before(&self) -> Option<PartEdge> {
        let part = self.current.checked_sub(1)?;
        let edge = self.list[part].left.clone();
        (!edge.is_empty()).then(|| PartEdge {
            part,
            copy: 1,
            name: self.list[part].name.clone(),
            edge,
            border: None,
            any_width: false,
            at: 0,
        })
    }

    /// The stitches of a round of an earlier piece, for the piece that starts in their loops: of the last piece that has left
    /// those loops free, else of the last that has such a round; and whether they are free.
    pub fn loops_of_a_piece_before(
        &self,
        number: u32,
        hold: Option<Into>,
    ) -> Option<(PartEdge, bool)> {
        let round = |place: usize, number: u32, free: bool| {
            let rounds = self.list[place].rounds.iter();
            let mut named = rounds.filter(|round| round.number == number);
            named.find(|round| {
                let fits = round.free.is_some() && (hold.is_none() || round.free == hold);
                !free || round.is_last || fits
            })
        };
        let places = || (0..self.current).rev();
        let found = |number: u32, free: bool| {
            places().find_map(|place| Some((place, round(place, number, free)?)))
        };
        // `the front loops left by Rnd 37` are of the round before.
        let free = found(number, true)
            .or_else(|| found(number.checked_sub(1)?, true).filter(|_| hold.is_some()));
        let are_free = free.is_some();
        let (part, round) = free.or_else(|| found(number, false))?;
        let edge = PartEdge {
            part,
            copy: 1,
            name: self.list[part].name.clone(),
            edge: Rc::new(round.stitches.clone()),
            border: None,
            any_width: false,
            at: 0,
        };
        Some((edge, are_free))
    }

    pub fn mark(&self) -> PartsMark {
        PartsMark {
            journal: self.journal.len(),
            joined: self.joined.len(),
        }
    }

    pub fn back_to(&mut self, mark: PartsMark) {
        self.joined.truncate(mark.joined);
        while self.journal.len() > mark.journal
            && let Some((place, used)) = self.journal.pop()
        {
            self.list[place].used = used;
        }
    }

    /// The piece that some words name: the whole name, or its last word, in singular or plural, with "left" or "the"
    /// before it or not. Of several, the one whose name has the number `copy`.
    fn find(&self, words: &str, copy: Option<u32>) -> Option<usize> {
        let words = words.to_lowercase();
        let (whole, last) = (stem(&words), stem(last_word(&words)));
        let copy = copy.or_else(|| ordinal(&words));
        let candidates = [
            self.by_name.get(&whole),
            self.by_name.get(&last),
            self.by_last_word.get(&whole),
            self.by_last_word.get(&last),
        ];
        candidates.into_iter().flatten().find_map(|places| {
            let others = || places.iter().copied().filter(|&p| p != self.current);
            let numbered = |&place: &usize| copy.is_some() && self.list[place].ordinal == copy;
            others().find(numbered).or_else(|| others().next())
        })
    }

    /// The earlier piece that the current one leans on: by name, or as `first` and `the other one` by the name that both share.
    pub fn leaned_on(&self, words: &str) -> Option<usize> {
        let words = words.to_lowercase();
        if let Some(place) = self.find(&words, None) {
            return (place < self.current).then_some(place);
        }
        if !stem(&words).is_empty()
            && !matches!(&*stem(&words), "one" | "previous" | "previous one")
        {
            return None;
        }
        let shared = stem(last_word(&self.list.get(self.current)?.name));
        let alike = self.by_last_word.get(&shared)?;
        let before = || alike.iter().copied().filter(|&place| place < self.current);
        let wanted = ordinal(&words);
        let numbered = |&place: &usize| wanted.is_some() && self.list[place].ordinal == wanted;
        before().find(numbered).or_else(|| before().next_back())
    }

    /// True if words name the piece that is being worked, by its name and number.
    fn is_current(&self, words: &str, copy: Option<u32>) -> bool {
        let Some(part) = self.list.get(self.current) else {
            return false;
        };
        let words = words.to_lowercase();
        let name = [stem(&part.name), stem(last_word(&part.name))];
        let wanted = copy.or_else(|| ordinal(&words));
        let called = name.contains(&stem(&words)) || self.alone_has_all_words(&stem(&words));
        called && (wanted.is_none() || wanted == part.ordinal)
    }

    /// True if some words stand in the name of the current piece and of no other: `the small part` in the Small claw part.
    fn alone_has_all_words(&self, words: &str) -> bool {
        let has_all = |part: &Part| {
            let name = part.name.to_lowercase();
            let own: Vec<String> = name.split_whitespace().map(stem).collect();
            words
                .split_whitespace()
                .all(|word| own.contains(&stem(word)))
        };
        let mut named = self
            .list
            .iter()
            .enumerate()
            .filter(|(_, part)| has_all(part));
        let several = words.split_whitespace().nth(1).is_some();
        several
            && named.next().is_some_and(|(place, _)| place == self.current)
            && named.next().is_none()
    }

    /// The part that is meant where the words name none: the only one that is ready and not all joined.
    fn only_one_ready(&self) -> Option<usize> {
        let mut ready = self.list.iter().enumerate().filter(|(place, part)| {
            *place < self.current && part.edge.is_some() && part.used < part.make
        });
        let (place, _) = ready.next()?;
        ready.next().is_none().then_some(place)
    }

    /// True if a copy of the part that some words name has been made and not been joined yet.
    pub fn has_another(&self, through: &Through) -> bool {
        let name = through.part.as_ref();
        let place = name.and_then(|name| self.find(&name.value, through.copy));
        place.is_some_and(|place| {
            let part = &self.list[place];
            place < self.current && part.edge.is_some() && part.used < part.make
        })
    }

    /// True if a part waits to be joined.
    pub fn any_ready(&self) -> bool {
        let waits = |(place, part): (usize, &Part)| place < self.current && part.used < part.make;
        self.list.iter().enumerate().any(waits)
    }

    /// The part that some words name, and which copy of it; a problem if there is none.
    fn claim(
        &mut self,
        through: &Through,
        span: Span,
        problems: &mut Vec<Problem>,
    ) -> Option<(usize, u32)> {
        let place = match &through.part {
            Some(name) => self.find(&name.value, through.copy),
            None => self.only_one_ready(),
        };
        let Some(place) = place else {
            problems.push(match &through.part {
                Some(name) if self.is_current(&name.value, through.copy) => itself(name),
                part => unknown(part, span),
            });
            return None;
        };
        let waiting = self.waiting(place);
        let part = &mut self.list[place];
        // `Leg 2` is the first and only copy of a piece of that name.
        let copy = match through.copy {
            Some(copy) if part.ordinal == Some(copy) => 1,
            Some(copy) => copy,
            None => waiting.unwrap_or(part.used + 1),
        };
        let first_use = copy > part.used;
        self.journal.push((place, part.used));
        part.used = part.used.max(copy);
        let name_span = through.part.as_ref().map_or(through.span, |name| name.span);
        if first_use && copy > part.make {
            problems.push(
                Problem::error(
                    "part-copies",
                    name_span,
                    format!(
                        "this joins {} number {copy}, but only {} made",
                        part.name,
                        are(part.make)
                    ),
                )
                .help(format!("make {copy}, or join it once less")),
            );
        }
        if place > self.current {
            problems.push(
                Problem::error(
                    "part-later",
                    name_span,
                    format!("{} is made later than this round joins it", part.name),
                )
                .help(
                    "move it above this piece: a part is finished before the round that joins it",
                ),
            );
        }
        Some((place, copy))
    }

    /// Recent joins of a part, the last first.
    fn recent(&self, place: usize) -> impl Iterator<Item = &Joined> {
        let recent = self.joined.iter().rev().take(RECENT);
        recent.filter(move |joined| joined.place == place)
    }

    /// The first copy of which a round has joined a part of the edge and no later round the rest.
    fn waiting(&self, place: usize) -> Option<u32> {
        let mut seen = BTreeSet::new();
        let latest = self.recent(place).filter(|joined| seen.insert(joined.copy));
        let short = latest.filter(|joined| joined.short.is_some());
        short.last().map(|joined| joined.copy)
    }

    /// Stitches of a copy's edge that are joined already, and whether the rest of them has to follow.
    fn taken(&self, place: usize, copy: u32) -> (usize, bool) {
        let of_copy = || self.recent(place).filter(|joined| joined.copy == copy);
        let taken = of_copy().map(|joined| joined.count * joined.layers as usize);
        let latest = of_copy().next();
        (
            taken.sum(),
            latest.is_some_and(|joined| joined.short.is_some()),
        )
    }

    /// Ends the work on a piece: the joins that took too little of an edge, and no later one the rest.
    pub fn unfinished(&mut self) -> Vec<Problem> {
        let mut seen = BTreeSet::new();
        let joined = std::mem::take(&mut self.joined).into_iter().rev();
        let latest = joined.filter(|joined| seen.insert((joined.place, joined.copy)));
        let mut short: Vec<Problem> = latest.filter_map(|joined| joined.short).collect();
        short.reverse();
        short
    }

    /// What is wrong with the width of the joins since a mark; no later round takes the rest of their edges.
    pub fn take_short(&mut self, since: PartsMark) -> Vec<Problem> {
        let joined = self.joined.iter_mut().skip(since.joined);
        joined.filter_map(|joined| joined.short.take()).collect()
    }

    /// Records that stitches of a piece go through a part as well.
    pub fn join(
        &mut self,
        piece: &mut Piece,
        worked: Range<u32>,
        through: &Through,
        span: Span,
        problems: &mut Vec<Problem>,
    ) {
        if worked.is_empty() {
            return;
        }
        let Some((place, copy)) = self.claim(through, span, problems) else {
            return;
        };
        let count = worked.len();
        let (joined, is_short) = self.taken(place, copy);
        // What is left of an edge that an earlier round has joined in part.
        let before = if is_short { joined } else { 0 };
        let part = &self.list[place];
        let left = |edge: &[StitchId]| edge.len().saturating_sub(before);
        // `sc through both`: the part, and the piece itself.
        let is_both = through.part.is_none() && through.layers == 2;
        let layers_of = |edge: &[StitchId]| match left(edge) {
            left if is_both && left == count => 1,
            left => layers(through.layers, count, left, part.flat),
        };
        let takes = |edge: &[StitchId]| fits(count, left(edge), layers_of(edge));
        let mut edges = part.edge.iter().chain(&part.others);
        let edge = edges.find(|edge| takes(edge)).or(part.edge.as_ref());
        let edge = edge.cloned().unwrap_or_default();
        let layers = layers_of(&edge);
        let from = match layers {
            0 | 1 if joined + count <= edge.len() => joined,
            0 | 1 => 0,
            layers => before / layers as usize,
        };
        let stitches = worked
            .clone()
            .enumerate()
            .map(|(at, id)| (StitchId(id), taken(&edge, from + at, layers)))
            .collect();
        let is_whole = takes(&edge);
        let mut short = None;
        if part.edge.is_some() && !is_whole && !part.any_width {
            let takes = count * layers as usize;
            let has = match before {
                0 => edge.len().to_string(),
                _ => format!("{} left", left(&edge)),
            };
            let problem = Problem::error(
                "part-width",
                span,
                format!(
                    "{count} stitches through {layers} {} take {takes} stitches of the {}, whose edge has {has}",
                    if layers == 1 { "layer" } else { "layers" },
                    part.name,
                ),
            )
            .help(width_help(left(&edge), layers));
            if takes < left(&edge) {
                short = Some(problem);
            } else {
                problems.push(problem);
            }
        }
        self.joined.push(Joined {
            place,
            copy,
            count,
            layers,
            short,
        });
        let join = piece.joins.len() as u32;
        for id in worked {
            piece.stitches[id as usize].join = Some(join);
        }
        let round = piece.rounds.len() as u32 - 1;
        piece.joins.push(Join {
            part: place,
            copy,
            layers,
            side: through.side.unwrap_or_default(),
            border: None,
            loops: false,
            round,
            stitches,
            span: through.span,
        });
    }
}

/// What each round leaves, and the loops of it that the next one leaves free.
fn free_loops(piece: &Piece) -> Vec<FreeLoops> {
    let heads = |ids: &mut dyn Iterator<Item = StitchId>| -> Vec<StitchId> {
        ids.filter(|&id| piece.stitch(id).role == Role::Head)
            .collect()
    };
    let taken = |round: &Round| {
        let mut into = piece
            .round_stitches(round)
            .filter(|(_, stitch)| stitch.role == Role::Head)
            .map(|(_, stitch)| stitch.into);
        let first = into.next()?;
        into.all(|other| other == first).then_some(first)
    };
    let rounds = piece.rounds.iter().enumerate();
    let free = rounds.map(|(place, round)| FreeLoops {
        number: round.number,
        stitches: heads(&mut round.edge.iter().copied()),
        free: piece
            .rounds
            .get(place + 1)
            .and_then(taken)
            .and_then(Into::other_loop),
        is_last: place + 1 == piece.rounds.len(),
    });
    free.collect()
}

/// The heads that the last round with a bridge passed over, and the chains of that bridge, back along their other side.
fn left_open(piece: &Piece) -> Vec<StitchId> {
    let mut worked = vec![false; piece.stitches.len()];
    for place in 0..piece.stitches.len() {
        for foot in piece.feet(StitchId(place as u32)) {
            worked[foot.index()] = true;
        }
    }
    let is_bridge = |id: &StitchId| piece.stitch(*id).role == Role::Bridge;
    let Some(bridging) = (1..piece.rounds.len())
        .rev()
        .find(|&round| piece.rounds[round].edge.iter().any(is_bridge))
    else {
        return Vec::new();
    };
    let passed = piece.rounds[bridging - 1].edge.iter();
    let passed = passed.copied().filter(|id| !worked[id.index()]);
    let bridge = piece.rounds[bridging].edge.iter().rev();
    passed.chain(bridge.copied().filter(is_bridge)).collect()
}

/// The layers that the words name; where they do not, two of a tube that is just twice as wide, else one.
fn layers(said: u32, count: usize, edge: usize, flat: bool) -> u32 {
    match said {
        // Closed flat before, its two layers have become one edge.
        2 if flat && edge == count => 1,
        0 if edge == 2 * count => 2,
        0 => 1,
        n => n,
    }
}

/// Two layers take the whole edge; one layer may leave some of it.
fn fits(count: usize, edge: usize, layers: u32) -> bool {
    match layers {
        1 => edge >= count,
        n => edge == count * n as usize,
    }
}

fn width_help(edge: usize, layers: u32) -> String {
    let layers = layers as usize;
    if layers > 1 && edge.is_multiple_of(layers) {
        format!(
            "an edge of {edge} pressed flat takes {} stitches",
            edge / layers
        )
    } else {
        "make the part's last round as wide as the join".to_owned()
    }
}

/// The stitches of the part that the join's stitch number `at` takes: pressed flat, the first lies on the last.
fn taken(edge: &[StitchId], at: usize, layers: u32) -> Vec<StitchId> {
    let near = edge.get(at).copied();
    let far = edge
        .len()
        .checked_sub(at + 1)
        .and_then(|i| edge.get(i))
        .copied()
        .filter(|_| layers > 1);
    near.into_iter().chain(far).collect()
}

fn itself(name: &Spanned<String>) -> Problem {
    Problem::error(
        "part-unknown",
        name.span,
        format!(
            "{} is this piece, which can't be joined to itself",
            quoted(&name.value)
        ),
    )
    .help("name the part that is joined here")
}

fn unknown(part: &Option<Spanned<String>>, span: Span) -> Problem {
    match part {
        Some(name) => Problem::error(
            "part-unknown",
            name.span,
            format!("no piece of this pattern is named {}", quoted(&name.value)),
        )
        .help("name it as its heading does"),
        None => Problem::error(
            "part-unknown",
            span,
            "these words do not say which part is joined here",
        )
        .help("name the part: `through both layers of the first wing`"),
    }
}

fn are(make: u32) -> String {
    if make == 1 {
        "1 is".to_owned()
    } else {
        format!("{make} are")
    }
}

const LEFT: u32 = u32::MAX;
const RIGHT: u32 = u32::MAX - 1;

/// The number in a name: 2 for `second leg` and `leg 2`; a side has one of its own.
fn ordinal(name: &str) -> Option<u32> {
    name.split_whitespace().find_map(|word| match word {
        "first" | "1st" | "one" => Some(1),
        "second" | "2nd" | "two" => Some(2),
        "third" | "3rd" => Some(3),
        "fourth" | "4th" => Some(4),
        "left" => Some(LEFT),
        "right" => Some(RIGHT),
        word => word.parse().ok(),
    })
}
