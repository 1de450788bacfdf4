//! Pictures for screens and shops: a cover, and the charts on a square and on an upright sheet. Step pictures are those of `steps`.

use kurbo::Point;
use svg::Document;
use svg::node::Blob;

use crate::chart;
use crate::draw::number::number;
use crate::draw::{self, Look, clean, ink, theme};
use crate::fabric::Fabric;
use crate::pattern::Pattern;
use crate::place;
use crate::shape;
use crate::source::Source;
use crate::text::{self, Weight};
use crate::toy::Kit;

/// Pixels to the inch at which the pictures have their size in pixels: that of step pictures for videos.
pub const DPI: u32 = 288;
/// Kept clear at every edge, as a share of the shorter side: what screens and shops may cut off.
const SAFE: f64 = 0.05;
/// The type of a cover's title, as a share of its height, and the least that it is cut down to.
const TITLE: (f64, f64) = (0.085, 0.04);

/// A finished picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Card {
    /// What it shows: `cover`, `chart-square-1`, `chart-upright-1`.
    pub label: String,
    /// The document.
    pub svg: String,
}

/// A sheet in pixels.
#[derive(Debug, Clone, Copy)]
struct Sheet {
    width: f64,
    height: f64,
}

const WIDE: Sheet = Sheet {
    width: 1920.0,
    height: 1080.0,
};
const SQUARE: Sheet = Sheet {
    width: 1080.0,
    height: 1080.0,
};
const UPRIGHT: Sheet = Sheet {
    width: 1080.0,
    height: 1350.0,
};

/// The cover and the charts of the largest piece, in that order. Empty for a pattern without stitches.
pub fn cards(source: &Source, pattern: &Pattern, fabric: &Fabric, look: Look) -> Vec<Card> {
    let Some(largest) = largest(fabric) else {
        return Vec::new();
    };
    let mut cards = vec![Card {
        label: "cover".to_owned(),
        svg: cover(source, pattern, fabric, largest),
    }];
    let panels = chart::lay_out(fabric, largest, &chart::Options::default());
    for (place, panel) in panels.iter().enumerate() {
        let drawn = draw::panel_svg_in(panel, fabric, look);
        for (sheet, name) in [(SQUARE, "square"), (UPRIGHT, "upright")] {
            let picture = Inner {
                svg: &drawn,
                width: panel.width_mm,
                height: panel.height_mm,
            };
            let mut document = sheet.document(&panel.title, &panel.description);
            document = document.add(picture.within(sheet.safe()));
            cards.push(Card {
                label: format!("chart-{name}-{}", place + 1),
                svg: format!("{document}\n"),
            });
        }
    }
    cards
}

fn largest(fabric: &Fabric) -> Option<usize> {
    let sizes = fabric
        .pieces
        .iter()
        .map(|piece| piece.stitches.len())
        .enumerate();
    let (place, size) = sizes.rev().max_by_key(|(_, size)| *size)?;
    (size > 0).then_some(place)
}

/// The title beside the toy, or the largest piece.
fn cover(source: &Source, pattern: &Pattern, fabric: &Fabric, largest: usize) -> String {
    let shapes = shape::relax(source, pattern, fabric);
    let placement = place::place(source, pattern, fabric);
    let kit = Kit::new(source, pattern, fabric, &shapes, &placement);
    let seen = kit.whole().unwrap_or_else(|| kit.alone(largest));
    let title = match fabric.title.trim() {
        "" => fabric.pieces[largest].name.trim(),
        title => title,
    };
    let room = WIDE.safe();
    let (words, size) = title_lines(title, room.width * 0.48);
    let says = clean(title);
    let mut document = WIDE.document(&says, "The finished work with its title.");
    let picture_mm = (room.width * 0.46, room.height);
    let drawn = draw::portrait_svg(fabric, &shapes, &seen, picture_mm);
    let (width, height) = sides(&drawn);
    let picture = Inner {
        svg: &drawn,
        width,
        height,
    };
    document = document.add(picture.within(Room {
        x: room.x + room.width * 0.54,
        width: picture_mm.0,
        ..room
    }));
    let line = size * 1.2;
    let first = room.y + (room.height - line * words.len() as f64) / 2.0 + size * 0.8;
    for (place, words) in words.iter().enumerate() {
        let at = Point::new(room.x, first + line * place as f64);
        document = document.add(ink::words(words, at, size, Weight::Bold, theme::INK));
    }
    format!("{document}\n")
}

/// A title in lines that fit a width, and the size of their type; what still does not fit ends in an ellipsis.
fn title_lines(title: &str, width: f64) -> (Vec<String>, f64) {
    const MOST: usize = 4;
    let mut size = TITLE.0 * WIDE.mm().1;
    loop {
        let fits = |words: &str| text::extents(words, size, Weight::Bold).width_mm <= width;
        let mut lines: Vec<String> = Vec::new();
        for word in title.split_whitespace() {
            if lines.len() > MOST {
                break;
            }
            match lines.last_mut() {
                Some(line) if fits(&format!("{line} {word}")) => {
                    line.push(' ');
                    line.push_str(word);
                }
                _ => lines.push(word.to_owned()),
            }
        }
        let is_set = lines.len() <= MOST && lines.iter().all(|line| fits(line));
        if is_set || size <= TITLE.1 * WIDE.mm().1 {
            lines.truncate(MOST);
            let cut = |line: String| text::fitted(&line, size, Weight::Bold, width);
            return (lines.into_iter().map(cut).collect(), size);
        }
        size *= 0.9;
    }
}

/// Some room on a sheet, in mm.
#[derive(Debug, Clone, Copy)]
struct Room {
    x: f64,
    y: f64,
    width: f64,
    height: f64,
}

impl Sheet {
    fn mm(self) -> (f64, f64) {
        // A hundredth of a mm under the whole pixel, so that rounding up gives just that pixel.
        let mm = |pixels: f64| pixels * 25.4 / f64::from(DPI) - 0.01;
        (mm(self.width), mm(self.height))
    }

    /// What nothing cuts off.
    fn safe(self) -> Room {
        let (width, height) = self.mm();
        let edge = SAFE * width.min(height);
        Room {
            x: edge,
            y: edge,
            width: width - 2.0 * edge,
            height: height - 2.0 * edge,
        }
    }

    fn document(self, title: &str, description: &str) -> Document {
        let (width, height) = self.mm();
        draw::sheet(width, height, title, description)
    }
}

/// A drawing to be set into another.
struct Inner<'a> {
    svg: &'a str,
    width: f64,
    height: f64,
}

impl Inner<'_> {
    /// As large as it can be in the middle of some room.
    fn within(&self, room: Room) -> Blob {
        let scale = (room.width / self.width).min(room.height / self.height);
        let (width, height) = (self.width * scale, self.height * scale);
        let x = room.x + (room.width - width) / 2.0;
        let y = room.y + (room.height - height) / 2.0;
        let (root, rest) = self.svg.split_once('>').unwrap_or((self.svg, ""));
        let attributes = root.strip_prefix("<svg").unwrap_or(root);
        // Its own width and height make way for those that it has here.
        let kept: Vec<&str> = attributes
            .split_inclusive('"')
            .collect::<Vec<&str>>()
            .chunks(2)
            .filter(|pair| {
                !pair[0].trim_start().starts_with("width=")
                    && !pair[0].trim_start().starts_with("height=")
            })
            .flatten()
            .copied()
            .collect();
        let own = format!(
            " x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"",
            number(x),
            number(y),
            number(width),
            number(height)
        );
        Blob::new(format!("<svg{}{own}>{rest}", kept.concat()))
    }
}

/// Width and height of a drawing of ours, in mm.
fn sides(svg: &str) -> (f64, f64) {
    let side = |name: &str| -> Option<f64> {
        let at = svg.find(&format!(" {name}=\""))? + name.len() + 3;
        svg[at..].split("mm\"").next()?.parse().ok()
    };
    (side("width").unwrap_or(1.0), side("height").unwrap_or(1.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_drawing_keeps_its_shape_in_its_room() {
        let svg = "<svg height=\"10mm\" viewBox=\"0 0 20 10\" width=\"20mm\"><path/></svg>";
        let room = Room {
            x: 5.0,
            y: 5.0,
            width: 40.0,
            height: 40.0,
        };
        let inner = Inner {
            svg,
            width: 20.0,
            height: 10.0,
        };
        assert_eq!(
            inner.within(room).to_string().trim(),
            "<svg viewBox=\"0 0 20 10\" x=\"5\" y=\"15\" width=\"40\" height=\"20\"><path/></svg>"
        );
        assert_eq!(sides(svg), (20.0, 10.0));
    }

    #[test]
    fn a_title_is_cut_to_its_room() {
        let (short, large) = title_lines("Net float", 80.0);
        assert_eq!(short, ["Net float"]);
        let (long, small) = title_lines(&"herring ".repeat(200), 80.0);
        assert!(long.len() == 4 && small < large, "{long:?}");
    }
}
