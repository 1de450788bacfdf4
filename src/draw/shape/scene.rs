//! What is to be seen of a toy from one side, farthest first.

use std::collections::BTreeMap;

use kurbo::{BezPath, Point};

use crate::draw::theme::{ACCENT, INK, Rgb};
use crate::fabric::{Fabric, Piece};
use crate::shape::{Form, Node, Relaxed, Shapes, Side, Vec3, patches};
use crate::toy::{Eye, Part, Toy};

use super::tone;

/// From where a toy is seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum View {
    /// From its front: its own left is to the right.
    Front,
    /// From its own left: its front is to the left.
    Side,
    /// From above: its front is towards the bottom of the page.
    Top,
}

impl View {
    /// To the right, up and towards the viewer, of a point of the toy (x to its own left, −y to its front, z up).
    fn seen(self, at: Vec3) -> Vec3 {
        match self {
            View::Front => Vec3::new(at.x, at.z, -at.y),
            View::Side => Vec3::new(at.y, at.z, at.x),
            View::Top => Vec3::new(at.x, at.y, at.z),
        }
    }
}

/// Something to be drawn.
#[derive(Debug, Clone)]
pub struct Item {
    /// Nearness to the viewer, in cm.
    near: f64,
    /// In cm, x to the right and y up.
    pub path: BezPath,
    /// What it is filled with.
    pub fill: Option<Rgb>,
    /// Its line's colour, and the line's width in cm of the toy; a negative width is in mm on paper.
    pub stroke: Option<(Rgb, f64)>,
}

/// How thick yarn is drawn, in widths of a stitch.
const THICK: f64 = 0.3;

/// A line's width in mm on paper.
const fn on_paper(mm: f64) -> f64 {
    -mm
}

/// All that is seen of a toy, farthest first. Joins are marked where `marks_joins` says so.
pub fn scene(
    fabric: &Fabric,
    shapes: &Shapes,
    toy: &Toy,
    view: View,
    marks_joins: bool,
) -> Vec<Item> {
    let mut items = Vec::new();
    let high_cm = toy.size(shapes).z;
    for (place, part) in toy.parts.iter().enumerate() {
        let eyes = toy.eyes.iter().filter(|(on, _)| *on == place);
        let shape = part.shape(shapes);
        let stage = Stage {
            fabric,
            piece: &fabric.pieces[part.piece],
            shape,
            part,
            view,
            shows_limbs: toy.parts.iter().any(|part| part.limb.is_some()),
            is_edge: view != View::Top && high_cm < THICK * shape.width_cm,
        };
        stage.add_patches(&mut items);
        stage.add_closing(&mut items);
        stage.add_outline(&mut items);
        if marks_joins {
            stage.add_joins(&mut items);
        }
        for (_, eye) in eyes {
            stage.add_eye(eye, &mut items);
        }
    }
    items.sort_by(|one, other| one.near.total_cmp(&other.near));
    items
}

/// One part on its place, seen from one side.
struct Stage<'a> {
    fabric: &'a Fabric,
    piece: &'a Piece,
    shape: &'a Relaxed,
    part: &'a Part,
    view: View,
    /// What pieces go on from is there as well.
    shows_limbs: bool,
    /// Nothing is seen but the edge of cloth that lies flat.
    is_edge: bool,
}

impl Stage<'_> {
    fn seen(&self, at: Vec3) -> Vec3 {
        self.view.seen(self.part.place.put(at))
    }

    fn way(&self, way: Vec3) -> Vec3 {
        self.view.seen(self.part.place.turned(way))
    }

    fn point(&self, point: u32) -> Vec3 {
        self.seen(self.shape.points[point as usize])
    }

    fn add_patches(&self, items: &mut Vec<Item>) {
        // Beside a fold, a side may be seen half from within.
        let shows_inside = self.shape.pressed || !self.shape.is_closed();
        for patch in patches(self.shape, self.piece) {
            let colour = tone::yarn(self.fabric, patch.yarn);
            match &patch.form {
                Form::Thread(ends) => items.push(self.thread(ends, colour)),
                Form::Sides(sides) => {
                    for side in sides {
                        self.add_side(side, colour, shows_inside, items);
                    }
                }
            }
        }
    }

    fn thread(&self, ends: &[Vec3; 2], colour: Rgb) -> Item {
        let ends = ends.map(|end| self.seen(end));
        Item {
            near: nearness(&ends),
            path: polygon(ends.into_iter(), false),
            fill: None,
            stroke: Some((tone::strand(colour, 90.0), THICK * self.shape.width_cm)),
        }
    }

    fn add_side(&self, side: &Side, colour: Rgb, shows_inside: bool, items: &mut Vec<Item>) {
        let outline: Vec<Vec3> = side.outline.iter().map(|&at| self.seen(at)).collect();
        let near = nearness(&outline);
        if self.is_edge {
            items.push(Item {
                near,
                path: polygon(outline.into_iter(), true),
                fill: None,
                stroke: Some((tone::ground(colour, 90.0), THICK * self.shape.width_cm)),
            });
            return;
        }
        for face in faces(&outline, side.head()) {
            let is_inside = doubled_area(&face) <= 0.0;
            if is_inside && !shows_inside {
                continue;
            }
            let ground = match is_inside {
                true => tone::inside(colour),
                false => tone::ground(colour, tone::brightness(normal(&face))),
            };
            items.push(Item {
                near,
                path: polygon(face.into_iter(), true),
                fill: Some(ground),
                // Neighbours overlap by a hair, so that no paper shines through between them.
                stroke: Some((ground, on_paper(0.08))),
            });
        }
        if doubled_area(&outline) > 0.0 {
            let light = tone::brightness(normal(&outline));
            items.push(Item {
                near,
                path: self.strand(side),
                fill: Some(tone::strand(colour, light)),
                stroke: None,
            });
        }
    }

    /// One of the two strands of a stitch as its right side shows them: a V that stands on its foot.
    fn strand(&self, side: &Side) -> BezPath {
        let at = |out: f64, up: f64| flat(self.seen(side.at(out, up)));
        let mut path = BezPath::new();
        path.move_to(at(0.02, 0.0));
        path.curve_to(at(0.4, 0.02), at(1.04, 0.45), at(0.9, 0.97));
        path.curve_to(at(0.56, 1.06), at(0.06, 0.62), at(0.02, 0.0));
        path.close_path();
        path
    }

    /// The hole that was drawn shut.
    fn add_closing(&self, items: &mut Vec<Item>) {
        let Some(end) = self.shape.web.end else {
            return;
        };
        for cell in 0..self.shape.mesh.cell_count() {
            let corners = self.shape.mesh.cell(cell);
            if !corners.contains(&end) {
                continue;
            }
            let seen: Vec<Vec3> = corners.iter().map(|&corner| self.point(corner)).collect();
            if doubled_area(&seen) <= 0.0 {
                continue;
            }
            let head = corners.iter().find_map(|&corner| self.shape.stitch(corner));
            let yarn = head.and_then(|head| self.piece.stitch(head).yarn);
            let ground = tone::ground(tone::yarn(self.fabric, yarn), 80.0);
            items.push(Item {
                near: nearness(&seen),
                path: polygon(seen.into_iter(), true),
                fill: Some(ground),
                stroke: Some((ground, on_paper(0.08))),
            });
        }
    }

    /// Where the surface turns away from the viewer, and where it ends.
    fn add_outline(&self, items: &mut Vec<Item>) {
        let mesh = &self.shape.mesh;
        let mut edges: BTreeMap<(u32, u32), bool> = BTreeMap::new();
        for cell in 0..mesh.cell_count() {
            let corners = mesh.cell(cell);
            let seen: Vec<Vec3> = corners.iter().map(|&corner| self.point(corner)).collect();
            let faces = doubled_area(&seen) > 0.0;
            for (place, &from) in corners.iter().enumerate() {
                edges.insert((from, corners[(place + 1) % corners.len()]), faces);
            }
        }
        for (&(from, to), &faces) in &edges {
            let other = edges.get(&(to, from));
            let is_edge = other.is_none() && !(self.goes_on(from) && self.goes_on(to));
            if is_edge || (faces && other == Some(&false)) {
                let (a, b) = (self.point(from), self.point(to));
                items.push(Item {
                    near: a.middle(b).z + THICK * self.shape.width_cm,
                    path: polygon([a, b].into_iter(), false),
                    fill: None,
                    stroke: Some((INK, on_paper(0.3))),
                });
            }
        }
    }

    /// True where a piece and what it goes on from meet: the fabric does not end there.
    fn goes_on(&self, point: u32) -> bool {
        let web = &self.shape.web;
        let last = || {
            web.rows
                .last()
                .is_some_and(|row| row.points.contains(&point))
        };
        let is_rim = web.knots[point as usize].node == Node::Rim;
        is_rim && self.shows_limbs || self.part.limb.is_some() && last()
    }

    fn add_joins(&self, items: &mut Vec<Item>) {
        let normals = self.shape.normals();
        for join in &self.piece.joins {
            let heads = join.stitches.iter();
            let heads = heads.filter_map(|(stitch, _)| self.shape.web.of_stitch[stitch.index()]);
            let heads: Vec<u32> = heads.collect();
            for pair in heads.windows(2) {
                if self.way(normals[pair[0] as usize]).z < 0.0 {
                    continue;
                }
                let (a, b) = (self.point(pair[0]), self.point(pair[1]));
                items.push(Item {
                    near: a.middle(b).z + self.shape.width_cm,
                    path: polygon([a, b].into_iter(), false),
                    fill: None,
                    stroke: Some((ACCENT, on_paper(0.9))),
                });
            }
        }
    }

    /// A round eye that lies on the surface, with a glint.
    fn add_eye(&self, eye: &Eye, items: &mut Vec<Item>) {
        let (normal, width_cm) = (eye.out, eye.width_cm);
        let facing = self.way(normal);
        if facing.z < 0.15 {
            return;
        }
        let any = Vec3::new(0.0, 0.0, 1.0);
        let beside = normal.cross(any).unit_or(Vec3::new(1.0, 0.0, 0.0));
        let above = beside.cross(normal);
        let middle = eye.at + normal * (0.2 * width_cm);
        let ring = |at: Vec3, radius: f64| {
            let corners = (0..32).map(|step| {
                let angle = std::f64::consts::TAU * f64::from(step) / 32.0;
                let (sin, cos) = (libm::sin(angle), libm::cos(angle));
                self.seen(at + beside * (radius * cos) + above * (radius * sin))
            });
            polygon(corners, true)
        };
        let near = self.seen(middle).z + self.shape.width_cm;
        items.push(Item {
            near,
            path: ring(middle, width_cm / 2.0),
            fill: Some([0x12, 0x14, 0x18]),
            stroke: Some((INK, on_paper(0.25))),
        });
        let glint = Point::new(-0.13 * width_cm, 0.14 * width_cm);
        let seen = self.seen(middle);
        let at = |angle: f64| {
            let radius = 0.09 * width_cm;
            Vec3::new(
                seen.x + glint.x + radius * libm::cos(angle),
                seen.y + glint.y + radius * libm::sin(angle),
                near,
            )
        };
        let steps = (0..16).map(|step| at(std::f64::consts::TAU * f64::from(step) / 16.0));
        items.push(Item {
            near: near + 1e-6,
            path: polygon(steps, true),
            fill: Some([0xff; 3]),
            stroke: None,
        });
    }
}

fn flat(seen: Vec3) -> Point {
    Point::new(seen.x, seen.y)
}

fn polygon(corners: impl Iterator<Item = Vec3>, closed: bool) -> BezPath {
    let mut path = BezPath::new();
    for (place, corner) in corners.enumerate() {
        if place == 0 {
            path.move_to(flat(corner));
        } else {
            path.line_to(flat(corner));
        }
    }
    if closed && !path.is_empty() {
        path.close_path();
    }
    path
}

/// What is seen of a side: the whole, or where it is folded so that a part of it faces away, its triangles round the head, those that face away
/// first. Drawn as one, they would cut each other out.
fn faces(outline: &[Vec3], head: usize) -> Vec<Vec<Vec3>> {
    let count = outline.len();
    let corner = |place: usize| outline[(head + place) % count];
    let mut triangles: Vec<Vec<Vec3>> = (1..count - 1)
        .map(|place| vec![corner(0), corner(place), corner(place + 1)])
        .collect();
    let face = |triangle: &Vec<Vec3>| doubled_area(triangle) > 0.0;
    let towards = triangles.iter().filter(|triangle| face(triangle)).count();
    if towards == 0 || towards == triangles.len() {
        return vec![outline.to_vec()];
    }
    triangles.sort_by_key(face);
    triangles
}

fn nearness(corners: &[Vec3]) -> f64 {
    corners.iter().map(|corner| corner.z).sum::<f64>() / corners.len().max(1) as f64
}

/// Twice the area as it is seen; positive if the corners run counter-clockwise.
fn doubled_area(corners: &[Vec3]) -> f64 {
    let pairs = corners.iter().zip(corners.iter().cycle().skip(1));
    pairs.map(|(a, b)| a.x * b.y - a.y * b.x).sum()
}

/// Outwards, for corners that run counter-clockwise as seen from outside.
fn normal(corners: &[Vec3]) -> Vec3 {
    let first = corners[0];
    let area = corners.windows(2).skip(1).fold(Vec3::ZERO, |sum, pair| {
        sum + (pair[0] - first).cross(pair[1] - first)
    });
    area.unit_or(Vec3::new(0.0, 0.0, 1.0))
}
