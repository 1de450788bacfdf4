//! What a round takes from the round below and what it makes, as sums that can be followed with a pencil.

use crate::fabric::{Fabric, Piece};
use crate::pattern::{Act, Instruction, Over, Pattern, Repeat, Target, Times, Work};
use crate::source::Span;
use crate::terms::{Form, Height};

use super::slip::round_at;

/// Longer sums are shown by their result alone.
const TERMS: usize = 12;

/// The arithmetic of the round at a place, as clauses: `it takes 5 × 2 = 10 and makes 5 × 3 = 15`, and what there is and should be.
/// None where no round stands there.
pub(super) struct Arithmetic {
    /// `takes 5 × 2 = 10 and makes 5 × 3 = 15`
    pub does: String,
    /// `the round below has 12 stitches`, `the total says 18`
    pub beside: Vec<String>,
}

/// Works the sums out from the words where they are plain, else from the stitches as worked.
pub(super) fn of_round(pattern: &Pattern, fabric: &Fabric, at: Span) -> Option<Arithmetic> {
    let written = round_at(pattern, at)?;
    let (piece, place) = worked_at(fabric, written.span)?;
    let round = &piece.rounds[place];
    let below = place.checked_sub(1).map(|place| piece.rounds[place].count);
    let settled = !written.doubts.bigger && !written.doubts.times_more && !written.flawed;
    let sum = settled
        .then(|| sum(&written.body, below.map(u64::from)))
        .flatten();
    let does = match (&sum, below) {
        (Some(sum), Some(_)) => format!(
            "takes {} and makes {}",
            sum.takes.shown(),
            sum.makes.shown()
        ),
        (Some(sum), None) => format!("makes {}", sum.makes.shown()),
        (None, _) => format!("makes {}", round.count),
    };
    let mut beside = Vec::new();
    if let Some(below) = below {
        let s = if below == 1 { "" } else { "es" };
        beside.push(format!("the round below has {below} stitch{s}"));
    }
    if let Some(stated) = written.stated.and_then(|stated| stated.stitches) {
        beside.push(format!("the total says {stated}"));
    }
    Some(Arithmetic { does, beside })
}

/// The first round that these words became: of several, the first whose total is not what they state.
fn worked_at(fabric: &Fabric, written: Span) -> Option<(&Piece, usize)> {
    let mut first = None;
    for piece in &fabric.pieces {
        for (place, round) in piece.rounds.iter().enumerate() {
            if round.span != written {
                continue;
            }
            let stated = round.stated.and_then(|stated| stated.stitches);
            if stated.is_some_and(|n| n != round.count) {
                return Some((piece, place));
            }
            first = first.or(Some((piece, place)));
        }
    }
    first
}

/// A number and how it came about.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Side {
    value: u64,
    words: String,
}

impl Side {
    fn plain(value: u64) -> Side {
        Side {
            value,
            words: value.to_string(),
        }
    }

    fn times(count: u64, each: u64) -> Side {
        let value = count.saturating_mul(each);
        if count == 1 || each <= 1 {
            return Side::plain(value);
        }
        Side {
            value,
            words: format!("{count} × {each}"),
        }
    }

    fn sum(sides: &[&Side]) -> Side {
        let value = sides
            .iter()
            .fold(0u64, |sum, side| sum.saturating_add(side.value));
        let terms: Vec<&str> = sides
            .iter()
            .filter(|side| side.value > 0)
            .map(|side| side.words.as_str())
            .collect();
        if terms.is_empty() || terms.len() > TERMS {
            return Side::plain(value);
        }
        Side {
            value,
            words: terms.join(" + "),
        }
    }

    fn shown(&self) -> String {
        let value = self.value.to_string();
        if self.words == value {
            value
        } else {
            format!("{} = {value}", self.words)
        }
    }
}

/// What words take from the round below and make of it.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Sum {
    takes: Side,
    makes: Side,
}

/// The sum of a list over a round below of so many stitches; none if something in it is not plain.
fn sum(items: &[Instruction], below: Option<u64>) -> Option<Sum> {
    let mut parts: Vec<Sum> = Vec::new();
    let mut in_ring = below.is_none();
    for item in items {
        let taken = parts
            .iter()
            .fold(0u64, |sum, part| sum.saturating_add(part.takes.value));
        let left = below.map(|below| below.saturating_sub(taken));
        match &item.act {
            Act::Work(work) => parts.push(work_sum(work, left, in_ring)?),
            Act::Repeat(repeat) => parts.push(repeat_sum(repeat, left)?),
            Act::Skip {
                over: Over::Count(n),
                target: Target::Next,
            } => parts.push(Sum {
                takes: Side::plain((*n).into()),
                makes: Side::plain(0),
            }),
            Act::MagicRing => in_ring = true,
            Act::Close
            | Act::Turn
            | Act::Hold(_)
            | Act::Yarn(_)
            | Act::YarnFrom { .. }
            | Act::Step(_)
            | Act::LeaveRest => {}
            _ => return None,
        }
    }
    Some(Sum {
        takes: Side::sum(&parts.iter().map(|part| &part.takes).collect::<Vec<_>>()),
        makes: Side::sum(&parts.iter().map(|part| &part.makes).collect::<Vec<_>>()),
    })
}

fn work_sum(work: &Work, left: Option<u64>, in_ring: bool) -> Option<Sum> {
    let stitch = work.stitch;
    let lifts = matches!(stitch.height, Some(Height::Chain | Height::Slip));
    if lifts || stitch.picot || stitch.foundation {
        return None;
    }
    let into_ring = match work.target {
        Target::Next => in_ring,
        Target::Ring | Target::NewRing => true,
        _ => return None,
    };
    let each = u64::from(work.each);
    let together = match stitch.form {
        Form::Together(n) => u64::from(n).max(1),
        _ => 1,
    };
    let times = match work.over {
        Over::Count(n) | Over::Whole(n) => n.into(),
        Over::Rest => left? / together,
        Over::ToLast(n) => left?.saturating_sub(n.into()) / together,
        Over::ToCorner => return None,
    };
    Some(Sum {
        takes: if into_ring {
            Side::plain(0)
        } else {
            Side::times(times, together)
        },
        makes: Side::times(times, each),
    })
}

fn repeat_sum(repeat: &Repeat, left: Option<u64>) -> Option<Sum> {
    if repeat.last_stops_after.is_some() {
        return None;
    }
    // What stands inside a repeat and is worked to the end of the round can't be worked again.
    let inner = sum(&repeat.items, left)?;
    let takes = inner.takes.value;
    let times = match repeat.times {
        Times::Exactly(n) | Times::OrTotal(n) => n.into(),
        Times::Total(_) => 1,
        Times::Around => left?.checked_div(takes)?,
        Times::ToLast(n) => left?.saturating_sub(n.into()).checked_div(takes)?,
        Times::Unsure(_) | Times::Loose(_) => return None,
    };
    Some(Sum {
        takes: Side::times(times, takes),
        makes: Side::times(times, inner.makes.value),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::Source;
    use crate::{fabric, pattern};

    fn arithmetic(last: &str) -> String {
        let text = format!("## Float\nRnd 1: 6 sc in MR (6)\nRnd 2: inc x 6 (12)\n{last}\n");
        let source = Source::new("t", text);
        let (pattern, _) = pattern::read(&source);
        let (fabric, _) = fabric::work(&pattern);
        let at = source.text().find(last).unwrap();
        of_round(&pattern, &fabric, Span::new(at, at)).unwrap().does
    }

    #[test]
    fn a_round_is_told_as_sums() {
        let cases = [
            (
                "Rnd 3: (sc, inc) x 5 (18)",
                "takes 5 × 2 = 10 and makes 5 × 3 = 15",
            ),
            (
                "Rnd 3: 2 sc, inc, (sc, dec) x 3 (9)",
                "takes 2 + 1 + 3 × 3 = 12 and makes 2 + 2 + 3 × 2 = 10",
            ),
            ("Rnd 3: sc around (12)", "takes 12 and makes 12"),
            (
                "Rnd 3: *2 sc, inc; rep from * around (16)",
                "takes 4 × 3 = 12 and makes 4 × 4 = 16",
            ),
        ];
        for (words, does) in cases {
            assert_eq!(arithmetic(words), does, "{words}");
        }
    }

    #[test]
    fn what_is_not_plain_is_told_by_what_was_worked() {
        assert_eq!(
            arithmetic("Rnd 3: (sc, ch 1, sc) in next st, 11 sc (13)"),
            "makes 13"
        );
    }
}
