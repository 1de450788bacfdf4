//! Which end of a piece is up.

use super::Host;
use crate::fabric::Fabric;
use crate::prose::{Place, Prose, Sentence};

/// Which end of a piece is up as the toy stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Stands {
    /// It was begun at its top, and grows downwards.
    #[default]
    FromTheTop,
    /// It was begun at its bottom, and grows upwards.
    FromTheBottom,
}

const TOPS: &[&str] = &[
    "top", "head", "crown", "tip", "nose", "neck", "hat", "ceiling",
];
const BOTTOMS: &[&str] = &[
    "bottom", "base", "feet", "foot", "toes", "toe", "legs", "leg", "tail", "sole", "ground",
];

/// How each piece stands: by the words above or among its rounds (`From the top of the head down`), by the legs that it goes
/// on from, else from the top down, as heads are (common practice, no source).
pub(super) fn of(prose: &Prose<'_>, fabric: &Fabric) -> Vec<Host> {
    let told = |piece: usize| {
        let own = prose
            .sentences
            .iter()
            .filter(|s| s.place == Place::Piece(piece) && !s.in_round);
        own.clone().find_map(direction).or_else(|| {
            let first = fabric.pieces[piece].rounds.first()?.span.start;
            let mut above = own.filter(|s| s.span().start < first);
            above
                .any(begins_with_its_base)
                .then_some(Stands::FromTheBottom)
        })
    };
    let pieces = fabric.pieces.iter().enumerate();
    pieces
        .map(|(place, piece)| {
            // What is worked into a part alone goes on from it; what is worked through it as well only holds it.
            let goes_on_from_legs = piece
                .joins
                .iter()
                .any(|join| join.round == 0 || piece.stands_on(join));
            let legs = goes_on_from_legs.then_some(Stands::FromTheBottom);
            let found = told(place).or(legs);
            Host {
                stands: found.unwrap_or_default(),
                stands_by_custom: found.is_none(),
                front: None,
            }
        })
        .collect()
}

/// `The base is an oval round a chain`, said above the first round.
fn begins_with_its_base(sentence: &Sentence<'_>) -> bool {
    sentence.words.windows(2).any(|pair| {
        pair[0].is_any(&["base", "bottom", "sole"]) && pair[1].is_any(&["is", "of", "has"])
    })
}

/// `From the top down`, `worked from the bottom up`, `starting at the base`.
fn direction(sentence: &Sentence<'_>) -> Option<Stands> {
    let words = &sentence.words;
    let opens = words.iter().position(|word| {
        word.is_any(&[
            "from",
            "starting",
            "start",
            "starts",
            "begin",
            "begins",
            "beginning",
            "begun",
            "started",
        ])
    })?;
    // `From the tip up`: what it is begun from is at the other end from where it grows to.
    let told = words[opens + 1..].windows(2).take(6);
    let mut grows = told.filter(|pair| pair[0].is_any(TOPS) || pair[0].is_any(BOTTOMS));
    let way = grows.find_map(|pair| {
        if pair[1].is_any(&["up", "upwards"]) {
            Some(Stands::FromTheBottom)
        } else if pair[1].is_any(&["down", "downwards"]) {
            Some(Stands::FromTheTop)
        } else {
            None
        }
    });
    if way.is_some() {
        return way;
    }
    for word in words[opens + 1..].iter().take(6) {
        if word.is_any(&["to", "towards"]) {
            break;
        }
        if word.is_any(TOPS) {
            return Some(Stands::FromTheTop);
        }
        if word.is_any(BOTTOMS) {
            return Some(Stands::FromTheBottom);
        }
    }
    None
}
