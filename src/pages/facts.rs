//! What was worked out of a pattern, in rows: what is needed, how large it becomes, where things sit, and who made it.

use std::collections::BTreeSet;

use super::document::{Block, Fact};
use super::figures::Figures;
use super::hook::us_size;
use super::level::level;
use super::made::Made;
use super::text::{Item, Kind, items, shown};
use crate::draw::theme;
use crate::fabric::Fabric;
use crate::pattern::{self, Entry};
use crate::place::COLUMNS;
use crate::rewrite::{self, Style};
use crate::shape::GaugeFrom;
use crate::source::Source;
use crate::terms::{Height, Stitch, Terms};
use crate::yarn::Need;

/// Keys of the header that are told in a place of their own, or only steer the drawings.
const PLACED: &[&str] = &[
    "terms",
    "hand",
    "size",
    "hook",
    "gauge",
    "tension",
    "eyes",
    "lean",
    "sc",
    "dc",
    "style",
    "front",
    "swatch",
    "margin",
    "photo",
    "picture",
    "difficulty",
    "level",
    "skill level",
    "not critical",
];
/// Words of keys that say who made a pattern and what may be done with it.
const CREDITS: &[&str] = &[
    "designer",
    "designed",
    "design",
    "author",
    "by",
    "credit",
    "credits",
    "copyright",
    "licence",
    "license",
    "website",
    "web",
    "contact",
    "version",
    "editor",
    "edited",
    "tester",
    "testers",
    "tested",
    "photos",
    "photographs",
    "thanks",
    "published",
];

/// The rows of what is needed, and what is to be known of the amounts.
pub fn needs(made: &Made<'_>) -> Vec<Block> {
    let mut rows: Vec<Fact> = made
        .needs
        .yarns
        .iter()
        .map(|need| yarn(made, need))
        .collect();
    if let Some(words) = made.entry(&["hook", "hooks"]) {
        rows.push(Fact::new("Hook", hook(&words)));
    }
    if let Some(words) = made.entry(&["eyes"]) {
        rows.push(Fact::new("Eyes", words));
    }
    let stuffing: f64 = made
        .shapes
        .pieces
        .iter()
        .zip(&made.fabric.pieces)
        .filter(|(shape, _)| shape.mesh.stuffing > 0.0)
        .map(|(shape, piece)| {
            let volume = crate::shape::energy::volume(&shape.mesh, &shape.points).max(0.0);
            volume * f64::from(piece.make)
        })
        .sum();
    if stuffing > 0.5 {
        rows.push(Fact::new(
            "Stuffing",
            format!("to fill about {stuffing:.0} cm³"),
        ));
    }
    rows.extend(
        made.header
            .iter()
            .filter(|entry| is_other(made, entry))
            .map(|entry| {
                Fact::new(
                    capital(&shown(&entry.key)),
                    made.said(&shown(made.source.slice(entry.value)), false),
                )
            }),
    );
    let mut blocks = Vec::new();
    if !rows.is_empty() {
        blocks.push(Block::Facts { rows });
    }
    if !made.needs.yarns.is_empty() {
        blocks.push(Block::text(estimate(made)));
    }
    blocks
}

/// How the amounts of yarn came about, and how sure they are.
fn estimate(made: &Made<'_>) -> String {
    let needs = &made.needs;
    let basis = match needs.swatch {
        Some(_) => "the stitches and the pattern's own swatch",
        None => "the stitches and their size",
    };
    let margin = (needs.margin * 100.0).round();
    let unsure = (needs.unsure * 100.0).round();
    format!(
        "The amounts of yarn are estimates, worked out from {basis}, with tails for each piece and {margin:.0} % for joins and slips. Hands differ: count on up to {unsure:.0} % more or less."
    )
}

fn yarn(made: &Made<'_>, need: &Need) -> Fact {
    let yarn = need.yarn.and_then(|yarn| made.fabric.yarns.get(yarn));
    let name = match yarn {
        Some(yarn) if !yarn.letter.is_empty() => format!("Yarn {}", shown(&yarn.letter)),
        _ => "Yarn".to_owned(),
    };
    let declared = yarn.and_then(|yarn| {
        let lines = &made.pattern.header.yarns;
        lines.iter().find(|line| line.letter == yarn.letter)
    });
    // The line without the number of its colour and without its key.
    let words = match declared {
        Some(line) => described(made.source.slice(line.span), &line.letter),
        None => yarn.map_or_else(String::new, |yarn| yarn.name.clone()),
    };
    let weight = match &need.band.weight {
        Some(weight) => format!(" (weight {weight})"),
        None => String::new(),
    };
    let amount = amount(need, made.needs.unsure);
    let text = match shown(&words) {
        words if words.is_empty() => amount.clone(),
        words => format!("{words}{weight}"),
    };
    let note = if text == amount {
        String::new()
    } else {
        amount
    };
    Fact {
        swatch: yarn
            .and_then(|yarn| yarn.colour)
            .map_or_else(String::new, theme::hex),
        ..Fact::new(name, text).note(note)
    }
}

/// `charcoal, DK, 50 g = 125 m` of `Yarn A: charcoal, DK, 50 g = 125 m, #3a3f47`.
fn described(line: &str, letter: &str) -> String {
    let words = match line.split_once(':') {
        Some((key, words)) if key.trim_end().ends_with(letter) => words,
        _ => line,
    };
    let parts = words.split(',').map(str::trim);
    let parts: Vec<&str> = parts
        .filter(|part| !part.is_empty() && !part.starts_with('#'))
        .collect();
    parts.join(", ")
}

/// `about 38 m (29 to 48 m), about 15 g`.
fn amount(need: &Need, unsure: f64) -> String {
    let step = step(need.metres);
    let [low, middle, high] =
        [1.0 - unsure, 1.0, 1.0 + unsure].map(|share| rounded(need.metres * share, step));
    let mut words = format!("about {middle} m ({low} to {high} m)");
    if let Some(grams) = need.grams {
        words.push_str(&format!(", about {} g", rounded(grams, self::step(grams))));
    }
    words
}

/// To what an estimate is rounded: to ones up to 50, to fives up to 200, to tens beyond.
fn step(amount: f64) -> f64 {
    match amount {
        ..50.0 => 1.0,
        50.0..200.0 => 5.0,
        _ => 10.0,
    }
}

/// No finer than a step; never 0.
fn rounded(amount: f64, step: f64) -> String {
    format!("{:.0}", ((amount / step).round() * step).max(1.0))
}

/// A hook in mm and as the United States name it.
fn hook(words: &str) -> String {
    let lower = words.to_lowercase();
    let mm = lower.find("mm").and_then(|at| {
        let before = lower[..at].trim_end();
        let start = before
            .rfind(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',')))
            .map_or(0, |at| {
                at + before[at..].chars().next().map_or(0, char::len_utf8)
            });
        before[start..].replace(',', ".").parse::<f64>().ok()
    });
    match mm.and_then(us_size) {
        Some(us) if !words.contains("US") && !words.contains('/') => format!("{words} ({us})"),
        _ => words.to_owned(),
    }
}

/// True for a line of the header that has no place of its own.
fn is_other(made: &Made<'_>, entry: &Entry) -> bool {
    let is_yarn = made
        .pattern
        .header
        .yarns
        .iter()
        .any(|yarn| yarn.span.start <= entry.value.end && yarn.span.end >= entry.value.start);
    let words = made.source.slice(entry.value).trim();
    !PLACED.contains(&entry.key.as_str()) && !is_credit(entry) && !is_yarn && !words.is_empty()
}

fn is_credit(entry: &Entry) -> bool {
    entry.key.split(' ').any(|word| CREDITS.contains(&word))
}

/// Size, gauge and level.
pub fn about(made: &Made<'_>) -> Vec<Fact> {
    let mut rows = Vec::new();
    let by_gauge = match &made.whole {
        Some(whole) => Some(whole.says(&made.shapes)),
        None => made.size_of(0).filter(|_| made.fabric.pieces.len() == 1),
    };
    let by_gauge = by_gauge.map(|size| size.trim_end_matches('.').to_owned());
    match (
        made.entry(&[
            "size",
            "finished size",
            "measurements",
            "dimensions",
            "height",
        ]),
        by_gauge,
    ) {
        (Some(stated), Some(found)) => {
            rows.push(
                Fact::new("Finished size", stated)
                    .note(format!("by the stitches and the gauge: {found}")),
            );
        }
        (Some(stated), None) => rows.push(Fact::new("Finished size", stated)),
        (None, Some(found)) => {
            rows.push(Fact::new("Finished size", found).note("by the stitches and the gauge"))
        }
        (None, None) => {}
    }
    let across = 100.0 / made.shapes.gauge.width_mm;
    match made.entry(&["gauge", "tension"]) {
        Some(words) => rows.push(Fact::new(gauge_name(made.fabric.terms), words)),
        None => {
            let taken = match made.shapes.gauge.from {
                GaugeFrom::Hook(mm) => format!(
                    "{across:.0} stitches to 10 cm, as toys are usually worked with a {mm} mm hook"
                ),
                _ => format!("{across:.0} stitches to 10 cm, as toys are usually worked"),
            };
            rows.push(
                Fact::new(gauge_name(made.fabric.terms), taken).note("the pattern gives none"),
            );
        }
    }
    let (level, why) = level(made.fabric);
    let told = made.entry(&["difficulty", "level", "skill level"]);
    let because = match why.is_empty() {
        true => "one kind of stitch, with increases and decreases".to_owned(),
        false => listed(&why),
    };
    rows.push(match told {
        Some(told) => Fact::new("Skill level", told).note(format!(
            "by what it uses, {}: {because}",
            level.name().to_lowercase()
        )),
        None => Fact::new("Skill level", level.name()).note(format!("by what it uses: {because}")),
    });
    rows
}

fn gauge_name(terms: Terms) -> &'static str {
    match terms {
        Terms::Us => "Gauge",
        Terms::Uk => "Tension",
    }
}

fn listed(words: &[&str]) -> String {
    match words {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [all @ .., last] => format!("{} and {last}", all.join(", ")),
    }
}

/// The list of abbreviations of a pattern that has none: of what it uses.
pub fn abbreviations(made: &Made<'_>) -> Vec<Block> {
    let written = rewrite::write(
        made.source,
        made.pattern,
        made.fabric,
        &Style::default(),
        made.fabric.terms,
    );
    let source = Source::new("", written.text);
    let (pattern, _) = pattern::read(&source);
    let mut inside = false;
    let mut list = Vec::new();
    for item in items(&source, &pattern) {
        match item {
            Item::Heading(kind, ..) => inside = kind == Some(Kind::Abbreviations),
            Item::Point(false, runs, _) if inside => list.push(runs),
            Item::Paragraph(runs, _) if inside => list.push(runs),
            Item::Piece(_) => inside = false,
            _ => {}
        }
    }
    match list.is_empty() {
        true => Vec::new(),
        false => vec![Block::List {
            ordered: false,
            items: list,
        }],
    }
}

/// Where parts and features sit: for each piece that has some a table, what there is to say of pairs, and a plan.
pub fn placement(made: &Made<'_>, figures: &mut Figures, large: bool) -> Vec<Block> {
    let placement = &made.placement;
    let mut blocks = Vec::new();
    for (piece, worked) in made.fabric.pieces.iter().enumerate() {
        let ids: Vec<usize> = (0..placement.attachments.len())
            .filter(|&id| placement.attachments[id].into == piece)
            .collect();
        if ids.is_empty() {
            continue;
        }
        if !worked.name.trim().is_empty() {
            blocks.push(Block::Heading {
                text: made.plain(worked.name.trim()),
            });
        }
        let rows: Vec<Vec<String>> = ids
            .iter()
            .map(|&id| placement.row(id).iter().map(|cell| shown(cell)).collect())
            .collect();
        // A column of which nothing is known is left out.
        let kept: Vec<usize> = (0..COLUMNS.len())
            .filter(|&column| rows.iter().any(|row: &Vec<String>| !row[column].is_empty()))
            .collect();
        blocks.push(Block::Table {
            header: kept
                .iter()
                .map(|&column| capital(COLUMNS[column]))
                .collect(),
            rows: rows
                .iter()
                .map(|row| kept.iter().map(|&column| row[column].clone()).collect())
                .collect(),
        });
        blocks.extend(
            ids.iter()
                .filter_map(|&id| placement.verdict(id))
                .map(Block::text),
        );
        if !large {
            blocks.extend(figures.plan(made, piece).map(Block::figure));
        }
    }
    if !blocks.is_empty() {
        blocks.insert(0, Block::text("Left and right are the toy's own."));
    }
    blocks
}

/// Names and abbreviations of the stitches that are used, in US and UK terms.
pub fn both_terms(fabric: &Fabric) -> Vec<Vec<String>> {
    let used: BTreeSet<Height> = fabric
        .pieces
        .iter()
        .flat_map(|piece| &piece.stitches)
        .map(|stitch| stitch.kind.height)
        .collect();
    let row = |height: Height| {
        let stitch = Stitch::plain(height);
        [Terms::Us, Terms::Uk]
            .into_iter()
            .flat_map(|terms| [stitch.name(terms), stitch.abbreviation(terms)])
            .collect()
    };
    used.into_iter().map(row).collect()
}

/// Who made the pattern, and what may be done with it, as its header says.
pub fn credits(made: &Made<'_>) -> Vec<Fact> {
    let entries = made.header.iter().filter(|entry| is_credit(entry));
    entries
        .map(|entry| {
            Fact::new(
                capital(&shown(&entry.key)),
                shown(made.source.slice(entry.value)),
            )
        })
        .filter(|fact| !fact.text.is_empty())
        .collect()
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().into_iter().flat_map(char::to_uppercase);
    first.chain(letters).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hooks_are_told_in_both_customs() {
        assert_eq!(hook("3.5 mm"), "3.5 mm (US E-4)");
        assert_eq!(hook("3 mm"), "3 mm (between US C-2 and US D-3)");
        assert_eq!(hook("3.5 mm (US E-4)"), "3.5 mm (US E-4)");
        assert_eq!(hook("size é mm"), "size é mm");
        assert_eq!(hook("mm"), "mm");
    }

    #[test]
    fn a_yarn_is_told_without_its_number_of_colour() {
        assert_eq!(
            described("Yarn A: charcoal, DK, 50 g = 125 m, #3a3f47", "A"),
            "charcoal, DK, 50 g = 125 m"
        );
        assert_eq!(described("charcoal, DK", "A"), "charcoal, DK");
    }

    #[test]
    fn amounts_are_no_finer_than_estimates() {
        let told = |metres: f64| rounded(metres, step(metres));
        assert_eq!(told(0.2), "1");
        assert_eq!(told(37.6), "38");
        assert_eq!(told(143.0), "145");
        assert_eq!(told(1234.0), "1230");
    }
}
