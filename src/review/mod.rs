//! The technical editor's checks, one small file each: `Source`, `Pattern` and `Fabric` in, problems out.
//!
//! [`pages`] holds a help page for every code of every stage.

mod abbreviation_twice;
mod abbreviation_unlisted;
mod abbreviation_unused;
pub(crate) mod abbreviations;
pub(crate) mod draft;
mod eye_sizes;
mod eyes_never;
mod eyes_not_level;
mod eyes_too_late;
mod flat;
mod gauge_missing;
mod hook_missing;
mod hook_sizes;
mod increases_stacked;
mod join_widths;
mod last_round_open;
mod lengths_disagree;
mod marker_unplaced;
mod marker_unused;
mod material_unlisted;
mod opening;
pub mod pages;
mod pair_off;
mod part_left_over;
mod part_not_made;
mod part_sewn_early;
mod part_sewn_twice;
mod part_unattached;
mod part_wrong_side;
mod parts;
mod parts_not_level;
mod parts_overlap;
mod parts_too_few;
mod range_count;
mod round_not_there;
mod sewn_widths;
mod size_missing;
mod size_unlikely;
mod small_parts;
mod start_chain_missing;
mod start_chain_unsaid;
mod stuffing_never;
mod stuffing_too_late;
mod tail_missing;
mod terms_slip;
mod yarn_in_use;
mod yarn_unlisted;
mod yarn_unused;

use crate::fabric::Fabric;
use crate::pattern::Pattern;
use crate::source::{Problem, Source};
use draft::Draft;

/// A check: all that is known of a pattern in, problems out.
type Check = fn(&Draft<'_>) -> Vec<Problem>;

/// Every check that always runs: a new one is a file of its own, a line here, and a help page.
const CHECKS: &[Check] = &[
    abbreviation_twice::check,
    abbreviation_unlisted::check,
    abbreviation_unused::check,
    eye_sizes::check,
    eyes_never::check,
    eyes_not_level::check,
    eyes_too_late::check,
    flat::check,
    gauge_missing::check,
    hook_missing::check,
    hook_sizes::check,
    join_widths::check,
    last_round_open::check,
    lengths_disagree::check,
    marker_unplaced::check,
    marker_unused::check,
    material_unlisted::check,
    pair_off::check,
    part_left_over::check,
    part_not_made::check,
    part_sewn_early::check,
    part_sewn_twice::check,
    part_unattached::check,
    part_wrong_side::check,
    parts_not_level::check,
    parts_overlap::check,
    parts_too_few::check,
    range_count::check,
    round_not_there::check,
    sewn_widths::check,
    size_missing::check,
    size_unlikely::check,
    small_parts::check,
    start_chain_missing::check,
    start_chain_unsaid::check,
    stuffing_never::check,
    stuffing_too_late::check,
    tail_missing::check,
    terms_slip::check,
    yarn_in_use::check,
    yarn_unlisted::check,
    yarn_unused::check,
];

/// Checks of what many designers mean to do, by their code: they only run if they are asked for.
const ON_REQUEST: &[(&str, Check)] = &[("increases-stacked", increases_stacked::check)];

/// Runs all checks but those that have to be asked for. Problems come in the order of the text.
pub fn review(source: &Source, pattern: &Pattern, fabric: &Fabric) -> Vec<Problem> {
    review_also(source, pattern, fabric, &[])
}

/// The same, with those checks besides whose codes are asked for. A code that is always checked changes nothing.
pub fn review_also(
    source: &Source,
    pattern: &Pattern,
    fabric: &Fabric,
    asked: &[&str],
) -> Vec<Problem> {
    // Of a text in which no round was found there is nothing else to say.
    if pattern.pieces.is_empty() {
        return Vec::new();
    }
    let draft = Draft::new(source, pattern, fabric);
    let requested = ON_REQUEST
        .iter()
        .filter(|(code, _)| asked.contains(code))
        .map(|(_, check)| check);
    let mut problems: Vec<Problem> = CHECKS
        .iter()
        .chain(requested)
        .flat_map(|check| check(&draft))
        .collect();
    problems.sort_by_key(|p| (p.span.start, p.span.end));
    // A piece worked as another shares its words.
    problems.dedup_by(|b, a| a.span == b.span && a.code == b.code && a.message == b.message);
    problems
}

/// The codes of the checks that only run if they are asked for.
pub fn on_request() -> impl Iterator<Item = &'static str> {
    ON_REQUEST.iter().map(|&(code, _)| code)
}
