use serde::Serialize;

use super::{FORMAT, safe};
use crate::fabric::RoundKind;
use crate::queries;
use crate::source::{self, Source};

/// The query sheet as one line of JSON.
pub fn queries_line(source: &Source, queries: &[queries::Query<'_>]) -> String {
    safe::line(&Report {
        format: FORMAT,
        file: &source.name,
        queries: queries
            .iter()
            .map(|query| Query::new(query, source))
            .collect(),
    })
}

#[derive(Serialize)]
struct Report<'a> {
    format: u32,
    file: &'a str,
    queries: Vec<Query<'a>>,
}

#[derive(Serialize)]
struct Query<'a> {
    number: usize,
    level: &'static str,
    code: &'static str,
    #[serde(flatten)]
    place: Place,
    words: &'a str,
    message: &'a str,
    help: Option<&'a str>,
    arithmetic: Option<&'a str>,
    mend: Option<Mend<'a>>,
    offers: Vec<Mend<'a>>,
    touches: Vec<Rounds<'a>>,
}

impl<'a> Query<'a> {
    fn new(query: &'a queries::Query<'_>, source: &'a Source) -> Query<'a> {
        let problem = query.problem;
        Query {
            number: query.number,
            level: problem.level.name(),
            code: problem.code,
            place: Place::new(problem.span, source),
            words: source.slice(problem.span),
            message: &problem.message,
            help: problem.help.as_deref(),
            arithmetic: query.arithmetic.as_deref(),
            mend: problem.mend.as_ref().map(|mend| Mend::new(mend, source)),
            offers: query
                .offers
                .iter()
                .map(|mend| Mend::new(mend, source))
                .collect(),
            touches: query.touches.iter().map(Rounds::new).collect(),
        }
    }
}

#[derive(Serialize)]
struct Place {
    line: usize,
    column: usize,
    end_line: usize,
    end_column: usize,
}

impl Place {
    fn new(span: source::Span, source: &Source) -> Place {
        let place = source.place(span);
        Place {
            line: place.line,
            column: place.column,
            end_line: place.end_line,
            end_column: place.end_column,
        }
    }
}

#[derive(Serialize)]
struct Mend<'a> {
    #[serde(flatten)]
    place: Place,
    text: &'a str,
}

impl<'a> Mend<'a> {
    fn new(mend: &'a source::Mend, source: &Source) -> Mend<'a> {
        Mend {
            place: Place::new(mend.span, source),
            text: &mend.text,
        }
    }
}

#[derive(Serialize)]
struct Rounds<'a> {
    piece: &'a str,
    kind: &'static str,
    first: u32,
    last: u32,
}

impl<'a> Rounds<'a> {
    fn new(rounds: &'a queries::Rounds) -> Rounds<'a> {
        Rounds {
            piece: &rounds.piece,
            kind: match rounds.kind {
                RoundKind::Round => "round",
                RoundKind::Row => "row",
            },
            first: rounds.first,
            last: rounds.last,
        }
    }
}
