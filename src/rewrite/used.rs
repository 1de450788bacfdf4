//! Abbreviations that a written pattern uses, each with what it means.

use super::style::{Label, Style};
use crate::terms::{Form, Height, Stitch, Terms};

/// Something that the list of abbreviations explains. The order is that of the list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Used {
    Rnd,
    St,
    Sp,
    Height(Height),
    Foundation(Height),
    /// A stitch of a height that is made in its own way.
    Form(Height, Form),
    Inc,
    Dec,
    Invdec,
    FrontPost,
    BackPost,
    Blo,
    Flo,
    /// A picot of so many chains.
    Picot(u32),
    Brackets,
    /// A stitch of the pattern's own, by its place among the definitions.
    Own(usize),
}

/// The abbreviation of a plain stitch.
pub(super) fn base(height: Height, terms: Terms) -> String {
    Stitch::plain(height).abbreviation(terms)
}

/// The word for leaving a stitch unworked.
pub(super) fn skip(terms: Terms) -> &'static str {
    match terms {
        Terms::Us => "skip",
        Terms::Uk => "miss",
    }
}

impl Used {
    /// The abbreviation and what it means; `None` where the pattern writes the word in full.
    pub fn entry(self, style: Style, terms: Terms) -> Option<(String, String)> {
        let own = |short: &str, means: &str| Some((short.to_owned(), means.to_owned()));
        let slip = base(Height::Slip, terms);
        match self {
            Used::Rnd => match style.label {
                Label::Rnd => own("rnd", "round"),
                Label::R => own("R", "round"),
                Label::Round => None,
            },
            Used::St => own("st, sts", "stitch, stitches"),
            Used::Sp => own("sp, sps", "space, spaces"),
            Used::Height(height) => Some((base(height, terms), Stitch::plain(height).name(terms))),
            Used::Foundation(height) => Some((
                format!("f{}", base(height, terms)),
                format!(
                    "foundation {}, made without a row below",
                    Stitch::plain(height).name(terms)
                ),
            )),
            Used::Form(height, form) => {
                let stitch = Stitch { height, form };
                let base = base(height, terms);
                let short = stitch.abbreviation(terms);
                Some(match form {
                    Form::Bobble(n) => (short, format!("{n} {base} in one st, finished together")),
                    Form::Popcorn(n) => (
                        short,
                        format!(
                            "popcorn, {n} {base} in one st, drawn together through the top of the first"
                        ),
                    ),
                    Form::Puff(n) => (
                        short,
                        format!("{n} loops drawn up in one st and closed together"),
                    ),
                    Form::Together(n) => (short, format!("work {n} {base} together")),
                    _ => (short, stitch.name(terms)),
                })
            }
            Used::Inc => own("inc", "increase, 2 stitches in the same st"),
            Used::Dec => own("dec", "decrease, 2 stitches worked together"),
            Used::Invdec => own(
                "invdec",
                "invisible decrease, 2 stitches worked together through their front loops",
            ),
            Used::FrontPost => own(
                "FP",
                "front post: around the post of the st, from the front",
            ),
            Used::BackPost => own("BP", "back post: around the post of the st, from the back"),
            Used::Blo => own("BLO", "back loops only"),
            Used::Flo => own("FLO", "front loops only"),
            Used::Picot(n) => Some((
                if n == 3 {
                    "picot".to_owned()
                } else {
                    format!("ch-{n} picot")
                },
                format!(
                    "ch {n}, {slip} in the first of these {n} ch; it stands on the st before and is not counted"
                ),
            )),
            // Its line says what it means.
            Used::Own(_) => None,
            Used::Brackets => Some((
                format!("{} {}", style.bracketed(" "), style.times(6)),
                "work what is in the brackets 6 times".to_owned(),
            )),
        }
    }

    /// What its meaning uses in turn.
    pub fn needs(self) -> &'static [Used] {
        match self {
            Used::Picot(_) => &[
                Used::St,
                Used::Height(Height::Chain),
                Used::Height(Height::Slip),
            ],
            Used::Sp | Used::Rnd | Used::St | Used::Height(_) | Used::Brackets | Used::Own(_) => {
                &[]
            }
            _ => &[Used::St],
        }
    }
}
