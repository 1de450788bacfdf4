//! Random valid patterns, spelled in random styles, come back as they were meant, also once they are written again; and a slip in
//! one number is told.
//!
//! `model` knows each stitch by an arithmetic of its own and shares nothing with the program.

#[path = "../support/alike.rs"]
mod alike;
#[path = "../support/cases.rs"]
mod cases;
mod compare;
mod dice;
mod grow;
mod model;
mod slip;
mod spell;
mod style;

use proptest::prelude::*;

use dice::Dice;
use roundwright::fabric::{self, Fabric};
use roundwright::pattern;
use roundwright::rewrite::{self, Style};
use roundwright::source::{Level, Problem, Source};
use roundwright::terms::Terms;

fn read(text: &str) -> (Source, Fabric, Vec<Problem>) {
    let source = Source::new("generated.md", text);
    let (pattern, mut problems) = pattern::read(&source);
    let (fabric, more) = fabric::work(&pattern);
    problems.extend(more);
    (source, fabric, problems)
}

fn told(source: &Source, problems: &[Problem]) -> String {
    let lines = problems.iter().map(|problem| {
        format!(
            "  {} {} in line {} at `{}`: {}\n",
            problem.level.name(),
            problem.code,
            source.line_of(problem.span.start),
            source.slice(problem.span),
            problem.message
        )
    });
    lines.collect()
}

fn dice() -> impl Strategy<Value = Dice> {
    prop::collection::vec(any::<u16>(), 0..160).prop_map(Dice::new)
}

fn config() -> ProptestConfig {
    ProptestConfig {
        max_shrink_iters: 20_000,
        ..cases::cases(512)
    }
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn a_valid_pattern_comes_back_in_any_style(mut shape in dice(), mut hand in dice()) {
        let toy = grow::toy(&mut shape);
        let spelled = spell::spell(&toy, None, &mut hand);
        let (source, fabric, problems) = read(&spelled.text);
        let bad: Vec<Problem> = problems.into_iter().filter(|p| p.level > Level::Note).collect();
        prop_assert!(bad.is_empty(), "{}\n{}", spelled.text, told(&source, &bad));
        let faults = compare::faults(&toy, &spelled, &fabric);
        prop_assert!(faults.is_empty(), "{}\n{}", spelled.text, faults.join("\n"));
    }

    #[test]
    fn a_wrong_number_is_told_once_where_it_stands(
        mut shape in dice(), mut hand in dice(), which in any::<u16>(), up: bool,
    ) {
        let toy = grow::toy(&mut shape);
        let Some(slip) = slip::of(&toy, usize::from(which), up) else {
            return Err(TestCaseError::reject("no number to change"));
        };
        let spelled = spell::spell(&toy, Some(&slip), &mut hand);
        let (source, _, problems) = read(&spelled.text);
        let (line, _) = spelled.lines[slip.piece][slip.round];
        let next = spelled.lines[slip.piece].get(slip.round + 1).map_or(usize::MAX, |&(next, _)| next);
        let end = spelled.lines[slip.piece].get(slip.round + 2).map_or(next, |&(end, _)| end);
        let near = problems.iter().any(|problem| {
            // Where the words allow a reading in which the changed number comes out, a note says that it was taken.
            let tells = problem.level == Level::Error || problem.code == "reading-taken";
            tells && (line..end.max(line + 1)).contains(&source.line_of(problem.span.start))
        });
        prop_assert!(near, "line {line} is wrong\n{}\n{}", spelled.text, told(&source, &problems));
        let bad: Vec<Problem> = problems.into_iter().filter(|p| p.level > Level::Note).collect();
        prop_assert!(bad.len() <= 1, "line {line} is wrong\n{}\n{}", spelled.text, told(&source, &bad));
    }

    #[test]
    fn what_is_written_again_is_worked_alike_in_every_style(
        mut shape in dice(), mut hand in dice(), style in 0..Style::all().count(), uk: bool,
    ) {
        let toy = grow::toy(&mut shape);
        let spelled = spell::spell(&toy, None, &mut hand);
        let (source, fabric, _) = read(&spelled.text);
        let (pattern, _) = pattern::read(&source);
        let style = Style::all().nth(style).unwrap_or_default();
        let terms = if uk { Terms::Uk } else { Terms::Us };
        let written = rewrite::write(&source, &pattern, &fabric, &style, terms);
        let (_, again, _) = read(&written.text);
        let why = alike::difference(&fabric, &again);
        prop_assert!(why.is_none(), "{}\n----\n{}\n{why:?}", spelled.text, written.text);
        let is_kept = |p: &&Problem| matches!(p.code, "kept-words" | "not-rewritten");
        let kept: Vec<&str> = written.problems.iter().filter(is_kept).map(|p| source.slice(p.span)).collect();
        prop_assert!(kept.is_empty(), "{}\n----\n{kept:?}", spelled.text);
    }
}
