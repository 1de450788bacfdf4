//! Words from a pattern, made to fit the room there is.

use crate::text::{self, Weight};

/// Longest words that are looked at, in characters; no sheet holds as many.
const LONGEST: usize = 400;

/// A last line shorter than this share of the room is evened out with those before it.
const SHORT_LINE: f64 = 0.4;
/// By how much of the room lines are made narrower at a time, and how narrow at most.
const NARROWER: f64 = 0.06;
/// See [`NARROWER`].
const NARROWEST: f64 = 0.6;

/// The words, cut off with an ellipsis where they are wider than the room.
pub(crate) fn fitted(words: &str, size_mm: f64, weight: Weight, room_mm: f64) -> String {
    let width = |words: &str| text::extents(words, size_mm, weight).width_mm;
    let short: String = words.chars().take(LONGEST).collect();
    if short.len() == words.len() && width(words) <= room_mm {
        return short;
    }
    let mut kept = short;
    while !kept.is_empty() && width(&format!("{}…", kept.trim_end())) > room_mm {
        kept.pop();
    }
    format!("{}…", kept.trim_end())
}

/// The words on as many lines as they need, up to a limit.
pub(crate) fn wrapped(
    words: &str,
    size_mm: f64,
    weight: Weight,
    room_mm: f64,
    most: usize,
) -> Vec<String> {
    let width = |words: &str| text::extents(words, size_mm, weight).width_mm;
    let mut lines: Vec<String> = Vec::new();
    let mut rest: Vec<&str> = words.split_whitespace().take(LONGEST).collect();
    rest.reverse();
    while let Some(first) = rest.pop() {
        if lines.len() + 1 == most {
            rest.push(first);
            rest.reverse();
            lines.push(fitted(&rest.join(" "), size_mm, weight, room_mm));
            break;
        }
        let mut line = fitted(first, size_mm, weight, room_mm);
        while let Some(next) = rest.last() {
            let longer = format!("{line} {next}");
            if width(&longer) > room_mm {
                break;
            }
            line = longer;
            rest.pop();
        }
        lines.push(line);
    }
    lines
}

/// The same, in lines of more even length where the last would hold a word or two alone.
pub(crate) fn evenly_wrapped(
    words: &str,
    size_mm: f64,
    weight: Weight,
    room_mm: f64,
    most: usize,
) -> Vec<String> {
    let mut lines = wrapped(words, size_mm, weight, room_mm, most);
    let width = |line: &String| text::extents(line, size_mm, weight).width_mm;
    let mut room = room_mm;
    while lines.len() > 1
        && lines
            .last()
            .is_some_and(|last| width(last) < SHORT_LINE * room_mm)
        && room > NARROWEST * room_mm
    {
        room -= NARROWER * room_mm;
        let narrower = wrapped(words, size_mm, weight, room, most);
        if narrower.len() > lines.len() {
            break;
        }
        lines = narrower;
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text::pt;

    #[test]
    fn words_that_fit_stay_and_others_are_cut() {
        let fit = |words: &str| fitted(words, pt(9.0), Weight::Regular, 30.0);
        assert_eq!(fit("Left wing"), "Left wing");
        let cut = fit(&"harbour ".repeat(200));
        assert!(cut.starts_with("harbour") && cut.ends_with('…'), "{cut}");
        assert!(text::extents(&cut, pt(9.0), Weight::Regular).width_mm <= 30.0);
    }

    #[test]
    fn lines_break_between_words_and_end_at_the_limit() {
        let wrap = |words: &str| wrapped(words, pt(9.0), Weight::Regular, 40.0, 3);
        assert_eq!(wrap("Pocket puffin"), ["Pocket puffin"]);
        let lines = wrap(&"quay ".repeat(90));
        assert_eq!(lines.len(), 3);
        assert!(
            lines[0].ends_with("quay") && lines[2].ends_with('…'),
            "{lines:?}"
        );
        assert!(wrap("").is_empty());
    }

    #[test]
    fn no_word_stands_alone_under_a_long_line() {
        let words = "Read from the middle outward, counter-clockwise, from the arrow on.";
        let wide = |line: &str| text::extents(line, pt(9.0), Weight::Regular).width_mm;
        let room = wide(words) - 1.0;
        let wrap = |words: &str| evenly_wrapped(words, pt(9.0), Weight::Regular, room, 3);
        let lines = wrap(words);
        assert_eq!(lines.len(), 2);
        assert!(wide(&lines[1]) > 0.3 * room, "{lines:?}");
        assert_eq!(wrap("Round 3."), ["Round 3."]);
    }
}
