//! Writing: a pattern again, in one consistent notation.
//!
//! Prose stays as it is, to the byte. Each round is written from what was read (`settled` decides its doubts by the fabric, `spell` and
//! `places` have the words, `round` puts label, body, total and remarks together), the list of abbreviations from what was
//! used. What was written is then read and worked again (`proof`): a round that does not come out as before keeps its old words.

mod abbreviations;
mod edits;
mod labels;
mod materials;
mod own;
mod places;
mod proof;
mod round;
mod settled;
mod spell;
mod style;
mod supplies;
mod terms_left;
mod text;
mod used;

pub use style::{Brackets, Label, Number, Style, Times, Total};

use std::collections::{BTreeMap, BTreeSet};

use crate::fabric::{self, Fabric, YarnId};
use crate::pattern::{self, Act, Instruction, LengthBy, Line, Pattern, RepeatRounds, Round};
use crate::source::{Level, Problem, Source, Span};
use crate::terms::{Height, Terms};

use abbreviations::{Request, Section};
use edits::Edits;
use own::OwnStitches;
use proof::Difference;
use round::{Before, Desk};
use text::{Shape, line_of};
use used::Used;

/// A pattern in its new words.
#[derive(Debug, Clone)]
pub struct Written {
    /// The whole text.
    pub text: String,
    /// What a designer should look at, with places in the old text: rounds kept as they stood, terms left in prose, yarns added.
    pub problems: Vec<Problem>,
}

/// Times that a text is tried before the pieces that come out otherwise keep all of their words.
const TRIES: usize = 6;

/// Writes a pattern again. `pattern` and `fabric` are what reading and working made of `source`.
///
/// The text has always been read and worked again, and gave the same fabric; where no text does, it is the old one, unchanged.
/// Never fails: what has no form of ours is kept as it stands, and a problem says so.
pub fn write(
    source: &Source,
    pattern: &Pattern,
    fabric: &Fabric,
    style: &Style,
    terms: Terms,
) -> Written {
    let mut writer = Writer::new(source, pattern, fabric, *style, terms);
    let mut last = None;
    for attempt in 0..=TRIES {
        let written = writer.draft();
        let Some(differs) = writer.differences(&written.text) else {
            break;
        };
        let Some(&first) = differs.first() else {
            return written;
        };
        last = Some(first);
        match attempt {
            TRIES => break,
            at if at + 1 == TRIES => writer.keep_pieces(&differs),
            _ => writer.keep_first(&differs),
        }
    }
    writer.as_it_stood(last)
}

/// A pattern being written.
struct Writer<'a> {
    source: &'a Source,
    pattern: &'a Pattern,
    fabric: &'a Fabric,
    style: Style,
    terms: Terms,
    shape: Shape,
    section: Option<Section>,
    /// For each piece, the places of its rounds by the words that they come from.
    places: Vec<BTreeMap<Span, Vec<usize>>>,
    /// Rounds that keep their words: piece and line.
    kept: BTreeSet<(usize, usize)>,
}

impl<'a> Writer<'a> {
    fn new(
        source: &'a Source,
        pattern: &'a Pattern,
        fabric: &'a Fabric,
        style: Style,
        terms: Terms,
    ) -> Writer<'a> {
        let places = fabric.pieces.iter().map(|piece| {
            let mut places: BTreeMap<Span, Vec<usize>> = BTreeMap::new();
            for (at, round) in piece.rounds.iter().enumerate() {
                places.entry(round.span).or_default().push(at);
            }
            places
        });
        Writer {
            source,
            pattern,
            fabric,
            style,
            terms,
            shape: Shape::of(source),
            section: Section::find(source, pattern),
            places: places.collect(),
            kept: BTreeSet::new(),
        }
    }

    /// Where a text comes out otherwise; `None` if it has other pieces, or is read in other terms.
    fn differences(&self, text: &str) -> Option<Vec<Difference>> {
        let source = Source::new("", text);
        let (pattern, _) = pattern::read(&source);
        if pattern.terms != self.terms {
            return None;
        }
        let (fabric, _) = fabric::work(&pattern);
        proof::differences(self.fabric, &fabric)
    }

    /// The rounds at which pieces first come out otherwise keep their words.
    fn keep_first(&mut self, differs: &[Difference]) {
        for &Difference { piece, round } in differs {
            let span = round.map(|round| self.fabric.pieces[piece].rounds[round].span);
            let line = self.pattern.pieces[piece]
                .lines
                .iter()
                .position(|line| matches!(line, Line::Round(round) if Some(round.span) == span));
            match line {
                Some(line) => drop(self.kept.insert((piece, line))),
                None => self.keep_pieces(&[Difference { piece, round }]),
            }
        }
    }

    fn keep_pieces(&mut self, differs: &[Difference]) {
        for &Difference { piece, .. } in differs {
            let lines = 0..self.pattern.pieces[piece].lines.len();
            self.kept.extend(lines.map(|line| (piece, line)));
        }
    }

    /// The old text, where no new one comes out the same; `first` is what did not in the last one.
    fn as_it_stood(&self, first: Option<Difference>) -> Written {
        let round = first.and_then(|first| {
            let round = self.fabric.pieces[first.piece].rounds.get(first.round?)?;
            Some(round.span)
        });
        let problem = match round {
            Some(span) => Problem::warning(
                "not-rewritten",
                span,
                "with this round the pattern could not be written again so that it reads the same, and it is left as it stands",
            )
            .help("mend the round, or write it in the words of the others"),
            None => Problem::warning(
                "not-rewritten",
                Span::default(),
                "this pattern could not be written again so that it reads the same, and is left as it stands",
            )
            .help("give each piece a heading of its own: `## Wing (make 2)`"),
        };
        Written {
            text: self.source.text().to_owned(),
            problems: vec![problem],
        }
    }

    fn draft(&self) -> Written {
        let mut edits = Edits::default();
        let mut problems = materials::yarns(
            self.source,
            self.pattern,
            self.fabric,
            self.shape,
            &mut edits,
        );
        let lists_yarns = problems.iter().any(|p| p.code == "yarn-added");
        problems.extend(supplies::add(
            self.source,
            self.pattern,
            self.fabric,
            self.shape,
            &mut edits,
        ));
        let mut used = BTreeSet::new();
        let (mut prose, mut kept) = (Vec::new(), Vec::new());
        self.rounds(
            lists_yarns,
            &mut edits,
            &mut used,
            &mut prose,
            &mut kept,
            &mut problems,
        );
        materials::terms(
            self.source,
            self.pattern,
            self.terms,
            self.shape,
            &mut edits,
        );
        Request {
            source: self.source,
            pattern: self.pattern,
            style: self.style,
            terms: self.terms,
            used: &used,
            prose: &prose,
            kept: &kept,
        }
        .write(self.section.as_ref(), self.shape, &mut edits);
        if self.terms != self.pattern.terms {
            problems.extend(terms_left::problems(
                self.source,
                &prose,
                self.pattern.terms,
                self.terms,
            ));
        }
        problems.sort_by_key(|p| (p.span.start, p.span.end));
        Written {
            text: edits.made(self.source.text()),
            problems,
        }
    }

    /// Writes the rounds, and gathers what is kept of the text: prose, and rounds in their own words.
    fn rounds(
        &self,
        lists_yarns: bool,
        edits: &mut Edits,
        used: &mut BTreeSet<Used>,
        prose: &mut Vec<Span>,
        kept: &mut Vec<Span>,
        problems: &mut Vec<Problem>,
    ) {
        let letter = |name: &str| self.yarn_name(name, lists_yarns);
        let of_stitch = |id: YarnId| {
            let yarn = self.fabric.yarns.get(usize::from(id.0));
            yarn.map_or_else(String::new, |yarn| letter(&yarn.letter))
        };
        let own = OwnStitches::of(self.source, self.pattern);
        let copies = |part: usize| self.fabric.pieces.get(part).map_or(1, |piece| piece.make);
        let desk = Desk {
            source: self.source,
            style: self.style,
            terms: self.terms,
            old_terms: self.pattern.terms,
            yarn: &letter,
            letter: &of_stitch,
            copies: &copies,
            own: &own,
        };
        let mut rewritten: Vec<Span> = self
            .section
            .iter()
            .flat_map(|s| s.spans())
            .copied()
            .collect();
        rewritten.extend(self.pattern.header.terms.as_ref().map(|terms| terms.span));
        let mut end_before = 0;
        for (place, piece) in self.pattern.pieces.iter().enumerate() {
            let Some(worked) = self.fabric.pieces.get(place) else {
                continue;
            };
            let mut before = Before::default();
            for (at, line) in piece.lines.iter().enumerate() {
                let round = match line {
                    // `Rnd 4: continue increasing until 36 sts`: its own words say how far it goes on.
                    Line::Round(round) if goes_on(round, piece.lines.get(at + 1)) => {
                        kept.push(round.span);
                        rewritten.extend(self.renamed(round.span, edits));
                        end_before = round.span.end;
                        continue;
                    }
                    Line::Round(round) => round,
                    Line::RepeatRounds(repeat) => {
                        let is_kept = self.kept.contains(&(place, at));
                        rewritten.extend(self.repeat(repeat, is_kept, edits));
                        let length = repeat.length.as_ref();
                        before.is_open |= length.is_some_and(|length| length.by != LengthBy::Maker);
                        continue;
                    }
                    Line::Between(between) => {
                        rewritten.extend(self.between(&between.acts, between.span, edits, used));
                        continue;
                    }
                    Line::LikePiece(_) | Line::Prose(_) => continue,
                };
                before.is_unsure = round.stated.is_none() && (before.is_unsure || round.flawed);
                let rounds = self.places[place]
                    .get(&round.span)
                    .map_or(&[][..], Vec::as_slice);
                let written = (!self.kept.contains(&(place, at)))
                    .then(|| desk.write(round, worked, rounds, before, used))
                    .flatten();
                match written {
                    Some(written) => {
                        let (span, lead) = self.opening(round.span, end_before);
                        let stop = if self.sentence_follows(span.end, piece) {
                            "."
                        } else {
                            ""
                        };
                        edits.replace(span, lead + &written.text + stop);
                        prose.extend(written.kept);
                        rewritten.push(span);
                        // In the same terms its own words hold.
                        if self.terms != self.pattern.terms
                            && let Some((span, words)) = desk.ending(round, worked, rounds, used)
                        {
                            edits.replace(span, words);
                            rewritten.push(span);
                        }
                    }
                    None => {
                        kept.push(round.span);
                        rewritten.extend(self.renamed(round.span, edits));
                        // The words of other ways and other sizes are meant to stand.
                        if round.choices.is_empty() && !round.several_sizes {
                            problems.push(self.kept_words(round.span));
                        }
                    }
                }
                end_before = round.span.end;
            }
        }
        if self.terms != self.pattern.terms {
            rewritten.extend(self.definitions(edits));
        }
        prose.extend(round::gaps(
            Span::new(0, self.source.text().len()),
            rewritten,
        ));
        prose.sort();
    }

    /// Writes the numbers of a line that repeats rounds as the style has them, and its stitches in the new terms. Gives the
    /// line if its words are no longer those of the old terms.
    /// True if a sentence opens behind a place on its line, and no full stop parts it from what stands before. A round gets a line
    /// of its own.
    fn sentence_follows(&self, at: usize, piece: &pattern::Piece) -> bool {
        let rest = &self.source.text()[at..];
        let words = rest.trim_start_matches([' ', '\t']);
        let start = at + rest.len() - words.len();
        let opens_round =
            |line: &Line| matches!(line, Line::Round(round) if round.span.start == start);
        words.len() < rest.len()
            && words.starts_with(char::is_uppercase)
            && !piece.lines.iter().any(opens_round)
    }

    fn repeat(&self, repeat: &RepeatRounds, is_kept: bool, edits: &mut Edits) -> Option<Span> {
        if !is_kept {
            for (span, words) in labels::labels(self.source, repeat.span, self.style) {
                edits.replace(span, words);
            }
        }
        let chosen = repeat.length.as_ref();
        if let Some(open) = chosen.filter(|length| length.by == LengthBy::Maker) {
            // For this maker it is no longer open.
            let words = self.source.slice(open.words).trim_end_matches('.');
            let span = Span::new(open.words.start, open.words.start + words.len());
            edits.replace(span, often(repeat.times));
        }
        self.renamed(repeat.span, edits)
    }

    /// Names the stitches of a line between rounds in the new terms: a chain to start from, a slip stitch that closes it.
    fn between(
        &self,
        acts: &[Instruction],
        line: Span,
        edits: &mut Edits,
        used: &mut BTreeSet<Used>,
    ) -> Option<Span> {
        settled::each_work(acts, &mut |work| {
            used.extend(work.stitch.height.map(Used::Height));
        });
        if acts.iter().any(|item| item.act == Act::Close) {
            used.insert(Used::Height(Height::Slip));
        }
        // What is told of sewing and stuffing is prose.
        let works = |item: &Instruction| item.act.is_worked() || item.act == Act::Close;
        acts.iter()
            .any(works)
            .then(|| self.renamed(line, edits))
            .flatten()
    }

    fn renamed(&self, line: Span, edits: &mut Edits) -> Option<Span> {
        (self.terms != self.pattern.terms).then(|| {
            self.rename(&[line], edits);
            line
        })
    }

    /// Defines the pattern's own stitches in the new terms, where they stand in no list of abbreviations. Gives their lines.
    fn definitions(&self, edits: &mut Edits) -> Vec<Span> {
        let listed: Vec<Span> = self
            .section
            .iter()
            .flat_map(|s| s.spans())
            .copied()
            .collect();
        let is_listed = |line: &Span| {
            listed
                .iter()
                .any(|other| other.range().contains(&line.start))
        };
        let lines: Vec<Span> = self
            .pattern
            .definitions
            .iter()
            .map(|own| own.span)
            .filter(|line| !is_listed(line))
            .collect();
        self.rename(&lines, edits);
        lines
    }

    /// Names the stitches of words that are kept in the new terms.
    fn rename(&self, spans: &[Span], edits: &mut Edits) {
        let (old, new) = (self.pattern.terms, self.terms);
        for (span, name) in terms_left::renamed(self.source, spans, old, new) {
            edits.replace(span, name);
        }
    }

    /// What a round's new words take the place of, marks of emphasis and bars of a table before it among them, and what
    /// stands before them: a second round of one line goes to a line of its own.
    fn opening(&self, round: Span, end_before: usize) -> (Span, String) {
        let line = line_of(self.source, round.start);
        let before = self.source.slice(Span::new(line.start, round.start));
        // A piece that is gone on with below others has rounds above them.
        if (line.start + 1..=round.start).contains(&end_before) {
            let first = line_of(self.source, end_before);
            let lead = self.source.slice(first);
            let is_bullet = |c: char| c.is_whitespace() || "-*•·".contains(c);
            let bullet = &lead[..lead.len() - lead.trim_start_matches(is_bullet).len()];
            let span = Span::new(end_before, round.end);
            return (span, format!("{}{bullet}", self.shape.eol));
        }
        let kept = before.trim_end_matches(['*', '_', '#']);
        let kept = match kept.trim_end().strip_suffix('|') {
            Some(kept) => kept,
            None => kept,
        };
        // Words of talk before the first round of a line stay above it, and so does a heading.
        let talk = kept.trim_end();
        if talk.starts_with('#') && talk.ends_with(':') {
            let span = Span::new(line.start + talk.len() - 1, round.end);
            return (span, self.shape.eol.to_owned());
        }
        if talk.ends_with(char::is_alphanumeric) {
            let span = Span::new(line.start + talk.len(), round.end);
            return (span, self.shape.eol.to_owned());
        }
        (Span::new(line.start + kept.len(), round.end), String::new())
    }

    fn kept_words(&self, span: Span) -> Problem {
        if self.terms == self.pattern.terms {
            return Problem::note("kept-words", span, "this round is kept in its own words");
        }
        Problem::new(
            Level::Warning,
            "kept-words",
            span,
            format!(
                "this round is kept in its own words, with its stitches named in {} terms",
                self.terms.name()
            ),
        )
        .help("write it in the words of the other rounds, and write the pattern again")
    }

    /// A yarn's letter, by its letter or its colour; its colour where the letter would not be listed or is another's too.
    fn yarn_name(&self, name: &str, lists_yarns: bool) -> String {
        let yarns = &self.fabric.yarns;
        let lower = name.to_lowercase();
        let found = yarns.iter().position(|yarn| {
            yarn.letter == name || !yarn.name.is_empty() && yarn.name.to_lowercase() == lower
        });
        let Some(at) = found else {
            return name.to_owned();
        };
        let yarn = &yarns[at];
        let alone = yarns.iter().filter(|y| y.letter == yarn.letter).count() == 1;
        let listed = match self.pattern.header.yarns.get(at) {
            Some(yarn) => yarn.is_given,
            None => lists_yarns,
        };
        if alone && listed || yarn.name.is_empty() {
            yarn.letter.clone()
        } else {
            yarn.name.clone()
        }
    }
}

/// True if a round's own words ask for more rounds, which the next line stands for.
fn goes_on(round: &Round, next: Option<&Line>) -> bool {
    let range = round.span.range();
    matches!(next, Some(Line::RepeatRounds(more)) if range.contains(&more.span.start))
}

/// `once more`, `eight more times`: after the number of a round, a number in digits would be hard to read.
fn often(times: u32) -> String {
    const NAMES: [&str; 11] = [
        "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
    ];
    match times {
        1 => "once more".to_owned(),
        n => match NAMES.get(n as usize - 2) {
            Some(name) => format!("{name} more times"),
            None => format!("for {n} more times"),
        },
    }
}
