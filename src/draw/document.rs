//! How every drawing begins.

use svg::Document;
use svg::node::element::{Description, Rectangle, Title};

use super::number::number;
use super::panel::clean;
use super::theme;

/// A document of a size in mm with a title in words, on no paper.
pub fn blank(width_mm: f64, height_mm: f64, title: &str) -> Document {
    let (width, height) = (number(width_mm), number(height_mm));
    Document::new()
        .set("width", format!("{width}mm"))
        .set("height", format!("{height}mm"))
        .set("viewBox", format!("0 0 {width} {height}"))
        .set("role", "graphics-document")
        .set("lang", "en")
        .add(Title::new(clean(title)))
}

/// The same with a description for those who listen.
pub fn described(width_mm: f64, height_mm: f64, title: &str, description: &str) -> Document {
    let description = svg::node::Text::new(clean(description));
    blank(width_mm, height_mm, title).add(Description::new().add(description))
}

/// The same on paper that fills it.
pub fn sheet(width_mm: f64, height_mm: f64, title: &str, description: &str) -> Document {
    described(width_mm, height_mm, title, description).add(paper(width_mm, height_mm))
}

/// Paper of a size in mm.
pub fn paper(width_mm: f64, height_mm: f64) -> Rectangle {
    Rectangle::new()
        .set("width", number(width_mm))
        .set("height", number(height_mm))
        .set("fill", theme::hex(theme::PAPER))
}
