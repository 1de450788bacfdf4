//! The word of the trade that a misspelt one stands for.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use super::words;

/// Longer words are not looked at.
const LONGEST: usize = 16;

/// Words of every day that are one slip from one of the trade.
const EVERYDAY: &[&str] = &[
    "bath", "bend", "best", "boat", "chair", "chin", "cord", "cork", "fall", "fast", "form",
    "full", "hock", "hoof", "hoop", "lash", "lead", "list", "look", "loom", "lost", "mare",
    "marked", "mere", "most", "neat", "nest", "others", "past", "pose", "posh", "ram", "rang",
    "rim", "rum", "rung", "saw", "some", "sow", "staff", "stiff", "tern", "text", "than", "them",
    "they", "thin", "tight", "till", "width", "wit", "yard",
];

/// The one word of the trade that differs from `word` (in lower case) by a letter left out, put in or changed, or by two
/// neighbours swapped, and begins with the same letter. `None` if there are several or none, or if `word` is one of every day.
pub fn nearest(word: &str) -> Option<&'static str> {
    let letters: Vec<char> = word.chars().take(LONGEST + 1).collect();
    if !(3..=LONGEST).contains(&letters.len()) || EVERYDAY.contains(&word) {
        return None;
    }
    let index = index();
    // A word that stands in a phrase is no slip.
    if index.get(word).is_some_and(|known| known.contains(&word)) {
        return None;
    }
    let mut found: Option<&'static str> = None;
    let mut several = false;
    let mut swapped: Option<&'static str> = None;
    let shorter = (0..letters.len()).map(|at| without(&letters, at));
    for key in std::iter::once(word.to_owned()).chain(shorter) {
        for &known in index.get(&key).map_or(&[][..], Vec::as_slice) {
            let other: Vec<char> = known.chars().collect();
            if known == word || other[0] != letters[0] || !is_one_slip(&letters, &other) {
                continue;
            }
            // Letters in the wrong order are the likeliest slip.
            if is_swap(&letters, &other) {
                swapped = Some(known);
            }
            match found {
                Some(before) if before == known => {}
                // `scs` and `sc` are one word.
                Some(before) if known.strip_suffix('s') == Some(before) => {}
                Some(before) if before.strip_suffix('s') == Some(known) => found = Some(known),
                Some(_) => several = true,
                None => found = Some(known),
            }
        }
    }
    swapped.or(found.filter(|_| !several))
}

fn is_swap(a: &[char], b: &[char]) -> bool {
    let differ: Vec<usize> = (0..a.len().min(b.len()))
        .filter(|&i| a[i] != b[i])
        .collect();
    a.len() == b.len() && matches!(differ[..], [i, j] if j == i + 1 && a[i] == b[j] && a[j] == b[i])
}

fn without(letters: &[char], at: usize) -> String {
    let (head, tail) = (&letters[..at], &letters[at + 1..]);
    head.iter().chain(tail).collect()
}

/// The trade's words by themselves and by what is left of them without one letter.
fn index() -> &'static BTreeMap<String, Vec<&'static str>> {
    static INDEX: OnceLock<BTreeMap<String, Vec<&'static str>>> = OnceLock::new();
    INDEX.get_or_init(|| {
        let mut index: BTreeMap<String, Vec<&'static str>> = BTreeMap::new();
        let mut put = |key: String, word| {
            let words = index.entry(key).or_default();
            if words.last() != Some(&word) {
                words.push(word);
            }
        };
        for word in words::single_words() {
            let letters: Vec<char> = word.chars().collect();
            if letters.len() < 2 || letters.len() > LONGEST {
                continue;
            }
            put(word.to_owned(), word);
            for at in 0..letters.len() {
                put(without(&letters, at), word);
            }
        }
        index
    })
}

/// True if one letter is left out, put in or changed, or two neighbours are swapped.
pub fn is_one_slip(a: &[char], b: &[char]) -> bool {
    let same_head = a.iter().zip(b).take_while(|(x, y)| x == y).count();
    let (ta, tb) = (&a[same_head..], &b[same_head..]);
    match (ta, tb) {
        ([], [_]) | ([_], []) => true,
        ([_, ra @ ..], [_, rb @ ..]) if ra == rb => true,
        ([_, ra @ ..], tb) if ra == tb => true,
        (ta, [_, rb @ ..]) if ta == rb => true,
        ([x1, x2, ra @ ..], [y1, y2, rb @ ..]) => x1 == y2 && x2 == y1 && ra == rb,
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::nearest;

    #[test]
    fn one_slip_finds_the_word_meant() {
        for (word, meant) in [
            ("arround", "around"),
            ("aroud", "around"),
            ("rnig", "ring"),
            ("ech", "each"),
            ("icn", "inc"),
            ("scc", "sc"),
            ("nxet", "next"),
        ] {
            assert_eq!(nearest(word), Some(meant), "{word}");
        }
    }

    #[test]
    fn words_of_every_day_and_those_far_from_all_others_stay() {
        for word in ["form", "look", "qdc", "gannet", "zz", "wobblewobblewobble"] {
            assert_eq!(nearest(word), None, "{word}");
        }
    }
}
