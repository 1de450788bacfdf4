use super::sizes::{CHAIN_MM, CLOSE_MM, COLUMN_MM, PICOT_HEIGHT_MM, PICOT_WIDTH_MM};
use super::spur::Spur;
use crate::fabric::{Piece, Role, Round, StitchId};
use crate::symbol;
use crate::terms::{Height, Into, Stitch};

/// A round's stitches sorted by how they take room on its line.
#[derive(Debug, Default)]
pub(super) struct Slots {
    /// Those that stand side by side on the line, in the order of work.
    pub slots: Vec<Slot>,
    /// Chains that the piece starts from and that this same round is worked into.
    pub start: Vec<StitchId>,
    /// Slip stitches that only move the hook along: each lies on what it is worked into.
    pub travels: Vec<StitchId>,
    /// Stitches that run on over the start of their own round, where the start is moved.
    pub beyond: Vec<StitchId>,
    /// Room needed outside the heads, in mm.
    pub crown_mm: f64,
}

/// A place on a round's line.
#[derive(Debug, Clone, Copy)]
pub(super) struct Slot {
    pub kind: SlotKind,
    /// Least room along the line, in mm.
    pub width_mm: f64,
}

/// What has a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum SlotKind {
    /// A stitch with a head.
    Stitch(StitchId),
    /// A chain along the line.
    Chain(StitchId),
    /// Chains that lift the hook, one on another: the first and how many.
    Column(StitchId, u32),
    /// The slip stitch that closes the round.
    Close(StitchId),
    /// A small loop of chains, beside the stitch that it is worked on: its first stitch and how many.
    Picot(StitchId, u32),
    /// Chains that stand out from the work with the stitches back along them: the first chain, and how many of both.
    Spur(StitchId, u32),
}

impl Slot {
    /// Its first stitch.
    pub fn first(&self) -> StitchId {
        match self.kind {
            SlotKind::Stitch(id)
            | SlotKind::Chain(id)
            | SlotKind::Close(id)
            | SlotKind::Column(id, _)
            | SlotKind::Picot(id, _)
            | SlotKind::Spur(id, _) => id,
        }
    }

    /// Its last stitch.
    pub fn last(&self) -> StitchId {
        match self.kind {
            SlotKind::Column(first, count)
            | SlotKind::Picot(first, count)
            | SlotKind::Spur(first, count) => StitchId(first.0 + count - 1),
            _ => self.first(),
        }
    }
}

/// Room beside a stitch for each bar on its stem, in mm: siblings of tall stitches keep their bars apart.
const BAR_MM: f64 = 0.25;
/// How far stitches that stand on a chain keep off it, in mm.
const ON_CHAIN_MM: f64 = 0.8;
/// How much wider the place of a slip stitch is where chains beside it lean, in mm.
const OFF_LIFT_MM: f64 = 1.0;
/// How far the highest arch of bridging chains rises off its line, in mm.
pub(super) const HIGHEST_ARCH_MM: f64 = 1.2;

impl Slots {
    pub fn of(piece: &Piece, round: &Round) -> Slots {
        let mut sorted = Slots::default();
        let starts_itself = piece.round_stitches(round).any(|(_, stitch)| {
            matches!(stitch.role, Role::Head) && stitch.kind.height != Height::Chain
        });
        let width_mm =
            |kind: Stitch| symbol::width_mm(kind) + f64::from(kind.height.bars()) * BAR_MM;
        let start_is_left = starts_itself && leaves_start(piece, round);
        let mut open_picot = false;
        let mut after_spur = StitchId(0);
        for (id, stitch) in piece.round_stitches(round) {
            if id < after_spur {
                continue;
            }
            if let Some(spur) = Spur::at(piece, round, id) {
                let count = spur.end() - id.0;
                after_spur = StitchId(spur.end());
                sorted.push(SlotKind::Spur(id, count), spur.width_mm(piece));
                sorted.crown_mm = sorted.crown_mm.max(spur.length_mm());
                continue;
            }
            let in_picot = stitch.role == Role::Picot;
            match stitch.role {
                Role::Foundation if stitch.kind.height != Height::Chain => {
                    sorted.push(SlotKind::Stitch(id), width_mm(stitch.kind));
                }
                Role::Foundation if start_is_left => sorted.column(id),
                Role::Foundation if starts_itself => sorted.start.push(id),
                Role::Foundation => sorted.push(SlotKind::Chain(id), symbol::STITCH_WIDTH_MM),
                Role::Bridge => sorted.push(SlotKind::Chain(id), CHAIN_MM),
                Role::Lift | Role::Stand => sorted.column(id),
                Role::Head if stitch.kind.height == Height::Chain => sorted.column_head(piece, id),
                Role::Head if runs_on(piece, round, id) => sorted.beyond.push(id),
                Role::Head => sorted.push(SlotKind::Stitch(id), width_mm(stitch.kind)),
                Role::Close if starts_itself && closes_chain(piece, id) => sorted.start.push(id),
                Role::Close => sorted.push(SlotKind::Close(id), CLOSE_MM),
                Role::Travel => sorted.travels.push(id),
                Role::Picot => sorted.picot(id, open_picot),
            }
            // A slip stitch ends its picot: chains after it begin the next.
            open_picot = in_picot && stitch.kind.height == Height::Chain;
        }
        sorted.part_from_ring();
        sorted
    }

    /// Chains that lift the hook off a ring of chains lean with the legs beside them: the slip stitch keeps farther off.
    fn part_from_ring(&mut self) {
        let opens = self.slots.first().map(|slot| slot.kind);
        if self.closed()
            && matches!(opens, Some(SlotKind::Column(..)))
            && !self.start.is_empty()
            && let Some(close) = self.slots.last_mut()
        {
            close.width_mm += OFF_LIFT_MM;
        }
    }

    /// Only what the round leaves to work into, where stitches run on over its start: they stand in a row with the others.
    pub fn run_on(&mut self, round: &Round) {
        if self.beyond.is_empty() {
            return;
        }
        let width_mm = symbol::STITCH_WIDTH_MM;
        let is_left = |slot: &Slot| round.edge.contains(&slot.last());
        self.slots
            .retain(|slot| !matches!(slot.kind, SlotKind::Stitch(_)) || is_left(slot));
        for id in std::mem::take(&mut self.beyond) {
            self.slots.push(Slot {
                kind: SlotKind::Stitch(id),
                width_mm,
            });
        }
    }

    /// Least distance from each slot to the next, in mm, the last one's being that on to the first.
    pub fn gaps(&self) -> Vec<f64> {
        let n = self.slots.len();
        (0..n)
            .map(|i| (self.slots[i].width_mm + self.slots[(i + 1) % n].width_mm) / 2.0)
            .collect()
    }

    /// Least length of a closed line, in mm, with some room for the round's number.
    pub fn length_mm(&self, seam_mm: f64) -> f64 {
        self.slots.iter().map(|slot| slot.width_mm).sum::<f64>() + seam_mm
    }

    /// True if a slip stitch closes the round.
    pub fn closed(&self) -> bool {
        matches!(
            self.slots.as_slice(),
            [
                _,
                ..,
                Slot {
                    kind: SlotKind::Close(_),
                    ..
                }
            ]
        )
    }

    /// How far heads should stand from the line below, in mm: as far as the tallest stitch needs.
    pub fn height_mm(&self, piece: &Piece) -> f64 {
        let tallest = self
            .slots
            .iter()
            .map(|slot| match slot.kind {
                SlotKind::Stitch(id) => {
                    symbol::height_mm(piece.stitch(id).kind) + lift_mm(piece, id)
                }
                _ => 0.0,
            })
            .fold(0.0, f64::max);
        // A round's number must fit between two lines.
        tallest.max(3.2)
    }

    /// True if something stands out from the round's heads, so that nothing can lie close around it.
    pub fn has_spurs(&self) -> bool {
        let is_spur = |slot: &Slot| matches!(slot.kind, SlotKind::Spur(..));
        self.slots.iter().any(is_spur)
    }

    fn push(&mut self, kind: SlotKind, width_mm: f64) {
        self.slots.push(Slot { kind, width_mm });
    }

    fn column(&mut self, id: StitchId) {
        if let Some(Slot {
            kind: SlotKind::Column(first, count),
            ..
        }) = self.slots.last_mut()
            && first.0 + *count == id.0
        {
            *count += 1;
        } else {
            self.push(SlotKind::Column(id, 1), COLUMN_MM);
        }
    }

    /// The last chain of a column that stands for a stitch; a chain that counts as a stitch by itself lies along the line.
    fn column_head(&mut self, piece: &Piece, id: StitchId) {
        let stands = id.0 > 0 && {
            let before = piece.stitch(StitchId(id.0 - 1));
            before.role == Role::Stand && before.round == piece.stitch(id).round
        };
        let opens = piece.stitch(id).index == 0;
        if stands || opens {
            self.column(id);
            if let Some(slot) = self.slots.last_mut() {
                slot.width_mm = symbol::STITCH_WIDTH_MM;
            }
        } else {
            self.push(SlotKind::Chain(id), CHAIN_MM);
        }
    }

    fn picot(&mut self, id: StitchId, continues: bool) {
        if let (
            true,
            Some(Slot {
                kind: SlotKind::Picot(first, count),
                ..
            }),
        ) = (continues, self.slots.last_mut())
        {
            *count = id.0 + 1 - first.0;
        } else {
            self.push(SlotKind::Picot(id, 1), PICOT_WIDTH_MM);
            self.crown_mm = self.crown_mm.max(PICOT_HEIGHT_MM);
        }
    }
}

/// How much farther out a stitch's head should be for the chain that it stands on, or the space of chains, in mm.
fn lift_mm(piece: &Piece, id: StitchId) -> f64 {
    if makes_own_chain(piece, id) {
        return ON_CHAIN_MM;
    }
    let feet = piece.feet(id).iter();
    feet.map(|&foot| match piece.stitch(foot).role {
        Role::Bridge => ON_CHAIN_MM + HIGHEST_ARCH_MM,
        Role::Foundation => ON_CHAIN_MM,
        Role::Head if piece.stitch(foot).kind.height == Height::Chain => ON_CHAIN_MM,
        _ => 0.0,
    })
    .fold(0.0, f64::max)
}

/// True if a round that goes round parts is not worked into the chain that it starts with: that only lifts the hook.
fn leaves_start(piece: &Piece, round: &Round) -> bool {
    let is_start = |id: &StitchId| {
        round.stitches.contains(&id.0) && piece.stitch(*id).role == Role::Foundation
    };
    let mut stitches = piece.round_stitches(round);
    stitches.any(|(_, stitch)| stitch.into == Into::Part)
        && !piece
            .round_stitches(round)
            .filter(|(_, stitch)| stitch.kind.height > Height::Chain)
            .any(|(id, _)| piece.feet(id).iter().any(is_start))
}

/// True if a slip stitch closes the chain that a piece starts from.
fn closes_chain(piece: &Piece, id: StitchId) -> bool {
    piece
        .feet(id)
        .first()
        .is_some_and(|&foot| piece.stitch(foot).role == Role::Foundation)
}

/// True if a stitch is worked into a head of its own round.
fn runs_on(piece: &Piece, round: &Round, id: StitchId) -> bool {
    let into = piece.stitch(id).into;
    !matches!(into, Into::Ring | Into::Part)
        && !makes_own_chain(piece, id)
        && piece.feet(id).first().is_some_and(|&foot| {
            round.stitches.contains(&foot.0)
                && matches!(piece.stitch(foot).role, Role::Head | Role::Bridge)
        })
}

/// True for a foundation stitch, which makes the chain that it stands on and grows from the stitch before it.
pub(super) fn makes_own_chain(piece: &Piece, id: StitchId) -> bool {
    let stitch = piece.stitch(id);
    let grows =
        |foot: &StitchId| foot.0 + 1 == id.0 && piece.stitch(*foot).kind.height > Height::Chain;
    stitch.into == Into::Chain
        && stitch.kind.height > Height::Slip
        && piece.feet(id).iter().all(grows)
}

/// True for a plain stitch of a round that can stand for equal ones above it.
pub(super) fn is_simple(kind: Stitch) -> bool {
    use crate::terms::Form;
    kind.height != Height::Chain && matches!(kind.form, Form::Plain | Form::Extended)
}
