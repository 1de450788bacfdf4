//! Problems as people read them: each under the words that it is about.

use std::ops::Range;

use annotate_snippets::{AnnotationKind, Group, Level as Weight, Origin, Renderer, Snippet};

use crate::source::{Level, Problem, Source, Span, limits};

use super::console::{clean, is_unsafe};

/// Characters of a line that are shown before the words that a problem is about, where the line is long.
const BEFORE: usize = 40;
/// Characters that are shown from the start of those words on.
const FROM: usize = 80;
/// A longer line, in bytes, is cut before it is shown.
const LONG_LINE: usize = 400;

/// Every problem under its words, with an empty line after each. Past a limit, only how many more there are.
pub fn text(source: &Source, problems: &[Problem], colours: bool) -> String {
    let renderer = if colours {
        Renderer::styled()
    } else {
        Renderer::plain()
    };
    let mut text = String::new();
    for problem in problems.iter().take(limits::PROBLEMS_SHOWN) {
        text += &renderer.render(&[report(source, problem)]);
        text += "\n\n";
    }
    let more = problems.len().saturating_sub(limits::PROBLEMS_SHOWN);
    if more > 0 {
        let s = if more == 1 { "" } else { "s" };
        text += &format!("{more} more problem{s} not shown\n\n");
    }
    text
}

fn report<'a>(source: &'a Source, problem: &'a Problem) -> Group<'a> {
    let weight = match problem.level {
        Level::Error => Weight::ERROR,
        Level::Warning => Weight::WARNING,
        Level::Note => Weight::NOTE,
    };
    let place = source.place(problem.span);
    let excerpt = excerpt(source, problem.span);
    let snippet = Snippet::source(excerpt.text)
        .line_start(place.line)
        .annotation(AnnotationKind::Primary.span(excerpt.words));
    let title = weight
        .primary_title(clean(&problem.message))
        .id(problem.code);
    let path = clean(&source.name);
    let group = if excerpt.cut {
        let origin = Origin::path(path)
            .line(place.line)
            .char_column(place.column);
        title.element(origin).element(snippet)
    } else {
        title.element(snippet.path(path))
    };
    match &problem.help {
        Some(help) => group.element(Weight::HELP.message(clean(help))),
        None => group,
    }
}

/// The line where a problem starts, safe to show.
struct Excerpt {
    text: String,
    /// The problem's words on this line, in bytes of `text`.
    words: Range<usize>,
    /// True if `text` is only the part of the line around the words.
    cut: bool,
}

fn excerpt(source: &Source, span: Span) -> Excerpt {
    let line = source.line_span(source.line_of(span.start) - 1);
    let start = span.start.min(line.end);
    let end = span.end.clamp(start, line.end);
    if line.end - line.start <= LONG_LINE {
        return Excerpt::new(source, line, start..end, false);
    }
    let before = source.slice(Span::new(line.start, start));
    let after = source.slice(Span::new(start, line.end));
    let from = before.char_indices().rev().nth(BEFORE - 1);
    let to = after.char_indices().nth(FROM);
    let shown = Span::new(
        line.start + from.map_or(0, |(at, _)| at),
        to.map_or(line.end, |(at, _)| start + at),
    );
    Excerpt::new(source, shown, start..end.min(shown.end), true)
}

impl Excerpt {
    fn new(source: &Source, shown: Span, words: Range<usize>, cut: bool) -> Excerpt {
        let safe = |from, to| -> String {
            let words = source.slice(Span::new(from, to));
            let stand_in = |c| if is_unsafe(c) { '\u{fffd}' } else { c };
            words.chars().map(stand_in).collect()
        };
        let mut text = safe(shown.start, words.start);
        if cut {
            text.insert(0, '…');
        }
        let start = text.len();
        text += &safe(words.start, words.end);
        let end = text.len();
        text += &safe(words.end, shown.end);
        if cut {
            text.push('…');
        }
        Excerpt {
            text,
            words: start..end,
            cut,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(text: &str, words: &str) -> String {
        let source = Source::new("p.md", text);
        let start = text.find(words).unwrap();
        let problem =
            Problem::error("count", Span::new(start, start + words.len()), "no").help("yes");
        super::text(&source, &[problem], false)
    }

    #[test]
    fn a_problem_stands_under_its_words() {
        let expected = "\
error[count]: no
 --> p.md:2:8
  |
2 | Rnd 1: 6 sç (7)
  |        ^^^^
  |
  = help: yes

";
        assert_eq!(shown("# é\nRnd 1: 6 sç (7)\n", "6 sç"), expected);
    }

    #[test]
    fn words_over_several_lines_are_shown_as_far_as_the_first_goes() {
        let text = shown("Rnd 1: 6 sc,\ninc (7)\n", "sc,\ninc");
        assert!(
            text.contains("1 | Rnd 1: 6 sc,\n  |          ^^^\n"),
            "{text}"
        );
    }

    #[test]
    fn a_line_without_end_is_shown_around_the_words() {
        let line = format!("{}WORDS{}", "é".repeat(500_000), "ü".repeat(500_000));
        let text = shown(&line, "WORDS");
        assert!(
            text.chars().count() < 400,
            "{} characters",
            text.chars().count()
        );
        assert!(text.contains("p.md:1:500001"), "{text}");
        assert!(
            text.contains("éééWORDSüüü") && text.contains("^^^^^\n"),
            "{text}"
        );
        assert!(shown(&line, &line).chars().count() < 500);
    }

    #[test]
    fn nothing_that_steers_a_terminal_gets_out() {
        let text = shown("Rnd 1: \u{1b}[2J6 sc\u{9b}\u{202e}", "6 sc");
        assert!(!text.contains(['\u{1b}', '\u{9b}', '\u{202e}']), "{text:?}");
        assert!(text.contains("^^^^\n"), "{text}");
    }
}
