//! Drawings turned into PNG pictures, two at a time.

use crate::at_once::in_order;
use crate::draw::Ground;
use crate::raster::{self, RasterError};

/// Pictures that are made at a time: each holds its pixels in memory while it is made.
const AT_A_TIME: usize = 2;

/// A finished SVG and the name of its files, without ending.
pub struct Drawing {
    pub name: String,
    pub svg: String,
}

/// A finished PNG.
pub struct Picture {
    pub png: Vec<u8>,
    /// Its pixels to the inch: fewer than were asked for where that would have been too many pixels.
    pub dpi: u32,
}

/// The picture of every drawing, in the order of the drawings.
pub fn render(drawings: &[Drawing], dpi: u32, ground: Ground) -> Vec<Result<Picture, String>> {
    in_order(drawings.len(), AT_A_TIME, |place| {
        picture(&drawings[place].svg, dpi, ground)
    })
}

fn picture(svg: &str, dpi: u32, ground: Ground) -> Result<Picture, String> {
    match raster::png_on(svg, dpi, ground) {
        Ok(png) => Ok(Picture { png, dpi }),
        Err(RasterError::TooLarge { fits_dpi, .. }) if dpi > 1 => {
            picture(svg, fits_dpi.min(dpi - 1), ground)
        }
        Err(error) => Err(error.to_string()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sheet(width_mm: u32) -> Drawing {
        Drawing {
            name: width_mm.to_string(),
            svg: format!(
                "<svg xmlns='http://www.w3.org/2000/svg' width='{width_mm}mm' height='10mm' viewBox='0 0 {width_mm} 10'/>"
            ),
        }
    }

    #[test]
    fn pictures_come_in_the_order_of_their_drawings() {
        let drawings: Vec<Drawing> = (10..30).map(sheet).collect();
        let apart: Vec<Vec<u8>> = drawings
            .iter()
            .map(|d| raster::png(&d.svg, 72).unwrap())
            .collect();
        let together = render(&drawings, 72, Ground::White)
            .into_iter()
            .map(|picture| picture.unwrap().png);
        assert!(together.eq(apart));
    }

    #[test]
    fn a_picture_of_too_many_pixels_gets_fewer_to_the_inch() {
        let picture = render(&[sheet(20_000)], 1_200, Ground::White)
            .remove(0)
            .unwrap();
        assert!((400..1_200).contains(&picture.dpi), "{}", picture.dpi);
    }

    #[test]
    fn what_is_no_drawing_has_no_picture() {
        let broken = Drawing {
            name: "broken".to_owned(),
            svg: "<svg".to_owned(),
        };
        assert!(render(&[broken], 72, Ground::White).remove(0).is_err());
    }
}
