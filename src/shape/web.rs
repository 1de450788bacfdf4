//! Which stitches are points of the shape, and how the yarn leads from one to the next.

use crate::fabric::{Piece, Role, Round, RoundKind, StitchId};
use crate::terms::{Form, Height, Into, Stitch};

use super::coefficients::{CHAIN_WIDTH, LEAST_HEIGHT, LOOP_GIVES, WIDTH};
use super::mesh::PointId;
use super::together::Opening;

/// Feet are looked for no further down through chains that only lift.
const DEEPEST: usize = 64;

/// What a point of the shape is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Node {
    /// The head of a stitch.
    Head(StitchId),
    /// The middle of a magic ring, or of a hole that is drawn shut.
    Middle,
    /// The head of a stitch of another piece that this one goes on from.
    Rim,
}

/// A point with how it hangs together with others.
#[derive(Debug, Clone)]
pub struct Knot {
    /// What it is.
    pub node: Node,
    /// Place of its row in [`Web::rows`]; of a rim, that of the row that stands on it.
    pub row: u32,
    /// The points that it is worked into.
    pub feet: Vec<PointId>,
    /// How much room it takes along the yarn, in widths.
    pub width: f64,
    /// It is a chain that bridges a gap.
    pub bridges: bool,
    /// Its height over its feet, in widths.
    pub height: f64,
    /// It is worked into one loop of its foot.
    pub folds: bool,
    /// The next point along the yarn, if the fabric goes on there.
    pub next: Option<PointId>,
    /// The one before it.
    pub before: Option<PointId>,
    /// The points that lie beside it where a row passes from one thing that it stands on to another.
    pub beside: Vec<PointId>,
}

/// Points that were worked in one round or row, in the order of work.
#[derive(Debug, Clone, Default)]
pub struct Row {
    /// The points.
    pub points: Vec<PointId>,
    /// Whether it runs round.
    pub is_ring: bool,
    /// It is worked with the wrong side facing.
    pub wrong_side: bool,
    /// It is the chain that the piece starts from.
    pub is_chain: bool,
    /// It stands on the loops that a row further down has left free, beside what was worked on that row since.
    pub on_ridge: bool,
    /// Place of its round in the piece.
    pub round: usize,
}

/// The points of a piece and the ways between them.
#[derive(Debug, Clone, Default)]
pub struct Web {
    /// All points.
    pub knots: Vec<Knot>,
    /// Their rows, in the order of work.
    pub rows: Vec<Row>,
    /// The last rounds of the pieces that it goes on from, each in the order of work.
    pub rims: Vec<Vec<PointId>>,
    /// The point of each stitch of the piece, if it is one.
    pub of_stitch: Vec<Option<PointId>>,
    /// The middle of the magic ring that it starts from.
    pub start: Option<PointId>,
    /// The middle of the hole that was drawn shut at its end.
    pub end: Option<PointId>,
}

impl Web {
    /// The points of a piece. `sc_height` is the height of single crochet in widths, and `drawn_shut` says that its last hole is closed.
    pub fn new(piece: &Piece, sc_height: f64, drawn_shut: bool) -> Web {
        Web::on(&[], piece, sc_height, drawn_shut)
    }

    /// The points of a piece that goes on from the openings of others, and those of their rims.
    pub(super) fn on(
        openings: &[Opening<'_>],
        piece: &Piece,
        sc_height: f64,
        drawn_shut: bool,
    ) -> Web {
        let mut web = Web {
            of_stitch: vec![None; piece.stitches.len()],
            ..Web::default()
        };
        let is_foot = feet_of_heads(piece);
        for (place, round) in piece.rounds.iter().enumerate() {
            web.add_chain(piece, place, round, &is_foot);
            web.add_row(piece, place, round);
        }
        web.set_feet(piece, sc_height);
        for opening in openings {
            web.add_rim(piece, opening);
        }
        web.thread(piece);
        web.set_beside();
        if drawn_shut {
            web.draw_shut();
        }
        web
    }

    fn add(&mut self, node: Node, row: usize) -> PointId {
        let id = self.knots.len() as PointId;
        self.knots.push(Knot {
            node,
            row: row as u32,
            feet: Vec::new(),
            width: WIDTH,
            bridges: false,
            height: 0.0,
            folds: false,
            next: None,
            before: None,
            beside: Vec::new(),
        });
        id
    }

    /// The chains of a starting chain that are worked into.
    fn add_chain(&mut self, piece: &Piece, place: usize, round: &Round, is_foot: &[bool]) {
        let only_chains = piece.stitches.iter().all(|s| s.role == Role::Foundation);
        let chains = piece.round_stitches(round).filter(|(id, stitch)| {
            stitch.role == Role::Foundation && (is_foot[id.index()] || only_chains)
        });
        let chains: Vec<StitchId> = chains.map(|(id, _)| id).collect();
        self.add_points(piece, chains, place, round, true);
    }

    fn add_row(&mut self, piece: &Piece, place: usize, round: &Round) {
        let heads = piece
            .round_stitches(round)
            .filter(|(_, stitch)| matches!(stitch.role, Role::Head | Role::Bridge));
        let heads: Vec<StitchId> = heads.map(|(id, _)| id).collect();
        self.add_points(piece, heads, place, round, false);
    }

    fn add_points(
        &mut self,
        piece: &Piece,
        stitches: Vec<StitchId>,
        place: usize,
        round: &Round,
        chain: bool,
    ) {
        if stitches.is_empty() {
            return;
        }
        let row = self.rows.len();
        let points = stitches.into_iter().map(|stitch| {
            let point = self.add(Node::Head(stitch), row);
            self.of_stitch[stitch.index()] = Some(point);
            if piece.stitch(stitch).role == Role::Bridge {
                let knot = &mut self.knots[point as usize];
                knot.width = CHAIN_WIDTH;
                knot.bridges = true;
            }
            point
        });
        let points = points.collect();
        self.rows.push(Row {
            points,
            is_ring: round.kind == RoundKind::Round,
            wrong_side: round.wrong_side,
            is_chain: chain,
            on_ridge: false,
            round: place,
        });
    }

    fn set_feet(&mut self, piece: &Piece, sc_height: f64) {
        let scale = sc_height / Height::Single.in_widths();
        for stitch in 0..piece.stitches.len() {
            let id = StitchId(stitch as u32);
            let Some(point) = self.of_stitch[stitch] else {
                continue;
            };
            let stitch = piece.stitch(id);
            if stitch.role != Role::Head {
                continue;
            }
            let (mut feet, chains) = self.feet(piece, id);
            let mut height = match chains {
                0 => stitch.kind.in_widths(),
                chains => height_of_chains(chains),
            };
            match stitch.into {
                Into::Space => feet = self.share_of_space(piece, id, feet),
                Into::FrontPost | Into::BackPost => height -= 0.5 * under(piece, id),
                Into::FrontLoop | Into::BackLoop => height += LOOP_GIVES,
                _ => {}
            }
            let row = self.knots[point as usize].row;
            if feet.is_empty() && is_in_ring(piece, &piece.rounds[stitch.round as usize]) {
                feet.push(self.middle_of_start(row));
            }
            let knot = &mut self.knots[point as usize];
            knot.height = height * scale;
            knot.folds = matches!(stitch.into, Into::FrontLoop | Into::BackLoop);
            knot.feet = feet;
        }
        self.set_reach();
    }

    /// Finds the rows that stand on a ridge. Any other stitch that reaches further down is as tall as what it passes.
    fn set_reach(&mut self) {
        for row in 0..self.rows.len() {
            let points = std::mem::take(&mut self.rows[row].points);
            let reaches = points.iter().map(|&point| self.reach(point));
            let reaches: Vec<u32> = reaches.collect();
            let mut heads = points.iter().zip(&reaches).filter(|(point, _)| {
                let knot = &self.knots[**point as usize];
                !knot.feet.is_empty()
            });
            let on_ridge = heads.clone().next().is_some()
                && heads.all(|(&point, &down)| down > 1 && self.knots[point as usize].folds);
            for (&point, &down) in points.iter().zip(&reaches) {
                let knot = &mut self.knots[point as usize];
                let down = if on_ridge { 1 } else { down };
                if !knot.feet.is_empty() {
                    knot.height = (knot.height * f64::from(down)).max(LEAST_HEIGHT);
                }
            }
            self.rows[row].points = points;
            self.rows[row].on_ridge = on_ridge;
        }
    }

    /// How many rows down the nearest foot of a point is, at least 1. A chain that joins what a row stands on is no row to pass.
    fn reach(&self, point: PointId) -> u32 {
        let knot = &self.knots[point as usize];
        let down = knot.feet.iter().map(|&foot| {
            let below = self.knots[foot as usize].row as usize + 1;
            let passed = self.rows.get(below..=knot.row as usize).unwrap_or_default();
            passed.iter().filter(|row| !row.is_chain).count() as u32
        });
        down.min().unwrap_or(1).max(1)
    }

    /// The last round of a piece that this one goes on from, under the stitches that are worked into it.
    fn add_rim(&mut self, piece: &Piece, opening: &Opening<'_>) {
        let joined = || opening.joins(piece).flat_map(|join| &join.stitches);
        let heads = joined().filter_map(|(stitch, _)| self.of_stitch[stitch.index()]);
        let Some(row) = heads.map(|head| self.knots[head as usize].row).min() else {
            return;
        };
        let stitches = opening.edge.iter();
        let rim: Vec<PointId> = stitches
            .map(|_| self.add(Node::Rim, row as usize))
            .collect();
        for (stitch, taken) in joined() {
            let places = taken
                .iter()
                .filter_map(|taken| opening.edge.iter().position(|other| other == taken));
            if let Some(head) = self.of_stitch[stitch.index()] {
                self.knots[head as usize].feet = places.map(|place| rim[place]).collect();
            }
        }
        for (place, &point) in rim.iter().enumerate() {
            self.link(point, rim[(place + 1) % rim.len()]);
        }
        self.rims.push(rim);
    }

    /// Where a row passes from one rim to another, to a chain or to a round of its own piece, the two lie side by side.
    fn set_beside(&mut self) {
        let Some(row) = self.on_rims() else {
            return;
        };
        let mut ground = vec![None; self.knots.len()];
        for (place, rim) in self.rims.iter().enumerate() {
            for &point in rim {
                ground[point as usize] = Some(place);
            }
        }
        let ground = |point: PointId| (self.knots[point as usize].row, ground[point as usize]);
        let row = &self.rows[row];
        let points = row.points.iter();
        let over_the_start = row.is_ring.then_some(&row.points[0]);
        let pairs = points.clone().zip(points.skip(1).chain(over_the_start));
        let mut beside = Vec::new();
        for (&one, &other) in pairs {
            let feet = [one, other].map(|point| &self.knots[point as usize].feet);
            if let (Some(&last), Some(&first)) = (feet[0].last(), feet[1].first())
                && ground(last) != ground(first)
            {
                beside.extend([(last, first), (first, last)]);
            }
        }
        for (point, other) in beside {
            let beside = &mut self.knots[point as usize].beside;
            if !beside.contains(&other) {
                beside.push(other);
            }
        }
    }

    /// The row that stands on rims.
    pub(super) fn on_rims(&self) -> Option<usize> {
        let point = *self.rims.first()?.first()?;
        Some(self.knots[point as usize].row as usize)
    }

    fn middle_of_start(&mut self, row: u32) -> PointId {
        if let Some(start) = self.start {
            return start;
        }
        let start = self.add(Node::Middle, row as usize);
        self.start = Some(start);
        start
    }

    /// The points that a stitch is worked into, and how many chains stand in its place.
    fn feet(&self, piece: &Piece, id: StitchId) -> (Vec<PointId>, u32) {
        let mut ids: Vec<StitchId> = piece.feet(id).to_vec();
        let mut chains = 0;
        if piece.stitch(id).kind == Stitch::plain(Height::Chain) {
            chains = 1;
        }
        for _ in 0..DEEPEST {
            let stands = |foot: &StitchId| {
                self.of_stitch[foot.index()].is_none() && !piece.feet(*foot).is_empty()
            };
            let Some(&foot) = ids.iter().find(|foot| stands(foot)) else {
                break;
            };
            if chains > 0 && piece.stitch(foot).role == Role::Stand {
                chains += 1;
            }
            let below = piece.feet(foot).to_vec();
            ids = ids
                .into_iter()
                .flat_map(|other| {
                    if other == foot {
                        below.clone()
                    } else {
                        vec![other]
                    }
                })
                .collect();
        }
        let mut feet: Vec<PointId> = Vec::new();
        for point in ids.iter().filter_map(|foot| self.of_stitch[foot.index()]) {
            if !feet.contains(&point) {
                feet.push(point);
            }
        }
        (feet, chains)
    }

    /// Of the chains of a space, the one over which this of all the stitches in it comes to stand.
    fn share_of_space(&self, piece: &Piece, id: StitchId, feet: Vec<PointId>) -> Vec<PointId> {
        if feet.len() < 2 {
            return feet;
        }
        let places = piece.feet(id);
        let is_beside = |other: u32| {
            piece.stitches.get(other as usize).is_some_and(|stitch| {
                stitch.into == Into::Space && piece.feet(StitchId(other)) == places
            })
        };
        let before = (0..id.0)
            .rev()
            .take_while(|&other| is_beside(other))
            .count();
        let after = (id.0 + 1..).take_while(|&other| is_beside(other)).count();
        let all = before + after + 1;
        vec![feet[(2 * before + 1) * feet.len() / (2 * all)]]
    }

    /// Leads the yarn along the rows.
    fn thread(&mut self, piece: &Piece) {
        for row in 0..self.rows.len() {
            let points = self.rows[row].points.clone();
            for pair in points.windows(2) {
                self.link(pair[0], pair[1]);
            }
            let (Some(&first), Some(&last)) = (points.first(), points.last()) else {
                continue;
            };
            if !self.rows[row].is_ring || first == last {
                continue;
            }
            if self.rows[row].is_chain {
                if self.is_round_chain(row) {
                    self.link(last, first);
                } else {
                    self.rows[row].is_ring = false;
                }
            } else if piece.rounds[self.rows[row].round].closed {
                self.link(last, first);
            } else if let Some(next) = self.rows.get(row + 1).filter(|row| row.is_ring) {
                self.link(last, next.points[0]);
            }
        }
    }

    /// A chain that was joined to a ring has one stitch in each of its chains; along a chain that is gone round, they have more.
    fn is_round_chain(&self, row: usize) -> bool {
        let Some(above) = self.rows.get(row + 1).filter(|row| row.is_ring) else {
            return false;
        };
        above.points.len() <= self.rows[row].points.len() * 3 / 2 && self.rows[row].points.len() > 2
    }

    fn link(&mut self, from: PointId, to: PointId) {
        self.knots[from as usize].next = Some(to);
        self.knots[to as usize].before = Some(from);
    }

    fn draw_shut(&mut self) {
        let Some(row) = self
            .rows
            .iter()
            .rposition(|row| row.is_ring && !row.is_chain)
        else {
            return;
        };
        let heads = self.rows[row].points.clone();
        if row + 1 != self.rows.len() || heads.len() < 3 {
            return;
        }
        let end = self.add(Node::Middle, row);
        self.knots[end as usize].feet = heads;
        self.end = Some(end);
    }
}

/// True if a round is worked into a ring; a chain that stands for its first stitch does not say so itself.
fn is_in_ring(piece: &Piece, round: &Round) -> bool {
    let mut stitches = piece.round_stitches(round);
    stitches.any(|(id, stitch)| stitch.into == Into::Ring && piece.feet(id).is_empty())
}

/// For each stitch, whether a head is worked into it.
fn feet_of_heads(piece: &Piece) -> Vec<bool> {
    let mut is_foot = vec![false; piece.stitches.len()];
    for stitch in 0..piece.stitches.len() {
        let id = StitchId(stitch as u32);
        if piece.stitch(id).role != Role::Foundation {
            for foot in piece.feet(id) {
                is_foot[foot.index()] = true;
            }
        }
    }
    is_foot
}

/// Height of the stitch below that a post stitch goes round, in widths.
fn under(piece: &Piece, id: StitchId) -> f64 {
    let below = piece.feet(id).first();
    below.map_or(0.0, |&below| match piece.stitch(below).kind {
        Stitch {
            height: Height::Chain,
            form: Form::Plain,
        } => 0.0,
        kind => kind.in_widths(),
    })
}

/// Height of so many chains that stand for a stitch: that of the stitch.
fn height_of_chains(chains: u32) -> f64 {
    let stitch = Height::ALL
        .into_iter()
        .find(|height| height.turning_chains() == chains);
    stitch.map_or_else(
        || f64::from(chains) * Height::Chain.in_widths(),
        Height::in_widths,
    )
}
