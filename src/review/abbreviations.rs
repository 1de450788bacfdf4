//! The pattern's list of abbreviations, and the abbreviations of the trade in its rounds.

use super::draft::{Draft, Place};
use crate::prose::Word;
use crate::source::Span;

/// Longest line that is taken as (part of) the list, in bytes.
const LONGEST_LINE: usize = 4_000;

/// Most bytes from the comma before a name to the sign after it, where that is a colon or a hyphen.
const LONGEST_NEXT: usize = 12;

/// An entry of the list.
pub(crate) struct Entry {
    /// Its abbreviations in small letters: `st` and `sts` of `st, sts: stitch, stitches`.
    pub names: Vec<String>,
    /// What it stands for, in small letters, single spaces, up to the first comma, semicolon or bracket.
    pub meaning: String,
    /// All that is said of it, in small letters.
    pub said: String,
    /// The abbreviations as they stand in the list.
    pub span: Span,
}

/// The entries of the list; `None` if the pattern has none.
pub(crate) fn list(draft: &Draft<'_>) -> Option<Vec<Entry>> {
    draft.heading(Place::Abbreviations)?;
    let text = draft.source.text();
    let mut entries = Vec::new();
    let mut lines: Vec<usize> = draft
        .in_place(Place::Abbreviations)
        .filter(|sentence| !sentence.in_round)
        .flat_map(|sentence| {
            let span = sentence.span();
            draft.source.line_of(span.start)..=draft.source.line_of(span.end)
        })
        .collect();
    lines.dedup();
    for line in lines {
        let span = draft.source.line_span(line - 1);
        let at = span.start;
        if let Some(found) = table_row(&text[span.range()], at) {
            entries.extend(found);
            continue;
        }
        let bracketed = in_brackets(&text[span.range()], at);
        if bracketed.len() > 1 {
            entries.extend(bracketed);
            continue;
        }
        for (offset, part) in parts(&text[span.range()]) {
            let before = entries.len();
            read(part, at + offset, &mut entries);
            if entries.len() == before {
                entries.extend(bare(part, at + offset));
            }
        }
    }
    (!entries.is_empty()).then_some(entries)
}

/// The parts of a line with their places: between semicolons, bars and dots, slashes that stand apart, and before each bold name.
fn parts(line: &str) -> Vec<(usize, &str)> {
    let mut ends: Vec<(usize, usize)> = line
        .match_indices([';', '\t', '|', '·'])
        .chain(
            line.match_indices(" / ")
                .filter(|&(at, _)| has_meaning(&line[..at])),
        )
        .chain(line.match_indices(", **").map(|(at, _)| (at, ",")))
        .map(|(at, sign)| (at, at + sign.len()))
        .collect();
    ends.sort();
    ends.push((line.len(), line.len()));
    let mut from = 0;
    let mut parts = Vec::with_capacity(ends.len());
    for (end, next) in ends {
        if end >= from {
            parts.push((from, &line[from..end]));
            from = next;
        }
    }
    parts
}

/// False for the `BLO` of `BLO / FLO = back / front loop only`, which shares its meaning with the name behind it.
fn has_meaning(before: &str) -> bool {
    let part = before
        .rsplit([';', '\t', '|', '·', '/'])
        .next()
        .unwrap_or_default();
    let part = part.trim_matches([' ', '-', '*', '•', '+', '_']);
    part.contains(char::is_whitespace)
}

/// `ch chain`, `**dec** invisible decrease`, `sc, single crochet`: an abbreviation of the trade with no sign after it.
fn bare(part: &str, from: usize) -> Option<Entry> {
    const OTHERS: &[&str] = &["rnd", "rd", "fo", "mc"];
    if part.len() > LONGEST_LINE {
        return None;
    }
    let heading = part.to_ascii_lowercase().find("abbreviations");
    // `ABBREVIATIONS ch, chain; dc, double crochet`
    let start = heading.map_or(0, |at| match part.find(':') {
        Some(colon) => colon + 1,
        None => at + "abbreviations".len(),
    });
    let words = &part[start..];
    // `ABBREVIATIONS (UK) dc, double crochet`
    let custom = words.trim_start();
    let is_told = start > 0 && custom.starts_with('(');
    let passed = custom
        .find(')')
        .filter(|_| is_told)
        .map_or(0, |end| words.len() - custom.len() + end + 1);
    let (start, words) = (start + passed, &words[passed..]);
    let at = words.find(|c: char| !matches!(c, ' ' | '*' | '_' | '-' | '•'))?;
    let words = &words[at..];
    // Two words first: `sl st`.
    let mut gaps = words.match_indices(' ').map(|(gap, _)| gap);
    let (one, two) = (gaps.next()?, gaps.next());
    let end = two.into_iter().chain([one]).find(|&end| {
        let name = words[..end].to_lowercase().replace("(s)", "");
        let name = name.trim_matches(['*', '_', ',']);
        OTHERS.contains(&name) || TRADE.iter().any(|row| row.contains(&name))
    })?;
    let name = words[..end].trim_end_matches(['*', '_', ',']);
    entry(name, &words[end..], from + start + at)
}

/// `MR (magic ring), sc (single crochet), st(s) (stitch(es))`: the entries of a line on which each meaning stands in brackets.
fn in_brackets(line: &str, from: usize) -> Vec<Entry> {
    const BETWEEN: [char; 4] = [',', ';', '.', ' '];
    let mut entries = Vec::new();
    // Brackets that are open, where the meaning begins, and where the name does.
    let (mut depth, mut meaning, mut start) = (0_usize, None, 0);
    for (at, sign) in line.char_indices().take(LONGEST_LINE) {
        match sign {
            '(' => {
                if depth == 0 && line[..at].ends_with(' ') {
                    meaning = Some(at);
                }
                depth += 1;
            }
            ')' => depth = depth.saturating_sub(1),
            _ => {}
        }
        let Some(open) = meaning.filter(|_| depth == 0) else {
            continue;
        };
        let names = &line[start..open];
        let names = names.rsplit(':').next().unwrap_or(names);
        let names = names.trim_start_matches(BETWEEN);
        let goes_on = line[at + 1..].starts_with(|c| !BETWEEN.contains(&c) || c == ' ');
        if goes_on || first_sign(names).is_some() {
            return Vec::new();
        }
        entries.extend(entry(names, &line[open + 1..at], from + open - names.len()));
        (meaning, start) = (None, at + 1);
    }
    entries
}

/// `| dec | decrease: sc two sts together |`: the entry of a row of a table; nothing of it is an entry where it has none.
fn table_row(line: &str, from: usize) -> Option<Option<Entry>> {
    let start = line.find('|').filter(|&at| line[..at].trim().is_empty())? + 1;
    let (name, meaning) = line[start..].split_once('|')?;
    // `| Short | Means |`: the heads of the columns.
    let is_head = matches!(
        &*meaning.trim_matches(['|', ' ', '*']).to_lowercase(),
        "means" | "meaning" | "it means" | "term" | "stitch" | "description" | "explanation"
    );
    let found = entry(name, meaning, from + start);
    Some(found.filter(|_| !meaning.contains("---") && !is_head))
}

/// `sc: single crochet`, `inc = increase`, `sc – single crochet`; several with commas between where each has its sign.
fn read(line: &str, mut from: usize, entries: &mut Vec<Entry>) {
    if line.len() > LONGEST_LINE {
        return;
    }
    let mut rest = line;
    while let Some((at, sign)) = first_sign(rest) {
        let (names, after) = (&rest[..at], &rest[at + sign.len()..]);
        // `sc = single crochet, inc = increase`: the next name stands after the last comma before the next sign.
        let next = after.find(sign).and_then(|next| {
            let comma = after[..next].rfind(',')?;
            // A colon or a hyphen may stand in a meaning.
            let is_sure = sign.contains(['=', '–', '—']);
            (is_sure || next - comma <= LONGEST_NEXT).then_some(comma)
        });
        let speaks = names.to_lowercase().contains("abbreviation");
        // `**Abbreviations:** BLO – back loop only`
        let behind = names
            .rfind(':')
            .max(names.rfind("**").map(|at| at + 1))
            .max(
                names
                    .rfind("ABBREVIATIONS ")
                    .map(|at| at + "ABBREVIATIONS".len()),
            );
        let behind = behind.filter(|&at| speaks && names[at..].contains(char::is_alphabetic));
        let is_heading = speaks && behind.is_none();
        let (names, from_names) = match behind {
            Some(at) => (&names[at + 1..], from + at + 1),
            None => (names, from),
        };
        if !is_heading {
            let meaning = &after[..next.unwrap_or(after.len())];
            entries.extend(entry(names, meaning, from_names));
        }
        let skipped = match next {
            Some(comma) => comma + 1,
            None if is_heading => 0,
            None => return,
        };
        from += at + sign.len() + skipped;
        rest = &after[skipped..];
    }
}

/// The first sign between an abbreviation and what it means, with its place; the longest where several start there.
fn first_sign(text: &str) -> Option<(usize, &'static str)> {
    const SIGNS: [&str; 6] = [": ", " = ", "=", " – ", " - ", " — "];
    SIGNS
        .iter()
        .filter_map(|sign| Some((text.find(sign)?, *sign)))
        .min_by_key(|&(at, sign)| (at, std::cmp::Reverse(sign.len())))
}

fn entry(names: &str, meaning: &str, from: usize) -> Option<Entry> {
    let bare = names.trim_start_matches([' ', '-', '*', '•', '+', '_', '\t']);
    let start = from + names.len() - bare.len();
    let bare = bare.trim_end_matches(['*', '_', ' ', ':']);
    if explains_brackets(bare) {
        return None;
    }
    // `st(s)` is listed for `st`.
    let singular = bare.replace("(s)", "").replace("(S)", "");
    // `Bobble (bo)` has two names.
    let names: Vec<String> = singular
        .split([',', '/', '('])
        .map(|name| {
            let name = name.to_lowercase();
            name.trim().trim_matches(['*', '_', '(', ')']).to_owned()
        })
        .filter(|name| is_abbreviation(name))
        .collect();
    (!names.is_empty()).then(|| Entry {
        names,
        meaning: plain(meaning),
        said: meaning.to_lowercase(),
        span: Span::new(start, start + bare.len()),
    })
}

/// Lines of the header that may stand right below the list: `Tension: 22 sts = 10 cm`.
const HEADER: &[&str] = &[
    "tension",
    "gauge",
    "hook",
    "yarn",
    "yarns",
    "size",
    "eyes",
    "terms",
    "note",
    "notes",
    "tip",
    "tips",
    "stuffing",
    "materials",
    "difficulty",
    "skill level",
    "abbr.",
    "abbr",
    "symbol",
    "level",
];

fn is_abbreviation(name: &str) -> bool {
    name.len() <= 24
        && !HEADER.contains(&name)
        && name.split_whitespace().count() <= 3
        && name.starts_with(char::is_alphabetic)
}

/// `(sc, inc) x 6 - work what is in brackets 6 times` explains a way of writing, not an abbreviation.
fn explains_brackets(names: &str) -> bool {
    names.starts_with(['(', '[', '{']) && !names.ends_with([')', ']', '}'])
}

fn plain(meaning: &str) -> String {
    let end = meaning.find([',', ';', '(', '.']).unwrap_or(meaning.len());
    let words: Vec<&str> = meaning[..end].split_whitespace().collect();
    words.join(" ").to_lowercase().replace("(s)", "")
}

/// Abbreviations of the trade (Craft Yarn Council, standard list, from memory), each with what some write instead.
const TRADE: &[&[&str]] = &[
    &["sc", "scs"],
    &["hdc", "hdcs"],
    &["dc", "dcs"],
    &["tr", "trs", "trc"],
    &["dtr"],
    &["trtr"],
    &["htr", "htrs"],
    &["esc"],
    &["ehdc"],
    &["edc"],
    &["fsc"],
    &["fhdc"],
    &["fdc"],
    &["ch", "chs"],
    &["sl st", "sl sts", "slst", "ss"],
    &["st", "sts"],
    &["sp", "sps"],
    &["inc", "incs"],
    &["dec", "decs"],
    &["invdec", "inv dec"],
    &["sc2tog"],
    &["sc3tog"],
    &["hdc2tog"],
    &["hdc3tog"],
    &["dc2tog"],
    &["dc3tog"],
    &["htr2tog"],
    &["htr3tog"],
    &["tr2tog"],
    &["tr3tog"],
    &["blo", "bl"],
    &["flo", "fl"],
    &["fpsc", "fpdc", "fphdc", "fptr", "fp"],
    &["bpsc", "bpdc", "bphdc", "bptr", "bp"],
    &["mr", "ar"],
    &["rep"],
    &["rem"],
    &["beg"],
    &["sk"],
    &["pm"],
    &["yo"],
    &["pc"],
    &["rs"],
    &["ws"],
];

/// An abbreviation of the trade as a round uses it.
pub(super) struct Use {
    /// Place of its row in the table: abbreviations of one row mean the same.
    pub row: usize,
    /// As it stands, in small letters.
    pub name: String,
    pub span: Span,
}

/// The abbreviations of the trade in the rounds, each where it is first used.
pub(super) fn used(draft: &Draft<'_>) -> Vec<Use> {
    let mut uses: Vec<Use> = Vec::new();
    for sentence in draft.prose.sentences.iter().filter(|s| s.in_round) {
        for (at, word) in sentence.words.iter().enumerate() {
            if is_ordinal_ending(&sentence.words, at) {
                continue;
            }
            let next = |ahead: usize| sentence.words.get(at + ahead);
            let pair = next(1).filter(|_| word.is_any(&["sl", "inv"]));
            // `sc2tog` is three words, `sc 2 tog` a number of stitches.
            let tog = next(2).filter(|tog| tog.is("tog"));
            let together = tog.filter(|tog| tog.span.start == word.span.end + 1);
            let (name, span) = match (pair, together) {
                (Some(next), _) => (
                    format!("{} {}", word.text, next.text).to_lowercase(),
                    word.span.to(next.span),
                ),
                (None, Some(tog)) => {
                    let span = word.span.to(tog.span);
                    (draft.source.slice(span).to_lowercase(), span)
                }
                (None, None) => (word.text.to_lowercase(), word.span),
            };
            let Some(row) = TRADE.iter().position(|row| row.contains(&name.as_str())) else {
                continue;
            };
            if (tog.is_none() || together.is_some()) && uses.iter().all(|other| other.name != name)
            {
                uses.push(Use { row, name, span });
            }
        }
    }
    uses
}

/// The `st` of `21st rnd`; that of `15st` is stitches.
fn is_ordinal_ending(words: &[Word<'_>], at: usize) -> bool {
    let number = at.checked_sub(1).map(|before| &words[before]);
    words[at].is("st")
        && number.is_some_and(|number| {
            let is_glued = number.span.end == words[at].span.start;
            let counts = |n: u32| n % 10 == 1 && n % 100 != 11;
            is_glued && number.whole_number().is_some_and(counts)
        })
}

/// True if an abbreviation stands in this row of the table.
pub(super) fn is_same(row: usize, name: &str) -> bool {
    TRADE.get(row).is_some_and(|row| row.contains(&name))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn entries(line: &str) -> Vec<(String, String)> {
        let mut entries = Vec::new();
        read(line, 0, &mut entries);
        entries
            .into_iter()
            .map(|entry| (entry.names.join("|"), entry.meaning))
            .collect()
    }

    #[test]
    fn entries_without_signs_are_read() {
        for (line, expected) in [
            ("ch chain; dec invisible decrease", &["ch", "dec"][..]),
            ("ch chain / sl st slip stitch", &["ch", "sl st"]),
            ("**ch** chain, **Rd(s)** round(s)", &["ch", "rd"]),
            (
                "Abbreviations, UK: ch, chain; dc, double crochet",
                &["ch", "dc"],
            ),
            ("ABBREVIATIONS ch, chain; dc, double crochet", &["ch", "dc"]),
            (
                "ABBREVIATIONS (UK) ch, chain; dc, double crochet",
                &["ch", "dc"],
            ),
        ] {
            let found = parts(line)
                .into_iter()
                .filter_map(|(at, part)| bare(part, at));
            let names: Vec<String> = found.map(|entry| entry.names.join("|")).collect();
            assert_eq!(names, expected, "{line}");
        }
    }

    #[test]
    fn meanings_in_brackets_are_read() {
        let names = |line: &str| -> Vec<String> {
            let entries = in_brackets(line, 0).into_iter();
            entries.map(|entry| entry.names.join("|")).collect()
        };
        assert_eq!(
            names(
                "Abbreviations used: MR (magic ring), dec (decrease: sc 2 together), st(s) (stitch(es))"
            ),
            ["mr", "dec", "st"]
        );
        assert!(names("inc – increase (2 sc in one), dec – decrease (2 together)").is_empty());
        assert!(names("Repeat (sc, inc) 6 times (18)").is_empty());
    }

    #[test]
    fn entries_are_read_in_the_usual_forms() {
        let pair = |names: &str, meaning: &str| (names.to_owned(), meaning.to_owned());
        for (line, expected) in [
            (
                "Bobble (bo): 5 dc together",
                vec![pair("bobble|bo", "5 dc together")],
            ),
            ("- sc: single crochet", vec![pair("sc", "single crochet")]),
            ("**inc** = increase", vec![pair("inc", "increase")]),
            ("st, sts: stitch, stitches", vec![pair("st|sts", "stitch")]),
            ("sl st – slip stitch", vec![pair("sl st", "slip stitch")]),
            (
                "BLO / FLO = back / front loop only",
                vec![pair("blo|flo", "back / front loop only")],
            ),
            (
                "Abbreviations: sc = single crochet, inc = increase",
                vec![pair("sc", "single crochet"), pair("inc", "increase")],
            ),
            ("( ) x 2: work it twice", vec![]),
            ("Read this first", vec![]),
            (
                "**Abbreviations:** BLO – back loop only",
                vec![pair("blo", "back loop only")],
            ),
            ("ABBREVIATIONS ch = chain", vec![pair("ch", "chain")]),
            (
                "ch - chain, FO - fasten off",
                vec![pair("ch", "chain"), pair("fo", "fasten off")],
            ),
        ] {
            assert_eq!(entries(line), expected, "{line}");
        }
    }
}
