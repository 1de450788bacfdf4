//! How much yarn a pattern takes: `Source`, `Pattern` and `Fabric` in, metres and grams a yarn out, always with how unsure they are.
//!
//! `length` says how much yarn goes into a stitch, `band` reads what the words say of a yarn and of a swatch.

mod band;
mod length;

pub use band::{Band, Swatch};
pub use length::stitch_widths;

use crate::fabric::{Fabric, StepKind};
use crate::pattern::Pattern;
use crate::shape::Gauge;
use crate::source::{Source, Span};

/// How far a maker may be off, as a share: the model's squares of fabric lie so near those that were measured
/// (windchilde.com, "Crochet yarn estimating"), and hands differ as much (common practice, no source).
pub const UNSURE: f64 = 0.25;
/// The same where the pattern tells what a swatch took. Own estimate, no source.
pub const UNSURE_WITH_SWATCH: f64 = 0.12;
/// What is added for joins and slips where the pattern does not say: 10–20 % are usual (common practice).
pub const MARGIN: f64 = 0.15;
/// Left hanging at each end of a yarn, in m: enough to hide, or to sew a small part on. Common practice, no source.
pub const TAIL_M: f64 = 0.15;

/// What a pattern needs.
#[derive(Debug, Clone, PartialEq)]
pub struct Needs {
    /// A need for each yarn that is worked with, in the order of [`Fabric::yarns`]; one that the words do not name comes last.
    pub yarns: Vec<Need>,
    /// How unsure the amounts are, as a share of them.
    pub unsure: f64,
    /// What was added for joins and slips, as a share.
    pub margin: f64,
    /// Whether the margin is the pattern's own.
    pub margin_is_given: bool,
    /// What the pattern tells of a swatch.
    pub swatch: Option<Swatch>,
}

/// How much of one yarn.
#[derive(Debug, Clone, PartialEq)]
pub struct Need {
    /// Its place in [`Fabric::yarns`]; `None` where the words name no yarn.
    pub yarn: Option<usize>,
    /// Stitches worked in it, over all copies of all pieces.
    pub stitches: u64,
    /// Its length with tails and margin.
    pub metres: f64,
    /// Its weight, where the pattern says how long so many grams are, or weighs a swatch.
    pub grams: Option<f64>,
    /// What its line says.
    pub band: Band,
}

/// What a pattern needs of each yarn, by its stitches and the gauge.
///
/// Every stitch takes what [`stitch_widths`] says, or as the pattern's own swatch does: `Swatch: 20 sc use 84 cm`, `Swatch: 10 g make 420 sc`.
/// Each copy of a piece leaves two tails of each of its yarns, and two more where a yarn is joined anew; `Margin: 10 %` sets what is added.
pub fn needs(source: &Source, pattern: &Pattern, fabric: &Fabric, gauge: &Gauge) -> Needs {
    let value = |key: &str| {
        let entries = &pattern.header.entries;
        let entry = entries.iter().find(|entry| entry.key == key)?;
        Some(source.slice(entry.value))
    };
    let swatch = value("swatch").and_then(|words| band::swatch(words, pattern.terms));
    let given = value("margin").and_then(band::margin);
    let margin = given.unwrap_or(MARGIN);
    let width_m = gauge.width_mm / 1000.0;
    let tallies = tallies(fabric);
    let only = fabric.yarns.len() == 1;
    let yarns = tallies.into_iter().map(|tally| {
        let yarn = tally.yarn.or(only.then_some(0));
        let band = yarn_band(source, pattern, fabric, yarn);
        let metres_per_width = match swatch {
            Some(Swatch::Length { metres, widths }) => metres / widths,
            Some(Swatch::Weight { grams, widths }) => match band.metres_per_gram {
                Some(metres) => grams / widths * metres,
                None => width_m,
            },
            None => width_m,
        };
        let metres =
            (tally.widths * metres_per_width + tally.tails as f64 * TAIL_M) * (1.0 + margin);
        let by_swatch = match swatch {
            Some(Swatch::Weight { grams, widths }) => {
                Some(tally.widths * grams / widths * (1.0 + margin))
            }
            _ => None,
        };
        Need {
            yarn,
            stitches: tally.stitches,
            metres,
            grams: band.metres_per_gram.map(|long| metres / long).or(by_swatch),
            band,
        }
    });
    Needs {
        yarns: yarns.collect(),
        unsure: match swatch {
            Some(_) => UNSURE_WITH_SWATCH,
            None => UNSURE,
        },
        margin,
        margin_is_given: given.is_some(),
        swatch,
    }
}

/// What is worked in one yarn.
#[derive(Default)]
struct Tally {
    yarn: Option<usize>,
    stitches: u64,
    /// In stitch widths.
    widths: f64,
    /// Ends left hanging.
    tails: u64,
}

fn tallies(fabric: &Fabric) -> Vec<Tally> {
    let unnamed = fabric.yarns.len();
    let mut tallies: Vec<Tally> = (0..=unnamed)
        .map(|yarn| Tally {
            yarn: (yarn < unnamed).then_some(yarn),
            ..Tally::default()
        })
        .collect();
    for piece in &fabric.pieces {
        let copies = u64::from(piece.make);
        let mut seen = vec![false; unnamed + 1];
        for stitch in &piece.stitches {
            let yarn = stitch
                .yarn
                .map_or(unnamed, |yarn| usize::from(yarn.0))
                .min(unnamed);
            let tally = &mut tallies[yarn];
            tally.stitches += copies;
            tally.widths += stitch_widths(stitch.kind) * copies as f64;
            if !std::mem::replace(&mut seen[yarn], true) {
                tally.tails += 2 * copies;
            }
        }
        let rejoined = piece
            .steps
            .iter()
            .filter(|step| step.kind == StepKind::JoinYarn);
        for step in rejoined {
            let next = match step.after {
                Some(after) => piece.stitches.get(after.index() + 1),
                None => piece.stitches.first(),
            };
            let yarn = next.and_then(|stitch| stitch.yarn);
            let yarn = yarn
                .map_or(unnamed, |yarn| usize::from(yarn.0))
                .min(unnamed);
            if step.after.is_some() && next.is_some() {
                tallies[yarn].tails += 2 * copies;
            }
        }
    }
    tallies.retain(|tally| tally.stitches > 0);
    tallies
}

/// What the words say of a yarn: its own line, or the only line that tells of yarn.
fn yarn_band(source: &Source, pattern: &Pattern, fabric: &Fabric, yarn: Option<usize>) -> Band {
    let letter = yarn
        .and_then(|yarn| fabric.yarns.get(yarn))
        .map(|yarn| &yarn.letter);
    let declared = pattern.header.yarns.iter();
    let line: Option<Span> = declared
        .filter(|yarn| Some(&yarn.letter) == letter)
        .map(|yarn| yarn.span)
        .next()
        .or_else(|| match fabric.yarns.len() {
            0 | 1 => pattern.header.entry(&["yarn", "yarns"]),
            _ => None,
        });
    line.map_or_else(Band::default, |line| band::band(source.slice(line)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shape::gauge;

    fn needs_of(text: &str) -> Needs {
        let source = Source::new("t", text);
        let (pattern, _) = crate::pattern::read(&source);
        let (fabric, _) = crate::fabric::work(&pattern);
        let gauge = gauge(&source, &pattern, &fabric);
        needs(&source, &pattern, &fabric, &gauge)
    }

    /// A square of 5 inches, worked to and fro from a chain.
    fn square(stitch: &str, lift: u32, sts: usize, rows: usize) -> String {
        let mut text = format!(
            "# Square\nTerms: US\nGauge: {sts} sts = 5 in\nMargin: 0 %\n\n## Square\nRow 1: ch {}, {stitch} in {} ch from hook, {stitch} in next {} ch, turn ({sts})\n",
            sts + lift as usize - usize::from(lift > 1),
            match lift {
                1 => "2nd",
                2 => "3rd",
                _ => "4th",
            },
            sts - 1 - usize::from(lift > 1),
        );
        for row in 2..=rows {
            text += &format!("Row {row}: ch {lift}, {stitch} in each st across, turn\n");
        }
        text
    }

    /// Measured, worsted yarn and a 5 mm hook: a square of 5 × 5 inches takes 785.5 inches of sc, 802 of hdc, 790 of dc (windchilde.com,
    /// "Crochet yarn estimating"), and a row of sc 53. Its gauge is not told, but so there are 785.5 / 53 rows of sc, and with rows as high as
    /// flat discs have them it follows; it lies in the range for worsted yarn, 11–14 sc to 4 inches (Crochet World, October 2018, p. 64).
    #[test]
    fn squares_of_fabric_take_what_was_measured() {
        let sts = (785.5_f64 / 53.0 * 0.95).round();
        assert!((11.0..=14.0).contains(&(sts / 5.0 * 4.0)));
        for (stitch, lift, height, inches) in [
            ("sc", 1, 0.95, 785.5),
            ("hdc", 2, 1.27, 802.0),
            ("dc", 3, 1.91, 790.0),
        ] {
            let rows = (sts / height).round() as usize;
            let found = needs_of(&square(stitch, lift, sts as usize, rows));
            let tails = 2.0 * TAIL_M;
            let estimate = (found.yarns[0].metres - tails) / 0.0254;
            let off = (estimate / inches - 1.0).abs();
            assert!(off < found.unsure, "{stitch}: {estimate} for {inches}");
        }
    }

    #[test]
    fn yarns_are_told_apart_and_copies_counted() {
        let text = "# T\nGauge: 20 sts and 20 rnds = 10 cm\nMargin: 0 %\nYarn A: red, DK, 50 g = 125 m\nYarn B: white\n\n\
            ## Ball (make 2)\nRnd 1: with A, 6 sc in magic ring (6)\nRnd 2: with B, sc in each st around (6)\n";
        let found = needs_of(text);
        let [a, b] = &found.yarns[..] else {
            panic!("{found:?}")
        };
        assert_eq!((a.stitches, b.stitches), (12, 12));
        // 12 stitches of 10.6 widths of 5 mm, and four tails.
        assert!(
            (a.metres - (12.0 * 10.6 * 0.005 + 4.0 * TAIL_M)).abs() < 1e-9,
            "{}",
            a.metres
        );
        assert!((a.grams.unwrap() - a.metres / 2.5).abs() < 1e-9);
        assert_eq!(b.grams, None);
    }

    /// The pattern's own measure wins: 420 stitches of 10 g each time.
    #[test]
    fn a_swatch_calibrates_lengths_and_weights() {
        let text = |header: &str| {
            format!(
                "# T\nGauge: 20 sts and 20 rnds = 10 cm\nMargin: 0 %\n{header}\n\n## Rope\nRnd 1: 6 sc in magic ring (6)\nRnds 2-70: sc in each st around (6)\n"
            )
        };
        let long = needs_of(&text("Swatch: 20 sc use 84 cm"));
        let worked = long.yarns[0].metres - 2.0 * TAIL_M;
        assert!((worked - 420.0 * 0.84 / 20.0).abs() < 1e-6, "{worked}");
        assert_eq!(long.unsure, UNSURE_WITH_SWATCH);
        let heavy = needs_of(&text("Swatch: 10 g make 420 sc"));
        assert!((heavy.yarns[0].grams.unwrap() - 10.0).abs() < 1e-6);
        let both = needs_of(&text(
            "Yarn: grey, DK, 50 g = 125 m\nSwatch: 10 g make 420 sc",
        ));
        assert!(
            (both.yarns[0].metres - 2.0 * TAIL_M - 25.0).abs() < 1e-6,
            "{both:?}"
        );
    }
}
