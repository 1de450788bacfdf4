//! Mends put into the text: all of those that were accepted, or none.

use super::trial::{Changed, Key, with};
use crate::source::{Mend, Problem, Source};

/// A query whose mend is accepted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Choice {
    /// The query's number, from 1.
    pub number: usize,
    /// Which of its mends, from 0; none for the one it has, or the likeliest.
    pub offer: Option<usize>,
}

impl std::fmt::Display for Choice {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let letter = self.offer.and_then(|place| ('a'..='z').nth(place));
        write!(
            f,
            "{}{}",
            self.number,
            letter.map(String::from).unwrap_or_default()
        )
    }
}

/// The text with the accepted mends in it. `offers` are the mends of each problem, as `offer_mends` found them.
///
/// # Errors
/// One line that says why nothing was changed: no such query or mend, several mends to choose from, mends that change the same words, or
/// mends that do not go together.
pub fn accept(
    source: &Source,
    problems: &[Problem],
    offers: &[Vec<Mend>],
    choices: &[Choice],
) -> Result<String, String> {
    let mut accepted: Vec<(Choice, &Mend)> = Vec::new();
    for &choice in choices {
        accepted.push((choice, chosen(problems, offers, choice)?));
    }
    accepted.sort_by_key(|(choice, mend)| (mend.span, *choice));
    // Two queries with one cause are mended by the same change.
    let mut mends: Vec<(Choice, &Mend)> = Vec::new();
    for (choice, mend) in accepted {
        if let Some((earlier, before)) = mends.last() {
            if *before == mend {
                continue;
            }
            let inserts_at_once = before.span.start == mend.span.start;
            if mend.span.start < before.span.end || inserts_at_once {
                return Err(format!(
                    "the mends of queries {earlier} and {choice} change the same words"
                ));
            }
        }
        mends.push((choice, mend));
    }
    let mends: Vec<Mend> = mends.into_iter().map(|(_, mend)| mend.clone()).collect();
    let changed = Changed::new(source, &mends);
    for choice in choices {
        let problem = &problems[choice.number - 1];
        let key: Key = (problem.code, problem.span);
        if changed.has(key) {
            return Err(format!(
                "with all of these mends query {choice} is still there: accept fewer at a time"
            ));
        }
    }
    Ok(with(source.text(), &mends))
}

fn chosen<'o>(
    problems: &[Problem],
    offers: &'o [Vec<Mend>],
    choice: Choice,
) -> Result<&'o Mend, String> {
    let Some(mends) = choice
        .number
        .checked_sub(1)
        .and_then(|place| offers.get(place))
    else {
        return Err(format!("there is no query {}", choice.number));
    };
    match (&mends[..], choice.offer) {
        ([], _) => Err(format!("query {} has no mend to accept", choice.number)),
        ([mend], None) => Ok(mend),
        ([likeliest, ..], None) if problems[choice.number - 1].mend.is_some() => Ok(likeliest),
        (several, None) => {
            let each: Vec<String> = (0..several.len())
                .map(|place| {
                    Choice {
                        offer: Some(place),
                        ..choice
                    }
                    .to_string()
                })
                .collect();
            Err(format!(
                "query {} has several mends: choose {}",
                choice.number,
                each.join(" or ")
            ))
        }
        (mends, Some(place)) => mends
            .get(place)
            .ok_or(format!("query {} has no mend {choice}", choice.number)),
    }
}
