//! The whole way of a text, for tests that only ask that it comes to an end.

use roundwright::fabric::Fabric;
use roundwright::rewrite::{self, Style};
use roundwright::source::{Problem, Source, limits};
use roundwright::{chart, draw, fabric, pattern, queries, review};

/// Takes a text through every stage, the query sheet, its corrections and its rewriting among them, to SVG, with a look at the words of each problem: the fabric, the problems
/// and a picture for each panel.
pub fn whole_way(text: &str) -> (Fabric, Vec<Problem>, Vec<String>) {
    let source = Source::new("p.md", text);
    let (pattern, mut problems) = pattern::read(&source);
    let (fabric, found) = fabric::work(&pattern);
    problems.extend(found);
    problems.extend(review::review(&source, &pattern, &fabric));
    let offers = queries::offer_mends(&source, &pattern, &fabric, &mut problems);
    let asked = queries::queries(&source, &pattern, &fabric, &problems, &offers);
    queries::sheet(&source, &fabric.title, &asked);
    let version = || queries::Version {
        source: &source,
        pattern: &pattern,
        fabric: &fabric,
    };
    let errata = queries::errata(&version(), &version());
    assert!(
        errata.ends_with("The two versions are the same.\n"),
        "{errata}"
    );
    rewrite::write(&source, &pattern, &fabric, &Style::default(), fabric.terms);
    for problem in &problems {
        source.place(problem.span);
        source.slice(problem.span);
    }
    let stitches: usize = fabric.pieces.iter().map(|piece| piece.stitches.len()).sum();
    assert!(stitches <= limits::STITCHES, "{stitches} stitches");
    let panels = (0..fabric.pieces.len())
        .flat_map(|piece| chart::lay_out(&fabric, piece, &chart::Options::default()));
    let svgs = panels
        .map(|panel| draw::panel_svg(&panel, &fabric))
        .collect();
    (fabric, problems, svgs)
}

/// Takes a text the whole way twice, and says whether both came to the same.
#[allow(dead_code, reason = "a fuzz target only wants an end")]
pub fn comes_to_the_same_twice(text: &str) -> bool {
    format!("{:?}", whole_way(text)) == format!("{:?}", whole_way(text))
}
