//! The finished size that a pattern states, held against the one that its gauge gives.

use crate::fabric::Fabric;
use crate::pattern::{Entry, Pattern};
use crate::source::{Problem, Source};

use crate::prose::tokens::{Token, tokens};
use crate::shape::{GaugeFrom, Shapes, measure};

use super::{Kit, Toy};

/// How far a stated size may be from what the gauge gives, as a share.
const BELIEVED: f64 = 0.1;
/// A piece lower than this share of its width lies flat: how long it is may be called its height.
const FLAT: f64 = 0.15;

/// Which side of a toy a length is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Side {
    High,
    Wide,
    Long,
}

/// A warning for the first stated length that neither the whole toy nor any piece comes within a tenth of. None where the pattern gives no
/// gauge, for without one nothing contradicts it.
pub fn size_problem(
    source: &Source,
    pattern: &Pattern,
    fabric: &Fabric,
    shapes: &Shapes,
    kit: &Kit<'_>,
    whole: Option<&Toy>,
) -> Option<Problem> {
    if !matches!(shapes.gauge.from, GaugeFrom::Stitches | GaugeFrom::Across) {
        return None;
    }
    const KEYS: [&str; 4] = ["size", "finished size", "measurements", "dimensions"];
    let entries = &pattern.header.entries;
    let entry: &Entry = entries
        .iter()
        .find(|entry| KEYS.contains(&entry.key.as_str()))?;
    let words = source.slice(entry.value);
    let bodies = bodies(fabric, shapes, kit, whole);
    for (stated_cm, side) in stated(&tokens(words)) {
        let found = bodies
            .iter()
            .flat_map(|body| of_side(*body, side))
            .filter(|cm| *cm > 0.0);
        let off = |cm: &f64| (cm / stated_cm - 1.0).abs();
        let nearest = found.min_by(|one, other| off(one).total_cmp(&off(other)))?;
        if off(&nearest) > BELIEVED {
            let name = match side {
                Side::High => "high",
                Side::Wide => "wide",
                Side::Long => "long",
            };
            let message = format!(
                "the finished size says {stated_cm:.1} cm {name}, but by the gauge it is {nearest:.1} cm"
            );
            return Some(
                Problem::warning("size-contradicted", entry.value, message)
                    .help(format!("say {nearest:.0} cm, or look at the gauge")),
            );
        }
    }
    None
}

/// Height, width and depth in cm of the whole toy and of every piece.
fn bodies(fabric: &Fabric, shapes: &Shapes, kit: &Kit<'_>, whole: Option<&Toy>) -> Vec<[f64; 3]> {
    let whole = whole.map(|toy| {
        let size = toy.size(shapes);
        [size.z, size.x, size.y]
    });
    let shaped = shapes
        .pieces
        .iter()
        .filter(|shape| !shape.points.is_empty());
    let pieces = shaped.map(|shape| {
        let front = kit.front(shape.piece);
        let measures = measure(shape, &fabric.pieces[shape.piece], front);
        [measures.height_cm, measures.width_cm, measures.depth_cm]
    });
    whole.into_iter().chain(pieces).collect()
}

/// The lengths of a body that a side may mean.
fn of_side([high, wide, deep]: [f64; 3], side: Side) -> Vec<f64> {
    let longest = high.max(wide).max(deep);
    match side {
        Side::High if high < FLAT * wide.max(deep) || deep < FLAT * high.max(wide) => {
            vec![high, longest]
        }
        Side::High => vec![high],
        Side::Wide => vec![wide, deep, (wide + deep) / 2.0],
        Side::Long => vec![longest],
    }
}

/// `9 cm tall, 6 cm across`: each length in cm with the side that it is of.
fn stated(words: &[Token]) -> Vec<(f64, Side)> {
    let mut found = Vec::new();
    for (at, three) in words.windows(3).enumerate() {
        let unit_cm = match &three[1] {
            unit if unit.is_any(&["cm", "centimetres", "centimeters"]) => 1.0,
            unit if unit.is_any(&["mm"]) => 0.1,
            unit if unit.is_any(&["in", "inch", "inches"]) => 2.54,
            _ => continue,
        };
        let Some(number) = words[at].number().filter(|number| *number > 0.0) else {
            continue;
        };
        let side = match &three[2] {
            word if word.is_any(&["tall", "high", "height"]) => Side::High,
            word if word.is_any(&["wide", "across", "width", "diameter"]) => Side::Wide,
            word if word.is_any(&["long", "length"]) => Side::Long,
            _ => continue,
        };
        found.push((number * unit_cm, side));
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::place;
    use crate::shape::relax;

    fn of(header: &str) -> Option<String> {
        let text = format!(
            "# T\n{header}\n\n## Ball\nRnd 1: 6 sc in magic ring (6)\nRnd 2: inc x 6 (12)\nRnd 3: (sc, inc) x 6 (18)\n\
             Rnds 4-6: sc in each st around (18)\nRnd 7: (sc, dec) x 6 (12)\nRnd 8: dec x 6 (6)\nStuff. Close the hole.\n"
        );
        let source = Source::new("t", text);
        let (pattern, _) = crate::pattern::read(&source);
        let (fabric, _) = crate::fabric::work(&pattern);
        let shapes = relax(&source, &pattern, &fabric);
        let placement = place::place(&source, &pattern, &fabric);
        let kit = Kit::new(&source, &pattern, &fabric, &shapes, &placement);
        let whole = kit.whole();
        size_problem(&source, &pattern, &fabric, &shapes, &kit, whole.as_ref())
            .map(|problem| problem.message)
    }

    /// A ball whose widest round has 18 stitches of 5 mm is 18 × 0.5 / π = 2.9 cm across. Geometry.
    #[test]
    fn a_size_that_the_gauge_contradicts_is_pointed_out() {
        let gauge = "Gauge: 20 sts and 20 rnds = 10 cm";
        assert_eq!(of(&format!("Size: 3 cm across\n{gauge}")), None);
        let said = of(&format!("Size: 6 cm across\n{gauge}")).unwrap();
        assert!(
            said.contains("6.0 cm wide") && said.contains("by the gauge"),
            "{said}"
        );
        assert!(of(&format!("Size: 3 inches wide\n{gauge}")).is_some());
    }

    #[test]
    fn without_a_gauge_or_a_side_nothing_is_contradicted() {
        assert_eq!(of("Size: 6 cm across"), None);
        assert_eq!(of("Size: 6 cm\nGauge: 20 sts and 20 rnds = 10 cm"), None);
    }
}
