//! The look of every sheet: colours, text sizes, line weights and margins. Deep ink on white paper, bands
//! that hardly show, and one warm accent for what the maker must not miss.

/// A colour as red, green, blue.
pub type Rgb = [u8; 3];

/// The work: symbols, words and their leaders.
pub const INK: Rgb = [0x16, 0x24, 0x33];
/// What is written beside the work and read second.
pub const QUIET: Rgb = [0x4f, 0x5b, 0x67];
/// Rules of tables and outlines of swatches.
pub const RULE: Rgb = [0xb9, 0xc0, 0xc7];
/// Stitches that were worked just before: read after the work, before its ground.
pub const NEAR: Rgb = [0x88, 0x93, 0x9e];
/// Every other round's band; the bands between are paper.
pub const BAND: Rgb = [0xf4, 0xf6, 0xf7];
/// The sheet.
pub const PAPER: Rgb = [0xff, 0xff, 0xff];
/// The start, a join, a change.
pub const ACCENT: Rgb = [0xb4, 0x3f, 0x14];

/// The title of a sheet, in points.
pub const TITLE_PT: f64 = 15.0;
/// Headings of a table or a group, in points.
pub const HEADING_PT: f64 = 10.0;
/// Captions and tables, in points.
pub const TEXT_PT: f64 = 9.0;
/// Numbers and names within a chart, in points; nothing is smaller.
pub const LABEL_PT: f64 = 7.5;

/// Leaders, rules and outlines, in mm; nothing is thinner.
pub const THIN_MM: f64 = 0.25;
/// Arrows and marks in the accent, in mm.
pub const STRONG_MM: f64 = 0.5;
/// Paper round the work, in mm.
pub const MARGIN_MM: f64 = 10.0;

/// Contrast that ink keeps on any yarn's bed (WCAG 2.2, success criterion 1.4.6, asks 7 to 1 of text).
pub const LEAST_CONTRAST: f64 = 7.0;
/// How much of a yarn's own colour its bed holds at most, in hundredths.
const STRONGEST_BED: u32 = 36;
/// How much less of black, in hundredths.
const HEAVY_GREY: u32 = 20;

/// The soft bed under the stitches of a yarn: its colour thinned with white until ink on it keeps
/// [`LEAST_CONTRAST`].
pub fn bed(yarn: Rgb) -> Rgb {
    (0..=strongest(yarn))
        .rev()
        .map(|hundredths| thinned(yarn, hundredths))
        .find(|&bed| contrast(INK, bed) >= LEAST_CONTRAST)
        .unwrap_or(PAPER)
}

/// How much of a yarn's own colour its bed holds at most, in hundredths: less of dark greys, which have no hue to show and weigh on the sheet.
fn strongest(yarn: Rgb) -> u32 {
    let [low, high] =
        [yarn.iter().min(), yarn.iter().max()].map(|end| end.map_or(0, |&end| u32::from(end)));
    let grey = 255 - (2 * (high - low)).min(255);
    let dark = 255 - high;
    STRONGEST_BED - HEAVY_GREY * grey * dark / (255 * 255)
}

/// A colour as SVG writes it: `#b43f14`.
pub fn hex(colour: Rgb) -> String {
    let [red, green, blue] = colour;
    format!("#{red:02x}{green:02x}{blue:02x}")
}

/// The contrast of two colours, from 1 to 21 (WCAG 2.2, "contrast ratio").
pub fn contrast(one: Rgb, other: Rgb) -> f64 {
    let (one, other) = (luminance(one), luminance(other));
    (one.max(other) + 0.05) / (one.min(other) + 0.05)
}

/// Relative luminance from 0 to 1 (WCAG 2.2, "relative luminance").
fn luminance(colour: Rgb) -> f64 {
    let [red, green, blue] = colour.map(|channel| {
        let value = f64::from(channel) / 255.0;
        if value <= 0.04045 {
            value / 12.92
        } else {
            libm::pow((value + 0.055) / 1.055, 2.4)
        }
    });
    0.2126 * red + 0.7152 * green + 0.0722 * blue
}

fn thinned(colour: Rgb, hundredths: u32) -> Rgb {
    colour.map(|channel| {
        let white = 255 * (100 - hundredths);
        ((u32::from(channel) * hundredths + white + 50) / 100) as u8
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ink_keeps_its_contrast_on_every_bed() {
        let channel = (0..=255u8).step_by(15);
        for red in channel.clone() {
            for green in channel.clone() {
                for blue in channel.clone() {
                    let bed = bed([red, green, blue]);
                    assert!(contrast(INK, bed) >= LEAST_CONTRAST, "{bed:?}");
                }
            }
        }
    }

    /// Text asks for 4.5 to 1 (WCAG 2.2, success criterion 1.4.3). All words, of charts and of pages, are in these colours.
    #[test]
    fn words_stand_out_from_paper_and_bands() {
        for words in [INK, QUIET, ACCENT] {
            for ground in [PAPER, BAND] {
                assert!(contrast(words, ground) >= 4.5, "{words:?} on {ground:?}");
            }
        }
    }

    #[test]
    fn dark_greys_lie_as_lightly_as_hues() {
        let charcoal = bed([0x3a, 0x3f, 0x47]);
        assert!(contrast(INK, charcoal) >= 10.0, "{charcoal:?}");
        assert!(contrast(charcoal, PAPER) >= 1.3, "{charcoal:?}");
    }

    #[test]
    fn beds_of_different_hues_can_be_told_apart() {
        let (red, blue) = (bed([200, 30, 30]), bed([30, 60, 200]));
        assert!(
            red[0] > blue[0] + 60 && blue[2] > red[2] + 40,
            "{red:?} {blue:?}"
        );
    }

    /// WCAG 2.2: black on white is 21 to 1, and text of any size is legible from 4.5 to 1 (criterion 1.4.3).
    #[test]
    fn words_are_legible_on_paper_and_on_bands() {
        assert!((contrast([0; 3], PAPER) - 21.0).abs() < 1e-9);
        for words in [INK, QUIET, ACCENT] {
            for ground in [PAPER, BAND] {
                assert!(contrast(words, ground) >= 4.5, "{words:?} on {ground:?}");
            }
        }
    }

    /// The sizes for print in the design of charts: text at least 7 pt, lines at least 0.25 mm.
    #[test]
    fn nothing_is_too_small_to_print() {
        let sizes = [TITLE_PT, HEADING_PT, TEXT_PT, LABEL_PT];
        assert!(sizes.iter().all(|&size| size >= 7.0));
        let lines = [THIN_MM, STRONG_MM, crate::symbol::PEN_MM];
        assert!(lines.iter().all(|&line| line >= 0.25));
    }

    #[test]
    fn colours_are_written_with_six_digits() {
        assert_eq!(hex([0, 10, 255]), "#000aff");
    }
}
