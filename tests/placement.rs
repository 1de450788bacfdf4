//! Holds the placement of parts and features to the texts in `tests/placement/`.
//!
//! What is expected stands at the end of the line whose words place something, after ` ==> `: for each thing, in the order of the
//! work, its name, its bearing in degrees, and after `off` the whole stitches by which it is off from facing its partner
//! (`open`: the lean leaves it open), and after `better` the stitch to start at.
//!
//! The bearings are worked out by hand: in a round of 24 a stitch is 15°, and the middle of stitch k lies (k − ½) · 15° from its start.
//! That heads of plain stitches stand to the right of their feet for a right-hander is reported by blog.irarott.com.

use std::fs;
use std::path::Path;

use roundwright::place::{Off, Placement, place};
use roundwright::source::Source;
use roundwright::{fabric, pattern};

/// The text without what is expected, and for each line what is.
fn split(text: &str) -> (String, Vec<Option<String>>) {
    let mut bare = String::new();
    let mut expected = Vec::new();
    for line in text.lines() {
        let (words, told) = match line.split_once(" ==> ") {
            Some((words, told)) => (words, Some(told.to_owned())),
            None => (line, None),
        };
        bare += words;
        bare.push('\n');
        expected.push(told);
    }
    (bare, expected)
}

fn told(placement: &Placement, id: usize, is_full: bool) -> String {
    let attachment = &placement.attachments[id];
    let bearing = attachment.bearing_deg.map_or("?".to_owned(), |deg| {
        format!("{}", (deg * 10.0).round() / 10.0 + 0.0)
    });
    let mut told = format!("{} {bearing}", placement.name(id));
    if !is_full {
        return told;
    }
    match (attachment.off, attachment.off_by_stitches()) {
        (Some(Off::Between(..)), _) => told += " off open",
        (_, Some(off)) => told += &format!(" off {off}"),
        _ => {}
    }
    if let Some(better) = attachment.better_first_stitch()
        && attachment.stitches.map(|own| own.first) != Some(better)
    {
        told += &format!(" better {better}");
    }
    told
}

#[test]
fn everything_sits_where_it_is_worked_out_to_sit() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/placement");
    let mut paths: Vec<_> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    paths.sort();
    assert!(paths.len() >= 10);
    let mut faults = Vec::new();
    for path in paths {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let (text, expected) = split(&fs::read_to_string(&path).unwrap());
        let source = Source::new(name.clone(), text);
        let (pattern, slips) = pattern::read(&source);
        let (fabric, miscounts) = fabric::work(&pattern);
        assert!(
            slips
                .iter()
                .chain(&miscounts)
                .all(|p| p.level != roundwright::source::Level::Error),
            "{name}: {slips:?} {miscounts:?}"
        );
        let placement = place(&source, &pattern, &fabric);
        for (line, expected) in expected.iter().enumerate() {
            let span = source.line_span(line);
            let found: Vec<usize> = (0..placement.attachments.len())
                .filter(|&id| {
                    let at = placement.attachments[id].span.start;
                    span.start <= at && at < span.end
                })
                .collect();
            let Some(expected) = expected else {
                if !found.is_empty() {
                    faults.push(format!("{name}:{}: {found:?} is not expected", line + 1));
                }
                continue;
            };
            let is_full = expected.contains(" off ");
            let told: Vec<String> = found
                .iter()
                .map(|&id| told(&placement, id, is_full))
                .collect();
            if told.join(", ") != *expected {
                faults.push(format!(
                    "{name}:{}: expected {expected}, found {}",
                    line + 1,
                    told.join(", ")
                ));
            }
        }
    }
    assert!(faults.is_empty(), "\n{}", faults.join("\n"));
}
