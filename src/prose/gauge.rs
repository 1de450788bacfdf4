//! What the words say of the size of stitches.

use super::{Place, Prose, Sentence, Word};
use crate::terms::gauge::{round_mm, stitch_mm};
use crate::terms::lengths::lengths;

/// The thinnest and thickest hook that is believed, in mm.
const HOOKS_MM: (f64, f64) = (0.5, 30.0);

/// The size of stitches as the words tell it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum GaugeTold {
    /// `22 sts and 24 rnds = 10 cm`: the width of a stitch in mm, and the height of a round of single crochet in widths, if that is told.
    Stitches { width_mm: f64, height: Option<f64> },
    /// `Rnds 1-6 = 5 cm across`: how many mm the first piece is across up to this round.
    Across { last_round: u32, mm: f64 },
    /// Only the hook's size in mm.
    Hook(f64),
    /// Nothing.
    Nothing,
}

/// The gauge of a pattern; where it has none that can be read, its hook.
pub(crate) fn gauge(prose: &Prose<'_>) -> GaugeTold {
    let sentences = &prose.sentences;
    let told = sentences.iter().enumerate().find_map(|(at, sentence)| {
        let words = &sentence.words;
        let said = words
            .iter()
            .position(|word| word.is_any(&["gauge", "tension"]))?;
        // `GAUGE` may stand on a line of its own, and other materials before it.
        let below = sentences.get(at + 1).filter(|_| said + 1 == words.len());
        by_stitches(&words[said..])
            .or_else(|| by_stitches(words))
            .or_else(|| by_stitches(&below?.words))
            .or_else(|| by_first_rounds(&words[said..]))
            .or_else(|| by_first_rounds(&below?.words))
    });
    told.or_else(|| hook_mm(sentences).map(GaugeTold::Hook))
        .unwrap_or(GaugeTold::Nothing)
}

/// `22 sts and 24 rnds = 10 cm`, `16 sts = 4 in, 18 rows = 4 in`.
fn by_stitches(words: &[Word<'_>]) -> Option<GaugeTold> {
    let width_mm = stitch_mm(words)?;
    let height = round_mm(words).map(|height_mm| height_mm / width_mm);
    Some(GaugeTold::Stitches {
        width_mm,
        // Rounds so unlike stitches are rounds of something else than single crochet.
        height: height.filter(|height| (0.6..=1.4).contains(height)),
    })
}

/// `Rounds 1-3 = 7 cm across`.
fn by_first_rounds(words: &[Word<'_>]) -> Option<GaugeTold> {
    let is_round = |word: &Word<'_>| word.is_any(&["rnd", "rnds", "round", "rounds", "r"]);
    let at = words.iter().position(is_round)?;
    let (place, length) = lengths(words).find(|&(place, _)| place > at + 1)?;
    let last_round = words[at + 1..place]
        .iter()
        .rev()
        .find_map(Word::whole_number)?;
    Some(GaugeTold::Across {
        last_round,
        mm: length.mm,
    })
}

/// The hook's size in mm, from its line in the header or the list of materials.
fn hook_mm(sentences: &[Sentence<'_>]) -> Option<f64> {
    sentences
        .iter()
        .filter(|sentence| matches!(sentence.place, Place::Front | Place::Materials))
        .filter(|sentence| sentence.has(&["hook"]))
        .find_map(|sentence| Some(lengths(&sentence.words).next()?.1.mm))
        .filter(|mm| (HOOKS_MM.0..=HOOKS_MM.1).contains(mm))
}
