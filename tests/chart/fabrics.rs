//! Fabrics worked by hand, without words.

use roundwright::fabric::{
    EyePlace, Fabric, Join, NewStitch, PartSide, Piece, Role, RoundKind, Step, StepKind, StitchId,
    Yarn, YarnId,
};
use roundwright::source::Span;
use roundwright::terms::{Height, Into, Stitch};

pub const SC: Stitch = Stitch::plain(Height::Single);
pub const DC: Stitch = Stitch::plain(Height::Double);
pub const CH: Stitch = Stitch::plain(Height::Chain);
pub const SLIP: Stitch = Stitch::plain(Height::Slip);

/// Works rounds onto one piece.
pub struct Maker {
    pub piece: Piece,
    pub yarn: Option<YarnId>,
    /// How far the round below is used up.
    at: usize,
}

impl Maker {
    pub fn new(name: &str) -> Maker {
        let mut piece = Piece::default();
        piece.name = name.into();
        piece.make = 1;
        Maker {
            piece,
            yarn: None,
            at: 0,
        }
    }

    pub fn round(&mut self) -> &mut Maker {
        let number = self.piece.rounds.last().map_or(0, |round| round.number) + 1;
        self.begin(number, RoundKind::Round)
    }

    pub fn row(&mut self) -> &mut Maker {
        let number = self.piece.rounds.last().map_or(0, |round| round.number) + 1;
        self.begin(number, RoundKind::Row);
        self.piece.rounds.last_mut().unwrap().wrong_side = number.is_multiple_of(2);
        self
    }

    pub fn begin(&mut self, number: u32, kind: RoundKind) -> &mut Maker {
        self.piece
            .begin_round(number, kind, Span::default(), number);
        self.at = 0;
        self
    }

    /// Works one stitch.
    pub fn one(&mut self, kind: Stitch, into: Into, role: Role, feet: &[StitchId]) -> StitchId {
        let new = NewStitch {
            kind,
            into,
            role,
            yarn: self.yarn,
            span: Span::default(),
        };
        let id = self.piece.work(new, feet);
        let heads = self.heads();
        let round = self.piece.rounds.last_mut().unwrap();
        round.count = heads;
        id
    }

    fn heads(&self) -> u32 {
        let round = self.piece.rounds.last().unwrap();
        let heads = round.edge.iter();
        heads
            .filter(|&&id| self.piece.stitch(id).role != Role::Bridge)
            .count() as u32
    }

    /// The edge of the round below, in the order in which this round meets it.
    pub fn below(&self) -> Vec<StitchId> {
        let rounds = &self.piece.rounds;
        let below = &rounds[rounds.len() - 2];
        let this = rounds.last().unwrap();
        let mut edge = below.edge.clone();
        if this.kind == RoundKind::Row {
            edge.reverse();
        }
        edge
    }

    /// The next stitches of the round below.
    pub fn next(&mut self, count: usize) -> Vec<StitchId> {
        let below = self.below();
        let feet = (self.at..self.at + count)
            .map(|i| below[i % below.len()])
            .collect();
        self.at += count;
        feet
    }

    pub fn skip(&mut self, count: usize) -> &mut Maker {
        self.at += count;
        self
    }

    pub fn ring(&mut self, kind: Stitch, count: u32) -> &mut Maker {
        for _ in 0..count {
            self.one(kind, Into::Ring, Role::Head, &[]);
        }
        self
    }

    /// One stitch in each of the next stitches.
    pub fn each(&mut self, kind: Stitch, into: Into, count: u32) -> &mut Maker {
        for _ in 0..count {
            let feet = self.next(1);
            self.one(kind, into, Role::Head, &feet);
        }
        self
    }

    pub fn sc(&mut self, count: u32) -> &mut Maker {
        self.each(SC, Into::Stitch, count)
    }

    /// Several stitches in the next stitch.
    pub fn inc(&mut self, kind: Stitch, count: u32) -> &mut Maker {
        let feet = self.next(1);
        for _ in 0..count {
            self.one(kind, Into::Stitch, Role::Head, &feet);
        }
        self
    }

    pub fn dec(&mut self, height: Height, count: u8) -> &mut Maker {
        let feet = self.next(usize::from(count));
        self.one(
            Stitch::together(height, count),
            Into::Stitch,
            Role::Head,
            &feet,
        );
        self
    }

    /// Chains that bridge a gap.
    pub fn bridge(&mut self, count: u32) -> Vec<StitchId> {
        (0..count)
            .map(|_| {
                let before = StitchId(self.piece.stitches.len() as u32 - 1);
                self.one(CH, Into::Chain, Role::Bridge, &[before])
            })
            .collect()
    }

    /// Chains in place of a first stitch.
    pub fn stand(&mut self, count: u32) -> StitchId {
        let mut last = StitchId(0);
        for i in 0..count {
            let feet: Vec<StitchId> = (self.piece.stitches.len() as u32)
                .checked_sub(1)
                .map(StitchId)
                .into_iter()
                .collect();
            let role = if i + 1 == count {
                Role::Head
            } else {
                Role::Stand
            };
            last = self.one(CH, Into::Chain, role, &feet);
        }
        last
    }

    pub fn lift(&mut self, count: u32) -> &mut Maker {
        for _ in 0..count {
            let before = StitchId(self.piece.stitches.len() as u32 - 1);
            self.one(CH, Into::Chain, Role::Lift, &[before]);
        }
        self
    }

    pub fn picot(&mut self, chains: u32) -> &mut Maker {
        let mut before = StitchId(self.piece.stitches.len() as u32 - 1);
        let mut first = None;
        for _ in 0..chains {
            before = self.one(CH, Into::Chain, Role::Picot, &[before]);
            first = first.or(Some(before));
        }
        let first = first.unwrap();
        self.one(SLIP, Into::Chain, Role::Picot, &[first]);
        self
    }

    /// Joins with a slip stitch to the first head.
    pub fn close(&mut self) -> &mut Maker {
        let first = self.piece.rounds.last().unwrap().edge[0];
        self.one(SLIP, Into::Stitch, Role::Close, &[first]);
        self.piece.rounds.last_mut().unwrap().closed = true;
        self
    }

    pub fn step(&mut self, kind: StepKind) -> &mut Maker {
        let after = self.piece.stitches.len() as u32 - 1;
        self.piece.steps.push(Step {
            kind,
            after_round: self.piece.rounds.len() as u32,
            after: Some(StitchId(after)),
            span: Span::default(),
        });
        self
    }

    /// Marks stitches of the round at work, counted from 1, as joining a part.
    pub fn join(
        &mut self,
        part: usize,
        copy: u32,
        layers: u32,
        stitches: std::ops::RangeInclusive<u32>,
    ) {
        let round = self.piece.rounds.last().unwrap();
        let first = round.stitches.start;
        let place = self.piece.joins.len() as u32;
        let ids: Vec<StitchId> = stitches.map(|i| StitchId(first + i - 1)).collect();
        for id in &ids {
            self.piece.stitches[id.index()].join = Some(place);
        }
        self.piece.joins.push(Join {
            part,
            copy,
            layers,
            border: None,
            loops: false,
            side: PartSide::Outside,
            round: self.piece.rounds.len() as u32 - 1,
            stitches: ids.into_iter().map(|id| (id, Vec::new())).collect(),
            span: Span::default(),
        });
    }
}

/// A fabric of some pieces.
pub fn fabric(title: &str, pieces: Vec<Piece>) -> Fabric {
    Fabric {
        title: title.into(),
        pieces,
        ..Fabric::default()
    }
}

/// The usual disc: six more a round.
pub fn disc(rounds: u32) -> Maker {
    let mut maker = Maker::new("Disc");
    maker.round().ring(SC, 6);
    for k in 1..rounds {
        maker.round();
        for _ in 0..6 {
            maker.sc(k - 1).inc(SC, 2);
        }
    }
    maker
}

/// The usual ball: six more a round, as many even rounds, six fewer a round.
pub fn ball(rounds: u32) -> Maker {
    let mut maker = disc(rounds);
    maker.piece.name = "Ball".into();
    for _ in 0..rounds {
        maker.round().sc(6 * rounds);
    }
    for k in (1..rounds).rev() {
        maker.round();
        for _ in 0..6 {
            maker.sc(k - 1).dec(Height::Single, 2);
        }
    }
    maker.step(StepKind::CloseHole).step(StepKind::FastenOff);
    maker
}

/// Joined rounds of a tall stitch with spaces of two chains.
pub fn doily() -> Maker {
    let mut maker = Maker::new("Coaster");
    maker.round().stand(3);
    maker.ring(DC, 11).close();
    // Two in each, chains between the pairs.
    maker.round();
    maker.stand(3);
    let feet = maker.next(1);
    maker.one(DC, Into::Stitch, Role::Head, &feet);
    let mut spaces = vec![maker.bridge(2)];
    for _ in 1..12 {
        maker.inc(DC, 2);
        spaces.push(maker.bridge(2));
    }
    maker.close();
    // Moves into the space, then three in each.
    maker.round();
    let next = maker.below()[1];
    maker.one(SLIP, Into::Stitch, Role::Travel, &[next]);
    maker.one(SLIP, Into::Space, Role::Travel, &spaces[0]);
    maker.stand(3);
    for (i, space) in spaces.iter().enumerate() {
        for _ in usize::from(i == 0)..3 {
            maker.one(DC, Into::Space, Role::Head, space);
        }
        maker.bridge(1);
    }
    maker.close();
    maker.round().lift(1);
    for i in 0..12 {
        maker.sc(3);
        let feet = maker.next(1);
        maker.one(SC, Into::Space, Role::Head, &feet);
        if i % 2 == 0 {
            maker.picot(3);
        }
    }
    maker.close().step(StepKind::FastenOff);
    maker
}

/// A flap in rows on a starting chain, with loops and posts.
pub fn flap(rows: u32) -> Maker {
    let mut maker = Maker::new("Flap");
    maker.begin(0, RoundKind::Row);
    let mut before: Option<StitchId> = None;
    for _ in 0..12 {
        let feet: Vec<StitchId> = before.into_iter().collect();
        before = Some(maker.one(CH, Into::Chain, Role::Foundation, &feet));
    }
    for k in 0..rows {
        maker.row();
        if k == 0 {
            maker.skip(1);
        } else {
            maker.lift(1);
        }
        let into = match k {
            0 => Into::Chain,
            2 | 3 => Into::BackLoop,
            4 => Into::FrontPost,
            _ => Into::Stitch,
        };
        if k == 5 {
            maker
                .each(SC, into, 3)
                .inc(SC, 2)
                .sc(3)
                .dec(Height::Single, 2)
                .sc(2);
        } else {
            maker.each(SC, into, 11);
        }
    }
    maker.step(StepKind::FastenOff);
    maker
}

/// An oval round a chain: six chains, out and back.
pub fn oval(rounds: u32) -> Maker {
    let mut maker = Maker::new("Foot");
    maker.round();
    let mut chain: Vec<StitchId> = Vec::new();
    for _ in 0..7 {
        let feet: Vec<StitchId> = chain.last().copied().into_iter().collect();
        chain.push(maker.one(CH, Into::Chain, Role::Foundation, &feet));
    }
    let out: Vec<StitchId> = chain[..6].iter().rev().copied().collect();
    for &foot in &out[..5] {
        maker.one(SC, Into::Chain, Role::Head, &[foot]);
    }
    for _ in 0..3 {
        maker.one(SC, Into::Chain, Role::Head, &[out[5]]);
    }
    for &foot in out[1..5].iter().rev() {
        maker.one(SC, Into::Chain, Role::Head, &[foot]);
    }
    for _ in 0..2 {
        maker.one(SC, Into::Chain, Role::Head, &[out[0]]);
    }
    // A starting chain is no edge for the next round once it has been worked.
    let piece = &mut maker.piece;
    let heads: Vec<StitchId> = piece.rounds[0]
        .edge
        .iter()
        .copied()
        .filter(|&id| piece.stitch(id).role == Role::Head)
        .collect();
    piece.rounds[0].edge = heads;
    for k in 1..rounds {
        maker.round();
        maker.inc(SC, 2).sc(4 + k - 1);
        for _ in 0..3 {
            maker.inc(SC, 2).sc(k - 1);
        }
        maker.sc(4).inc(SC, 2).sc(k - 1).inc(SC, 2).sc(k - 1);
    }
    maker
}

/// A body in two yarns with wings joined in the round: 24 round, one wing on stitches 5 to 8, one on 17 to 20.
pub fn winged() -> Fabric {
    let mut maker = Maker::new("Body");
    let (white, charcoal) = (Some(YarnId(0)), Some(YarnId(1)));
    maker.yarn = charcoal;
    maker.round().ring(SC, 6);
    for k in 1..4 {
        maker.round();
        for _ in 0..6 {
            maker.sc(k - 1).inc(SC, 2);
        }
    }
    for _ in 0..3 {
        maker.round().sc(24);
    }
    maker.step(StepKind::Eyes(EyePlace::default()));
    maker.round().sc(24);
    maker.round().sc(24);
    maker.join(1, 1, 2, 5..=8);
    maker.join(1, 2, 2, 17..=20);
    for _ in 0..2 {
        maker.round().sc(8);
        maker.yarn = white;
        maker.sc(8);
        maker.yarn = charcoal;
        maker.sc(8);
    }
    maker.yarn = white;
    maker.round().sc(24);
    maker.round().sc(24);
    maker.step(StepKind::Stuff);
    for k in (1..4).rev() {
        maker.round();
        for _ in 0..6 {
            maker.sc(k - 1).dec(Height::Single, 2);
        }
    }
    maker.step(StepKind::FastenOff);
    let mut wing = disc(2);
    wing.piece.name = "Wing".into();
    wing.piece.make = 2;
    let mut fabric = fabric("Quay gull", vec![maker.piece, wing.piece]);
    let yarn = |letter: &str, name: &str, colour| Yarn {
        letter: letter.into(),
        name: name.into(),
        colour: Some(colour),
    };
    fabric.yarns = vec![
        yarn("A", "sailcloth", [240, 236, 224]),
        yarn("B", "charcoal", [58, 63, 71]),
        yarn("C", "buoy red", [200, 70, 40]),
    ];
    fabric
}
