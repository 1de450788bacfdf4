//! Text → plain words with their places, of no trade: letters, or digits.

use super::Span;

/// A word or a number of the text, as it stands there.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Word<'a> {
    pub text: &'a str,
    pub span: Span,
}

impl Word<'_> {
    /// True if it is this word, in capital or small letters.
    pub fn is(&self, word: &str) -> bool {
        self.text.eq_ignore_ascii_case(word)
    }

    /// True if it is one of these words.
    pub fn is_any(&self, words: &[&str]) -> bool {
        words.iter().any(|word| self.is(word))
    }

    /// Its number, in digits or up to twelve in words.
    pub fn number(&self) -> Option<f64> {
        const NAMES: [&str; 12] = [
            "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
            "eleven", "twelve",
        ];
        if self.text.starts_with(|c: char| c.is_ascii_digit()) {
            return self.text.replace(',', ".").parse().ok();
        }
        if self.is("both") {
            return Some(2.0);
        }
        let place = NAMES.iter().position(|name| self.is(name))?;
        Some(place as f64 + 1.0)
    }

    /// Its number in digits, if it is a whole one.
    pub fn whole_number(&self) -> Option<u32> {
        self.text.parse().ok()
    }

    /// The word in small letters without its plural: what it is compared by.
    pub fn stem(&self) -> String {
        stem(self.text)
    }
}

/// A word in small letters without its plural.
pub(crate) fn stem(word: &str) -> String {
    let lower = word.to_lowercase();
    match lower.as_str() {
        "feet" => "foot".to_owned(),
        "teeth" => "tooth".to_owned(),
        "leaves" => "leaf".to_owned(),
        "hooves" => "hoof".to_owned(),
        _ => {
            if let Some(stem) = lower.strip_suffix("ies").filter(|stem| stem.len() > 2) {
                return format!("{stem}y");
            }
            // `patches`, `brushes`, `boxes`, `dresses`
            let hissing = ["ches", "shes", "xes", "sses"];
            let plural = if hissing.iter().any(|end| lower.ends_with(end)) {
                "es"
            } else {
                "s"
            };
            lower.strip_suffix(plural).unwrap_or(&lower).to_owned()
        }
    }
}

/// The words of a stretch of text that starts at byte `from`. Digits are parted from letters; `3.5` is one number.
pub(crate) fn split(text: &str, from: usize) -> impl Iterator<Item = Word<'_>> {
    let mut at = 0;
    std::iter::from_fn(move || {
        // `20"`: the sign for inches is a word of its own.
        let follows_number = text[..at].ends_with(|c: char| c.is_numeric());
        let sign = text[at..]
            .chars()
            .next()
            .filter(|c| matches!(c, '"' | '″' | '”'));
        if let (true, Some(sign)) = (follows_number, sign) {
            let start = at;
            at += sign.len_utf8();
            return Some(Word {
                text: &text[start..at],
                span: Span::new(from + start, from + at),
            });
        }
        let start = at + text[at..].find(char::is_alphanumeric)?;
        let is_digit = text[start..].starts_with(|c: char| c.is_ascii_digit());
        let mut end = start;
        // `¾in` is two words.
        let fraction = text[start..].chars().next();
        if let Some(sign) = fraction.filter(|c| c.is_numeric() && !c.is_ascii_digit()) {
            at = start + sign.len_utf8();
            return Some(Word {
                text: &text[start..at],
                span: Span::new(from + start, from + at),
            });
        }
        let mut letters = text[start..].char_indices().peekable();
        while let Some((offset, letter)) = letters.next() {
            let follows = letters.peek().map(|&(_, next)| next);
            let inner = |wanted: fn(char) -> bool| follows.is_some_and(wanted) && offset > 0;
            let goes_on = if is_digit {
                letter.is_ascii_digit()
                    || matches!(letter, '.' | ',') && inner(|next| next.is_ascii_digit())
            } else {
                letter.is_alphabetic()
                    || matches!(letter, '\'' | '’') && inner(char::is_alphabetic)
                    || letter.is_alphanumeric() && !letter.is_ascii_digit()
            };
            if !goes_on {
                break;
            }
            end = start + offset + letter.len_utf8();
        }
        at = end;
        Some(Word {
            text: &text[start..end],
            span: Span::new(from + start, from + end),
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn digits_are_parted_from_letters_and_apostrophes_belong_to_words() {
        let words: Vec<&str> = split("3.5mm, don't R11–R13 (½ in). 9,", 0)
            .map(|word| word.text)
            .collect();
        let expected = ["3.5", "mm", "don't", "R", "11", "R", "13", "½", "in", "9"];
        assert_eq!(words, expected);
    }

    #[test]
    fn words_are_compared_without_their_plural() {
        assert_eq!(stem("Wings"), "wing");
        assert_eq!(stem("feet"), "foot");
        assert_eq!(stem("berries"), "berry");
        assert_eq!(stem("Benches"), "bench");
        assert_eq!(stem("shoes"), "shoe");
        assert_eq!(stem("leaves"), "leaf");
    }
}
