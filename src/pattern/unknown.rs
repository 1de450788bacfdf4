//! Words that are not the trade's.

use super::body::Reader;
use super::clause::Clause;
use crate::source::{Problem, quoted};

impl Reader<'_> {
    pub(super) fn report_unknown(&mut self, clause: &Clause) {
        let (Some(first), Some(last)) = (clause.unknown.first(), clause.unknown.last()) else {
            return;
        };
        // After the total only remarks follow; `now the legs!` is one too.
        let exclaims = self.peek().is_some_and(|t| matches!(&*t.text, "!" | "?"));
        if self.stated.is_some() || exclaims && clause.stitch.is_none() && clause.count.is_none() {
            return;
        }
        let words = clause.unknown.len();
        let lone =
            clause.stitch.is_none() && (clause.count.is_some() || words == 1 || self.depth > 0);
        let span = first.to(*last);
        if lone {
            let word = &self.text[first.range()];
            let problem = Problem::error(
                "unknown-stitch",
                *first,
                format!("{} is not a stitch that I know", quoted(word)),
            );
            let problem = match super::compound::nearest(word, self.names.terms) {
                Some(near) => problem
                    .help(format!("did you mean `{near}`?"))
                    .mend(*first, near),
                None => problem.help("list it under the abbreviations, or write it in words"),
            };
            self.problem(problem);
        } else {
            let problem =
                Problem::warning("unread", span, "these words of the round were not read");
            let near = super::compound::nearest(&self.text[first.range()], self.names.terms);
            self.problem(match near.filter(|_| words == 1) {
                Some(near) => problem.help(format!("did you mean `{near}`?")),
                None => problem.help("put remarks after the total, or on a line of their own"),
            });
        }
    }
}
