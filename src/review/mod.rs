//! The technical editor's checks, one small file each: `Source`, `Pattern` and `Fabric` in, problems out.

mod small_parts;

use crate::fabric::Fabric;
use crate::pattern::Pattern;
use crate::source::{Problem, Source};

/// A check: all that is known of a pattern in, problems out.
type Check = fn(&Source, &Pattern, &Fabric) -> Vec<Problem>;

/// Every check: a new one is a file of its own and a line here.
const CHECKS: &[Check] = &[small_parts::check];

/// Runs all checks. Problems come in the order of the text.
pub fn review(source: &Source, pattern: &Pattern, fabric: &Fabric) -> Vec<Problem> {
    let mut problems: Vec<Problem> = CHECKS
        .iter()
        .flat_map(|check| check(source, pattern, fabric))
        .collect();
    problems.sort_by_key(|p| (p.span.start, p.span.end));
    problems
}
