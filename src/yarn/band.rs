//! What the words say of a yarn, of a swatch and of a margin.

use super::stitch_widths;
use crate::prose::tokens::{Token, tokens};
use crate::terms::weights::Weight;
use crate::terms::{Form, Height, Stitch, Terms};

/// Metres in a yard and grams in an ounce, by definition.
const YARD_M: f64 = 0.9144;
const OUNCE_G: f64 = 28.349_523_125;
/// Lengths of a gram that are believed, in m: from rope to the finest thread.
const BELIEVED: (f64, f64) = (0.1, 60.0);

/// What a yarn's line says, as on the band of a ball.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Band {
    /// Its weight class by number and name, such as `3, light`.
    pub weight: Option<String>,
    /// How long a gram is, in m.
    pub metres_per_gram: Option<f64>,
}

/// What the pattern tells of a swatch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Swatch {
    /// Some stitches took so much.
    Length {
        /// The yarn, in m.
        metres: f64,
        /// What the model says of the same stitches, in stitch widths.
        widths: f64,
    },
    /// Some stitches weigh so much.
    Weight {
        /// The yarn, in g.
        grams: f64,
        /// What the model says of the same stitches, in stitch widths.
        widths: f64,
    },
}

/// An amount of yarn.
enum Amount {
    Metres(f64),
    Grams(f64),
}

/// Reads `charcoal, DK, 50 g = 125 m`; `137 yd per 50 g` does as well.
pub fn band(line: &str) -> Band {
    let amounts = amounts(&tokens(line));
    let metres = amounts.iter().find_map(|amount| match amount {
        Amount::Metres(metres) => Some(*metres),
        Amount::Grams(_) => None,
    });
    let grams = amounts.iter().find_map(|amount| match amount {
        Amount::Grams(grams) => Some(*grams),
        Amount::Metres(_) => None,
    });
    let long = metres.zip(grams).map(|(metres, grams)| metres / grams);
    Band {
        weight: Weight::named_in(line).map(|weight| format!("{}, {}", weight.number, weight.name)),
        metres_per_gram: long.filter(|long| *long >= BELIEVED.0 && *long <= BELIEVED.1),
    }
}

/// Reads `20 sc use 84 cm` and `10 g make 420 sc`.
pub fn swatch(words: &str, terms: Terms) -> Option<Swatch> {
    let tokens = tokens(words);
    let stitches = tokens.windows(2).find_map(|pair| {
        let count = pair[0].number()?;
        let height = Height::ALL.into_iter().find(|height| {
            let stitch = Stitch::plain(*height).abbreviation(terms);
            pair[1].is_any(&[stitch.as_str()])
        });
        let height = height.or_else(|| pair[1].is_any(&["st", "sts"]).then_some(Height::Single))?;
        Some((count, height))
    });
    let (count, height) = stitches?;
    let form = Form::Plain;
    let widths = count * stitch_widths(Stitch { height, form });
    if widths <= 0.0 {
        return None;
    }
    amounts(&tokens)
        .into_iter()
        .next()
        .map(|amount| match amount {
            Amount::Metres(metres) => Swatch::Length { metres, widths },
            Amount::Grams(grams) => Swatch::Weight { grams, widths },
        })
}

/// Reads `10 %` as a share; at most all of it again.
pub fn margin(words: &str) -> Option<f64> {
    let percent = tokens(words).iter().find_map(Token::number)?;
    (percent <= 100.0).then_some(percent / 100.0)
}

/// The lengths and weights among some words.
fn amounts(tokens: &[Token]) -> Vec<Amount> {
    let amount = |pair: &[Token]| {
        let number = pair[0].number().filter(|number| *number > 0.0)?;
        let unit = |names: &[&str]| pair[1].is_any(names);
        if unit(&["g", "gr", "gram", "grams", "gm"]) {
            Some(Amount::Grams(number))
        } else if unit(&["oz", "ounce", "ounces"]) {
            Some(Amount::Grams(number * OUNCE_G))
        } else if unit(&["m", "metre", "metres", "meter", "meters"]) {
            Some(Amount::Metres(number))
        } else if unit(&["yd", "yds", "yard", "yards"]) {
            Some(Amount::Metres(number * YARD_M))
        } else if unit(&["cm", "centimetres", "centimeters"]) {
            Some(Amount::Metres(number / 100.0))
        } else if unit(&["in", "inch", "inches"]) {
            Some(Amount::Metres(number * 0.0254))
        } else {
            None
        }
    };
    tokens.windows(2).filter_map(amount).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_band_gives_weight_and_length() {
        let found = band("charcoal, DK, 50 g = 125 m, #3a3f47");
        assert_eq!(found.weight.as_deref(), Some("3, light"));
        assert!((found.metres_per_gram.unwrap() - 2.5).abs() < 1e-12);
        let yards = band("red worsted, 100 yds / 50g");
        assert!((yards.metres_per_gram.unwrap() - 91.44 / 50.0).abs() < 1e-9);
        assert_eq!(band("white"), Band::default());
        assert_eq!(band("50 g = 99999999 m").metres_per_gram, None);
    }

    #[test]
    fn a_swatch_is_read_in_the_terms_of_the_pattern() {
        let of = |words: &str, terms| match swatch(words, terms) {
            Some(Swatch::Length { metres, widths }) => (metres, widths),
            Some(Swatch::Weight { grams, widths }) => (grams, widths),
            None => (0.0, 0.0),
        };
        assert_eq!(of("20 sc use 84 cm", Terms::Us), (0.84, 20.0 * 10.6));
        assert_eq!(of("20 dc use 84 cm", Terms::Uk), (0.84, 20.0 * 10.6));
        assert_eq!(of("10 g make 420 sc", Terms::Us), (10.0, 420.0 * 10.6));
        for nothing in ["", "0 sc use 84 cm", "20 sc", "84 cm"] {
            assert_eq!(swatch(nothing, Terms::Us), None, "{nothing}");
        }
    }

    #[test]
    fn a_margin_is_a_share() {
        assert_eq!(margin("10 %"), Some(0.1));
        assert_eq!(margin("4000 %"), None);
        assert_eq!(margin("some"), None);
    }
}
