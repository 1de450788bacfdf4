//! Lengths that the maker chooses, as they are typed: `tail=12cm`, `"Rnd 20=8"`.

use crate::pattern::{self, Lengths, Line, OpenLength, Pattern, RepeatRounds};
use crate::source::{Source, limits};

/// One choice.
#[derive(Debug, Clone, PartialEq)]
pub struct LengthChoice {
    name: String,
    amount: Amount,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Amount {
    /// The rounds are worked so often again.
    Times(u32),
    /// The piece is so long in the end.
    Mm(f64),
}

/// Reads what was typed.
pub fn choice(typed: &str) -> Result<LengthChoice, String> {
    const HELP: &str = "write it as `tail=12cm`, or as `\"Rnd 20=8\"` for 8 times more";
    let (name, amount) = typed.split_once('=').ok_or(HELP)?;
    let (name, amount) = (name.trim(), amount.trim());
    if name.is_empty() {
        return Err(HELP.to_owned());
    }
    let amount = match amount.parse::<u32>() {
        Ok(times) if (1..=limits::COUNT).contains(&times) => Amount::Times(times),
        Ok(times) => {
            return Err(format!(
                "{times} is no number of times: it goes from 1 to {}",
                limits::COUNT
            ));
        }
        Err(_) => {
            let is_length = amount.starts_with(|c: char| c.is_ascii_digit());
            let mm = pattern::length_mm(amount).filter(|_| is_length);
            Amount::Mm(
                mm.ok_or_else(|| format!("'{amount}' is neither a length nor a number; {HELP}"))?,
            )
        }
    };
    Ok(LengthChoice {
        name: name.to_owned(),
        amount,
    })
}

/// Finds the lines of a pattern that some choices are for.
///
/// # Errors
/// A name that no open length of the pattern has, or several have; a length that can't be.
pub fn resolve(
    choices: &[LengthChoice],
    source: &Source,
    pattern: &Pattern,
) -> Result<Lengths, String> {
    let all = open_lengths(source, pattern);
    let mut lengths = Lengths::new();
    for choice in choices {
        let found: Vec<&Open<'_>> = all
            .iter()
            .filter(|open| open.is_named(&choice.name))
            .collect();
        let open = match found[..] {
            [open] => open,
            [] => {
                let name = &choice.name;
                return Err(match list(&all) {
                    None => {
                        format!("no length is left to the maker here, so '{name}' can't be chosen")
                    }
                    Some(list) => format!("no length is named '{name}'; to choose there is {list}"),
                });
            }
            _ => {
                let list = list(found.iter().copied()).unwrap_or_default();
                return Err(format!("'{}' can be {list}", choice.name));
            }
        };
        let times = open.times(choice.amount, source, pattern)?;
        if lengths.insert(open.repeat.span, times).is_some() {
            return Err(format!("{} is chosen twice", open.name()));
        }
    }
    Ok(lengths)
}

/// A line that leaves a length to the maker.
struct Open<'a> {
    piece: &'a str,
    repeat: &'a RepeatRounds,
    open: &'a OpenLength,
    /// Its words in small letters.
    words: Vec<String>,
}

fn open_lengths<'a>(source: &Source, pattern: &'a Pattern) -> Vec<Open<'a>> {
    let mut all = Vec::new();
    for piece in &pattern.pieces {
        for line in &piece.lines {
            let Line::RepeatRounds(repeat) = line else {
                continue;
            };
            let Some(open) = &repeat.open else { continue };
            all.push(Open {
                piece: &piece.name,
                repeat,
                open,
                words: words(source.slice(open.words)),
            });
        }
    }
    all
}

impl Open<'_> {
    /// `Snake, Rnd 20`.
    fn name(&self) -> String {
        let rounds = match (self.repeat.first, self.repeat.last) {
            (first, last) if first == last => format!("Rnd {first}"),
            (first, last) => format!("Rnds {first}-{last}"),
        };
        match self.piece {
            "" => rounds,
            piece => format!("{piece}, {rounds}"),
        }
    }

    /// True if every word of a name is of the piece, of the rounds that are repeated, or of the words that leave the length open.
    fn is_named(&self, name: &str) -> bool {
        const OF_ROUNDS: [&str; 9] = [
            "rnd", "rnds", "round", "rounds", "rd", "rds", "r", "row", "rows",
        ];
        let piece = words(self.piece);
        let mut names_something = false;
        words(name).iter().all(|word| {
            if OF_ROUNDS.contains(&word.as_str()) {
                return true;
            }
            names_something = true;
            match word.parse::<u32>() {
                Ok(number) => number == self.repeat.first || number == self.repeat.last,
                Err(_) => piece.contains(word) || self.words.contains(word),
            }
        }) && names_something
    }

    fn times(&self, amount: Amount, source: &Source, pattern: &Pattern) -> Result<u32, String> {
        let mm = match amount {
            Amount::Times(times) => return Ok(times),
            Amount::Mm(mm) => mm,
        };
        let name = self.name();
        let Some(round_mm) = pattern::round_height_mm(&pattern.header, source) else {
            return Err(format!(
                "the pattern has no gauge to tell rounds from a length by: give {name} a number of times"
            ));
        };
        let each = self.repeat.last.saturating_sub(self.repeat.first) + 1;
        pattern::times_to_reach(mm, round_mm, self.open.before, each).ok_or_else(|| {
            let least = f64::from(self.open.before.saturating_add(each)) * round_mm;
            let most = limits::ROUNDS as f64 * round_mm;
            format!(
                "{name} can be from {} mm to {} mm long",
                least.ceil(),
                most.floor()
            )
        })
    }
}

/// `Snake, Rnd 20` or `Tail, Rnd 4`; `None` if there is nothing.
fn list<'a>(all: impl IntoIterator<Item = &'a Open<'a>>) -> Option<String> {
    let names: Vec<String> = all
        .into_iter()
        .map(|open| format!("'{}'", open.name()))
        .collect();
    (!names.is_empty()).then(|| names.join(" or "))
}

/// Words in small letters, and numbers.
fn words(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    let mut before = None;
    for c in text.chars() {
        let kind = (c.is_alphanumeric()).then_some(c.is_ascii_digit());
        if let Some(kind) = kind {
            if before != Some(kind) {
                words.push(String::new());
            }
            if let Some(word) = words.last_mut() {
                word.extend(c.to_lowercase());
            }
        }
        before = kind;
    }
    words
}

#[cfg(test)]
mod tests {
    use super::*;

    const SNAKE: &str = "Gauge: 20 sts and 25 rnds = 10 cm\n\n## Snake\nRnd 1: 6 sc in MR (6)\nRnd 2: sc around (6)\n\
        Repeat Rnd 2 until the tail is as long as you like.\nNext rnd: dec x 3 (3)\n\n\
        ## Tongue (make 2)\nRnd 1: 4 sc in MR (4)\nRnd 2: sc around (4)\nRepeat Rnd 2 until it is as long as you like.\n";

    fn chosen(text: &str, typed: &[&str]) -> Result<Vec<u32>, String> {
        let source = Source::new("t", text);
        let (pattern, _) = pattern::read(&source);
        let choices: Result<Vec<_>, _> = typed.iter().map(|typed| choice(typed)).collect();
        Ok(resolve(&choices?, &source, &pattern)?
            .into_values()
            .collect())
    }

    #[test]
    fn a_length_goes_by_its_piece_its_rounds_or_its_words() {
        assert_eq!(chosen(SNAKE, &["tail=8"]), Ok(vec![8]));
        assert_eq!(
            chosen(SNAKE, &["snake Rnd 2=8", "tongue=3"]),
            Ok(vec![8, 3])
        );
        // 12 cm are 30 rounds of 4 mm, and two are there.
        assert_eq!(chosen(SNAKE, &["Tail = 12 cm"]), Ok(vec![28]));
        assert_eq!(chosen(SNAKE, &["snake=2.5in"]), Ok(vec![14]));
    }

    #[test]
    fn what_is_not_there_or_can_t_be_is_said() {
        let says = |typed: &[&str], words: &str| {
            let error = chosen(SNAKE, typed).unwrap_err();
            assert!(error.contains(words), "{error}");
        };
        says(
            &["wing=8"],
            "to choose there is 'Snake, Rnd 2' or 'Tongue, Rnd 2'",
        );
        says(&["Rnd 2=8"], "can be 'Snake, Rnd 2' or 'Tongue, Rnd 2'");
        says(&["rnd=8"], "no length is named 'rnd'");
        says(&["tail=8", "snake=9"], "chosen twice");
        says(&["tail=5mm"], "from 12 mm to");
        says(&["tail=0"], "no number of times");
        says(&["tail=long"], "neither a length nor a number");
        says(&["tail"], "write it as");
        says(&["=8"], "write it as");
        let none = chosen("## A\nRnd 1: 6 sc in MR (6)\n", &["tail=8"]);
        assert!(none.unwrap_err().contains("left to the maker"));
        let no_gauge = chosen(&SNAKE.replace("Gauge: ", ""), &["tail=8cm"]);
        assert!(no_gauge.unwrap_err().contains("has no gauge"));
    }
}
