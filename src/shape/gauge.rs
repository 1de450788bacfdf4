//! How large a stitch is: from the pattern's gauge, or as toys are usually worked with the hook.

use crate::pattern::Pattern;
use crate::source::Source;
use crate::terms::Height;

use super::words::{Token, tokens};

/// Millimetres in an inch, by definition.
const INCH_MM: f64 = 25.4;
/// The widest and narrowest stitch that a gauge is believed to tell, in mm.
const BELIEVED_MM: (f64, f64) = (0.5, 100.0);

/// The size of a stitch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gauge {
    /// Width of a stitch, in mm.
    pub width_mm: f64,
    /// Height of single crochet, in stitch widths.
    pub sc_height: f64,
    /// Where the width comes from.
    pub from: GaugeFrom,
}

/// Where a gauge comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum GaugeFrom {
    /// The pattern says so many stitches to a length.
    Stitches,
    /// The pattern says how wide its first rounds are.
    Across,
    /// The pattern names a hook of this size in mm, and toys are usually worked so.
    Hook(f64),
    /// The pattern names neither, and toys are usually worked so.
    Custom,
}

/// The gauge of a pattern.
pub fn gauge(source: &Source, pattern: &Pattern, fabric: &crate::fabric::Fabric) -> Gauge {
    let value = |key: &[&str]| {
        let entries = pattern.header.entries.iter();
        entries
            .filter(|entry| entry.key.split(' ').any(|word| key.contains(&word)))
            .map(|entry| tokens(source.slice(entry.value)))
            .next()
    };
    let words = value(&["gauge", "tension"]).unwrap_or_default();
    if let Some((width_mm, sc_height)) = by_stitches(&words) {
        return Gauge {
            width_mm,
            sc_height,
            from: GaugeFrom::Stitches,
        };
    }
    if let Some(width_mm) = by_first_rounds(&words, fabric) {
        return Gauge {
            width_mm,
            sc_height: Height::Single.in_widths(),
            from: GaugeFrom::Across,
        };
    }
    let hook = value(&["hook"]).and_then(|words| lengths(&words).next());
    let hook_mm = hook
        .map(|(_, mm)| mm)
        .filter(|mm| (0.5..=30.0).contains(mm));
    Gauge {
        width_mm: usual_width_mm(hook_mm),
        sc_height: Height::Single.in_widths(),
        from: hook_mm.map_or(GaugeFrom::Custom, GaugeFrom::Hook),
    }
}

/// `22 sts and 24 rnds = 10 cm`, `22 sts = 10 cm, 24 rows = 10 cm`: width in mm, and height in widths.
fn by_stitches(words: &[Token]) -> Option<(f64, f64)> {
    const STITCHES: &[&str] = &[
        "st", "sts", "stitch", "stitches", "sc", "dc", "hdc", "tr", "htr",
    ];
    const ROUNDS: &[&str] = &["rnd", "rnds", "round", "rounds", "row", "rows", "r"];
    let counted = |names: &[&str]| {
        words
            .windows(2)
            .position(|pair| pair[0].number().is_some() && pair[1].is_any(names))
    };
    // The length that a count is followed by, or else the first of all.
    let length_of = |at: usize| {
        lengths(words)
            .find(|&(place, _)| place > at)
            .or_else(|| lengths(words).next())
    };
    let size = |at: usize| {
        let count = words[at].number()?;
        let (_, mm) = length_of(at)?;
        let size = mm / count;
        (size >= BELIEVED_MM.0 && size <= BELIEVED_MM.1).then_some(size)
    };
    let width = size(counted(STITCHES)?)?;
    let height = counted(ROUNDS).and_then(size);
    let ratio = height.map(|height| height / width);
    // Rounds so unlike stitches are rounds of something else than single crochet.
    let ratio = ratio.filter(|ratio| (0.6..=1.4).contains(ratio));
    Some((width, ratio.unwrap_or(Height::Single.in_widths())))
}

/// `Rounds 1-3 = 7 cm across`: a flat disc is twice as wide as its rounds are high.
fn by_first_rounds(words: &[Token], fabric: &crate::fabric::Fabric) -> Option<f64> {
    let is_round = |token: &Token| token.is_any(&["rnd", "rnds", "round", "rounds", "r"]);
    let at = words.iter().position(is_round)?;
    let first = words.get(at + 1)?.number()?;
    let last = words.get(at + 2).and_then(Token::number).unwrap_or(first);
    let (_, mm) = lengths(words).find(|&(place, _)| place > at + 1)?;
    let piece = fabric.pieces.first()?;
    let rounds = piece.rounds.iter();
    let heights = rounds
        .filter(|round| f64::from(round.number) <= last)
        .map(|round| {
            let kinds = round
                .edge
                .iter()
                .map(|&id| piece.stitch(id).kind.in_widths());
            kinds.fold(0.0, f64::max)
        });
    let radius: f64 = heights.sum();
    let width = mm / (2.0 * radius);
    (radius > 0.0 && width >= BELIEVED_MM.0 && width <= BELIEVED_MM.1).then_some(width)
}

/// Every length among some words: where its number stands, and its mm.
fn lengths(words: &[Token]) -> impl Iterator<Item = (usize, f64)> {
    words.windows(2).enumerate().filter_map(|(place, pair)| {
        let unit_mm = if pair[1].is_any(&["cm", "centimetres", "centimeters"]) {
            10.0
        } else if pair[1].is_any(&["mm", "millimetres", "millimeters"]) {
            1.0
        } else if pair[1].is_any(&["in", "inch", "inches"]) {
            INCH_MM
        } else {
            return None;
        };
        Some((place, pair[0].number()? * unit_mm))
    })
}

/// Toys are worked tighter than labels say: 24 stitches to 10 cm with a 2.5 mm hook, 20 with 3.5 mm (common practice, no
/// source), and in proportion with others; 22 where no hook is named.
fn usual_width_mm(hook_mm: Option<f64>) -> f64 {
    const FINE: (f64, f64) = (2.5, 100.0 / 24.0);
    const COARSE: (f64, f64) = (3.5, 100.0 / 20.0);
    let Some(hook_mm) = hook_mm else {
        return 100.0 / 22.0;
    };
    let slope = (COARSE.1 - FINE.1) / (COARSE.0 - FINE.0);
    (FINE.1 + (hook_mm - FINE.0) * slope).clamp(2.0, 20.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(header: &str) -> Gauge {
        let text = format!(
            "# T\n{header}\n\n## Disc\nRnd 1: 12 dc in magic ring (12)\nRnd 2: 2 dc in each st (24)\n"
        );
        let source = Source::new("t", text);
        let (pattern, _) = crate::pattern::read(&source);
        let (fabric, _) = crate::fabric::work(&pattern);
        gauge(&source, &pattern, &fabric)
    }

    #[test]
    fn a_gauge_gives_width_and_height() {
        let gauge = read("Gauge: 20 sts and 25 rnds = 10 cm");
        assert!((gauge.width_mm - 5.0).abs() < 1e-9 && (gauge.sc_height - 0.8).abs() < 1e-9);
        let inches = read("Gauge: 16 sts = 4 in, 18 rows = 4 in");
        assert!((inches.width_mm - 6.35).abs() < 1e-9);
    }

    /// 2 rounds of dc, each 1.91 widths high (facts of flat discs: 12 more a round, divided by 2π).
    #[test]
    fn a_gauge_may_be_a_disc() {
        let gauge = read("Gauge: Rounds 1-2 = 5 cm across");
        assert_eq!(gauge.from, GaugeFrom::Across);
        assert!((gauge.width_mm - 50.0 / (4.0 * 1.91)).abs() < 1e-9);
    }

    /// DK on a 2.5–3.5 mm hook: about 20–24 stitches to 10 cm (common practice, no source).
    #[test]
    fn without_a_gauge_toys_are_worked_tightly() {
        let gauge = read("Hook: 3.5 mm");
        assert_eq!(gauge.from, GaugeFrom::Hook(3.5));
        assert!((gauge.width_mm - 5.0).abs() < 1e-9);
        assert!((read("").width_mm - 100.0 / 22.0).abs() < 1e-9);
    }
}
