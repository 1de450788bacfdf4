//! Lengths that the maker chooses, as they are typed: `tail=12cm`, `"Rnd 20=8"`.

use crate::pattern::{self, Again, Line, Pattern};
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

/// Sets the lengths of a pattern that some choices are for.
///
/// # Errors
/// A name that no open length of the pattern has, or several have; a length that can't be.
pub fn choose(
    choices: &[LengthChoice],
    source: &Source,
    pattern: &mut Pattern,
) -> Result<(), String> {
    let all = open_lengths(source, pattern);
    let mut chosen: Vec<(usize, u32)> = Vec::new();
    for choice in choices {
        let named: Vec<usize> = (0..all.len())
            .filter(|&place| all[place].is_named(&choice.name))
            .collect();
        let &[place] = &named[..] else {
            let name = &choice.name;
            return Err(match (list(&all), named.is_empty()) {
                (None, _) => {
                    format!("no length is left to the maker here, so '{name}' can't be chosen")
                }
                (Some(list), true) => {
                    format!("no length is named '{name}'; to choose there is {list}")
                }
                (Some(_), false) => {
                    let list = list(named.iter().map(|&place| &all[place])).unwrap_or_default();
                    format!("'{name}' can be {list}")
                }
            });
        };
        if chosen.iter().any(|(other, _)| *other == place) {
            return Err(format!("{} is chosen twice", all[place].name()));
        }
        chosen.push((place, all[place].times(choice.amount, source, pattern)?));
    }
    for (place, times) in chosen {
        pattern.choose_length(place, times);
    }
    Ok(())
}

/// A line that leaves a length to the maker.
struct Open {
    piece: String,
    /// Numbers of the rounds that are worked again, if they have any.
    rounds: Option<(u32, u32)>,
    /// How many rounds it is each time.
    each: u32,
    /// How many rounds come before.
    before: u32,
    /// Its words in small letters.
    words: Vec<String>,
}

fn open_lengths(source: &Source, pattern: &Pattern) -> Vec<Open> {
    let mut all = Vec::new();
    for piece in &pattern.pieces {
        for line in &piece.lines {
            let Line::RepeatRounds(repeat) = line else {
                continue;
            };
            let Some(length) = &repeat.length else {
                continue;
            };
            all.push(Open {
                piece: piece.name.clone(),
                rounds: match repeat.what {
                    Again::Rounds { first, last } => Some((first, last)),
                    Again::Body(_) => None,
                },
                each: repeat.what.rounds(),
                before: length.before,
                words: words(source.slice(length.words)),
            });
        }
    }
    all
}

impl Open {
    /// `Snake, Rnd 20`.
    fn name(&self) -> String {
        let rounds = match self.rounds {
            Some((first, last)) if first == last => format!("Rnd {first}"),
            Some((first, last)) => format!("Rnds {first}-{last}"),
            None => format!("after Rnd {}", self.before),
        };
        match self.piece.as_str() {
            "" => rounds,
            piece => format!("{piece}, {rounds}"),
        }
    }

    /// True if every word of a name is of the piece, of the rounds that are repeated, or of the words that leave the length open.
    fn is_named(&self, name: &str) -> bool {
        const OF_ROUNDS: [&str; 10] = [
            "rnd", "rnds", "round", "rounds", "rd", "rds", "r", "row", "rows", "after",
        ];
        let piece = words(&self.piece);
        let (first, last) = self.rounds.unwrap_or((self.before, self.before));
        let mut names_something = false;
        words(name).iter().all(|word| {
            if OF_ROUNDS.contains(&word.as_str()) {
                return true;
            }
            names_something = true;
            match word.parse::<u32>() {
                Ok(number) => number == first || number == last,
                Err(_) => piece.contains(word) || self.words.contains(word),
            }
        }) && names_something
    }

    fn times(&self, amount: Amount, source: &Source, pattern: &Pattern) -> Result<u32, String> {
        let mm = match amount {
            Amount::Times(times) => return Ok(times),
            Amount::Mm(mm) => mm,
        };
        let rounds_in = |mm| pattern::rounds_in(&pattern.header, source.text(), mm);
        // Less than half a round is none.
        let least = || rounds_in(1_000.0 * mm).map(|_| 0);
        let Some(rounds) = rounds_in(mm).or_else(least) else {
            return Err(format!(
                "the pattern has no gauge to tell rounds from a length by: give {} a number of times",
                self.name()
            ));
        };
        let missing = rounds.saturating_sub(self.before);
        match missing.div_ceil(self.each.max(1)) {
            0 => Err(format!(
                "{} is longer already: there are {} rounds before it, and that length is {rounds}",
                self.name(),
                self.before
            )),
            times => Ok(times),
        }
    }
}

/// `Snake, Rnd 20` or `Tail, Rnd 4`; `None` if there is nothing.
fn list<'a>(all: impl IntoIterator<Item = &'a Open>) -> Option<String> {
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
        let (mut pattern, _) = pattern::read(&source);
        let choices: Result<Vec<_>, _> = typed.iter().map(|typed| choice(typed)).collect();
        choose(&choices?, &source, &mut pattern)?;
        let lengths = pattern.open_lengths().into_iter();
        Ok(lengths.map(|length| length.times).collect())
    }

    #[test]
    fn a_length_goes_by_its_piece_its_rounds_or_its_words() {
        assert_eq!(chosen(SNAKE, &["tail=8"]), Ok(vec![8, 1]));
        assert_eq!(
            chosen(SNAKE, &["snake Rnd 2=8", "tongue=3"]),
            Ok(vec![8, 3])
        );
        // 12 cm are 30 rounds of 4 mm, and two are there.
        assert_eq!(chosen(SNAKE, &["Tail = 12 cm"]), Ok(vec![28, 1]));
        assert_eq!(chosen(SNAKE, &["snake=2.5in"]), Ok(vec![14, 1]));
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
        says(&["tail=5mm"], "is longer already");
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
