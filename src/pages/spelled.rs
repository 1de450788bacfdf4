//! Rounds in full words: every abbreviation of the trade spelled out, for those who hear the page or find short forms hard to read.

use std::collections::BTreeMap;

use crate::terms::{Height, Stitch, Terms};

/// Most stitches that an abbreviation such as `sc3tog` counts together.
const MOST_TOGETHER: u8 = 12;

/// The words with the trade's abbreviations spelled out in these terms: `(sc, inc) x 6` → `(single crochet, increase) 6 times`.
/// Other words and signs stay as they are.
pub fn spelled(words: &str, terms: Terms) -> String {
    let table = Table::new(terms);
    let mut out = String::with_capacity(words.len() * 2);
    let mut rest = words;
    // The number before a word decides whether it stands in the plural.
    let mut number: Option<u64> = None;
    while let Some(first) = rest.chars().next() {
        if first.is_alphanumeric() {
            if let Some((length, times)) = times(rest).filter(|_| out.ends_with([' ', ')', ']'])) {
                out.push_str(&times);
                rest = &rest[length..];
                number = None;
                continue;
            }
            if let Some((phrase, full)) = table.find(rest) {
                let several = number.is_some_and(|number| number != 1);
                out.push_str(full);
                if several && (full == "increase" || full == "decrease" || full == "bobble") {
                    out.push('s');
                }
                rest = &rest[phrase..];
                number = None;
                continue;
            }
            let end = end_of_word(rest);
            number = rest[..end].parse().ok();
            out.push_str(&rest[..end]);
            rest = &rest[end..];
        } else {
            if first != ' ' {
                number = None;
            }
            out.push(first);
            rest = &rest[first.len_utf8()..];
        }
    }
    out
}

/// `x 6` or `× 6` at the start of some words: its length, and `6 times`.
fn times(rest: &str) -> Option<(usize, String)> {
    let after = rest.strip_prefix('x')?;
    let digits = after.trim_start_matches(' ');
    let end = digits
        .find(|c: char| !c.is_ascii_digit())
        .unwrap_or(digits.len());
    let follows = digits[end..].chars().next();
    if end == 0 || follows.is_some_and(char::is_alphanumeric) {
        return None;
    }
    let words = match &digits[..end] {
        "1" => "once".to_owned(),
        "2" => "twice".to_owned(),
        count => format!("{count} times"),
    };
    Some((rest.len() - digits.len() + end, words))
}

fn end_of_word(rest: &str) -> usize {
    rest.find(|c: char| !c.is_alphanumeric())
        .unwrap_or(rest.len())
}

/// Abbreviations with what they stand for.
struct Table {
    full: BTreeMap<String, String>,
    /// Words of the longest abbreviation.
    longest: usize,
}

impl Table {
    fn new(terms: Terms) -> Table {
        let mut full: BTreeMap<String, String> = BTreeMap::new();
        let fixed = [
            ("rnd", "round"),
            ("rnds", "rounds"),
            ("Rnd", "Round"),
            ("Rnds", "Rounds"),
            ("st", "stitch"),
            ("sts", "stitches"),
            ("sp", "space"),
            ("sps", "spaces"),
            ("inc", "increase"),
            ("dec", "decrease"),
            ("invdec", "invisible decrease"),
            ("rep", "repeat"),
            ("beg", "beginning"),
            ("sk", "skip"),
            ("yo", "yarn over"),
            ("MR", "magic ring"),
            ("BLO", "in back loops only"),
            ("FLO", "in front loops only"),
            ("RS", "right side"),
            ("WS", "wrong side"),
            ("tog", "together"),
        ];
        full.extend(fixed.map(|(short, long)| (short.to_owned(), long.to_owned())));
        for height in Height::ALL {
            let plain = Stitch::plain(height);
            let (short, long) = (plain.abbreviation(terms), plain.name(terms));
            full.insert(format!("e{short}"), format!("extended {long}"));
            full.insert(format!("FP{short}"), format!("front post {long}"));
            full.insert(format!("BP{short}"), format!("back post {long}"));
            for count in 2..=MOST_TOGETHER {
                let together = Stitch::together(height, count);
                full.insert(together.abbreviation(terms), together.name(terms));
            }
            full.insert(short, long);
        }
        let longest = full.keys().map(|short| short.split(' ').count()).max();
        Table {
            full,
            longest: longest.unwrap_or(1),
        }
    }

    /// The abbreviation that some words start with, the longest first: its length and what it stands for.
    fn find(&self, rest: &str) -> Option<(usize, &str)> {
        let mut ends = Vec::new();
        let mut end = end_of_word(rest);
        ends.push(end);
        while ends.len() < self.longest && rest[end..].starts_with(' ') {
            end += 1 + end_of_word(&rest[end + 1..]);
            ends.push(end);
        }
        ends.into_iter().rev().find_map(|end| {
            let full = self.full.get(&rest[..end])?;
            Some((end, full.as_str()))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn abbreviations_are_spelled_out_in_the_terms() {
        let us = |words: &str| spelled(words, Terms::Us);
        assert_eq!(us("(sc, inc) x 6"), "(single crochet, increase) 6 times");
        assert_eq!(us("6 sc in magic ring"), "6 single crochet in magic ring");
        assert_eq!(
            us("2 inc, sc2tog, sl st in next st"),
            "2 increases, single crochet 2 together, slip stitch in next stitch"
        );
        assert_eq!(
            us("ch 3 (counts as dc), FPdc around next st"),
            "chain 3 (counts as double crochet), front post double crochet around next stitch"
        );
        assert_eq!(
            us("between Rnds 8 and 9, 6 sts apart"),
            "between Rounds 8 and 9, 6 stitches apart"
        );
        assert_eq!(us("inc x 2"), "increase twice");
        assert_eq!(
            spelled("dc, htr, ss", Terms::Uk),
            "double crochet, half treble, slip stitch"
        );
    }

    #[test]
    fn other_words_stay() {
        for same in [
            "",
            "the first wing",
            "A x B",
            "box 6",
            "étc. <b> #x[1]",
            "scatter",
        ] {
            assert_eq!(spelled(same, Terms::Us), same);
        }
    }
}
