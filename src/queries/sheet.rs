//! The query sheet: every problem with a number, its words, its arithmetic, its likeliest mend and the rounds that this would touch.

use super::arithmetic::{self, Arithmetic};
use super::compare::{self, Pair};
use super::trial::{Changed, Trials};
use crate::fabric::{Fabric, Piece, RoundKind};
use crate::pattern::Pattern;
use crate::source::{Mend, Problem, Source, Span};

/// Letters of a line that are shown before and after a mend.
const AROUND: usize = 150;

/// A problem as the sheet asks about it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Query<'p> {
    /// Its number on the sheet, from 1.
    pub number: usize,
    /// What it is about.
    pub problem: &'p Problem,
    /// What the round takes and makes as it stands, and with the mend; in sentences.
    pub arithmetic: Option<String>,
    /// What would mend it, the likeliest change first. The problem has a mend itself where one is likelier than the others.
    pub offers: &'p [Mend],
    /// The rounds that come out otherwise with the mend, and the one whose words it changes. Empty where there is no one mend.
    pub touches: Vec<Rounds>,
}

/// Rounds of a piece that follow each other.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rounds {
    /// The piece's name, or an empty string.
    pub piece: String,
    /// Rounds or rows.
    pub kind: RoundKind,
    /// Number of the first.
    pub first: u32,
    /// Number of the last.
    pub last: u32,
}

/// Numbers the problems, each with the mends that `offer_mends` found for it.
pub fn queries<'p>(
    source: &Source,
    pattern: &Pattern,
    fabric: &Fabric,
    problems: &'p [Problem],
    offers: &'p [Vec<Mend>],
) -> Vec<Query<'p>> {
    let mut trials = Trials::new(source, pattern, fabric, problems);
    let each = problems.iter().zip(offers).enumerate();
    each.map(|(place, (problem, offers))| {
        let changed = match (&problem.mend, &mut trials) {
            (Some(mend), Some(trials)) => trials.changed(std::slice::from_ref(mend)),
            _ => None,
        };
        let mended = problem.mend.as_ref().zip(changed.as_ref());
        Query {
            number: place + 1,
            problem,
            arithmetic: arithmetic_of(pattern, fabric, problem, mended),
            offers,
            touches: mended
                .map(|(mend, changed)| touched(fabric, changed, mend))
                .unwrap_or_default(),
        }
    })
    .collect()
}

/// The codes of problems that arithmetic makes plain.
fn is_arithmetic(code: &str) -> bool {
    matches!(
        code,
        "count" | "too-few-stitches" | "stitches-left" | "repeat-does-not-fit" | "part-width"
    )
}

fn arithmetic_of(
    pattern: &Pattern,
    fabric: &Fabric,
    problem: &Problem,
    mended: Option<(&Mend, &Changed)>,
) -> Option<String> {
    if !is_arithmetic(problem.code) {
        return None;
    }
    let Arithmetic { does, beside } = arithmetic::of_round(pattern, fabric, problem.span)?;
    let mut words = format!("As written the round {does}");
    if !beside.is_empty() {
        words += &format!("; {}", beside.join(" and "));
    }
    words.push('.');
    // The mend lies in this round or the one above, so the round begins where it did, but for the digits above it.
    let after = mended.and_then(|(mend, changed)| {
        let shift = |at: usize| match at > mend.span.start {
            true => (at + mend.text.len()).saturating_sub(mend.span.end - mend.span.start),
            false => at,
        };
        let start = super::slip::round_at(pattern, problem.span)?.span.start;
        let at = shift(start);
        arithmetic::of_round(&changed.pattern, &changed.fabric, Span::new(at, at))
    });
    if let Some(after) = after.filter(|after| after.does != does) {
        words += &format!(" With the mend it {}", after.does);
        if after.beside != beside {
            words += &format!("; {}", after.beside.join(" and "));
        }
        words.push('.');
    }
    Some(words)
}

/// The rounds that are not worked as before, and the round whose words the mend changes.
fn touched(fabric: &Fabric, changed: &Changed, mend: &Mend) -> Vec<Rounds> {
    let (old, new) = compare::yarns(fabric, &changed.fabric);
    let names = compare::names(fabric);
    let mut touched: Vec<Rounds> = Vec::new();
    for (before, after) in fabric.pieces.iter().zip(&changed.fabric.pieces) {
        let was = compare::rounds(before, &old, &names);
        let is = compare::rounds(after, &new, &names);
        for pair in compare::line_up(&was, &is) {
            match pair {
                Pair::Same(a, b) | Pair::Changed(a, b) => {
                    let span = before.rounds[a].span;
                    let mended = span.start <= mend.span.start && mend.span.end <= span.end;
                    if mended || !was[a].makes_as(&is[b]) {
                        add(&mut touched, before, a);
                    }
                }
                Pair::Gone(place) => add(&mut touched, before, place),
                Pair::New(place) => add(&mut touched, after, place),
            }
        }
    }
    touched
}

fn add(touched: &mut Vec<Rounds>, piece: &Piece, place: usize) {
    let round = &piece.rounds[place];
    if let Some(run) = touched.last_mut()
        && run.piece == piece.name
        && run.kind == round.kind
        && run.last.checked_add(1) == Some(round.number)
    {
        run.last = round.number;
        return;
    }
    touched.push(Rounds {
        piece: piece.name.clone(),
        kind: round.kind,
        first: round.number,
        last: round.number,
    });
}

impl Rounds {
    /// `Rnd 4` or `Rnds 4–6` or `Row 2`, without the piece.
    pub fn label(&self) -> String {
        let word = match self.kind {
            RoundKind::Round => "Rnd",
            RoundKind::Row => "Row",
        };
        if self.first == self.last {
            format!("{word} {}", self.first)
        } else {
            format!("{word}s {}–{}", self.first, self.last)
        }
    }
}

/// The sheet as Markdown. `title` names the pattern.
pub fn sheet(source: &Source, title: &str, queries: &[Query<'_>]) -> String {
    let title = match title.trim() {
        "" => &source.name,
        title => title,
    };
    let mut text = format!("# Queries on {}\n", plain(title));
    if queries.is_empty() {
        text += "\nNo queries: everything comes out.\n";
    }
    for query in queries {
        text += "\n";
        text += &entry(source, query);
    }
    text
}

fn entry(source: &Source, query: &Query<'_>) -> String {
    let problem = query.problem;
    let line = source.line_of(problem.span.start);
    let level = problem.level.name();
    let mut text = format!(
        "## {}. Line {line}: {level} ({})\n\n",
        query.number, problem.code
    );
    let whole = source.line_span(line - 1);
    text += &format!("> {}\n\n", code(source.slice(whole).trim()));
    text += &format!("{}.", sentence(&problem.message));
    let words = source.slice(problem.span);
    if !words.is_empty() && words.trim() != source.slice(whole).trim() {
        text += &format!(" The words: {}.", code(words));
    }
    text += "\n";
    let mut points = Vec::new();
    points.extend(query.arithmetic.clone());
    match query.offers {
        [] => points.extend(
            problem
                .help
                .as_ref()
                .map(|help| format!("{}.", sentence(help))),
        ),
        [mend] => points.push(format!("Mend: {}.", mend_words(source, mend))),
        several => points.extend(several.iter().zip('a'..='z').map(|(mend, letter)| {
            let likeliest = letter == 'a' && problem.mend.is_some();
            format!(
                "Mend {}{letter}{}: {}.",
                query.number,
                if likeliest { ", the likeliest" } else { "" },
                mend_words(source, mend)
            )
        })),
    }
    if !query.touches.is_empty() {
        points.push(format!("Touches {}.", touches(&query.touches)));
    }
    if !points.is_empty() {
        text.push('\n');
    }
    for point in points {
        text += &format!("- {point}\n");
    }
    text
}

/// `change 5 to 6, so that it reads (sc, inc) x 6 (18)`
fn mend_words(source: &Source, mend: &Mend) -> String {
    let (old, new) = (source.slice(mend.span), mend.text.as_str());
    let change = match (old.is_empty(), new.is_empty()) {
        (true, _) => format!("put in {}", code(new)),
        (_, true) => format!("leave out {}", code(old)),
        _ => format!("change {} to {}", code(old), code(new)),
    };
    let line = source.line_span(source.line_of(mend.span.start) - 1);
    let end = mend.span.end.max(line.end);
    let before = source.slice(Span::new(line.start, mend.span.start));
    let after = source.slice(Span::new(mend.span.end, end));
    // Of a line without end, what stands around the change.
    let from = before.char_indices().rev().nth(AROUND);
    let to = after.char_indices().nth(AROUND);
    let before = &before[from.map_or(0, |(at, _)| at)..];
    let after = &after[..to.map_or(after.len(), |(at, _)| at)];
    let cut = |is_cut| if is_cut { "…" } else { "" };
    let (start, end) = (cut(from.is_some()), cut(to.is_some()));
    let reads = format!("{}{new}{}", before.trim_start(), after.trim_end());
    format!(
        "{change}, so that it reads {}",
        code(&format!("{start}{reads}{end}"))
    )
}

fn touches(touches: &[Rounds]) -> String {
    const MOST: usize = 12;
    let mut words: Vec<String> = touches
        .iter()
        .take(MOST)
        .map(|rounds| match rounds.piece.as_str() {
            "" => rounds.label(),
            piece => format!("{} of {}", rounds.label(), plain(piece)),
        })
        .collect();
    if touches.len() > MOST {
        words.push(format!("{} more", touches.len() - MOST));
    }
    words.join(", ")
}

/// The words with a capital.
fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().into_iter().flat_map(char::to_uppercase);
    plain(&first.chain(letters).collect::<String>())
}

/// Words as they stand in Markdown prose. Stars outside of code would make it italic.
pub(super) fn plain(words: &str) -> String {
    let mut text = String::with_capacity(words.len());
    let mut in_code = false;
    for c in one_line(words).chars() {
        in_code ^= c == '`';
        if !in_code && matches!(c, '*' | '_' | '[' | ']' | '<' | '>' | '#' | '\\') {
            text.push('\\');
        }
        text.push(c);
    }
    text
}

/// Words as code in Markdown, whatever backticks they have.
pub(super) fn code(words: &str) -> String {
    let words = one_line(words);
    let mut longest = 0;
    let mut run = 0;
    for c in words.chars() {
        run = if c == '`' { run + 1 } else { 0 };
        longest = longest.max(run);
    }
    let fence = "`".repeat(longest + 1);
    let space = if longest > 0 || words.is_empty() {
        " "
    } else {
        ""
    };
    format!("{fence}{space}{words}{space}{fence}")
}

/// The words on one line, at most so many letters as anyone reads.
fn one_line(words: &str) -> String {
    const LONGEST: usize = 400;
    let words = words.split(|c: char| c.is_whitespace() || c.is_control());
    let words = words.filter(|word| !word.is_empty());
    let spaced = words.flat_map(|word| [" ", word]).skip(1);
    let mut letters = spaced.flat_map(str::chars);
    let mut line: String = letters.by_ref().take(LONGEST).collect();
    if letters.next().is_some() {
        line.push('…');
    }
    line
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_stay_words_in_markdown() {
        assert_eq!(code("a `b``c`"), "``` a `b``c` ```");
        assert_eq!(code("*sc,\ninc*"), "`*sc, inc*`");
        assert_eq!(plain("*sc* in `a*b` <i>"), "\\*sc\\* in `a*b` \\<i\\>");
        assert_eq!(code(&"x ".repeat(1000)).chars().count(), 400 + 3);
    }
}
