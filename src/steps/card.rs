//! A card: the round's name and count, the drawing, the parts to have ready, the round's words, and what comes after.

use kurbo::{Affine, Point, Vec2};
use svg::Node;
use svg::node::element::{Group, Line};

use super::page::{self, Page};
use super::round::Told;
use super::{Options, work};
use crate::chart::{Direction, Layout, Panel, fit};
use crate::draw::number::number;
use crate::draw::theme::{self, Rgb};
use crate::draw::{self, Ground, ink};
use crate::fabric::{Fabric, StitchId};
use crate::symbol;
use crate::terms::Hand;
use crate::text::{self, Weight};

/// Where the words of a part begin, in mm from its badge's left.
const PART_INDENT: f64 = 11.0;
/// Width of the picture of a part's layers, and from layer to layer, in mm.
const LAYERS: f64 = 4.2;
const LAYER: f64 = 0.95;
/// Layers drawn at most.
const MOST_LAYERS: u32 = 4;
/// Most lines about what comes after a round.
const MOST_THEN: usize = 5;
/// Paper before another kind of words, in mm.
const PARAGRAPH: f64 = 1.6;

/// The picture of a round as an SVG document, in mm.
pub(super) fn card(
    fabric: &Fabric,
    panel: &Panel,
    ring: usize,
    told: &Told,
    options: Options,
) -> String {
    let pages = page::pages(options.size, options.look);
    let mut setting = Setting::new(fabric, panel, told, pages[0]);
    for &page in &pages[1..] {
        let room = setting.drawing();
        let scale = work::scale(panel, ring, told, fabric, room);
        if scale < page::LEAST_SCALE || setting.is_cut() {
            setting = Setting::new(fabric, panel, told, page);
        }
    }
    let (page, room) = (setting.page, setting.drawing());
    let mut drawing = work::drawn(fabric, panel, ring, told, room, &page, options.look);
    drawing.append(setting.words());
    let says = &panel.rings[ring].says;
    document(
        &page,
        &setting.title(),
        &setting.description(says),
        options,
        drawing,
    )
}

fn document(
    page: &Page,
    title: &str,
    description: &str,
    options: Options,
    drawing: Group,
) -> String {
    let side = |mm: f64| format!("{}mm", number(mm * page.enlarged));
    let mut document = draw::described(page.width, page.height, title, description)
        .set("width", side(page.width))
        .set("height", side(page.height));
    if options.ground == Ground::White {
        document = document.add(draw::paper(page.width, page.height));
    }
    format!("{}\n", document.add(drawing))
}

/// A line of words as it will be set.
struct SetLine {
    words: String,
    size: f64,
    weight: Weight,
    colour: Rgb,
    indent: f64,
    /// Paper over it, in mm.
    above: f64,
    /// The number and the layers of the part that it names.
    part: Option<(usize, u32)>,
}

/// The words of a card, broken into lines.
struct Setting<'a> {
    fabric: &'a Fabric,
    panel: &'a Panel,
    told: &'a Told,
    page: Page,
    heading: Vec<SetLine>,
    lines: Vec<SetLine>,
}

impl Setting<'_> {
    fn new<'a>(fabric: &'a Fabric, panel: &'a Panel, told: &'a Told, page: Page) -> Setting<'a> {
        let mut setting = Setting {
            fabric,
            panel,
            told,
            page,
            heading: Vec::new(),
            lines: Vec::new(),
        };
        setting.set_heading();
        setting.set_lines();
        setting
    }

    /// True if the card has no room for all its words.
    fn is_cut(&self) -> bool {
        self.lines.iter().any(|line| line.words.ends_with('…'))
    }

    fn drawing(&self) -> kurbo::Rect {
        let words = height(&self.lines) + PARAGRAPH * 2.0 + self.page.label * 1.5;
        self.page.drawing(height(&self.heading), words)
    }

    /// `Pocket puffin – Head and body`.
    fn names(&self) -> String {
        let piece = &self.fabric.pieces[self.panel.piece];
        let names = [self.fabric.title.trim(), piece.name.trim()];
        let names = names.into_iter().filter(|name| !name.is_empty());
        names.collect::<Vec<_>>().join(" – ")
    }

    fn title(&self) -> String {
        format!("{}: {}", self.names(), self.told.title)
    }

    fn description(&self, says: &str) -> String {
        let mut said = self.told.words.clone();
        said.push(says.to_owned());
        let parts = self.told.parts.iter();
        said.extend(parts.map(|part| format!("Have ready: {}; {}.", part.name, part.says())));
        if !self.told.then.is_empty() {
            said.push(format!("Then: {}", self.told.then));
        }
        said.join("\n")
    }

    fn set_heading(&mut self) {
        let page = self.page;
        let width = page.words_width();
        let names = fit::fitted(&self.names(), page.label, Weight::Regular, width);
        let title = fit::fitted(&self.told.title, page.title, Weight::Bold, width);
        let count = fit::fitted(&self.told.count, page.text, Weight::Regular, width);
        self.heading = vec![
            plain(names, page.label, Weight::Regular, theme::QUIET),
            plain(title, page.title, Weight::Bold, theme::INK),
            plain(count, page.text, Weight::Regular, theme::INK),
        ];
    }

    fn set_lines(&mut self) {
        let mut free = self.page.most_lines();
        let parts = self.told.parts.iter().enumerate();
        if !self.told.parts.is_empty() {
            self.lines.push(SetLine {
                above: PARAGRAPH,
                ..plain(
                    "Have ready".to_owned(),
                    self.page.label,
                    Weight::Regular,
                    theme::QUIET,
                )
            });
        }
        for (number, part) in parts.take(free / 2) {
            let words = format!("{}: {}", part.name, part.says());
            let width = self.page.words_width() - PART_INDENT;
            let lines = fit::wrapped(&words, self.page.text, Weight::Bold, width, 2);
            free = free.saturating_sub(lines.len());
            for (line, words) in lines.into_iter().enumerate() {
                self.lines.push(SetLine {
                    indent: PART_INDENT,
                    above: if line == 0 { PARAGRAPH / 3.0 } else { 0.0 },
                    part: (line == 0).then_some((number + 1, part.layers)),
                    ..plain(words, self.page.text, Weight::Bold, theme::ACCENT)
                });
            }
        }
        let kept = if self.told.then.is_empty() { 0 } else { 3 };
        for words in &self.told.words {
            let most = free.saturating_sub(kept).max(2);
            free -= self.paragraph(words, theme::INK, most).min(free);
        }
        if !self.told.then.is_empty() {
            let words = format!("Then: {}", self.told.then);
            self.paragraph(&words, theme::ACCENT, free.clamp(1, MOST_THEN));
        }
    }

    /// Sets a paragraph and returns its number of lines.
    fn paragraph(&mut self, words: &str, colour: Rgb, most: usize) -> usize {
        let size = self.page.text;
        let width = self.page.words_width();
        let lines = fit::wrapped(words, size, Weight::Regular, width, most);
        let count = lines.len();
        for (line, words) in lines.into_iter().enumerate() {
            self.lines.push(SetLine {
                above: if line == 0 { PARAGRAPH } else { 0.0 },
                ..plain(words, size, Weight::Regular, colour)
            });
        }
        count
    }

    /// Everything written on the card.
    fn words(&self) -> Group {
        let page = &self.page;
        let mut group = Group::new();
        let left = page.words_left();
        let under = set(
            &mut group,
            &self.heading,
            Point::new(left, page.margin),
            page,
        );
        let foot = page.height - page.margin;
        let top = match page.beside {
            true => under + PARAGRAPH * 2.0,
            false => foot - page.label * 1.5 - PARAGRAPH - height(&self.lines),
        };
        rule(&mut group, left, top, page.words_width());
        set(&mut group, &self.lines, Point::new(left, top), page);
        self.legend(&mut group, Point::new(left, foot));
        group
    }

    /// What the dots and the arrow mean.
    fn legend(&self, group: &mut Group, at: Point) {
        let size = self.page.label;
        let middle = -text::extents("x", size, Weight::Regular).cap_mm / 2.0;
        let mut x = at.x;
        if self.has_feet() {
            let dot = Point::new(x + 0.8, at.y + middle);
            group.append(work::dot(dot, 0.62, theme::ACCENT));
        }
        let mut write = |words: &str, x: f64| {
            let at = Point::new(x, at.y);
            group.append(ink::words(words, at, size, Weight::Regular, theme::QUIET));
            x + text::extents(words, size, Weight::Regular).width_mm
        };
        if self.has_feet() {
            x = write("work into this", x + 2.4) + 4.0;
        }
        let end = write(self.way(), x + 7.4);
        let leftward = end > x && self.is_leftward();
        let (tail, way) = match leftward {
            true => (x + 5.8, -1.0),
            false => (x, 1.0),
        };
        let tail = Point::new(tail, at.y + middle);
        let arrow = symbol::start_arrow(tail, Vec2::new(way, 0.0), 5.8);
        group.append(ink::symbol(&arrow, theme::ACCENT, theme::STRONG_MM));
        group.append(work::dot(tail, 0.75, theme::ACCENT));
    }

    /// True if the round has stitches to work into, which are marked.
    fn has_feet(&self) -> bool {
        let piece = &self.fabric.pieces[self.panel.piece];
        let mut drawn = self.told.drawn.clone().map(StitchId);
        drawn.any(|id| work::is_on_stitch(piece, id))
    }

    fn is_leftward(&self) -> bool {
        self.way() == "start, to the left"
    }

    /// Which way the work goes.
    fn way(&self) -> &'static str {
        let left_handed = self.fabric.hand == Hand::Left;
        match self.panel.layout {
            Layout::Rings if (self.panel.direction == Direction::Inward) != left_handed => {
                "start, clockwise"
            }
            Layout::Rings => "start, counter-clockwise",
            Layout::Strip if self.told.title.ends_with("wrong side") == left_handed => {
                "start, to the left"
            }
            Layout::Strip => "start, to the right",
        }
    }
}

fn plain(words: String, size: f64, weight: Weight, colour: Rgb) -> SetLine {
    SetLine {
        words,
        size,
        weight,
        colour,
        indent: 0.0,
        above: 0.0,
        part: None,
    }
}

fn height(lines: &[SetLine]) -> f64 {
    lines.iter().map(|line| line.above + line.size * 1.4).sum()
}

/// Sets lines under a point and returns how far down they reach.
fn set(group: &mut Group, lines: &[SetLine], top: Point, page: &Page) -> f64 {
    let mut y = top.y;
    for line in lines {
        y += line.above;
        let cap = text::extents(&line.words, line.size, line.weight).cap_mm;
        let base = y + (line.size * 1.4 + cap) / 2.0;
        let at = Point::new(top.x + line.indent, base);
        group.append(ink::words(
            &line.words,
            at,
            line.size,
            line.weight,
            line.colour,
        ));
        if let Some((number, layers)) = line.part {
            let middle = Point::new(top.x + work::BADGE, base - cap / 2.0);
            group.append(work::badge(middle, number, page.label));
            group.append(layered(middle + Vec2::new(work::BADGE + 1.2, 0.0), layers));
        }
        y += line.size * 1.4;
    }
    y
}

/// A part seen along its edge: a line a layer, joined at the fold where there are two.
fn layered(left: Point, layers: u32) -> Group {
    let layers = layers.clamp(1, MOST_LAYERS);
    let mut drawn = symbol::Symbol::default();
    let first = -f64::from(layers - 1) / 2.0 * LAYER;
    let level = |layer: u32| first + f64::from(layer) * LAYER;
    for layer in 0..layers {
        drawn.stroke.move_to((0.0, level(layer)));
        drawn.stroke.line_to((LAYERS, level(layer)));
        if layer % 2 == 1 {
            let (from, to) = (level(layer - 1), level(layer));
            drawn.stroke.move_to((LAYERS, from));
            drawn.stroke.curve_to(
                (LAYERS + LAYER * 0.7, from),
                (LAYERS + LAYER * 0.7, to),
                (LAYERS, to),
            );
        }
    }
    let drawn = drawn.transformed(Affine::translate(left.to_vec2()));
    ink::symbol(&drawn, theme::ACCENT, theme::STRONG_MM)
}

fn rule(group: &mut Group, left: f64, y: f64, width: f64) {
    group.append(
        Line::new()
            .set("x1", number(left))
            .set("x2", number(left + width))
            .set("y1", number(y))
            .set("y2", number(y))
            .set("stroke", theme::hex(theme::RULE))
            .set("stroke-width", number(theme::THIN_MM)),
    );
}
