//! A hook's size in millimetres and in US letters or numbers.

use super::draft::{Draft, Place, Sentence};
use crate::prose::Word;
use crate::prose::lengths::{Length, length_at};
use crate::source::{Problem, Span};
use crate::terms::hooks::SIZES;

/// Metric sizes between those of the table, which makers sell under the letter next to them: such a pair can't be called wrong.
const BETWEEN: &[f64] = &[2.0, 2.5, 3.0];

/// A hook whose metric and US sizes do not belong together.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    draft
        .prose
        .sentences
        .iter()
        .filter(|sentence| matches!(sentence.place, Place::Front | Place::Materials))
        .filter(|sentence| sentence.has(&["hook", "hooks"]))
        .filter_map(|sentence| in_sentence(draft, sentence))
        .collect()
}

fn in_sentence(draft: &Draft<'_>, sentence: &Sentence<'_>) -> Option<Problem> {
    let words = &sentence.words;
    // A list without full stops is one sentence: the size of a hook stands on the hook's own line.
    let text = draft.source.text();
    let hooks: Vec<Span> = words
        .iter()
        .filter(|word| word.is_any(&["hook", "hooks"]))
        .map(|word| word.span)
        .collect();
    // How far away a hook is on the length's line, whatever stands behind a comma being farther.
    let from_a_hook = |length: &Length| {
        let on_line = hooks
            .iter()
            .filter(|&&hook| on_one_line(text, hook, length.span));
        let gaps = on_line.map(|hook| gap(*hook, length.span));
        gaps.map(|gap| (text[gap.range()].contains([',', ';']), gap.range().len()))
            .min()
    };
    // The length of a gauge or of the toy may stand on the same line.
    let length = (0..words.len())
        .filter_map(|at| length_at(words, at).filter(|length| !length.is_imperial))
        .filter_map(|length| Some((from_a_hook(&length)?, length)))
        .min_by_key(|&(away, _)| away)
        .map(|(_, length)| length)?;
    let (us, span) = us_size(draft, sentence, &length)?;
    let meant: Vec<f64> = sizes_of(&us).collect();
    let near = |mm: &f64| (mm - length.mm).abs() <= 0.25 + 1e-9;
    let fits = meant.iter().any(|mm| (mm - length.mm).abs() < 1e-9)
        || BETWEEN.contains(&length.mm) && meant.iter().any(near);
    if meant.is_empty() || fits {
        return None;
    }
    Some(
        Problem::warning(
            "hook-sizes",
            length.span.to(span),
            format!("a {} mm hook is not the US size {us}", length.mm),
        )
        .help(format!(
            "US {us} is {} mm; makers differ, so millimetres decide",
            meant[0]
        )),
    )
}

/// What stands between two places.
fn gap(one: Span, other: Span) -> Span {
    let (end, start) = (one.end.min(other.end), one.start.max(other.start));
    Span::new(end, start.max(end))
}

/// True if no line ends between two places.
fn on_one_line(text: &str, one: Span, other: Span) -> bool {
    let (first, last) = (one.start.min(other.start), one.end.max(other.end));
    !text[first..last].contains('\n')
}

/// The US size in the same sentence, in capitals: `E`, `E-4`, `US 7`.
fn us_size(draft: &Draft<'_>, sentence: &Sentence<'_>, length: &Length) -> Option<(String, Span)> {
    let words = &sentence.words;
    let text = draft.source.text();
    let number_after = |at: usize| {
        let number = words.get(at + 1)?;
        let glue = &text[words[at].span.end..number.span.start];
        let is_one = number.whole_number().is_some() && matches!(glue, "-" | "/" | "" | "‑" | "–");
        is_one.then_some(number)
    };
    let is_size = |at: usize| {
        let word = &words[at];
        let same_line = on_one_line(text, word.span, length.span);
        let outside = word.span.start >= length.span.end || word.span.end <= length.span.start;
        let after_us =
            at > 0 && words[at - 1].is_any(&["us", "usa", "size"]) && !is_thread(words, at);
        // `10 g navy (B), 3.5 mm hook`: that is a yarn.
        let beside = !text[gap(word.span, length.span).range()].contains([',', ';']);
        let apart = beside && text[..word.span.start].ends_with(['(', '/', '[']);
        // `I` alone is the designer, also in `(I used coral)`.
        let says_i = |word: &Word<'_>| word.text == "I" && text[word.span.end..].starts_with(' ');
        let is_letter = SIZES.iter().any(|(_, letter, _)| *letter == word.text)
            && (after_us || apart && !says_i(word) || number_after(at).is_some());
        let is_size = is_letter || after_us && word.whole_number().is_some();
        (outside && same_line && is_size)
            .then_some((!after_us, gap(word.span, length.span).range().len()))
    };
    let places = (0..words.len()).filter_map(|at| Some((is_size(at)?, at)));
    let (_, place) = places.min()?;
    let first = words[place];
    let number = number_after(place);
    match number.filter(|_| first.whole_number().is_none()) {
        Some(number) => Some((
            format!("{}-{}", first.text, number.text),
            first.span.to(number.span),
        )),
        None => Some((first.text.to_owned(), first.span)),
    }
}

/// `Thread size 10`, `size 10 cotton`: the number is that of a thread.
fn is_thread(words: &[Word<'_>], at: usize) -> bool {
    const THREADS: &[&str] = &["thread", "cotton", "yarn", "floss"];
    let before = &words[at.saturating_sub(2)..at];
    let after = words
        .get(at + 1)
        .filter(|_| before.iter().any(|word| word.is("size")));
    before.iter().chain(after).any(|word| word.is_any(THREADS))
}

/// The metric sizes that a US size stands for. A letter and a number that do not belong together stand for both.
fn sizes_of(us: &str) -> impl Iterator<Item = f64> {
    let (letter, number) = us.split_once('-').unwrap_or((us, us));
    SIZES
        .iter()
        .filter(move |(_, of, n)| (!of.is_empty() && *of == letter) || *n == number)
        .map(|&(mm, _, _)| mm)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// matifs.com, "crochet hooks size chart".
    #[test]
    fn the_table_knows_letters_and_numbers() {
        let sizes = |us: &str| sizes_of(us).collect::<Vec<f64>>();
        assert_eq!(sizes("E-4"), [3.5]);
        assert_eq!(sizes("E"), [3.5]);
        assert_eq!(sizes("7"), [4.5]);
        assert_eq!(sizes("N"), [9.0, 10.0]);
        assert!(sizes("Z").is_empty());
    }
}
