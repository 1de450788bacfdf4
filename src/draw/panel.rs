use svg::node::element::{Group, Path, Title};

use super::document::{described, paper};
use super::number::{number, push_svg_path, svg_path};
use super::{Look, ink, theme};
use crate::chart::{self, Ink, Line, Mark, Panel, Placed, Tone};
use crate::fabric::Fabric;
use crate::symbol::Symbol;

/// Width of the paper on both sides of a letter together, in mm.
const HALO_MM: f64 = 1.1;

/// A panel as an SVG document: in mm, every letter an outline, with a title, a description that tells every round, and a labelled
/// group for each ring or row. The fabric is the one that the panel was laid out from; only the colours of its yarns are looked up.
pub fn panel_svg(panel: &Panel, fabric: &Fabric) -> String {
    panel_svg_in(panel, fabric, Look::default())
}

/// As [`panel_svg`], with the look that a maker asks for.
pub fn panel_svg_in(panel: &Panel, fabric: &Fabric, look: Look) -> String {
    let (width, height) = (panel.width_mm, panel.height_mm);
    let mut document = described(width, height, &panel.title, &panel.description)
        .set("width", look.side(width))
        .set("height", look.side(height))
        .set("fill", "none")
        .set("stroke-linecap", "round")
        .set("stroke-linejoin", "round")
        .add(paper(width, height));
    if look.has_beds() {
        document = document.add(bands(panel));
    }
    for mark in panel.marks.iter().filter(|mark| mark.under) {
        document = document.add(drawn(mark, fabric, look));
    }
    if look.has_beds() && fabric.yarns.len() > 1 {
        document = document.add(halos(panel));
    }
    if !panel.anchors.is_empty() {
        document = document.add(stitches(
            panel,
            &panel.anchors,
            Group::new(),
            Tone::Faint,
            look,
        ));
    }
    for ring in &panel.rings {
        let group = labelled(&ring.says);
        document = document.add(stitches(
            panel,
            panel.ring_stitches(ring),
            group,
            Tone::Ink,
            look,
        ));
    }
    for mark in panel.marks.iter().filter(|mark| !mark.under) {
        document = document.add(drawn(mark, fabric, look));
    }
    format!("{document}\n")
}

/// Every other ring's band.
fn bands(panel: &Panel) -> Path {
    let mut d = String::new();
    for ring in panel.rings.iter().skip(1).step_by(2) {
        push_svg_path(&mut d, &ring.band);
    }
    Path::new()
        .set("d", d)
        .set("fill", theme::hex(theme::BAND))
        .set("fill-rule", "evenodd")
}

/// Paper round words in the accent, which would be hard to read on a dark yarn's bed. It lies under the stitches.
fn halos(panel: &Panel) -> Path {
    let mut d = String::new();
    for ink in panel.marks.iter().flat_map(|mark| &mark.ink) {
        if let Ink::Words(words) = ink
            && words.tone == Tone::Accent
        {
            push_svg_path(
                &mut d,
                &ink::outline(&words.text, words.at, words.size_mm, words.weight),
            );
        }
    }
    Path::new()
        .set("d", d)
        .set("stroke", theme::hex(theme::PAPER))
        .set("stroke-width", number(HALO_MM))
}

/// A group that is heard as these words.
fn labelled(says: &str) -> Group {
    let says = clean(says);
    Group::new()
        .set("role", "group")
        .set("aria-label", says.as_str())
        .add(Title::new(says))
}

/// Some stitches' symbols: all lines as one path, all filled shapes as another.
fn stitches(panel: &Panel, placed: &[Placed], around: Group, tone: Tone, look: Look) -> Group {
    around.add(ink::symbol(
        &stitches_ink(panel, placed),
        colour(tone),
        look.pen_mm(),
    ))
}

/// The ink of some of a panel's stitches, as it lies on the sheet.
pub fn stitches_ink(panel: &Panel, placed: &[Placed]) -> Symbol {
    let mut all = Symbol::default();
    for symbol in chart::drawn(panel, placed) {
        all.add(symbol);
    }
    all
}

fn drawn(mark: &Mark, fabric: &Fabric, look: Look) -> Group {
    let mut group = if mark.says.is_empty() {
        Group::new()
    } else {
        labelled(&mark.says)
    };
    for part in &mark.ink {
        group = match part {
            Ink::Line { path, line } => group.add(
                Path::new()
                    .set("d", svg_path(path))
                    .set("stroke", theme::hex(line_colour(*line)))
                    .set("stroke-width", number(line_mm(*line))),
            ),
            Ink::Bed { .. } if !look.has_beds() => group,
            Ink::Bed { path, yarn } => {
                let yarn = fabric.yarns.get(yarn.0 as usize);
                match yarn.and_then(|yarn| yarn.colour) {
                    Some(colour) => group.add(
                        Path::new()
                            .set("d", svg_path(path))
                            .set("fill", theme::hex(theme::bed(colour)))
                            .set("fill-rule", "evenodd"),
                    ),
                    None => group,
                }
            }
            Ink::Symbol(symbol, tone) => {
                group.add(ink::symbol(symbol, colour(*tone), look.pen_mm()))
            }
            Ink::Words(words) => group.add(ink::words(
                &words.text,
                words.at,
                words.size_mm,
                words.weight,
                colour(words.tone),
            )),
        };
    }
    group
}

fn colour(tone: Tone) -> theme::Rgb {
    match tone {
        Tone::Ink => theme::INK,
        Tone::Quiet => theme::QUIET,
        Tone::Faint => theme::RULE,
        Tone::Accent => theme::ACCENT,
    }
}

fn line_colour(line: Line) -> theme::Rgb {
    match line {
        Line::Rule => theme::RULE,
        Line::Leader(tone) => colour(tone),
        Line::Strong => theme::ACCENT,
    }
}

fn line_mm(line: Line) -> f64 {
    match line {
        Line::Rule | Line::Leader(_) => theme::THIN_MM,
        Line::Strong => theme::STRONG_MM,
    }
}

/// Words without what has no place in a document: control characters other than line ends, marks that turn the direction of
/// writing, and what is no character at all. Markup is escaped when it is written.
pub fn clean(words: &str) -> String {
    words
        .chars()
        .filter(|&c| {
            let turns = matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
            let is_none = u32::from(c) & 0xfffe == 0xfffe;
            c == '\n' || !(c.is_control() || turns || is_none)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text::pt;

    /// What decides where things go and what is drawn there must not drift apart.
    #[test]
    fn the_layout_and_the_theme_agree_on_sizes() {
        use crate::chart::sizes;
        assert_eq!(sizes::TITLE_MM, pt(theme::TITLE_PT));
        assert_eq!(sizes::TEXT_MM, pt(theme::TEXT_PT));
        assert_eq!(sizes::LABEL_MM, pt(theme::LABEL_PT));
        assert_eq!(sizes::MARGIN_MM, theme::MARGIN_MM);
    }

    #[test]
    fn control_characters_and_turned_writing_are_dropped() {
        assert_eq!(clean("a\u{7}b\u{202e}c\nd\u{ffff}"), "abc\nd");
    }
}
