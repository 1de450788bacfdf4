//! Parts that are worked into a body as the rounds go.

use std::ops::Range;

use super::model::{Join, Piece, Role, StitchId};
use crate::pattern::{Spanned, StepKind, Through};
use crate::source::{Problem, Span, quoted};

/// A piece that may be joined into a later one.
#[derive(Debug, Clone)]
pub(super) struct Part {
    name: String,
    make: u32,
    /// Its open edge, in the order of work; `None` until it has been worked.
    edge: Option<Vec<StitchId>>,
    /// It was pressed flat, or closed flat.
    flat: bool,
    /// Copies joined so far.
    used: u32,
}

/// All pieces, as parts.
#[derive(Debug, Clone, Default)]
pub(super) struct Parts {
    list: Vec<Part>,
    /// What has been joined, to be undone: the part, and the copies of it that were joined before.
    journal: Vec<(usize, u32)>,
    /// The piece that is being worked.
    pub current: usize,
}

/// How far the joins had come.
pub(super) struct PartsMark(usize);

impl Parts {
    pub fn new<'p>(pieces: impl Iterator<Item = (&'p str, u32)>) -> Parts {
        let part = |(name, make): (&str, u32)| Part {
            name: name.to_lowercase(),
            make,
            edge: None,
            flat: false,
            used: 0,
        };
        Parts {
            list: pieces.map(part).collect(),
            ..Parts::default()
        }
    }

    /// Notes a finished piece's open edge.
    pub fn finished(&mut self, place: usize, piece: &Piece) {
        let part = &mut self.list[place];
        let edge = piece.rounds.last().map_or(&[][..], |round| &round.edge);
        part.edge = Some(
            edge.iter()
                .copied()
                .filter(|&id| piece.stitch(id).role == Role::Head)
                .collect(),
        );
        part.flat = piece
            .steps
            .iter()
            .any(|step| step.kind == StepKind::Flatten);
    }

    pub fn mark(&self) -> PartsMark {
        PartsMark(self.journal.len())
    }

    pub fn back_to(&mut self, mark: PartsMark) {
        while self.journal.len() > mark.0
            && let Some((place, used)) = self.journal.pop()
        {
            self.list[place].used = used;
        }
    }

    /// The piece that some words name: the whole name, or its last word, in singular or plural, with "left" or "the" before it or not.
    fn find(&self, words: &str) -> Option<usize> {
        let words = words.to_lowercase();
        let fits = |wanted: &str, name: &str| stem(wanted) == stem(name);
        let other = |&(place, _): &(usize, &Part)| place != self.current;
        let parts = || self.list.iter().enumerate().filter(other);
        let last = |text: &str| {
            text.split_whitespace()
                .next_back()
                .unwrap_or_default()
                .to_owned()
        };
        parts()
            .find(|(_, part)| fits(&words, &part.name))
            .or_else(|| parts().find(|(_, part)| fits(&last(&words), &part.name)))
            .or_else(|| parts().find(|(_, part)| fits(&words, &last(&part.name))))
            .or_else(|| parts().find(|(_, part)| fits(&last(&words), &last(&part.name))))
            .map(|(place, _)| place)
    }

    /// The part that is meant where the words name none: the only one that is ready and not all joined.
    fn only_one_ready(&self) -> Option<usize> {
        let mut ready = self.list.iter().enumerate().filter(|(place, part)| {
            *place < self.current && part.edge.is_some() && part.used < part.make
        });
        let (place, _) = ready.next()?;
        ready.next().is_none().then_some(place)
    }

    /// True if a part waits to be joined.
    pub fn any_ready(&self) -> bool {
        let waits = |(place, part): (usize, &Part)| place < self.current && part.used < part.make;
        self.list.iter().enumerate().any(waits)
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
        let place = match &through.part {
            Some(name) => self.find(&name.value),
            None => self.only_one_ready(),
        };
        let Some(place) = place else {
            problems.push(unknown(&through.part, span));
            return;
        };
        let count = worked.len();
        let part = &mut self.list[place];
        let copy = through.copy.unwrap_or(part.used + 1);
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
        let edge = part.edge.clone().unwrap_or_default();
        let layers = layers(through.layers, count, edge.len(), part.flat);
        let stitches = worked
            .clone()
            .enumerate()
            .map(|(at, id)| (StitchId(id), taken(&edge, at, layers)))
            .collect();
        if part.edge.is_some() && !fits(count, edge.len(), layers) {
            let takes = count * layers as usize;
            problems.push(
                Problem::error(
                    "part-width",
                    span,
                    format!(
                        "{count} stitches through {layers} {} take {takes} stitches of the {}, whose edge has {}",
                        if layers == 1 { "layer" } else { "layers" },
                        part.name,
                        edge.len()
                    ),
                )
                .help(width_help(edge.len(), layers)),
            );
        }
        let join = piece.joins.len() as u32;
        for id in worked {
            piece.stitches[id as usize].join = Some(join);
        }
        let round = piece.rounds.len() as u32 - 1;
        piece.joins.push(Join {
            part: place,
            copy,
            layers,
            round,
            stitches,
            span: through.span,
        });
    }
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

/// A name for comparing: without article, side, number or plural.
fn stem(name: &str) -> String {
    let dropped = |word: &&str| {
        !matches!(
            *word,
            "the" | "a" | "left" | "right" | "first" | "second" | "other" | "each"
        )
    };
    let words: Vec<&str> = name
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty())
        .filter(dropped)
        .collect();
    let joined = words.join(" ");
    match joined.as_str() {
        "feet" => "foot".to_owned(),
        "teeth" => "tooth".to_owned(),
        other => other.strip_suffix('s').unwrap_or(other).to_owned(),
    }
}
