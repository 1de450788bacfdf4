//! The pattern as an editor reads it: its sentences, beside what was read and worked.

use std::cell::OnceCell;
use std::collections::BTreeMap;

use crate::fabric::{Fabric, Piece};
use crate::pattern::{Line, Pattern};
use crate::place::{self, Attachment, Placement};
use crate::prose::{self, Prose, materials};
pub(crate) use crate::prose::{Place, Sentence};
use crate::shape;
use crate::source::{Source, Span};

/// Everything that a check may look at.
pub(crate) struct Draft<'a> {
    pub source: &'a Source,
    pub pattern: &'a Pattern,
    pub fabric: &'a Fabric,
    pub prose: Prose<'a>,
    /// Places of the sentences of each part of the text.
    places: BTreeMap<Place, Vec<usize>>,
    /// Width of a stitch in mm, by the gauge or by custom.
    pub stitch_mm: f64,
    /// Found when a check asks for it.
    placement: OnceCell<Placement>,
}

impl<'a> Draft<'a> {
    /// Takes a text apart.
    pub fn new(source: &'a Source, pattern: &'a Pattern, fabric: &'a Fabric) -> Draft<'a> {
        let prose = prose::sentences(source, pattern);
        let mut places: BTreeMap<Place, Vec<usize>> = BTreeMap::new();
        for (at, sentence) in prose.sentences.iter().enumerate() {
            places.entry(sentence.place).or_default().push(at);
        }
        // The words below a heading that names two pieces are of both.
        for at in 1..pattern.pieces.len() {
            if pattern.pieces[at].is_second_of_heading()
                && let Some(shared) = places.get(&Place::Piece(at - 1)).cloned()
            {
                places.insert(Place::Piece(at), shared);
            }
        }
        Draft {
            source,
            pattern,
            fabric,
            stitch_mm: shape::gauge_told(&prose, fabric).width_mm,
            prose,
            places,
            placement: OnceCell::new(),
        }
    }

    /// Where parts and features sit.
    pub fn placement(&self) -> &Placement {
        self.placement
            .get_or_init(|| place::place(self.source, self.pattern, self.fabric))
    }

    /// The parts and features on pieces whose rounds come out, with their ids: on others nothing can be said of where stitches lie.
    pub fn attachments(&self) -> impl Iterator<Item = (usize, &Attachment)> {
        let all = self.placement().attachments.iter().enumerate();
        all.filter(|(_, attachment)| self.comes_out(attachment.into))
    }

    /// True if every round of a piece makes what its total says.
    fn comes_out(&self, piece: usize) -> bool {
        let mut rounds = self.fabric.pieces[piece].rounds.iter();
        rounds.all(|round| {
            let stated = round.stated.and_then(|stated| stated.stitches);
            stated.is_none_or(|stated| stated == round.count)
        })
    }

    /// The heading of the list of materials or of abbreviations, if there is one.
    pub fn heading(&self, place: Place) -> Option<Span> {
        self.prose.heading(place)
    }

    /// The sentences of one part of the text.
    pub fn in_place(&self, place: Place) -> impl Iterator<Item = &Sentence<'a>> {
        let found = self.places.get(&place).map_or(&[][..], Vec::as_slice);
        found.iter().map(|&at| &self.prose.sentences[at])
    }

    /// The sentences from the first piece on.
    pub fn below_the_header(&self) -> impl Iterator<Item = &Sentence<'a>> {
        self.prose.below_the_header()
    }

    /// True for a pattern that says what it needs, in a list, on two lines of its header (`Hook: …`, `Yarn: …`) or in a sentence, and not for
    /// a few rounds that somebody jotted down.
    pub fn is_whole(&self) -> bool {
        materials::says_what_it_needs(self.pattern, &self.prose)
            || materials::says_so_in_a_sentence(&self.prose)
    }

    /// True if a round of the piece that stands before this place could not be read: what was worked since is not what is meant.
    pub fn is_misread_before(&self, piece: usize, at: usize) -> bool {
        let lines = self.pattern.pieces.get(piece).map(|piece| &piece.lines);
        lines.into_iter().flatten().any(|line| match line {
            Line::Round(round) => round.flawed && round.span.start <= at,
            _ => false,
        })
    }

    /// The value of the header's first line whose key has one of these words.
    pub fn entry(&self, keys: &[&str]) -> Option<Span> {
        self.pattern.header.entry(keys)
    }

    /// How many rounds of a piece stand in the text before a place, that place's own round among them.
    pub fn rounds_before(&self, piece: &Piece, at: usize) -> usize {
        piece.rounds.partition_point(|round| round.span.start <= at)
    }

    /// Where a problem with the whole pattern stands: the title, or the first words.
    pub fn front(&self) -> Span {
        match &self.pattern.title {
            Some(title) => title.span,
            None => self
                .prose
                .sentences
                .first()
                .map_or(Span::default(), |sentence| sentence.span()),
        }
    }
}
