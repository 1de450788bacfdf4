/// What our raster stands on, by itself: usvg, resvg and the encoder at its fastest, on the same SVG.
pub fn png(svg: &str, dpi: u32) -> Vec<u8> {
    let options = usvg::Options {
        dpi: dpi as f32,
        ..usvg::Options::default()
    };
    let tree = usvg::Tree::from_str(svg, &options).expect("an SVG");
    let size = tree.size().to_int_size();
    let mut pixels = resvg::tiny_skia::Pixmap::new(size.width(), size.height()).expect("a page");
    resvg::render(
        &tree,
        resvg::tiny_skia::Transform::identity(),
        &mut pixels.as_mut(),
    );
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, size.width(), size.height());
    encoder.set_color(png::ColorType::Rgba);
    encoder.set_compression(png::Compression::Fast);
    let mut writer = encoder.write_header().expect("a header");
    writer.write_image_data(pixels.data()).expect("pixels");
    writer.finish().expect("an end");
    bytes
}
