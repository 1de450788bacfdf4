//! A pattern as one edition has it: read, worked, shaped and placed.

use super::document::Round;
use super::spelled::spelled;
use super::text::{header, shown};
use crate::fabric::{self, Fabric, Piece, RoundKind};
use crate::pattern::{Entry, Line, Pattern};
use crate::place::{self, Placement};
use crate::review;
use crate::shape::{self, Shapes};
use crate::source::{Source, Span};
use crate::terms::sides;
use crate::toy::{Kit, Toy};
use crate::yarn::{self, Needs};

/// Most boxes to tick for one round of one copy, and most copies with boxes of their own.
const MOST_BOXES: u32 = 12;
const MOST_COPIES: u32 = 6;

/// Everything that is known of a pattern.
pub struct Made<'a> {
    pub source: &'a Source,
    pub pattern: &'a Pattern,
    pub fabric: &'a Fabric,
    pub shapes: Shapes,
    pub whole: Option<Toy>,
    pub placement: Placement,
    pub needs: Needs,
    /// Whether it is for the other hand than the words.
    pub hand_differs: bool,
    /// Whether it is in other terms than the designer's.
    pub terms_differ: bool,
    /// The lines of the header.
    pub header: Vec<&'a Entry>,
    /// Lines of the list of abbreviations that nothing uses.
    unused: Vec<Span>,
}

impl<'a> Made<'a> {
    pub fn new(
        source: &'a Source,
        pattern: &'a Pattern,
        fabric: &'a Fabric,
        hand_differs: bool,
        terms_differ: bool,
    ) -> Made<'a> {
        let shapes = shape::relax(source, pattern, fabric);
        let unused = review::review(source, pattern, fabric)
            .into_iter()
            .filter(|problem| problem.code == "abbreviation-unused")
            .map(|problem| problem.span)
            .collect();
        let mut placement = place::place(source, pattern, fabric);
        placement.measure(fabric, &shapes);
        let whole = Kit::new(source, pattern, fabric, &shapes, &placement).whole();
        Made {
            whole,
            placement,
            needs: yarn::needs(source, pattern, fabric, &shapes.gauge),
            header: header(source, pattern),
            source,
            pattern,
            fabric,
            shapes,
            hand_differs,
            terms_differ,
            unused,
        }
    }

    /// What sets parts at their joins.
    pub fn kit(&self) -> Kit<'_> {
        Kit::new(
            self.source,
            self.pattern,
            self.fabric,
            &self.shapes,
            &self.placement,
        )
    }

    /// Words as this edition has them: left and right for its hand, and in full where it is for people who see little.
    pub fn said(&self, words: &str, in_full: bool) -> String {
        let words = match self.hand_differs {
            true => sides::swapped(words),
            false => words.to_owned(),
        };
        match in_full {
            true => spelled(&words, self.fabric.terms),
            false => words,
        }
    }

    /// Words of a title, which a fabric for the other hand has swapped already.
    pub fn plain(&self, words: &str) -> String {
        shown(words)
    }

    /// True if a line of the list of abbreviations is one that nothing uses.
    pub fn is_unused_abbreviation(&self, line: Span) -> bool {
        self.unused
            .iter()
            .any(|unused| line.range().contains(&unused.start))
    }

    /// The value of the first line of the header whose key is one of these, as it is shown.
    pub fn entry(&self, keys: &[&str]) -> Option<String> {
        let entry = self
            .header
            .iter()
            .find(|entry| keys.contains(&entry.key.as_str()))?;
        let words = shown(self.source.slice(entry.value));
        (!words.is_empty()).then_some(words)
    }

    /// The finished size of a piece; `None` if it has no shape.
    pub fn size_of(&self, piece: usize) -> Option<String> {
        let shape = self
            .shapes
            .pieces
            .get(piece)
            .filter(|shape| !shape.points.is_empty())?;
        let front = self.kit().front(piece);
        let measures = shape::measure(shape, &self.fabric.pieces[piece], front);
        shape::piece_notes(self.fabric, shape, &measures)
            .into_iter()
            .next()
    }

    /// A round of the text as a row.
    pub fn round(&self, piece: usize, span: Span, in_full: bool) -> Round {
        let worked = self.fabric.pieces.get(piece);
        let rounds: Vec<(usize, &fabric::Round)> = worked
            .into_iter()
            .flat_map(|piece| piece.rounds.iter().enumerate())
            .filter(|(_, round)| round.span == span && round.number > 0)
            .collect();
        let written = self.pattern.pieces.get(piece).and_then(|piece| {
            piece.lines.iter().find_map(|line| match line {
                Line::Round(round) if round.span == span => Some(round),
                _ => None,
            })
        });
        let words = match written {
            Some(round) => {
                let stated = round.stated.map(|stated| stated.span);
                self.body(
                    Span::new(round.label.span.end.clamp(span.start, span.end), span.end),
                    stated,
                )
            }
            None => self.body(span, None),
        };
        let (Some(worked), Some(&(_, first)), Some(&(_, last))) =
            (worked, rounds.first(), rounds.last())
        else {
            return Round {
                label: String::new(),
                name: String::new(),
                words: self.said(&words, in_full),
                notes: Vec::new(),
                count: String::new(),
                yarns: String::new(),
                boxes: vec![1],
            };
        };
        let places: Vec<usize> = rounds.iter().map(|(place, _)| *place).collect();
        let several = first.number != last.number;
        let word = match (first.kind, several) {
            (RoundKind::Round, false) => "Round",
            (RoundKind::Round, true) => "Rounds",
            (RoundKind::Row, false) => "Row",
            (RoundKind::Row, true) => "Rows",
        };
        let label = match several {
            true => format!("{}–{}", first.number, last.number),
            false => first.number.to_string(),
        };
        let count = count(&rounds);
        let letters = self.yarns(worked, &places);
        let of_each = (rounds.len() as u32).min(MOST_BOXES);
        Round {
            name: format!("{word} {}", label.replace('–', " to ")),
            label,
            words: self.said(&words, in_full),
            notes: self.notes(worked, &places, in_full),
            count: match in_full {
                true => in_words(&count, several),
                false => count,
            },
            yarns: match in_full {
                true => self.yarns_in_words(&letters),
                false => letters.join(" "),
            },
            boxes: vec![of_each; worked.make.clamp(1, MOST_COPIES) as usize],
        }
    }

    /// The words of a round without its label and its total.
    fn body(&self, words: Span, stated: Option<Span>) -> String {
        let stated = stated.filter(|stated| stated.start >= words.start && stated.end <= words.end);
        let text = match stated {
            Some(stated) => {
                let before = self.source.slice(Span::new(words.start, stated.start));
                let after = self.source.slice(Span::new(stated.end, words.end));
                let before = before
                    .trim_end()
                    .trim_end_matches(['=', '–', '→', '-'])
                    .trim_end();
                let after = after.trim_start_matches(['.', ' ']);
                match after.trim().is_empty() {
                    true => before.to_owned(),
                    false => format!("{before} {after}").replace(" ,", ","),
                }
            }
            None => self.source.slice(words).to_owned(),
        };
        let text = shown(&text);
        let text = text.trim_start_matches([':', '.', ')', '-', '–', '—', '|', ' ', '*', '_']);
        let text = text.trim_end_matches(['|', ' ']);
        text.to_owned()
    }

    /// Letters of the yarns of some rounds in the order of work, where the pattern has several.
    fn yarns(&self, piece: &Piece, rounds: &[usize]) -> Vec<String> {
        if self.fabric.yarns.len() < 2 {
            return Vec::new();
        }
        let mut letters: Vec<String> = Vec::new();
        for &round in rounds {
            for (_, stitch) in piece.round_stitches(&piece.rounds[round]) {
                let yarn = stitch
                    .yarn
                    .and_then(|yarn| self.fabric.yarns.get(usize::from(yarn.0)));
                if let Some(yarn) = yarn.filter(|yarn| !letters.contains(&yarn.letter)) {
                    letters.push(yarn.letter.clone());
                }
            }
        }
        letters
    }

    fn yarns_in_words(&self, letters: &[String]) -> String {
        let named: Vec<String> = letters
            .iter()
            .map(|letter| {
                let yarn = self.fabric.yarns.iter().find(|yarn| yarn.letter == *letter);
                match yarn {
                    Some(yarn) if !yarn.name.is_empty() && yarn.name != *letter => {
                        format!("{letter}, {}", yarn.name)
                    }
                    _ => letter.clone(),
                }
            })
            .collect();
        match named.len() {
            0 => String::new(),
            1 => format!("Yarn {}", named[0]),
            _ => format!("Yarns {}", named.join("; ")),
        }
    }

    /// What to have ready for some rounds, and what is open about them.
    fn notes(&self, piece: &Piece, rounds: &[usize], in_full: bool) -> Vec<String> {
        let mut notes = Vec::new();
        for join in &piece.joins {
            let Some((first, _)) = join.stitches.first() else {
                continue;
            };
            if !rounds.contains(&(piece.stitch(*first).round as usize)) {
                continue;
            }
            let part = self.fabric.pieces.get(join.part);
            let name = match part
                .map(|part| part.name.trim())
                .filter(|name| !name.is_empty())
            {
                Some(name) => shown(name),
                None => "the part".to_owned(),
            };
            let name = match part {
                Some(part) if part.make > 1 => format!("{name} {}", join.copy),
                _ => name,
            };
            let layers = match join.layers {
                1 => "one layer".to_owned(),
                2 => "both layers".to_owned(),
                layers => format!("{layers} layers"),
            };
            let stitches = match (join.stitches.len(), in_full) {
                (1, false) => "1 st".to_owned(),
                (count, false) => format!("{count} sts"),
                (1, true) => "1 stitch".to_owned(),
                (count, true) => format!("{count} stitches"),
            };
            notes.push(format!(
                "Have ready: {name}, joined by {stitches} through {layers}."
            ));
        }
        let lengths = rounds.iter().filter_map(|&round| piece.length_at(round));
        if let Some(length) = lengths.into_iter().next() {
            notes.push(format!("Worked {}.", length.says()));
        }
        notes
    }
}

/// What some rounds leave: `18`, `12, 6 sp`, and `18, 24, 30` or `18 to 60` where they differ.
fn count(rounds: &[(usize, &fabric::Round)]) -> String {
    const MOST_TOLD: usize = 4;
    let told = |round: &fabric::Round| match round.stated.and_then(|stated| stated.spaces) {
        Some(spaces) => format!("{}, {spaces} sp", round.count),
        None => round.count.to_string(),
    };
    let mut all: Vec<String> = rounds.iter().map(|(_, round)| told(round)).collect();
    all.dedup();
    match &all[..] {
        [first, .., last] if all.len() > MOST_TOLD => format!("{first} to {last}"),
        _ => all.join(", "),
    }
}

/// The same in full words.
fn in_words(count: &str, several: bool) -> String {
    let each = if several && !count.contains([',', 't']) {
        " in each"
    } else {
        ""
    };
    match count {
        "" => String::new(),
        "1" => "1 stitch".to_owned(),
        _ => match count
            .split_once(", ")
            .filter(|(_, rest)| rest.ends_with(" sp"))
        {
            Some((stitches, spaces)) => format!(
                "{stitches} stitches and {} spaces",
                spaces.trim_end_matches(" sp")
            ),
            None => format!("{count} stitches{each}"),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_are_told_in_words() {
        assert_eq!(in_words("18", false), "18 stitches");
        assert_eq!(in_words("18", true), "18 stitches in each");
        assert_eq!(in_words("12, 6 sp", false), "12 stitches and 6 spaces");
        assert_eq!(in_words("18, 24", true), "18, 24 stitches");
    }
}
