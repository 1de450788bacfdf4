//! SVG to PNG, with no fonts and no files but the document itself.

use png::{BitDepth, ColorType, Compression, Encoder, PixelDimensions, Unit};
use resvg::tiny_skia::{Color, Pixmap, Transform};

use crate::draw::Ground;
use crate::source::limits::PIXELS;

/// Why a picture could not be made.
#[derive(Debug)]
pub enum RasterError {
    /// The document is no SVG.
    NotSvg(usvg::Error),
    /// More than [`PIXELS`].
    TooLarge {
        /// Width in pixels.
        width: u64,
        /// Height in pixels.
        height: u64,
        /// The highest whole number of dots per inch at which it would fit.
        fits_dpi: u32,
    },
    /// The picture could not be encoded.
    Encoding(png::EncodingError),
}

impl std::fmt::Display for RasterError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            RasterError::NotSvg(error) => write!(f, "this is no SVG that can be drawn: {error}"),
            RasterError::TooLarge {
                width,
                height,
                fits_dpi,
            } => write!(
                f,
                "{width} × {height} pixels are more than a picture can have (the limit is {} million); at {fits_dpi} dpi it fits",
                PIXELS / 1_000_000
            ),
            RasterError::Encoding(error) => write!(f, "the picture could not be encoded: {error}"),
        }
    }
}

impl std::error::Error for RasterError {}

/// A picture of an SVG document at a resolution in dots per inch: the bytes of a PNG, 8 bits a channel, red, green and blue on white, with
/// its resolution in it.
///
/// # Errors
/// [`RasterError`] if the document can't be read or the picture would have too many pixels.
pub fn png(svg: &str, dpi: u32) -> Result<Vec<u8>, RasterError> {
    png_on(svg, dpi, Ground::White)
}

/// As [`png`], on a ground; on a clear one the picture has a fourth channel that says how opaque each pixel is.
///
/// # Errors
/// As for [`png`].
pub fn png_on(svg: &str, dpi: u32, ground: Ground) -> Result<Vec<u8>, RasterError> {
    let options = usvg::Options {
        dpi: dpi.max(1) as f32,
        ..usvg::Options::default()
    };
    let tree = usvg::Tree::from_str(svg, &options).map_err(RasterError::NotSvg)?;
    let size = tree.size();
    let (width, height) = (pixels(size.width()), pixels(size.height()));
    let too_large = || RasterError::TooLarge {
        width,
        height,
        fits_dpi: fitting_dpi(dpi, width, height),
    };
    if width.saturating_mul(height) > PIXELS {
        return Err(too_large());
    }
    let mut pixmap = u32::try_from(width)
        .ok()
        .zip(u32::try_from(height).ok())
        .and_then(|(width, height)| Pixmap::new(width, height))
        .ok_or_else(too_large)?;
    if ground == Ground::White {
        pixmap.fill(Color::WHITE);
    }
    resvg::render(&tree, Transform::identity(), &mut pixmap.as_mut());
    encoded(pixmap, dpi, ground).map_err(RasterError::Encoding)
}

fn pixels(length: f32) -> u64 {
    // A float becomes the nearest integer that there is, never less than nothing.
    f64::from(length).ceil().max(1.0) as u64
}

/// The highest resolution that keeps within the limit.
fn fitting_dpi(dpi: u32, width: u64, height: u64) -> u32 {
    let share = PIXELS as f64 / (width as f64 * height as f64);
    ((f64::from(dpi) * share.sqrt()).floor() as u32).max(1)
}

/// An opaque picture that is drawn already, as a PNG with its resolution in it.
///
/// # Errors
/// If it could not be encoded.
#[cfg(feature = "pages")]
pub(crate) fn opaque_png(pixmap: Pixmap, dpi: u32) -> Result<Vec<u8>, RasterError> {
    encoded(pixmap, dpi, Ground::White).map_err(RasterError::Encoding)
}

fn encoded(pixmap: Pixmap, dpi: u32, ground: Ground) -> Result<Vec<u8>, png::EncodingError> {
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, pixmap.width(), pixmap.height());
    let (colours, pixels) = match ground {
        Ground::White => (ColorType::Rgb, opaque(pixmap)),
        Ground::Clear => (ColorType::Rgba, straight(&pixmap)),
    };
    encoder.set_color(colours);
    encoder.set_depth(BitDepth::Eight);
    encoder.set_compression(Compression::Fast);
    let dots_a_metre = (f64::from(dpi) / 0.0254).round() as u32;
    encoder.set_pixel_dims(Some(PixelDimensions {
        xppu: dots_a_metre,
        yppu: dots_a_metre,
        unit: Unit::Meter,
    }));
    let mut writer = encoder.write_header()?;
    writer.write_image_data(&pixels)?;
    writer.finish()?;
    Ok(bytes)
}

/// Red, green and blue of every pixel; on white paper all are opaque. They are moved up where they lie: fresh memory would cost more than the
/// moving.
fn opaque(pixmap: Pixmap) -> Vec<u8> {
    let mut colours = pixmap.take();
    let pixels = colours.len() / 4;
    for at in 1..pixels {
        colours.copy_within(4 * at..4 * at + 3, 3 * at);
    }
    colours.truncate(3 * pixels);
    colours
}

/// Red, green, blue and opacity of every pixel, the colours as they are without the opacity.
fn straight(pixmap: &Pixmap) -> Vec<u8> {
    let mut channels = Vec::with_capacity(pixmap.data().len());
    for pixel in pixmap.pixels() {
        let colour = pixel.demultiply();
        channels.extend([colour.red(), colour.green(), colour.blue(), colour.alpha()]);
    }
    channels
}

#[cfg(test)]
mod tests {
    use super::*;

    const SQUARE: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" width="25.4mm" height="12.7mm"
        viewBox="0 0 2 1"><path d="M0 0h1v1h-1z" fill="#102030"/></svg>"##;

    /// PNG specification, 11.3.5.3: the physical dimensions are in pixels per metre; 300 dpi is 11811.
    #[test]
    fn a_picture_has_its_size_its_resolution_and_white_where_nothing_is_drawn() {
        let bytes = png(SQUARE, 300).unwrap();
        let decoder = png::Decoder::new(std::io::Cursor::new(bytes));
        let mut reader = decoder.read_info().unwrap();
        let info = reader.info();
        assert_eq!((info.width, info.height), (300, 150));
        assert_eq!(info.color_type, ColorType::Rgb);
        assert_eq!(info.pixel_dims.unwrap().xppu, 11811);
        let mut pixels = vec![0; reader.output_buffer_size().unwrap()];
        reader.next_frame(&mut pixels).unwrap();
        assert_eq!(&pixels[..3], [0x10, 0x20, 0x30]);
        assert_eq!(&pixels[pixels.len() - 3..], [255; 3]);
    }

    #[test]
    fn on_a_clear_ground_nothing_is_where_nothing_is_drawn() {
        let bytes = png_on(SQUARE, 100, Ground::Clear).unwrap();
        let mut reader = png::Decoder::new(std::io::Cursor::new(bytes))
            .read_info()
            .unwrap();
        assert_eq!(reader.info().color_type, ColorType::Rgba);
        let mut pixels = vec![0; reader.output_buffer_size().unwrap()];
        reader.next_frame(&mut pixels).unwrap();
        assert_eq!(&pixels[..4], [0x10, 0x20, 0x30, 255]);
        assert_eq!(&pixels[pixels.len() - 4..], [0; 4]);
    }

    #[test]
    fn a_picture_past_the_limit_is_refused_with_a_resolution_that_fits() {
        let wide = SQUARE
            .replace("25.4mm", "2540mm")
            .replace("12.7mm", "1270mm");
        let Err(RasterError::TooLarge { fits_dpi, .. }) = png(&wide, 600) else {
            panic!("such a picture must be refused");
        };
        assert!((100..600).contains(&fits_dpi), "{fits_dpi}");
        assert!(png(&wide, fits_dpi / 2).is_ok());
        assert!(png(&wide, u32::MAX).is_err());
    }

    #[test]
    fn what_is_no_svg_is_refused() {
        assert!(matches!(png("no markup", 300), Err(RasterError::NotSvg(_))));
    }
}
