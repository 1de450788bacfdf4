//! The habits of one hand, kept through a pattern.

use crate::dice::Dice;

#[derive(Debug, Clone)]
pub struct Style {
    pub uk: bool,
    pub label: usize,
    pub ranges: usize,
    pub bold: bool,
    pub bullet: &'static str,
    pub total: usize,
    /// Totals are left out where no doubt needs them.
    pub bare: bool,
    pub brackets: (&'static str, &'static str),
    pub repeat: usize,
    pub number: usize,
    pub separator: &'static str,
    pub times_sign: &'static str,
    pub letters: Letters,
    pub heading: usize,
    pub no_break_spaces: bool,
    pub wraps: bool,
    pub full_names: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Letters {
    AsTheyAre,
    Upper,
    Lower,
    Sentence,
}

impl Style {
    pub fn new(dice: &mut Dice) -> Style {
        Style {
            uk: dice.once_in(3),
            label: dice.roll(12),
            ranges: dice.roll(6),
            bold: dice.once_in(5),
            bullet: dice.pick(&["", "", "", "", "- ", "• ", "* ", "– "]),
            total: dice.roll(10),
            bare: dice.once_in(4),
            brackets: dice.pick(&[("(", ")"), ("(", ")"), ("[", "]"), ("{", "}")]),
            repeat: dice.roll(14),
            number: dice.roll(9),
            separator: dice.pick(&[", ", ", ", ", ", "; ", ", then ", " and "]),
            times_sign: dice.pick(&["x", "×", "X", "*"]),
            letters: dice.pick(&[
                Letters::AsTheyAre,
                Letters::AsTheyAre,
                Letters::Upper,
                Letters::Lower,
                Letters::Sentence,
            ]),
            heading: dice.roll(4),
            no_break_spaces: dice.once_in(6),
            wraps: dice.once_in(4),
            full_names: dice.once_in(8),
        }
    }
}
