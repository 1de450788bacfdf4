//! The corrections that buyers of a pattern get: what is worked otherwise in the new version, whatever the wording.

use super::compare::{self, Pair, Worked, Yarns};
use super::said::{Both, Renumbered};
use super::sheet::{Rounds, code, plain};
use super::steps;
use crate::fabric::{Fabric, Piece, Round};
use crate::pattern::{Line, Pattern};
use crate::source::{Source, Span};

/// A version of a pattern, read and worked.
pub struct Version<'a> {
    /// Its text.
    pub source: &'a Source,
    /// As read.
    pub pattern: &'a Pattern,
    /// As worked.
    pub fabric: &'a Fabric,
}

/// The list of corrections, as Markdown. It says so if only the wording differs, or nothing.
pub fn errata(old: &Version<'_>, new: &Version<'_>) -> String {
    let title = match new.fabric.title.as_str() {
        "" => &new.source.name,
        title => title,
    };
    let mut text = format!("# Corrections to {}\n", plain(title));
    let pieces = pieces(old, new);
    let numbers = pieces.iter().map(PieceVersions::renumbered).collect();
    let said = Both::new(old, new, numbers);
    let mut all = section("What you need", &said.needed());
    for piece in &pieces {
        let mut lines = piece.lines();
        if let PieceVersions::Both(told) = piece {
            lines.extend(said.piece(told.places.0, told.places.1));
        }
        let name = match piece.name() {
            "" => "Piece without a name",
            name => name,
        };
        all += &section(name, &lines);
    }
    all += &section("Making up", &said.making_up());
    text += match (all.as_str(), old.source.text() == new.source.text()) {
        ("", true) => "\nThe two versions are the same.\n",
        ("", false) => "\nNothing to correct: all is worked as before, only the wording differs.\n",
        (all, _) => all,
    };
    text
}

fn section(name: &str, lines: &[String]) -> String {
    if lines.is_empty() {
        return String::new();
    }
    let mut section = format!("\n## {}\n\n", plain(name));
    for line in lines {
        section += &format!("- {line}\n");
    }
    section
}

/// A piece of the new version with its answer in the old one, or one that is gone.
enum PieceVersions<'a> {
    Both(Told<'a>),
    Gone(&'a Piece),
    New(&'a Piece),
}

impl PieceVersions<'_> {
    fn name(&self) -> &str {
        match self {
            PieceVersions::Both(told) => &told.is.name,
            PieceVersions::Gone(piece) | PieceVersions::New(piece) => &piece.name,
        }
    }

    /// Its rounds that have another number now.
    fn renumbered(&self) -> Renumbered {
        match self {
            PieceVersions::Both(told) => told.numbers().into_iter().collect(),
            PieceVersions::Gone(_) | PieceVersions::New(_) => Renumbered::new(),
        }
    }

    fn lines(&self) -> Vec<String> {
        match self {
            PieceVersions::Both(told) => told.lines(),
            PieceVersions::Gone(_) => vec!["This piece is no longer made.".to_owned()],
            PieceVersions::New(piece) => {
                let rounds = piece.rounds.len();
                let s = if rounds == 1 { "" } else { "s" };
                vec![format!(
                    "This piece is new: {rounds} round{s}, in the new version."
                )]
            }
        }
    }
}

/// All pieces, in the order of the new version; those that are gone at the end.
fn pieces<'a>(old: &'a Version<'a>, new: &'a Version<'a>) -> Vec<PieceVersions<'a>> {
    let yarns = compare::yarns(old.fabric, new.fabric);
    let pairs = pairs(old, new, &yarns);
    // A part under a new name is still the same part to the rounds that join it.
    let mut names = (compare::names(old.fabric), compare::names(new.fabric));
    for pair in &pairs {
        if let (Some(was), Some(is)) = *pair {
            names.0[was] = names.1[is].clone();
        }
    }
    let versions = pairs.into_iter().filter_map(|pair| match pair {
        (Some(was), Some(is)) => {
            let places = (was, is);
            let (was, is) = (&old.fabric.pieces[was], &new.fabric.pieces[is]);
            let before = compare::rounds(was, &yarns.0, &names.0);
            let after = compare::rounds(is, &yarns.1, &names.1);
            let pairs = compare::line_up(&before, &after);
            Some(PieceVersions::Both(Told {
                old,
                new,
                was,
                is,
                places,
                before,
                after,
                pairs,
            }))
        }
        (Some(was), None) => Some(PieceVersions::Gone(&old.fabric.pieces[was])),
        (None, Some(is)) => Some(PieceVersions::New(&new.fabric.pieces[is])),
        (None, None) => None,
    });
    versions.collect()
}

/// Pieces that answer to each other: by name, then by what is worked, then what is left in order.
fn pairs(
    old: &Version<'_>,
    new: &Version<'_>,
    yarns: &(Yarns, Yarns),
) -> Vec<(Option<usize>, Option<usize>)> {
    let (olds, news) = (&old.fabric.pieces, &new.fabric.pieces);
    let names = (compare::names(old.fabric), compare::names(new.fabric));
    let mut partner: Vec<Option<usize>> = vec![None; news.len()];
    let mut taken = vec![false; olds.len()];
    let mut pair = |alike: &dyn Fn(usize, usize) -> bool| {
        for (at, slot) in partner.iter_mut().enumerate() {
            if slot.is_none() {
                let found = (0..olds.len()).find(|&was| !taken[was] && alike(was, at));
                *slot = found;
                found.into_iter().for_each(|was| taken[was] = true);
            }
        }
    };
    pair(&|was, is| names.0[was] == names.1[is]);
    pair(&|was, is| {
        let alike = olds[was].stitches.len() == news[is].stitches.len();
        alike
            && compare::rounds(&olds[was], &yarns.0, &names.0)
                == compare::rounds(&news[is], &yarns.1, &names.1)
    });
    let left = taken.iter().filter(|taken| !**taken).count();
    if left == 1 && partner.iter().filter(|was| was.is_none()).count() == 1 {
        // One name is gone and one is new.
        let was = taken.iter().position(|taken| !taken);
        partner
            .iter_mut()
            .filter(|was| was.is_none())
            .for_each(|slot| *slot = was);
        taken.fill(true);
    }
    let gone = (0..olds.len()).filter(|&was| !taken[was]);
    let gone: Vec<_> = gone.map(|was| (Some(was), None)).collect();
    let here = partner.iter().enumerate().map(|(is, was)| (*was, Some(is)));
    here.chain(gone).collect()
}

/// A piece in both versions.
struct Told<'a> {
    old: &'a Version<'a>,
    new: &'a Version<'a>,
    was: &'a Piece,
    is: &'a Piece,
    /// Its places in the two versions.
    places: (usize, usize),
    before: Vec<Worked>,
    after: Vec<Worked>,
    /// Its rounds, lined up.
    pairs: Vec<Pair>,
}

/// A correction that the next round may belong to as well: rounds of one line of the text are told once.
#[derive(PartialEq, Eq)]
struct Correction {
    kind: Kind,
    words: (String, String),
}

#[derive(PartialEq, Eq, Clone, Copy)]
enum Kind {
    Changed,
    Gone,
    New,
}

impl Told<'_> {
    fn lines(&self) -> Vec<String> {
        let mut lines = Vec::new();
        if self.was.name.to_lowercase() != self.is.name.to_lowercase() {
            lines.push(format!("This piece was named {}.", code(&self.was.name)));
        }
        if self.was.make != self.is.make {
            lines.push(format!("Make {}; was {}.", self.is.make, self.was.make));
        }
        lines.extend(self.rounds());
        let (was, is) = ((self.old.source, self.was), (self.new.source, self.is));
        lines.extend(steps::corrections(was, is, &self.pairs));
        lines
    }

    /// Numbers of the rounds that are in both versions.
    fn numbers(&self) -> Vec<(u32, u32)> {
        let both = self.pairs.iter().filter_map(|pair| match *pair {
            Pair::Same(a, b) | Pair::Changed(a, b) => {
                Some((self.was.rounds[a].number, self.is.rounds[b].number))
            }
            Pair::Gone(_) | Pair::New(_) => None,
        });
        both.collect()
    }

    fn rounds(&self) -> Vec<String> {
        let mut corrections: Vec<(Correction, Rounds)> = Vec::new();
        for pair in &self.pairs {
            let (kind, round, words) = match *pair {
                Pair::Same(..) => continue,
                Pair::Changed(a, b) => {
                    let (was, is) = (&self.was.rounds[a], &self.is.rounds[b]);
                    let words = (words(self.old, was), words(self.new, is));
                    if words.0 == words.1 && self.before[a].makes_as(&self.after[b]) {
                        continue;
                    }
                    (Kind::Changed, was, words)
                }
                Pair::Gone(a) => {
                    let was = &self.was.rounds[a];
                    (Kind::Gone, was, (words(self.old, was), String::new()))
                }
                Pair::New(b) => {
                    let is = &self.is.rounds[b];
                    (Kind::New, is, (String::new(), words(self.new, is)))
                }
            };
            let correction = Correction { kind, words };
            match corrections.last_mut() {
                Some((last, rounds))
                    if *last == correction
                        && rounds.kind == round.kind
                        && rounds.last.checked_add(1) == Some(round.number) =>
                {
                    rounds.last = round.number;
                }
                _ => corrections.push((
                    correction,
                    Rounds {
                        piece: String::new(),
                        kind: round.kind,
                        first: round.number,
                        last: round.number,
                    },
                )),
            }
        }
        let mut lines: Vec<String> = corrections
            .iter()
            .map(|(what, rounds)| told(what, rounds))
            .collect();
        if !lines.is_empty() {
            lines.extend(renumberings(&self.numbers()));
        }
        lines
    }
}

/// `Rnds 15–20 are now Rnds 16–21`, for each stretch that moved by as much.
fn renumberings(numbers: &[(u32, u32)]) -> Vec<String> {
    let shift = |pair: &(u32, u32)| i64::from(pair.1) - i64::from(pair.0);
    let stretches = numbers.chunk_by(|a, b| shift(a) == shift(b));
    stretches
        .filter(|stretch| shift(&stretch[0]) != 0)
        .map(|stretch| {
            let ((was, is), (last_was, last_is)) = (stretch[0], stretch[stretch.len() - 1]);
            match was == last_was {
                true => format!("Rnd {was} is now Rnd {is}."),
                false => format!("Rnds {was}–{last_was} are now Rnds {is}–{last_is}."),
            }
        })
        .collect()
}

fn told(correction: &Correction, rounds: &Rounds) -> String {
    let label = rounds.label();
    let (was, is) = &correction.words;
    match correction.kind {
        Kind::Changed if was == is => format!(
            "{label}: {} as before, but it comes out otherwise over the round below as it is now.",
            code(is)
        ),
        Kind::Changed => format!("{label}: was {}; is now {}.", code(was), code(is)),
        Kind::Gone => format!("{label}: was {}; is left out now.", code(was)),
        Kind::New => format!("{label} is new: {}.", code(is)),
    }
}

/// A round's words without its label, with its total.
fn words(version: &Version<'_>, round: &Round) -> String {
    let label = version
        .pattern
        .pieces
        .iter()
        .flat_map(|piece| &piece.lines)
        .find_map(|line| match line {
            Line::Round(written) if written.span == round.span => Some(written.label.span.end),
            _ => None,
        });
    let start = label
        .unwrap_or(round.span.start)
        .clamp(round.span.start, round.span.end);
    let text = version.source.slice(Span::new(start, round.span.end));
    let text = text.trim_start_matches([':', '.', ')', ' ', '*']).trim();
    match round.stated {
        Some(_) => text.to_owned(),
        None => format!("{} ({})", text.trim_end_matches('.'), round.count),
    }
}
