//! Two abbreviations for one thing.

use super::abbreviations::{list, used};
use super::draft::Draft;
use crate::source::{Problem, quoted};

/// Two entries of the list with one meaning or one name, and two ways of the trade to write one abbreviation in the rounds of
/// a pattern that has a list.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let Some(entries) = list(draft) else {
        return Vec::new();
    };
    let mut problems = Vec::new();
    for (at, entry) in entries.iter().enumerate() {
        let earlier = entries[..at].iter().find(|other| {
            let same_name = other.names.iter().any(|name| entry.names.contains(name));
            same_name || !entry.meaning.is_empty() && other.meaning == entry.meaning
        });
        if let Some(earlier) = earlier {
            let (name, other) = (&entry.names[0], &earlier.names[0]);
            let message = match name == other {
                true => format!("{} is listed twice", quoted(name)),
                false => format!("{} and {} stand for the same", quoted(other), quoted(name)),
            };
            problems.push(
                Problem::warning("abbreviation-twice", entry.span, message)
                    .help("use one of them throughout"),
            );
        }
    }
    let uses = used(draft);
    for (at, usage) in uses.iter().enumerate() {
        let is_other = |name: &str| name.trim_end_matches('s') != usage.name.trim_end_matches('s');
        let earlier = uses[..at]
            .iter()
            .find(|other| other.row == usage.row && is_other(&other.name));
        let is_stitch = matches!(
            usage.name.as_str(),
            "ss" | "slst" | "sl st" | "mr" | "ar" | "trc" | "tr"
        );
        if let Some(earlier) = earlier.filter(|_| is_stitch) {
            problems.push(
                Problem::warning(
                    "abbreviation-twice",
                    usage.span,
                    format!(
                        "{} and {} are used for the same",
                        quoted(&earlier.name),
                        quoted(&usage.name)
                    ),
                )
                .help("use one of them throughout"),
            );
        }
    }
    problems
}
