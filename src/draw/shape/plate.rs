//! The plate of a piece or a toy: its name, three views on one floor, a scale bar, and what there is to say.

use kurbo::{BezPath, Point};
use svg::node::element::Path;

use crate::draw::number::{number, svg_path};
use crate::draw::{clean, ink, sheet, theme};
use crate::fabric::Fabric;
use crate::shape::Shapes;
use crate::text::{self, Weight, pt};
use crate::toy::Toy;

use super::figure::Figure;
use super::scene::{View, scene};

/// What a plate shows.
#[derive(Debug, Clone)]
pub struct Plate<'a> {
    /// Its title.
    pub title: &'a str,
    /// What is seen.
    pub toy: &'a Toy,
    /// Whether to mark where parts are joined.
    pub marks_joins: bool,
    /// What to write below, a line each.
    pub notes: &'a [String],
}

/// The most room for the three views side by side, in mm, and for the highest of them.
const ROOM_MM: (f64, f64) = (170.0, 105.0);
/// Between two views, in mm.
const GAP_MM: f64 = 14.0;
/// Least width of a sheet, in mm.
const LEAST_WIDTH_MM: f64 = 110.0;
/// Scales that are chosen from, in mm on paper to the cm.
const SCALES: [f64; 24] = [
    40.0, 30.0, 25.0, 20.0, 16.0, 14.0, 12.0, 10.0, 8.0, 7.0, 6.0, 5.0, 4.0, 3.0, 2.5, 2.0, 1.5,
    1.0, 0.75, 0.5, 0.25, 0.1, 0.05, 0.01,
];
/// The views of what stands.
const VIEWS: [(View, &str); 3] = [
    (View::Front, "front"),
    (View::Side, "its own left side"),
    (View::Top, "from above"),
];
/// The views of what lies flat.
const FLAT_VIEWS: [(View, &str); 2] = [(View::Top, "from above"), (View::Front, "from its edge")];
/// Something lower than this share of its width lies flat.
const FLAT: f64 = 0.15;

/// The plate as an SVG document, in mm.
pub fn plate_svg(fabric: &Fabric, shapes: &Shapes, plate: &Plate<'_>) -> String {
    let size = plate.toy.size(shapes);
    let lies_flat = size.z < FLAT * size.x.min(size.y);
    let views = if lies_flat {
        &FLAT_VIEWS[..]
    } else {
        &VIEWS[..]
    };
    let figures = views.iter().map(|&(view, name)| {
        let items = scene(fabric, shapes, plate.toy, view, plate.marks_joins);
        let stands = view != View::Top;
        (Figure::new(items), name, stands)
    });
    let figures: Vec<(Figure, &str, bool)> = figures.collect();
    let wide: f64 = figures
        .iter()
        .map(|(figure, ..)| figure.bounds.width())
        .sum();
    let high = figures
        .iter()
        .map(|(figure, ..)| figure.bounds.height())
        .fold(0.0, f64::max);
    let gaps = GAP_MM * (figures.len() - 1) as f64;
    let room = ROOM_MM.0 - gaps;
    let fits = |scale: &f64| wide * scale <= room && high * scale <= ROOM_MM.1;
    let scale = SCALES
        .into_iter()
        .find(fits)
        .unwrap_or(SCALES[SCALES.len() - 1]);

    let margin = theme::MARGIN_MM;
    let (title, text, label) = (pt(theme::TITLE_PT), pt(theme::TEXT_PT), pt(theme::LABEL_PT));
    let line = |words: &str| text::extents(words, text, Weight::Regular).width_mm;
    let widest_note = plate
        .notes
        .iter()
        .map(|note| line(note))
        .fold(0.0, f64::max);
    let cells = figures.iter().map(|(figure, name, _)| {
        let words = text::extents(name, label, Weight::Regular).width_mm;
        (figure.bounds.width() * scale).max(words)
    });
    let cells: Vec<f64> = cells.collect();
    let views: f64 = cells.iter().sum::<f64>() + gaps;
    let heading = text::extents(plate.title, title, Weight::Bold).width_mm;
    let inner = views
        .max(widest_note)
        .max(heading)
        .max(LEAST_WIDTH_MM - 2.0 * margin);
    let width = inner + 2.0 * margin;

    let top = margin + title * 1.6;
    let floor = top + high * scale;
    let captions = floor + label * 2.0;
    let bar = captions + label * 2.4;
    let notes = bar + text * 2.2;
    let height = notes + text * 1.45 * plate.notes.len() as f64 + margin - text * 0.4;

    let says = clean(plate.title);
    let mut document = sheet(
        width,
        height,
        &format!("{says}: its shape"),
        &plate.notes.join("\n"),
    )
    .set("fill", "none")
    .set("stroke-linecap", "round")
    .set("stroke-linejoin", "round")
    .add(ink::words(
        &says,
        Point::new(margin, margin + title * 0.75),
        title,
        Weight::Bold,
        theme::INK,
    ));
    let mut x = margin + (inner - views) / 2.0;
    let mut floors = BezPath::new();
    for ((figure, name, stands), cell) in figures.iter().zip(cells) {
        let drawn = figure.bounds.width() * scale;
        let left = x + (cell - drawn) / 2.0;
        // What is seen from above stands on no floor: it is centred beside the others.
        let low = match stands {
            false => floor - (high - figure.bounds.height()) * scale / 2.0,
            true => {
                floors.move_to((left - 4.0, floor + 0.15));
                floors.line_to((left + drawn + 4.0, floor + 0.15));
                floor
            }
        };
        document = document.add(figure.draw(left, low, scale, name));
        let words = text::extents(name, label, Weight::Regular).width_mm;
        document = document.add(ink::words(
            name,
            Point::new(x + (cell - words) / 2.0, captions),
            label,
            Weight::Regular,
            theme::QUIET,
        ));
        x += cell + GAP_MM;
    }
    document = document.add(
        Path::new()
            .set("d", svg_path(&floors))
            .set("stroke", theme::hex(theme::RULE))
            .set("stroke-width", number(theme::THIN_MM)),
    );
    let (length_cm, path) = scale_bar(scale, Point::new(margin, bar));
    document = document.add(
        Path::new()
            .set("d", svg_path(&path))
            .set("stroke", theme::hex(theme::INK))
            .set("stroke-width", number(theme::THIN_MM)),
    );
    document = document.add(ink::words(
        &format!("{} cm", number(length_cm)),
        Point::new(margin + length_cm * scale + 2.0, bar + label * 0.35),
        label,
        Weight::Regular,
        theme::INK,
    ));
    for (place, note) in plate.notes.iter().enumerate() {
        document = document.add(ink::words(
            &clean(note),
            Point::new(margin, notes + text * 1.45 * place as f64 + text * 0.75),
            text,
            Weight::Regular,
            theme::QUIET,
        ));
    }
    format!("{document}\n")
}

/// A bar of a round length of at least 12 mm on paper, with an end at each side and a mark at its middle: its length in cm, and its lines.
fn scale_bar(scale: f64, at: Point) -> (f64, BezPath) {
    let lengths = [
        0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0,
    ];
    let length_cm = lengths
        .into_iter()
        .find(|length| length * scale >= 12.0)
        .unwrap_or(2000.0);
    let mm = length_cm * scale;
    let mut path = BezPath::new();
    path.move_to(at);
    path.line_to((at.x + mm, at.y));
    for (x, half) in [(0.0, 1.2), (mm / 2.0, 0.7), (mm, 1.2)] {
        path.move_to((at.x + x, at.y - half));
        path.line_to((at.x + x, at.y + half));
    }
    (length_cm, path)
}
