//! Names of stitches in words that are kept, where the terms change around them.

use crate::source::{Problem, Source, Span, quoted};
use crate::terms::words::{self, Word};
use crate::terms::{Height, Stitch, Terms};

/// Most notes about one text.
const MOST: usize = 200;

/// Names of stitches in the lines that define a pattern's own, each with its name in the new terms.
pub(super) fn definitions(
    source: &Source,
    lines: &[Span],
    old: Terms,
    new: Terms,
) -> Vec<(Span, String)> {
    let mut names = Vec::new();
    for &line in lines {
        let words = words_of(source, line);
        let mut at = 0;
        while at < words.len() {
            let found = words::longest(|i| words.get(at + i).map(|word| &*word.lower), old);
            let taken = found.map_or(1, |(_, taken)| taken);
            let span = words[at].span.to(words[at + taken - 1].span);
            let name = found.and_then(|(word, _)| other_name(word, &words[at].lower, taken, new));
            names.extend(name.map(|name| (span, name)));
            at += taken;
        }
    }
    names
}

/// Points out every name of a stitch of the old terms in these stretches that has another name, or another meaning, in the new ones.
pub(super) fn problems(source: &Source, kept: &[Span], old: Terms, new: Terms) -> Vec<Problem> {
    let mut problems = Vec::new();
    for &span in kept {
        let list = words_of(source, span);
        let mut at = 0;
        while at < list.len() && problems.len() < MOST {
            let found = words::longest(|i| list.get(at + i).map(|word| &*word.lower), old);
            let taken = found.map_or(1, |(_, taken)| taken);
            let words = list[at].span.to(list[at + taken - 1].span);
            if let Some(name) =
                found.and_then(|(word, _)| other_name(word, &list[at].lower, taken, new))
                && name != source.slice(words).to_lowercase()
            {
                problems.push(
                    Problem::note(
                        "terms-left",
                        words,
                        format!(
                            "{} in kept words is in {} terms",
                            quoted(source.slice(words)),
                            old.name()
                        ),
                    )
                    .help(format!("in {} terms it is `{name}`", new.name())),
                );
            } else if is_custom(&list[at].lower, old)
                && list
                    .get(at + 1)
                    .is_some_and(|word| word.lower.starts_with("term"))
            {
                problems.push(Problem::note(
                    "terms-left",
                    words,
                    format!(
                        "these words speak of {} terms, and the pattern is in {} terms now",
                        old.name(),
                        new.name()
                    ),
                ));
            }
            at += taken;
        }
    }
    problems
}

fn is_custom(word: &str, terms: Terms) -> bool {
    match terms {
        Terms::Us => matches!(word, "us" | "american"),
        Terms::Uk => matches!(word, "uk" | "british"),
    }
}

/// What a word of the old terms is called in the new ones, as short or as long as it stands; `None` if it is no such word.
fn other_name(word: Word, first: &str, taken: usize, new: Terms) -> Option<String> {
    match word {
        Word::Stitch(height) if height > Height::Slip => {
            // `a single piece`
            if taken == 1 && matches!(first, "single" | "s") {
                return None;
            }
            let stitch = Stitch::plain(height);
            let in_full = taken > 1 || first == "treble" || first == "trebles";
            Some(if in_full {
                stitch.name(new)
            } else {
                stitch.abbreviation(new)
            })
        }
        _ => None,
    }
}

struct Piece {
    lower: String,
    span: Span,
}

/// The words of a stretch: letters, with digits parting them as they do in `sc2tog`.
fn words_of(source: &Source, span: Span) -> Vec<Piece> {
    let text = source.slice(span);
    let mut pieces: Vec<Piece> = Vec::new();
    let mut start = None;
    for (at, c) in text.char_indices().chain([(text.len(), ' ')]) {
        let is_word = c.is_alphabetic() || matches!(c, '\'' | '’');
        match (start, is_word) {
            (None, true) => start = Some(at),
            (Some(from), false) => {
                pieces.push(Piece {
                    lower: text[from..at].to_lowercase(),
                    span: Span::new(span.start + from, span.start + at),
                });
                start = None;
            }
            _ => {}
        }
    }
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;

    fn left(text: &str, old: Terms, new: Terms) -> Vec<String> {
        let source = Source::new("t", text);
        let all = Span::new(0, text.len());
        let problems = problems(&source, &[all], old, new);
        let words = |p: &Problem| {
            format!(
                "{} {}",
                source.slice(p.span),
                p.help.clone().unwrap_or_default()
            )
        };
        problems.iter().map(words).collect()
    }

    #[test]
    fn a_stitch_of_the_pattern_s_own_is_defined_in_the_new_terms() {
        let source = Source::new("t", "shell: (3 dc, ch 1, sc2tog) in one st");
        let all = Span::new(0, source.text().len());
        let named = definitions(&source, &[all], Terms::Us, Terms::Uk);
        let words: Vec<String> = named
            .iter()
            .map(|(span, name)| format!("{} {name}", source.slice(*span)))
            .collect();
        assert_eq!(words, ["dc tr", "sc dc"]);
    }

    #[test]
    fn names_of_the_old_terms_are_found_and_nothing_else() {
        assert_eq!(
            left(
                "Sew with a single thread over 3 sc; work a double crochet.",
                Terms::Us,
                Terms::Uk
            ),
            [
                "sc in UK terms it is `dc`",
                "double crochet in UK terms it is `treble`"
            ]
        );
        assert_eq!(
            left("two sl sts, one ch", Terms::Us, Terms::Uk),
            Vec::<String>::new()
        );
        assert_eq!(left("This is in UK terms.", Terms::Uk, Terms::Us).len(), 1);
    }
}
