//! Names of stitches in words that are kept, where the terms change around them.

use crate::source::{Problem, Source, Span, quoted};
use crate::terms::words::{self, Word};
use crate::terms::{Height, Stitch, Terms};

use super::used::skip;

/// Most notes about one text.
const MOST: usize = 200;

/// Names of stitches in words that tell what to work, each with its name in the new terms.
pub(super) fn renamed(
    source: &Source,
    spans: &[Span],
    old: Terms,
    new: Terms,
) -> Vec<(Span, String)> {
    let found = spans
        .iter()
        .flat_map(|&span| names(source, span, old, new, true));
    let found = found.map(|(span, name)| {
        let opens_sentence = source.slice(span).starts_with(char::is_uppercase);
        (span, if opens_sentence { capital(&name) } else { name })
    });
    found.collect()
}

fn capital(name: &str) -> String {
    let mut letters = name.chars();
    let first = letters.next().into_iter().flat_map(char::to_uppercase);
    first.chain(letters).collect()
}

/// Points out every word of the old terms in these stretches of prose that is another, or means another stitch, in the new ones.
pub(super) fn problems(source: &Source, kept: &[Span], old: Terms, new: Terms) -> Vec<Problem> {
    let mut problems = Vec::new();
    for &span in kept {
        for (words, name) in names(source, span, old, new, false) {
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
        }
        let list = words_of(source, span);
        let speaks = list
            .windows(2)
            .filter(|pair| is_custom(&pair[0].lower, old) && pair[1].lower.starts_with("term"));
        problems.extend(speaks.map(|pair| {
            Problem::note(
                "terms-left",
                pair[0].span,
                format!(
                    "these words speak of {} terms, and the pattern is in {} terms now",
                    old.name(),
                    new.name()
                ),
            )
        }));
        if problems.len() >= MOST {
            problems.truncate(MOST);
            break;
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

/// The words of a stretch that are others in the new terms, with these. `told` says that the words tell what to work; in prose
/// `miss` is a word like any other unless stitches come after it.
fn names(source: &Source, span: Span, old: Terms, new: Terms, told: bool) -> Vec<(Span, String)> {
    let list = words_of(source, span);
    let mut names = Vec::new();
    let mut at = 0;
    while at < list.len() {
        let found = words::longest(|i| list.get(at + i).map(|word| &*word.lower), old);
        let taken = found.map_or(1, |(_, taken)| taken);
        let phrase = &list[at..at + taken];
        let span = phrase[0].span.to(phrase[taken - 1].span);
        let name = match found {
            Some((Word::Stitch(Height::Slip), _))
                if !told || taken == 1 && phrase[0].lower.len() > 2 =>
            {
                None
            }
            Some((Word::Stitch(height), _)) => {
                other_name(height, phrase, new).map(|name| (span, name))
            }
            Some((Word::Skip, 1)) if told || stitch_follows(&list[at + 1..], old) => {
                other_skip(&phrase[0].lower, old, new).map(|name| (span, name.to_owned()))
            }
            Some(_) => None,
            None => match other_craft(&phrase[0].lower, new) {
                Some(name) => Some((span, name.to_owned())),
                None => in_compound(&phrase[0], old, new),
            },
        };
        names.extend(name.filter(|(span, name)| *name != source.slice(*span).to_lowercase()));
        at += taken;
    }
    names
}

/// What a stitch is called in the new terms, as short or as long as it stands; `None` for words that may mean something else.
fn other_name(height: Height, phrase: &[Piece], new: Terms) -> Option<String> {
    let (first, last) = (&*phrase[0].lower, &*phrase[phrase.len() - 1].lower);
    // `a single piece`, `it doubles`, `let it slip`
    if height == Height::Chain
        || phrase.len() == 1 && matches!(first, "single" | "doubles" | "sl" | "slip")
    {
        return None;
    }
    let stitch = Stitch::plain(height);
    let in_full = match height {
        Height::Slip => first == "slip" && phrase.len() == 2 && last.starts_with("stitch"),
        _ => phrase.len() > 1 && first.len() > 2 || first.starts_with("treble"),
    };
    let several = last.ends_with('s') && height > Height::Slip;
    let name = if in_full {
        stitch.name(new)
    } else {
        stitch.abbreviation(new)
    };
    Some(if several { name + "s" } else { name })
}

/// `miss` and `skip`.
fn other_skip(word: &str, old: Terms, new: Terms) -> Option<&'static str> {
    match word {
        "missing" if new == Terms::Us => Some("skipping"),
        "skipping" if new == Terms::Uk => Some("missing"),
        "sk" | "skp" => (new == Terms::Uk).then_some("miss"),
        word => (word == skip(old)).then_some(skip(new)),
    }
}

/// Stitches, spaces or a chain are spoken of within a few words.
fn stitch_follows(list: &[Piece], terms: Terms) -> bool {
    const NEAR: usize = 4;
    (0..list.len().min(NEAR)).any(|at| {
        let found = words::longest(|i| list.get(at + i).map(|word| &*word.lower), terms);
        matches!(
            found,
            Some((Word::Stitch(_) | Word::AnyStitch | Word::Space, _))
        )
    })
}

/// Words of the craft that are no stitches (common practice, no source).
fn other_craft(word: &str, new: Terms) -> Option<&'static str> {
    match (word, new) {
        ("tension", Terms::Us) => Some("gauge"),
        ("gauge", Terms::Uk) => Some("tension"),
        ("yrh" | "yoh", Terms::Us) => Some("yo"),
        ("yo", Terms::Uk) => Some("yrh"),
        _ => None,
    }
}

/// The stitch in `FPdc`, `edc`, `dcinc`.
fn in_compound(word: &Piece, old: Terms, new: Terms) -> Option<(Span, String)> {
    const BEFORE: [&str; 9] = ["fp", "bp", "blo", "flo", "inv", "rf", "rb", "e", "f"];
    const AFTER: [&str; 4] = ["inc", "dec", "blo", "flo"];
    let lower = word.lower.as_str();
    if !lower.is_ascii() {
        return None;
    }
    let before = BEFORE
        .iter()
        .find_map(|before| Some(before.len()).filter(|_| lower.starts_with(before)));
    let after = AFTER
        .iter()
        .find_map(|after| Some(after.len()).filter(|_| lower.ends_with(after)));
    let middle = lower.get(before.unwrap_or(0)..lower.len() - after.unwrap_or(0))?;
    if !matches!(middle, "sc" | "hdc" | "dc" | "htr" | "tr" | "dtr") {
        return None;
    }
    let (word_of, _) = words::longest(|i| (i == 0).then_some(middle), old)?;
    let Word::Stitch(height) = word_of else {
        return None;
    };
    let start = word.span.start + before.unwrap_or(0);
    let span = Span::new(start, start + middle.len());
    Some((span, Stitch::plain(height).abbreviation(new)))
}

/// A word of a text.
pub(super) struct Piece {
    /// In lower case.
    pub lower: String,
    pub span: Span,
}

/// The words of a stretch: letters, with digits parting them as they do in `sc2tog`.
pub(super) fn words_of(source: &Source, span: Span) -> Vec<Piece> {
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
        let named = renamed(&source, &[all], Terms::Us, Terms::Uk);
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

    #[test]
    fn prose_of_the_trade_is_pointed_out_word_by_word() {
        assert_eq!(
            left(
                "Check your tension: 20 htr wide. Miss the first dc, but do not miss the boat. Yrh twice for a tr; work FPtr.",
                Terms::Uk,
                Terms::Us
            ),
            [
                "tension in US terms it is `gauge`",
                "htr in US terms it is `hdc`",
                "Miss in US terms it is `skip`",
                "dc in US terms it is `sc`",
                "Yrh in US terms it is `yo`",
                "tr in US terms it is `dc`",
                "tr in US terms it is `dc`",
            ]
        );
        assert_eq!(
            left(
                "Skip a stitch when the gauge doubles; trebles, a half double crochet and sc2tog, the invsc too.",
                Terms::Us,
                Terms::Uk
            ),
            [
                "Skip in UK terms it is `miss`",
                "gauge in UK terms it is `tension`",
                "trebles in UK terms it is `double trebles`",
                "half double crochet in UK terms it is `half treble`",
                "sc in UK terms it is `dc`",
                "sc in UK terms it is `dc`",
            ]
        );
    }

    #[test]
    fn words_that_tell_what_to_work_take_the_short_names_of_the_new_terms() {
        let source = Source::new("t", "Sl st in next sc, skip 1 st, (2 dc, ch 2) x 3");
        let all = Span::new(0, source.text().len());
        let mut named = renamed(&source, &[all], Terms::Us, Terms::Uk).into_iter();
        let mut words = || {
            named
                .next()
                .map(|(span, name)| format!("{} {name}", source.slice(span)))
        };
        for expected in ["Sl st Ss", "sc dc", "skip miss", "dc tr"] {
            assert_eq!(words().as_deref(), Some(expected));
        }
        assert_eq!(words(), None);
    }
}
