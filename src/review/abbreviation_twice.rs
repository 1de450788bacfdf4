//! Two abbreviations for one thing.

use std::collections::BTreeMap;

use super::abbreviations::{Entry, Use, list, used};
use super::draft::Draft;
use crate::source::{Problem, quoted};

/// Two names of the list for one decrease, both of them worked: `invdec: invisible decrease`, `sc2tog: … (invisible)`.
fn two_decreases(entries: &[Entry], uses: &[Use]) -> Option<Problem> {
    const DECREASES: &[&str] = &["dec", "invdec", "inv dec", "sc2tog", "dc2tog"];
    let works = |name: &String| {
        DECREASES.contains(&name.as_str()) && uses.iter().any(|usage| usage.name == *name)
    };
    let worked: Vec<(&Entry, &String)> = entries
        .iter()
        .filter_map(|entry| Some((entry, entry.names.iter().find(|name| works(name))?)))
        .collect();
    let is_invisible = |entry: &Entry| entry.said.contains("invisible");
    // `dec = single crochet 2 together`, `sc2tog = sc 2 together`
    let is_plain = |entry: &Entry| {
        let tall = ["hdc", "half", "htr", "treble"];
        entry.said.contains("together")
            && !is_invisible(entry)
            && !tall.iter().any(|word| entry.said.contains(word))
    };
    let pair = |is: &dyn Fn(&Entry) -> bool| {
        let mut alike = worked.iter().filter(|(entry, _)| is(entry));
        alike.next().zip(alike.next())
    };
    let (&(_, one), &(entry, other)) = pair(&is_invisible).or_else(|| pair(&is_plain))?;
    let message = format!("{} and {} stand for the same", quoted(one), quoted(other));
    Some(
        Problem::warning("abbreviation-twice", entry.span, message)
            .help("use one of them throughout"),
    )
}

/// Two entries of the list with one meaning or one name, and two ways of the trade to write one abbreviation in the rounds of
/// a pattern that has a list.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let Some(entries) = list(draft) else {
        return Vec::new();
    };
    let mut problems = Vec::new();
    let mut names: BTreeMap<&str, &str> = BTreeMap::new();
    let mut meanings: BTreeMap<&str, &str> = BTreeMap::new();
    for entry in &entries {
        let name = entry.names[0].as_str();
        let by_name = entry.names.iter().find_map(|name| names.get(name.as_str()));
        let earlier = by_name.or_else(|| meanings.get(entry.meaning.as_str()));
        if let Some(&earlier) = earlier {
            let message = match name == earlier {
                true => format!("{} is listed twice", quoted(name)),
                false => format!(
                    "{} and {} stand for the same",
                    quoted(earlier),
                    quoted(name)
                ),
            };
            problems.push(
                Problem::warning("abbreviation-twice", entry.span, message)
                    .help("use one of them throughout"),
            );
        }
        names.extend(entry.names.iter().map(|other| (other.as_str(), name)));
        if !entry.meaning.is_empty() {
            meanings.insert(&entry.meaning, name);
        }
    }
    let uses = used(draft);
    problems.extend(two_decreases(&entries, &uses));
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
