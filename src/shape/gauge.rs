//! How large a stitch is: from the pattern's gauge, or as toys are usually worked with the hook.

use crate::fabric::Fabric;
use crate::pattern::Pattern;
use crate::prose::{self, GaugeTold, Prose};
use crate::source::Source;
use crate::terms::Height;
use crate::terms::gauge::BELIEVED_MM;

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
pub fn gauge(source: &Source, pattern: &Pattern, fabric: &Fabric) -> Gauge {
    gauge_told(&prose::sentences(source, pattern), fabric)
}

/// The gauge by the sentences of a pattern.
pub(crate) fn gauge_told(prose: &Prose<'_>, fabric: &Fabric) -> Gauge {
    let usual = Height::Single.in_widths();
    let (width_mm, sc_height, from) = match prose::gauge(prose) {
        GaugeTold::Stitches { width_mm, height } => {
            (width_mm, height.unwrap_or(usual), GaugeFrom::Stitches)
        }
        GaugeTold::Across { last_round, mm } => match by_first_rounds(last_round, mm, fabric) {
            Some(width_mm) => (width_mm, usual, GaugeFrom::Across),
            None => (usual_width_mm(None), usual, GaugeFrom::Custom),
        },
        GaugeTold::Hook(mm) => (usual_width_mm(Some(mm)), usual, GaugeFrom::Hook(mm)),
        GaugeTold::Nothing => (usual_width_mm(None), usual, GaugeFrom::Custom),
    };
    Gauge {
        width_mm,
        sc_height,
        from,
    }
}

/// The width of a stitch where the first piece is so wide up to a round: a flat disc is twice as wide as its rounds are high.
fn by_first_rounds(last_round: u32, mm: f64, fabric: &Fabric) -> Option<f64> {
    let piece = fabric.pieces.first()?;
    let rounds = piece.rounds.iter();
    let heights = rounds
        .filter(|round| round.number <= last_round)
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
