//! What a round is worked into: the edge of the round below, with a cursor on it.

use std::collections::BTreeSet;
use std::rc::Rc;

use super::model::{Piece, Role, StitchId};
use crate::terms::{Height, Into};

/// Where one stitch goes: what kind of place, and which stitches of the piece make it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Foot {
    pub into: Into,
    pub ids: Vec<StitchId>,
}

/// One place of an edge.
#[derive(Debug, Clone, Copy)]
struct Site {
    id: StitchId,
    role: SiteRole,
    /// A corner is here, or begins here.
    corner: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum SiteRole {
    Head,
    /// A head that is itself a chain.
    Chain,
    /// A chain of a space.
    Bridge,
}

/// An edge, with what the cursor asks again and again counted beforehand.
#[derive(Debug, Default)]
struct Edge {
    sites: Vec<Site>,
    /// For each site, how many heads there are from it on; one more entry at the end.
    heads_from: Vec<u32>,
    /// The last site that belongs to a chain space.
    last_bridge: Option<usize>,
    last_corner: Option<usize>,
}

impl Edge {
    fn new(mut sites: Vec<Site>) -> Rc<Edge> {
        mark_corner_spaces(&mut sites);
        let mut heads_from = vec![0; sites.len() + 1];
        for (index, site) in sites.iter().enumerate().rev() {
            heads_from[index] = heads_from[index + 1] + u32::from(site.role != SiteRole::Bridge);
        }
        let last_bridge = sites.iter().rposition(|site| site.role == SiteRole::Bridge);
        let last_corner = sites.iter().rposition(|site| site.corner);
        Rc::new(Edge {
            sites,
            heads_from,
            last_bridge,
            last_corner,
        })
    }
}

/// Where there are chain spaces, the largest of them are the corners.
fn mark_corner_spaces(sites: &mut [Site]) {
    let is_bridge = |site: &Site| site.role == SiteRole::Bridge;
    let mut from = 0;
    let mut spaces = Vec::new();
    for run in sites.chunk_by(|a, b| is_bridge(a) == is_bridge(b)) {
        if is_bridge(&run[0]) {
            spaces.push((from, run.len()));
        }
        from += run.len();
    }
    let Some(largest) = spaces.iter().map(|&(_, chains)| chains).max() else {
        return;
    };
    for site in sites.iter_mut() {
        site.corner = false;
    }
    for (from, chains) in spaces {
        sites[from].corner = chains == largest;
    }
}

/// The middle ones of three, five or seven stitches in one place.
fn corners(piece: &Piece, edge: &[StitchId]) -> BTreeSet<StitchId> {
    let shared = |&a: &StitchId, &b: &StitchId| {
        let feet = piece.feet(a);
        !feet.is_empty() && feet == piece.feet(b) && piece.stitch(a).into != Into::Ring
    };
    edge.chunk_by(shared)
        .filter(|group| matches!(group.len(), 3 | 5 | 7))
        .map(|group| group[group.len() / 2])
        .collect()
}

/// The edge below and how far along it the hook is. Cheap to clone.
#[derive(Debug, Clone, Default)]
pub(super) struct Below {
    edge: Rc<Edge>,
    at: usize,
    /// Places at the end that have been used up from there, where the edge is pressed flat.
    used_at_end: usize,
    /// Bridging chains are worked one by one, as stitches.
    pub chains_are_stitches: bool,
    /// Pressed flat: each stitch goes through the first and the last place that are left.
    pub flat: bool,
}

impl Below {
    pub fn new(piece: &Piece, edge: &[StitchId]) -> Below {
        let corners = corners(piece, edge);
        let site = |&id: &StitchId| {
            let stitch = piece.stitch(id);
            let role = match stitch.role {
                Role::Bridge => SiteRole::Bridge,
                _ if stitch.kind.height == Height::Chain => SiteRole::Chain,
                _ => SiteRole::Head,
            };
            Site {
                id,
                role,
                corner: corners.contains(&id),
            }
        };
        Below {
            edge: Edge::new(edge.iter().map(site).collect()),
            ..Below::default()
        }
    }

    /// Stitches of another piece, each as a place.
    pub fn of_stitches(stitches: &[StitchId]) -> Below {
        let site = |&id: &StitchId| Site {
            id,
            role: SiteRole::Head,
            corner: false,
        };
        Below {
            edge: Edge::new(stitches.iter().map(site).collect()),
            ..Below::default()
        }
    }

    fn sites(&self) -> &[Site] {
        &self.edge.sites
    }

    pub fn has_bridges(&self) -> bool {
        self.edge.last_bridge.is_some()
    }

    pub fn is_empty(&self) -> bool {
        self.sites().is_empty()
    }

    /// Places in all, as this reading counts them.
    pub fn len(&self) -> usize {
        self.places_from(0)
    }

    pub fn position(&self) -> usize {
        self.at
    }

    pub fn move_to(&mut self, at: usize) {
        self.at = at.min(self.sites().len());
    }

    fn places_from(&self, at: usize) -> usize {
        if self.chains_are_stitches {
            self.sites().len() - at
        } else {
            self.edge.heads_from.get(at).map_or(0, |&n| n as usize)
        }
    }

    fn counts(&self, index: usize) -> bool {
        self.chains_are_stitches || self.sites()[index].role != SiteRole::Bridge
    }

    /// Places left to work into, as this reading counts them.
    pub fn left(&self) -> usize {
        let left = self.places_from(self.at).saturating_sub(self.used_at_end);
        if self.flat { left.div_ceil(2) } else { left }
    }

    /// Places left at the end of a round. Pressed flat, an odd edge has one stitch in its fold that need not be worked.
    pub fn left_over(&self) -> usize {
        let left = self.places_from(self.at).saturating_sub(self.used_at_end);
        if self.flat { left / 2 } else { left }
    }

    /// True if a place is left.
    pub fn any_left(&self) -> bool {
        self.left() > 0
    }

    /// True if a chain space is left.
    pub fn space_left(&self) -> bool {
        self.edge.last_bridge.is_some_and(|last| self.at <= last)
    }

    /// True if a chain space is left; of so many chains, if a number is given.
    pub fn space_of_left(&self, chains: Option<u32>) -> bool {
        match chains {
            None => self.space_left(),
            Some(_) => self.space_left() && self.clone().next_space(chains).is_some(),
        }
    }

    fn foot(&self, index: usize) -> Foot {
        let site = self.sites()[index];
        let into = if site.role == SiteRole::Head {
            Into::Stitch
        } else {
            Into::Chain
        };
        Foot {
            into,
            ids: vec![site.id],
        }
    }

    /// The place of a number, wherever the cursor is; nothing if there is none.
    pub fn at_place(&self, index: usize) -> Foot {
        if index < self.sites().len() {
            return self.foot(index);
        }
        Foot {
            into: Into::Stitch,
            ids: Vec::new(),
        }
    }

    fn find(&self, from: usize, is: impl Fn(usize) -> bool) -> Option<usize> {
        (from..self.sites().len()).find(|&index| is(index))
    }

    /// The next stitch.
    pub fn next(&mut self) -> Option<Foot> {
        if self.flat {
            return self.next_flat();
        }
        let index = self.find(self.at, |i| self.counts(i))?;
        self.at = index + 1;
        Some(self.foot(index))
    }

    fn next_flat(&mut self) -> Option<Foot> {
        if self.left() == 0 {
            return None;
        }
        let mut foot = self.foot(self.at);
        let opposite = self.sites().len() - 1 - self.used_at_end;
        if opposite > self.at {
            foot.ids.push(self.sites()[opposite].id);
            self.used_at_end += 1;
        }
        self.at += 1;
        Some(foot)
    }

    /// The next stitch or chain.
    pub fn next_of_all(&mut self) -> Option<Foot> {
        let index = self.at;
        if index >= self.sites().len() {
            return None;
        }
        self.at += 1;
        Some(self.foot(index))
    }

    /// The next stitch, or the next chain space as a whole.
    pub fn next_or_space(&mut self) -> Option<Foot> {
        match self.sites().get(self.at)?.role {
            SiteRole::Bridge => self.next_space(None),
            _ => self.next_of_all(),
        }
    }

    /// What is next: a stitch, or a space of so many chains; nothing at the end.
    pub fn ahead(&self) -> Option<Option<u32>> {
        let site = self.sites().get(self.at)?;
        if site.role != SiteRole::Bridge {
            return Some(None);
        }
        let rest = &self.sites()[self.at..];
        let chains = rest.iter().take_while(|s| s.role == SiteRole::Bridge);
        Some(Some(chains.count() as u32))
    }

    /// True if a stitch or a chain is left.
    pub fn anything_left(&self) -> bool {
        self.at < self.sites().len()
    }

    /// True if the next place is a corner.
    pub fn at_corner(&self) -> bool {
        self.sites().get(self.at).is_some_and(|site| site.corner)
    }

    /// True if a corner is left.
    pub fn corner_left(&self) -> bool {
        self.edge.last_corner.is_some_and(|last| self.at <= last)
    }

    /// Stitches before the next corner.
    pub fn left_to_corner(&self) -> u32 {
        let end = self.find(self.at, |i| self.sites()[i].corner);
        let end = end.unwrap_or(self.sites().len());
        (self.places_from(self.at) - self.places_from(end)) as u32
    }

    /// The next corner: a space as a whole, or a stitch.
    pub fn next_corner(&mut self) -> Option<Foot> {
        let at = self.find(self.at, |i| self.sites()[i].corner)?;
        self.at = at;
        self.next_or_space()
    }

    /// The next chain, whatever stands before it.
    pub fn next_chain(&mut self) -> Option<Foot> {
        let index = self.find(self.at, |i| self.sites()[i].role != SiteRole::Head)?;
        self.at = index + 1;
        Some(self.foot(index))
    }

    /// The next chain space, of so many chains if a number is given: all of its chains.
    pub fn next_space(&mut self, chains: Option<u32>) -> Option<Foot> {
        let is_bridge = |index: usize| self.sites()[index].role == SiteRole::Bridge;
        let mut from = self.at;
        let (start, end) = loop {
            let start = self.find(from, is_bridge)?;
            let end = self
                .find(start, |i| !is_bridge(i))
                .unwrap_or(self.sites().len());
            if chains.is_none_or(|n| n as usize == end - start) {
                break (start, end);
            }
            from = end;
        };
        let ids = self.sites()[start..end]
            .iter()
            .map(|site| site.id)
            .collect();
        self.at = end;
        Some(Foot {
            into: Into::Space,
            ids,
        })
    }

    /// The first place.
    pub fn first(&mut self) -> Option<Foot> {
        let index = self.find(0, |i| self.counts(i))?;
        self.at = self.at.max(index + 1);
        Some(self.foot(index))
    }

    /// The last place; nothing is left after it.
    pub fn last(&mut self) -> Option<Foot> {
        let index = (0..self.sites().len()).rev().find(|&i| self.counts(i))?;
        self.at = self.sites().len();
        Some(self.foot(index))
    }

    /// The round starts at the place `from` instead: what stands before it comes last.
    pub fn start_at(&mut self, from: usize) {
        if from < self.sites().len() {
            let mut sites = self.sites().to_vec();
            sites.rotate_left(from);
            self.edge = Edge::new(sites);
            self.at = self.at.saturating_sub(from);
        }
    }

    /// True if the first place is a chain space.
    pub fn starts_with_space(&self) -> bool {
        self.sites()
            .first()
            .is_some_and(|site| site.role == SiteRole::Bridge)
    }

    /// Where the last place that was taken begins: a space as a whole.
    pub fn last_taken(&self) -> usize {
        let is_bridge = |index: usize| {
            self.sites()
                .get(index)
                .is_some_and(|s| s.role == SiteRole::Bridge)
        };
        let mut start = self.at.saturating_sub(1);
        while start > 0 && is_bridge(start) && is_bridge(start - 1) {
            start -= 1;
        }
        start
    }

    /// The ids of all places, in order.
    pub fn ids(&self) -> impl DoubleEndedIterator<Item = StitchId> + '_ {
        self.sites().iter().map(|site| site.id)
    }
}
