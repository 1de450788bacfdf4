//! The words of a line or sentence, and the numbers among them.

/// A word in small letters, without the marks around it, or a number.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Token {
    /// Letters.
    Word(String),
    /// A number, with `st`, `nd`, `rd` or `th` after it or not.
    Number(f64),
}

impl Token {
    /// True if it is one of these words.
    pub fn is_any(&self, words: &[&str]) -> bool {
        matches!(self, Token::Word(word) if words.contains(&word.as_str()))
    }

    /// The number that it is.
    pub fn number(&self) -> Option<f64> {
        match self {
            Token::Number(number) => Some(*number),
            Token::Word(_) => None,
        }
    }
}

/// The words and numbers of a text, in order.
pub(crate) fn tokens(text: &str) -> Vec<Token> {
    let mut tokens = Vec::new();
    let mut rest = text;
    while let Some(first) = rest.chars().next() {
        let is_digit = |c: char| c.is_ascii_digit();
        if is_digit(first) {
            let is_number = |c: char| is_digit(c) || c == '.' || c == ',';
            let end = rest.find(|c| !is_number(c)).unwrap_or(rest.len());
            let digits = rest[..end].trim_end_matches(['.', ',']).replace(',', ".");
            rest = &rest[end..];
            let Ok(mut number) = digits.parse::<f64>() else {
                continue;
            };
            for (sign, part) in [('½', 0.5), ('¼', 0.25), ('¾', 0.75)] {
                if let Some(after) = rest.strip_prefix(sign) {
                    number += part;
                    rest = after;
                }
            }
            for ending in ["st", "nd", "rd", "th"] {
                let after = rest.strip_prefix(ending);
                let after = after.filter(|after| !after.starts_with(char::is_alphabetic));
                rest = after.unwrap_or(rest);
            }
            tokens.push(Token::Number(number));
        } else if first.is_alphabetic() {
            let end = rest
                .find(|c: char| !c.is_alphabetic())
                .unwrap_or(rest.len());
            tokens.push(Token::Word(rest[..end].to_lowercase()));
            rest = &rest[end..];
        } else {
            rest = &rest[first.len_utf8()..];
        }
    }
    tokens
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_and_words_are_told_apart() {
        let word = |word: &str| Token::Word(word.to_owned());
        assert_eq!(
            tokens("Rnds 9-10, the 22nd st: 2½ in, 1,5 cm."),
            [
                word("rnds"),
                Token::Number(9.0),
                Token::Number(10.0),
                word("the"),
                Token::Number(22.0),
                word("st"),
                Token::Number(2.5),
                word("in"),
                Token::Number(1.5),
                word("cm"),
            ]
        );
    }
}
