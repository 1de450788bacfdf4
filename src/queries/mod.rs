//! What a technical editor sends back: each problem as a numbered query with the arithmetic in words and the likeliest mend,
//! mends put into the text, and the corrections between two versions of a pattern.
//!
//! `slip`, `two` and `words` look for mends by trying them (`trial`), and `custom` tells the likeliest; `arithmetic` tells what a
//! round takes and makes; `sheet` puts the queries together; `accept` puts mends into the text; `errata` holds one version against
//! another: rounds by `compare`, what is done between them by `steps`, and what else is said by `said`.

mod accept;
mod arithmetic;
mod compare;
mod custom;
mod errata;
mod numbers;
mod said;
mod sheet;
mod slip;
mod steps;
mod trial;
mod two;
mod words;

pub use accept::{Choice, accept};
pub use errata::{Version, errata};
pub use sheet::{Query, Rounds, queries, sheet};

use crate::fabric::Fabric;
use crate::pattern::Pattern;
use crate::source::{Mend, Problem, Source, Span};

/// Looks for what would mend each problem: one list a problem, the likeliest change first, at most
/// [`MENDS_OFFERED`](crate::source::limits::MENDS_OFFERED) each. A problem gets the one that is likelier than the others, and help that names them.
///
/// An offer solves its problem and makes no other; it has been tried. The work is bounded by
/// [`MENDING_WORK`](crate::source::limits::MENDING_WORK): past that no more are found.
pub fn offer_mends(
    source: &Source,
    pattern: &Pattern,
    fabric: &Fabric,
    problems: &mut [Problem],
) -> Vec<Vec<Mend>> {
    let mut trials = trial::Trials::new(source, pattern, fabric, problems);
    let mut offers = Vec::with_capacity(problems.len());
    for problem in problems {
        let mut mends: Vec<Mend> = problem.mend.iter().cloned().collect();
        if let (None, Some(trials)) = (&problem.mend, &mut trials) {
            let found = slip::mends(trials, pattern, fabric, problem);
            let one_is_likeliest = found.as_ref().is_none_or(|found| found.one_is_likeliest);
            mends = found
                .map(|found| found.mends)
                .filter(|mends| !mends.is_empty())
                .or_else(|| words::mend(trials, pattern, fabric, problem).map(|mend| vec![mend]))
                .unwrap_or_default();
            if !mends.is_empty() {
                problem.help = Some(help(source, pattern, &mends));
            }
            problem.mend = mends.first().filter(|_| one_is_likeliest).cloned();
        }
        offers.push(mends);
    }
    offers
}

/// The mends as a problem's help: `change 5 to 6`, or several with `or` between.
fn help(source: &Source, pattern: &Pattern, mends: &[Mend]) -> String {
    let each: Vec<String> = mends
        .iter()
        .map(|mend| change(source, pattern, mend))
        .collect();
    each.join(", or ")
}

/// A mend in words: `change 5 to 6`, `change the second 5 to 6`, `put ) after inc`.
fn change(source: &Source, pattern: &Pattern, mend: &Mend) -> String {
    let old = source.slice(mend.span);
    match (old.is_empty(), mend.text.is_empty()) {
        (true, _) => {
            let before = &source.text()[..mend.span.start];
            let word = before.split_whitespace().next_back().unwrap_or_default();
            format!("put `{}` after `{word}`", mend.text)
        }
        (_, true) => format!("leave out `{old}`"),
        _ if old.contains('\n') => {
            "put the words of these two rounds the other way round".to_owned()
        }
        _ if old.contains(' ') => format!("change `{old}` to `{}`", mend.text),
        _ => format!(
            "change {}{old} to {}",
            which(source, pattern, mend.span),
            mend.text
        ),
    }
}

/// Which of several equal numbers in a round's text: `the second `, or nothing if there is but one.
fn which(source: &Source, pattern: &Pattern, at: Span) -> &'static str {
    const PLACES: [&str; 6] = [
        "the first ",
        "the second ",
        "the third ",
        "the fourth ",
        "the fifth ",
        "the sixth ",
    ];
    let Some(round) = slip::round_at(pattern, at) else {
        return "";
    };
    let body = slip::body(round);
    if at.start < body.start {
        return "";
    }
    let equal: Vec<Span> = numbers::numbers(source, body)
        .iter()
        .map(|number| number.span)
        .filter(|&span| source.slice(span) == source.slice(at))
        .collect();
    let place = equal.iter().position(|&span| span == at);
    match place {
        Some(place) if equal.len() > 1 => PLACES.get(place).copied().unwrap_or(""),
        _ => "",
    }
}
