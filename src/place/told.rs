//! Features and sewn parts, by the sentences that put them somewhere.

use super::{Attachment, Held, Side, Stretch};
use crate::fabric::{Fabric, Role};
use crate::pattern::Pattern;
use crate::pattern::whereabouts::{Rounds, apart, named_stitches, one_and_other, rounds};
use crate::prose::{Names, Place, Prose, Sentence, Word};

/// Words that put something somewhere.
const PUTS: &[&str] = &[
    "insert",
    "place",
    "attach",
    "put",
    "add",
    "fix",
    "fit",
    "secure",
    "set",
    "sew",
    "position",
    "pin",
    "embroider",
    "glue",
    "stitch",
    "work",
    "push",
    "tack",
];
/// Words that fasten with a needle.
const SEWS: &[&str] = &[
    "sew", "attach", "pin", "tack", "glue", "place", "position", "put", "fix", "add", "set",
];
/// What a toy has that is no piece.
const FEATURES: &[(&str, &[&str])] = &[
    ("eye", &["eye", "eyes"]),
    ("nose", &["nose"]),
    ("mouth", &["mouth", "smile"]),
    ("cheek", &["cheek", "cheeks"]),
    ("nostril", &["nostril", "nostrils"]),
    ("eyebrow", &["eyebrow", "eyebrows"]),
    ("button", &["button", "buttons"]),
];
/// Most copies that a sentence may put somewhere.
const MOST_COPIES: u32 = 60;

/// What sentences outside rounds put on pieces.
pub(super) fn features(prose: &Prose<'_>, pattern: &Pattern, fabric: &Fabric) -> Vec<Attachment> {
    let names = Names::new(pattern);
    let teller = Teller { names, fabric };
    let outside = prose.sentences.iter().filter(|sentence| {
        !sentence.in_round
            && !matches!(
                sentence.place,
                Place::Front | Place::Materials | Place::Abbreviations
            )
    });
    // `If you would rather sew them on` says nothing of copies that are joined.
    let joined = fabric.joined_copies();
    // What names no rounds says less than what does, wherever it stands.
    let (with_rounds, without): (Vec<_>, Vec<_>) =
        outside.partition(|sentence| rounds(&sentence.words).is_some());
    let mut found: Vec<Attachment> = Vec::new();
    for sentence in with_rounds.into_iter().chain(without) {
        for mut attachment in teller.read(sentence) {
            let made = |name: &str| fabric.pieces.iter().find(|piece| piece.name == name);
            let most = made(&attachment.part).map_or(2, |piece| piece.make.max(1));
            // What was told where it is made is told again in the making up.
            let known = found
                .iter()
                .filter(|old| old.part == attachment.part)
                .count() as u32
                + attachment.piece.map_or(0, |piece| joined[piece]);
            if known < most {
                attachment.copy = known + 1;
                found.push(attachment);
            }
        }
    }
    found
}

struct Teller<'a> {
    names: Names,
    fabric: &'a Fabric,
}

impl Teller<'_> {
    fn read(&self, sentence: &Sentence<'_>) -> Vec<Attachment> {
        let words = &sentence.words;
        let Some(verb) = words.iter().position(|word| word.is_any(PUTS)) else {
            return Vec::new();
        };
        let feature = FEATURES.iter().find_map(|(name, words)| {
            let at = match *name {
                "eye" => sentence.eyes()?,
                _ => sentence.words.iter().position(|word| word.is_any(words))?,
            };
            Some((*name, at))
        });
        let part = self
            .names
            .in_sentence(sentence)
            .filter(|(at, _)| *at > verb)
            .find_map(|(at, stem)| Some((self.names.only(stem)?, at)));
        let is_sewn = words[verb].is_any(SEWS);
        let (name, held, object) = match (part, feature) {
            (Some((part, at)), feature) if is_sewn && feature.is_none_or(|(_, eye)| at < eye) => (
                self.fabric.pieces[part].name.clone(),
                Held::Sewn,
                Some(part),
            ),
            (_, Some((name, at))) if at > verb => (name.to_owned(), Held::Feature, None),
            (None, None) if words[verb].is_any(&["sew", "attach"]) => match sentence.place {
                Place::Piece(part) if names_it(words) => (
                    self.fabric.pieces[part].name.clone(),
                    Held::Sewn,
                    Some(part),
                ),
                _ => return Vec::new(),
            },
            _ => return Vec::new(),
        };
        let rounds = rounds(words);
        let each_side = says_each_side(words);
        let told = (!each_side).then(|| side(words)).flatten();
        // `Sew the tail to the back`: its side, and nothing else.
        let has_side = object.is_some() && (each_side || told.is_some());
        if rounds.is_none() && !has_side {
            return Vec::new();
        }
        let Some(into) = self.host(sentence, object, rounds) else {
            return Vec::new();
        };
        let each = one_and_other(words).filter(|_| held == Held::Feature);
        let copies = match each {
            Some(_) => 2,
            None => self.copies(sentence, &name, object),
        };
        let spots = rounds.map_or(Vec::new(), |rounds| {
            spots(words, copies, rounds, |round| self.stitches(into, round))
        });
        let apart = apart(words).filter(|_| copies == 2);
        let of_copy = |copy: u32| match each {
            Some((_, other)) if copy > 0 => self::rounds(other).or(rounds),
            _ => rounds,
        };
        (0..copies)
            .map(|copy| Attachment {
                part: name.clone(),
                piece: object,
                copy: copy + 1,
                held,
                into,
                round: of_copy(copy).map(|rounds| rounds.first),
                last_round: of_copy(copy).map(|rounds| rounds.last),
                between: of_copy(copy).is_some_and(|rounds| rounds.between)
                    && held == Held::Feature,
                stitches: spots.get(copy as usize).copied().flatten(),
                apart,
                turn_deg: None,
                stitch_deg: None,
                bearing_deg: None,
                height_cm: None,
                width_cm: None,
                partner: None,
                off: None,
                told_side: match (each_side, copies) {
                    (true, 2..) if copy < copies / 2 => Some(Side::Right),
                    (true, 2..) => Some(Side::Left),
                    _ => told,
                },
                span: sentence.span(),
            })
            .collect()
    }

    /// The piece that something is put on: the one named beside it, the one among whose rounds the words stand, else the largest that has these rounds;
    /// where none are named, any piece.
    fn host(
        &self,
        sentence: &Sentence<'_>,
        object: Option<usize>,
        rounds: Option<Rounds>,
    ) -> Option<usize> {
        let has = |piece: usize| {
            let mut all = self.fabric.pieces[piece].rounds.iter();
            let has = |rounds: Rounds| all.any(|round| round.number == rounds.first);
            Some(piece) != object && rounds.is_none_or(has)
        };
        let named = self
            .names
            .in_sentence(sentence)
            .filter_map(|(_, stem)| self.names.only(stem))
            .find(|&piece| has(piece));
        let own = match sentence.place {
            Place::Piece(piece) if has(piece) => Some(piece),
            _ => None,
        };
        let largest = || {
            let pieces = (0..self.fabric.pieces.len())
                .rev()
                .filter(|&piece| has(piece));
            pieces.max_by_key(|&piece| self.fabric.pieces[piece].stitches.len())
        };
        named.or(own).or_else(largest)
    }

    fn copies(&self, sentence: &Sentence<'_>, name: &str, object: Option<usize>) -> u32 {
        match object {
            Some(part) => self.fabric.pieces[part].make.clamp(1, MOST_COPIES),
            None if sentence.words.iter().any(|w| w.is(name)) => 1,
            None => 2,
        }
    }

    fn stitches(&self, piece: usize, number: u32) -> Option<u32> {
        let piece = &self.fabric.pieces[piece];
        let round = piece.rounds.iter().find(|round| round.number == number)?;
        let counted = round
            .edge
            .iter()
            .filter(|id| piece.stitch(**id).role != Role::Bridge);
        Some(counted.count() as u32)
    }
}

/// `Sew it`, `sew them`, `sew to the body`: the piece in whose words it stands.
fn names_it(words: &[Word<'_>]) -> bool {
    words.windows(2).any(|pair| {
        pair[0].is_any(&["sew", "attach"])
            && pair[1].is_any(&["it", "them", "to", "on", "onto", "this", "these"])
    })
}

/// First and last stitch of each copy, as far as the words name stitches: `through the 15th and the 22nd st`, `centred between
/// the 18th and the 19th st`, `on stitches 5 and 12`. `7 sts apart` alone says nothing of where the first is.
fn spots(
    words: &[Word<'_>],
    copies: u32,
    rounds: Rounds,
    count: impl Fn(u32) -> Option<u32>,
) -> Vec<Option<Stretch>> {
    let in_round = count(rounds.first).unwrap_or(0);
    let stretch = |first, last| {
        let told = Stretch {
            first,
            last,
            of: in_round,
        };
        // Backwards is over the start of the round where that is the shorter way.
        (first <= last || told.count() <= in_round / 2).then_some(told)
    };
    let numbers: Vec<u32> = named_stitches(words)
        .into_iter()
        .filter(|number| (1..=in_round).contains(number))
        .collect();
    match (copies, numbers.as_slice()) {
        (1, [first, last]) => vec![stretch(*first, *last)],
        (copies, numbers) if copies as usize == numbers.len() => {
            numbers.iter().map(|&n| stretch(n, n)).collect()
        }
        (copies, numbers) if 2 * copies as usize == numbers.len() => numbers
            .chunks(2)
            .map(|pair| stretch(pair[0], pair[1]))
            .collect(),
        _ => Vec::new(),
    }
}

/// `On each side`, `on both sides`.
fn says_each_side(words: &[Word<'_>]) -> bool {
    words.iter().enumerate().any(|(at, word)| {
        word.is_any(&["side", "sides"])
            && words[..at]
                .iter()
                .rev()
                .take(2)
                .any(|w| w.is_any(&["each", "either", "both", "the"]))
            && !words[..at]
                .iter()
                .rev()
                .take(2)
                .any(|w| w.is_any(&["left", "right", "front", "back", "other"]))
    })
}

/// The toy's own side that the words give: `centred at the back`, `on the left side`, `between the eyes`.
fn side(words: &[Word<'_>]) -> Option<Side> {
    let mut threes = words.windows(3);
    if threes.any(|three| three[0].is("between") && three[1].is("the") && three[2].is("eyes")) {
        return Some(Side::Front);
    }
    let sides = [
        (Side::Front, "front"),
        (Side::Back, "back"),
        (Side::Left, "left"),
        (Side::Right, "right"),
    ];
    let mut found = sides.iter().filter(|(_, name)| {
        words.iter().enumerate().any(|(at, word)| {
            // `The back loops` are no place.
            word.is(name)
                && !words.get(at + 1).is_some_and(|next| {
                    next.is_any(&["loop", "loops", "post", "leg", "wing", "arm"])
                })
        })
    });
    let (side, _) = found.next()?;
    found.next().is_none().then_some(*side)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::prose::words;

    fn split(text: &str) -> Vec<Word<'_>> {
        words::split(text, 0).collect()
    }

    #[test]
    fn sides_are_the_toys_own() {
        assert_eq!(side(&split("centred at the back")), Some(Side::Back));
        assert_eq!(side(&split("through the back loops")), None);
        assert_eq!(side(&split("centred between the eyes")), Some(Side::Front));
        assert!(says_each_side(&split(
            "sew the fins to R6, one on each side"
        )));
        assert!(!says_each_side(&split("on the left side")));
    }
}
