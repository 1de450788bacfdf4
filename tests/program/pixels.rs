//! Pictures as numbers.

/// A decoded picture.
#[derive(Debug, PartialEq, Eq)]
pub struct Picture {
    /// Pixels in a row.
    pub width: u32,
    /// Rows.
    pub height: u32,
    /// Red, green, blue and opacity of every pixel, row by row from the top.
    pub rgba: Vec<u8>,
}

impl Picture {
    /// The part at the top left.
    pub fn cropped(&self, width: u32, height: u32) -> Picture {
        let rows = self
            .rgba
            .chunks_exact(4 * self.width as usize)
            .take(height as usize);
        Picture {
            width,
            height,
            rgba: rows
                .flat_map(|row| &row[..4 * width as usize])
                .copied()
                .collect(),
        }
    }

    /// How much ink lies on a white sheet in each square of so many pixels, from 0 (none) to 1 (black), row by row.
    pub fn ink(&self, square: u32) -> Vec<f64> {
        let (columns, rows) = (self.width.div_ceil(square), self.height.div_ceil(square));
        let mut ink = vec![0.0; (columns * rows) as usize];
        for (place, pixel) in self.rgba.chunks_exact(4).enumerate() {
            let (x, y) = (place as u32 % self.width, place as u32 / self.width);
            let light =
                f64::from(u32::from(pixel[0]) + u32::from(pixel[1]) + u32::from(pixel[2])) / 765.0;
            let opacity = f64::from(pixel[3]) / 255.0;
            ink[(y / square * columns + x / square) as usize] += (1.0 - light) * opacity;
        }
        ink.iter()
            .map(|sum| sum / f64::from(square * square))
            .collect()
    }
}

/// Decodes a PNG of any kind.
#[track_caller]
pub fn decode(bytes: &[u8]) -> Picture {
    let mut decoder = png::Decoder::new(std::io::Cursor::new(bytes));
    decoder.set_transformations(
        png::Transformations::normalize_to_color8() | png::Transformations::ALPHA,
    );
    let mut reader = decoder.read_info().expect("a PNG");
    let mut pixels = vec![0; reader.output_buffer_size().expect("a size")];
    let info = reader.next_frame(&mut pixels).expect("a whole PNG");
    pixels.truncate(info.buffer_size());
    let rgba = match info.color_type {
        png::ColorType::Rgba => pixels,
        png::ColorType::GrayscaleAlpha => pixels
            .chunks_exact(2)
            .flat_map(|p| [p[0], p[0], p[0], p[1]])
            .collect(),
        other => panic!("{other:?} was to be expanded"),
    };
    Picture {
        width: info.width,
        height: info.height,
        rgba,
    }
}
