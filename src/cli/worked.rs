//! A pattern taken through every stage up to the fabric, with all that was found on the way.

use std::path::Path;

use crate::fabric::{self, Fabric};
use crate::pattern::{self, Pattern};
use crate::source::{Level, Mend, Problem, Source, limits};
use crate::{queries, review, shape};

use super::console::Console;
use super::lengths::{self, LengthChoice};
use super::{Status, input, problems};

/// A pattern read, worked and checked.
pub struct Worked {
    pub source: Source,
    pub pattern: Pattern,
    pub fabric: Fabric,
    /// In the order of the text, and at one place the weightiest first.
    pub problems: Vec<Problem>,
    /// What would mend each problem, the likeliest change first.
    pub offers: Vec<Vec<Mend>>,
    pub status: Status,
}

impl Worked {
    /// Reads a file, works and checks it, and tells its problems on standard error.
    ///
    /// # Errors
    /// Why the file can't be read, or a length that it does not leave open.
    pub fn told(
        path: &Path,
        lengths: &[LengthChoice],
        console: &mut Console,
    ) -> Result<Worked, String> {
        let worked = Worked::with(input::read(path)?, lengths, &[], &[])?;
        console.warn(&problems::text(
            &worked.source,
            &worked.problems,
            console.colours_err(),
        ));
        Ok(worked)
    }

    /// Reads, works and checks a pattern.
    pub fn new(source: Source) -> Worked {
        let (pattern, problems) = pattern::read(&source);
        Worked::of(source, pattern, problems, &[], &[])
    }

    /// The same with lengths that the maker has chosen, without the problems of some codes, and with those of codes that have
    /// to be asked for.
    ///
    /// # Errors
    /// A length that the pattern does not leave open.
    pub fn with(
        source: Source,
        lengths: &[LengthChoice],
        allowed: &[&str],
        asked: &[&str],
    ) -> Result<Worked, String> {
        let (mut pattern, problems) = pattern::read(&source);
        if !lengths.is_empty() {
            lengths::choose(lengths, &source, &mut pattern)?;
        }
        Ok(Worked::of(source, pattern, problems, allowed, asked))
    }

    fn of(
        source: Source,
        pattern: Pattern,
        mut problems: Vec<Problem>,
        allowed: &[&str],
        asked: &[&str],
    ) -> Worked {
        let (fabric, found) = fabric::work(&pattern);
        problems.extend(found);
        problems.extend(review::review_also(&source, &pattern, &fabric, asked));
        problems.retain(|p| !allowed.contains(&p.code));
        problems.sort_by_key(|p| (p.span, std::cmp::Reverse(p.level)));
        let status = match problems.iter().any(|p| p.level == Level::Error) {
            true => Status::Errors,
            false => Status::Fine,
        };
        problems.truncate(limits::PROBLEMS);
        let offers = queries::offer_mends(&source, &pattern, &fabric, &mut problems);
        Worked {
            source,
            pattern,
            fabric,
            problems,
            offers,
            status,
        }
    }

    /// Width of a stitch in mm, by the gauge or by custom.
    pub fn stitch_mm(&self) -> f64 {
        shape::gauge(&self.source, &self.pattern, &self.fabric).width_mm
    }

    /// How many problems there are, in words: `2 errors, 1 note`; nothing if there are none.
    pub fn tally(&self) -> String {
        let count = |level: Level| {
            let count = self.problems.iter().filter(|p| p.level == level).count();
            let plural = if count == 1 { "" } else { "s" };
            (count > 0).then(|| format!("{count} {}{plural}", level.name()))
        };
        let counts = [Level::Error, Level::Warning, Level::Note].map(count);
        counts.into_iter().flatten().collect::<Vec<_>>().join(", ")
    }
}
