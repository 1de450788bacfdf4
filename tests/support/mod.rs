//! What several tests share.

use roundwright::fabric::{self, Fabric};
use roundwright::pattern;
use roundwright::review;
use roundwright::source::{Problem, Source};

/// Reads, works and checks a text; the problems of every stage together.
pub fn check(source: &Source) -> (Fabric, Vec<Problem>) {
    let (pattern, mut problems) = pattern::read(source);
    let (fabric, more) = fabric::work(&pattern);
    problems.extend(more);
    problems.extend(review::review(source, &pattern, &fabric));
    (fabric, problems)
}
