//! Every chart of the demos, of `tests/notation` and of generated patterns, judged by the library's own numbers and, a second time, by a general
//! geometry library.

use crate::charted::{Charted, charted};
use crate::second;
use roundwright::chart::quality::{Quality, quality};
use roundwright::chart::sizes::{LARGE, PAGE};
use roundwright::chart::{Layout, Options, Panel, lay_out};
use roundwright::fabric::{Fabric, Piece};
use roundwright::terms::Hand;

/// Every panel of a fabric with its piece.
fn panels(fabric: &Fabric) -> Vec<(&Piece, Panel)> {
    let places = fabric.pieces.iter().enumerate();
    places
        .flat_map(|(place, piece)| {
            let panels = lay_out(fabric, place, &Options::default());
            panels.into_iter().map(move |panel| (piece, panel))
        })
        .collect()
}

/// What all panels that fail a demand are called, with what fails.
fn failing<T: std::fmt::Debug>(demand: impl Fn(&Panel, &Quality) -> Option<T>) -> Vec<String> {
    let mut failing = Vec::new();
    for Charted { name, fabric } in charted() {
        for (piece, panel) in panels(&fabric) {
            let found = quality(&panel, piece);
            if let Some(wrong) = demand(&panel, &found) {
                failing.push(format!("{name}, {}: {wrong:?}", panel.title));
            }
        }
    }
    failing
}

fn some<T: Clone>(list: &[T]) -> Option<Vec<T>> {
    (!list.is_empty()).then(|| list.to_vec())
}

fn none(failing: &[String]) {
    assert!(failing.is_empty(), "{}", failing.join("\n"));
}

#[test]
fn no_symbol_lies_over_another() {
    none(&failing(|_, found| some(&found.overlaps)));
}

#[test]
fn no_legs_cross_but_those_that_cross_in_the_work() {
    none(&failing(|_, found| some(&found.crossings)));
}

#[test]
fn no_words_lie_on_a_symbol_a_line_or_other_words() {
    none(&failing(|_, found| some(&found.hidden_words)));
}

#[test]
fn heads_keep_the_order_of_work() {
    none(&failing(|_, found| some(&found.out_of_order)));
}

#[test]
fn every_foot_lies_on_what_is_worked_into() {
    none(&failing(|_, found| some(&found.adrift)));
}

/// Sizes by ISO 216 and ANSI/ASME Y14.1 (from memory), less 10 mm on each side.
fn fits_a4_and_letter(panel: &Panel) -> bool {
    [(210.0, 297.0), (215.9, 279.4)]
        .iter()
        .all(|(width, height)| panel.width_mm <= width - 20.0 && panel.height_mm <= height - 20.0)
}

#[test]
fn every_panel_fits_a4_and_letter() {
    none(&failing(|panel, _| {
        (!fits_a4_and_letter(panel)).then_some((panel.width_mm, panel.height_mm))
    }));
}

/// The least size that readers of printed charts expect (conventions of the trade, no source).
#[test]
fn every_symbol_is_at_least_three_millimetres() {
    none(&failing(|_, found| {
        (found.smallest_mm < 3.0).then_some(found.smallest_mm)
    }));
}

/// A left-handed chart is the mirror image but for its text, which must find its own room.
#[test]
fn left_handed_charts_are_as_good() {
    for Charted { name, mut fabric } in charted() {
        fabric.hand = Hand::Left;
        for (piece, panel) in panels(&fabric) {
            let found = quality(&panel, piece);
            let faults = (
                found.overlaps.len(),
                found.crossings.len(),
                found.hidden_words,
            );
            assert_eq!(faults, (0, 0, Vec::new()), "{name}, {}", panel.title);
        }
    }
}

/// Two ways of counting that share no code but the ink itself.
#[test]
fn a_geometry_library_counts_the_same() {
    for Charted { name, fabric } in charted() {
        for (piece, panel) in panels(&fabric) {
            let found = quality(&panel, piece);
            assert_eq!(
                second::overlaps(&panel, piece),
                found.overlaps,
                "{name}, {}",
                panel.title
            );
            let crossings = found.crossings.len() + found.worked_crossings;
            assert_eq!(
                second::crossings(&panel),
                crossings,
                "{name}, {}",
                panel.title
            );
        }
    }
}

/// A judge that finds nothing anywhere proves nothing: charts spoiled on purpose are found out, and both ways of counting agree on them.
#[test]
fn both_find_what_is_spoiled() {
    let mut spoiled = 0;
    for Charted { name, fabric } in charted()
        .into_iter()
        .filter(|charted| charted.name.starts_with("made-ball-6"))
    {
        for (piece, mut panel) in panels(&fabric) {
            let count = panel.stitches.len();
            for i in (5..count).step_by(7) {
                let neighbour = panel.stitches[i - 1].head;
                let placed = &mut panel.stitches[i];
                placed.head = placed.head.lerp(neighbour, 1.3);
            }
            let found = quality(&panel, piece);
            assert_eq!(second::overlaps(&panel, piece), found.overlaps, "{name}");
            let crossings = found.crossings.len() + found.worked_crossings;
            assert_eq!(second::crossings(&panel), crossings, "{name}");
            spoiled += found.overlaps.len().min(found.crossings.len());
        }
    }
    assert!(spoiled > 20, "{spoiled}");
}

/// Large symbols are half as large again: their panels are cut for a page that is smaller in their own measure.
#[test]
fn panels_of_large_symbols_fit_the_page_and_are_as_good() {
    let options = Options {
        large: true,
        ..Options::default()
    };
    for Charted { name, fabric } in charted() {
        for (place, piece) in fabric.pieces.iter().enumerate() {
            for panel in lay_out(&fabric, place, &options) {
                let (width, height) = (panel.width_mm * LARGE, panel.height_mm * LARGE);
                // A round that is alone on its panel may be taller by a line of its table: it still fits A4.
                let tallest = match panel.rings.len() {
                    1 => PAGE.height + 3.0,
                    _ => PAGE.height,
                };
                assert!(
                    width <= PAGE.width && height <= tallest,
                    "{name}, {}: {width:.1} × {height:.1} mm",
                    panel.title
                );
                let found = quality(&panel, piece);
                let faults = (
                    found.overlaps.len(),
                    found.crossings.len(),
                    found.hidden_words,
                );
                assert_eq!(faults, (0, 0, Vec::new()), "{name}, {}", panel.title);
            }
        }
    }
}

/// All rounds in strips, as can be asked for: unrolled as wide as the widest, and cut where they grow too much.
#[test]
fn strips_of_all_rounds_are_as_good() {
    let options = Options {
        layout: Some(Layout::Strip),
        ..Options::default()
    };
    let mut failing = Vec::new();
    for Charted { name, fabric } in charted() {
        for (place, piece) in fabric.pieces.iter().enumerate() {
            for panel in lay_out(&fabric, place, &options) {
                let found = quality(&panel, piece);
                let size = (panel.width_mm, panel.height_mm, found.smallest_mm);
                if !fits_a4_and_letter(&panel) || found.smallest_mm < 3.0 {
                    failing.push(format!("{name}, {}: {size:?}", panel.title));
                }
                let faults = (
                    found.overlaps,
                    found.crossings,
                    found.hidden_words,
                    found.out_of_order,
                    found.adrift,
                );
                if faults != Default::default() {
                    failing.push(format!("{name}, {}: {faults:?}", panel.title));
                }
            }
        }
    }
    none(&failing);
}
