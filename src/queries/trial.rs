//! Trying a change: the pattern read, worked and checked again with it.

use crate::fabric::{self, Fabric};
use crate::pattern::{self, Line, Pattern};
use crate::review;
use crate::source::{Mend, Problem, Source, Span, limits};

/// A pattern as it stands, and the work that may still be spent on trying changes to it.
pub(super) struct Trials<'s> {
    pub source: &'s Source,
    /// The problems that are known, by code and place.
    known: Vec<Key>,
    shape: Shape,
    /// What one trial costs.
    cost: usize,
    left: usize,
}

/// A kind of problem at its place.
pub(super) type Key = (&'static str, Span);

/// A pattern after a change.
pub(super) struct Changed {
    pub pattern: Pattern,
    pub fabric: Fabric,
    /// Its problems, at the places that they have in the text as it stood.
    problems: Vec<Key>,
}

/// How many pieces and written rounds a pattern has: a mend makes none come or go.
#[derive(PartialEq, Eq)]
struct Shape(Vec<usize>);

impl Shape {
    fn of(pattern: &Pattern) -> Shape {
        let is_round = |line: &&Line| !matches!(line, Line::Prose(_));
        let rounds = pattern.pieces.iter();
        Shape(
            rounds
                .map(|piece| piece.lines.iter().filter(is_round).count())
                .collect(),
        )
    }
}

impl<'s> Trials<'s> {
    /// None where the pattern is too large, or has too many problems, for trials to be worth their time.
    pub fn new(
        source: &'s Source,
        pattern: &Pattern,
        fabric: &Fabric,
        problems: &[Problem],
    ) -> Option<Trials<'s>> {
        let stitches: usize = fabric.pieces.iter().map(|piece| piece.stitches.len()).sum();
        let cost = source.text().len() + 4 * stitches + 1;
        let too_much = problems.iter().any(|p| p.code == "too-many-stitches");
        if too_much || cost > limits::MENDING_WORK / 16 || problems.len() >= limits::PROBLEMS {
            return None;
        }
        let mut known: Vec<Key> = problems.iter().map(|p| (p.code, p.span)).collect();
        known.sort();
        Some(Trials {
            source,
            known,
            shape: Shape::of(pattern),
            cost,
            left: limits::MENDING_WORK,
        })
    }

    /// How many more trials there is work for.
    pub fn left(&self) -> usize {
        self.left / self.cost
    }

    /// True if there is no work left for another trial.
    pub fn are_spent(&self) -> bool {
        self.left < self.cost
    }

    /// True if this change solves the problem and makes no other.
    pub fn solves(&mut self, mend: &Mend, problem: Key) -> bool {
        self.solved(mend, problem).is_some()
    }

    /// What comes off the hook with this change, if it solves the problem and makes no other.
    pub fn solved(&mut self, mend: &Mend, problem: Key) -> Option<Fabric> {
        let fits = |keys: &[Key]| {
            keys.iter()
                .all(|key| *key != problem && self.known.binary_search(key).is_ok())
        };
        if self.are_spent() {
            return None;
        }
        self.left -= self.cost;
        let mends = std::slice::from_ref(mend);
        // Each stage only if the one before brought nothing new: most changes end early.
        let source = Source::new(self.source.name.clone(), with(self.source.text(), mends));
        let (pattern, found) = pattern::read(&source);
        if !fits(&keys(&found, mends)) || Shape::of(&pattern) != self.shape {
            return None;
        }
        let (fabric, found) = fabric::work(&pattern);
        let solved = fits(&keys(&found, mends))
            && fits(&keys(&review::review(&source, &pattern, &fabric), mends));
        solved.then_some(fabric)
    }

    /// The pattern with this change; none if there is no work left for it.
    pub fn changed(&mut self, mends: &[Mend]) -> Option<Changed> {
        if self.are_spent() {
            return None;
        }
        self.left -= self.cost;
        Some(Changed::new(self.source, mends))
    }
}

impl Changed {
    /// The pattern with these changes, which must not overlap and stand in the order of the text.
    pub fn new(source: &Source, mends: &[Mend]) -> Changed {
        let source = Source::new(source.name.clone(), with(source.text(), mends));
        let (pattern, mut problems) = pattern::read(&source);
        let (fabric, found) = fabric::work(&pattern);
        problems.extend(found);
        problems.extend(review::review(&source, &pattern, &fabric));
        Changed {
            problems: keys(&problems, mends),
            pattern,
            fabric,
        }
    }

    /// True if it still has this problem.
    pub fn has(&self, problem: Key) -> bool {
        self.problems.contains(&problem)
    }
}

/// The text with changes that do not overlap and stand in its order.
pub(super) fn with(text: &str, mends: &[Mend]) -> String {
    let mut changed = String::with_capacity(text.len() + 16);
    let mut from = 0;
    for mend in mends {
        changed += &text[from..mend.span.start];
        changed += &mend.text;
        from = mend.span.end;
    }
    changed + &text[from..]
}

/// Problems of a changed text at the places that they have in the text as it stood.
fn keys(problems: &[Problem], mends: &[Mend]) -> Vec<Key> {
    let place = |span: Span| {
        let start = back(span.start, mends);
        Span::new(start, back(span.end, mends).max(start))
    };
    problems.iter().map(|p| (p.code, place(p.span))).collect()
}

/// Where a byte of the changed text was; bytes of a change are at its words' nearer end.
fn back(at: usize, mends: &[Mend]) -> usize {
    let (mut added, mut removed) = (0, 0);
    for mend in mends {
        let start = mend.span.start + added - removed;
        if at <= start {
            break;
        }
        if at < start + mend.text.len() {
            return mend.span.start;
        }
        added += mend.text.len();
        removed += mend.span.end - mend.span.start;
    }
    at + removed - added
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_of_the_changed_text_are_found_in_the_text_as_it_stood() {
        let mend = |start, end, text: &str| Mend {
            span: Span::new(start, end),
            text: text.to_owned(),
        };
        let mends = [mend(2, 4, "x"), mend(6, 6, "yyy")];
        assert_eq!(with("0123456789", &mends), "01x45yyy6789");
        let places: Vec<usize> = (0..=12).map(|at| back(at, &mends)).collect();
        assert_eq!(places, [0, 1, 2, 4, 5, 6, 6, 6, 6, 7, 8, 9, 10]);
    }
}
