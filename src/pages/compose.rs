//! A pattern set in the order of a finished booklet: its words in their place, and beside them what was worked out.

use super::document::{Block, Document, Fact, Run, Section};
use super::facts;
use super::figures::Figures;
use super::made::Made;
use super::text::{Item, Kind, items};
use super::{Paper, Request, cautions};
use crate::terms::{Hand, Terms};

/// Longest title at the head of a page, in characters; and where type is large.
const HEAD: usize = 56;
const LARGE_HEAD: usize = 22;
/// What pages are called whose pattern has no title.
const UNTITLED: &str = "Crochet pattern";

/// Sets a pattern.
pub fn compose(made: &Made<'_>, request: &Request<'_>, figures: &mut Figures) -> Document {
    let title = match &made.pattern.title {
        Some(title) if !title.value.trim().is_empty() => made.plain(&title.value),
        _ => UNTITLED.to_owned(),
    };
    let mut book = Book::default();
    let mut writer = Writer {
        made,
        large: request.edition.large,
        figures,
        book: &mut book,
        place: Spot::Lead,
        piece: None,
    };
    for item in items(made.source, made.pattern) {
        writer.item(item);
    }
    writer.end_piece();
    let picture = match request.photo {
        Some(photo) => Some(figures.photo(photo, &title)),
        None => figures.portrait(made, &title),
    };
    let large = request.edition.large;
    let mut lead = Vec::new();
    if large {
        lead.extend(statement(made));
    } else if made.hand_differs {
        lead.push(Block::text(hand_statement(made)));
    }
    lead.append(&mut book.lead);
    Document {
        head: cut(&title, if large { LARGE_HEAD } else { HEAD }),
        full_title: title.clone(),
        title,
        edition: edition(made, request),
        paper: match request.paper {
            Paper::A4 => "a4",
            Paper::Letter => "us-letter",
        },
        large,
        low_ink: request.edition.low_ink,
        picture,
        lead,
        sections: sections(made, request, figures, book),
    }
}

/// The words with an ellipsis where they are longer than so many characters.
fn cut(words: &str, most: usize) -> String {
    match words.char_indices().nth(most) {
        None => words.to_owned(),
        Some((at, _)) => format!("{}…", words[..at].trim_end()),
    }
}

/// What sets the edition apart.
fn edition(made: &Made<'_>, request: &Request<'_>) -> String {
    let mut words: Vec<String> = Vec::new();
    if request.edition.large {
        words.push("large type".to_owned());
    }
    if made.hand_differs {
        words.push(format!("{}-handed", hand(made.fabric.hand)));
    }
    if made.terms_differ {
        words.push(format!("{} terms", made.fabric.terms.name()));
    }
    if request.edition.low_ink {
        words.push("low ink".to_owned());
    }
    if words.is_empty() {
        return String::new();
    }
    let words = words.join(", ");
    let first = words
        .chars()
        .next()
        .into_iter()
        .flat_map(char::to_uppercase);
    format!(
        "{}{} edition",
        first.collect::<String>(),
        &words[words.chars().next().map_or(0, char::len_utf8)..]
    )
}

fn hand(hand: Hand) -> &'static str {
    match hand {
        Hand::Left => "left",
        Hand::Right => "right",
    }
}

fn hand_statement(made: &Made<'_>) -> String {
    format!(
        "This edition is for {}-handed makers: the charts and drawings are the mirror image, and left and right are swapped in the words.",
        hand(made.fabric.hand)
    )
}

/// What was done for people who see little (as the checklists of makers' groups ask: accessiblepatternsindex.com, "Accessibility tips").
fn statement(made: &Made<'_>) -> Vec<Block> {
    let mut said = vec![Block::text(
        "About this edition: the type is 22 points, black on white, in one column, with no italics. Every round is written out in full words, with its stitches counted at its end. \
         Nothing is told by a picture or a colour alone: charts and drawings are left out, but for one of the finished toy, and the standard edition has them. Each section can be reached from the list of contents and from the document's outline.",
    )];
    if made.hand_differs {
        said.push(Block::text(hand_statement(made)));
    }
    said
}

/// The parts of the text, sorted.
#[derive(Default)]
struct Book {
    lead: Vec<Block>,
    materials: Vec<Block>,
    abbreviations: Vec<Block>,
    notes: Vec<Section>,
    pieces: Vec<Section>,
    finishing: Vec<Section>,
}

/// Where words go that are read next.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Spot {
    Lead,
    Materials,
    Abbreviations,
    Notes,
    Piece,
    Finishing,
}

struct Writer<'w, 'a> {
    made: &'w Made<'a>,
    large: bool,
    figures: &'w mut Figures,
    book: &'w mut Book,
    place: Spot,
    /// The piece that rounds belong to.
    piece: Option<usize>,
}

impl Writer<'_, '_> {
    fn item(&mut self, item: Item) {
        match item {
            Item::Heading(kind, depth, words) => self.heading(kind, depth, &words),
            Item::Piece(piece) => self.open_piece(piece),
            Item::Paragraph(runs, _) => {
                let runs = self.said(runs);
                self.blocks().push(Block::Text { runs });
            }
            Item::Point(ordered, runs, span) => {
                if self.place == Spot::Abbreviations && self.made.is_unused_abbreviation(span) {
                    return;
                }
                let runs = match self.place {
                    Spot::Abbreviations => runs,
                    _ => self.said(runs),
                };
                match self.blocks().last_mut() {
                    Some(Block::List { ordered: of, items }) if *of == ordered => items.push(runs),
                    _ => self.blocks().push(Block::List {
                        ordered,
                        items: vec![runs],
                    }),
                }
            }
            Item::Round(span) => {
                let piece = self.piece.unwrap_or_default();
                let row = self.made.round(piece, span, self.large);
                let has_yarns = self.made.fabric.yarns.len() > 1;
                match self.blocks().last_mut() {
                    Some(Block::Rounds { rows, .. }) => rows.push(row),
                    _ => self.blocks().push(Block::Rounds {
                        has_yarns,
                        rows: vec![row],
                    }),
                }
            }
        }
    }

    fn said(&self, runs: Vec<Run>) -> Vec<Run> {
        let said = |run: Run| Run {
            text: self.made.said(&run.text, self.large),
            ..run
        };
        runs.into_iter().map(said).collect()
    }

    fn heading(&mut self, kind: Option<Kind>, depth: usize, words: &str) {
        let title = self.made.said(words, false);
        match kind {
            Some(Kind::Materials) => {
                self.end_piece();
                self.place = Spot::Materials;
            }
            Some(Kind::Abbreviations) => {
                self.end_piece();
                self.place = Spot::Abbreviations;
            }
            None if depth > 2 && self.place != Spot::Lead => {
                self.blocks().push(Block::Heading { text: title });
            }
            None if self.book.pieces.is_empty() => {
                self.place = Spot::Notes;
                self.book.notes.push(section(title));
            }
            _ => {
                self.end_piece();
                self.place = Spot::Finishing;
                self.book.finishing.push(section(title));
            }
        }
    }

    fn open_piece(&mut self, place: usize) {
        self.end_piece();
        let Some(piece) = self.made.fabric.pieces.get(place) else {
            return;
        };
        let title = match piece.name.trim() {
            "" => "Rounds".to_owned(),
            name => self.made.plain(name),
        };
        let mut opened = section(title);
        if piece.make > 1 {
            opened.aside = format!("make {}", piece.make);
        }
        self.book.pieces.push(opened);
        self.place = Spot::Piece;
        self.piece = Some(place);
    }

    /// Puts the drawings of a piece below its words.
    fn end_piece(&mut self) {
        let Some(piece) = self.piece.filter(|_| self.place == Spot::Piece) else {
            return;
        };
        if let Some(size) = self.made.size_of(piece) {
            self.blocks().push(Block::text(format!(
                "Finished size of this piece, by the gauge: {size}"
            )));
        }
        if !self.large {
            let figures = self.figures.of_piece(self.made, piece);
            if !figures.is_empty() {
                self.blocks().push(Block::Figures { figures });
            }
        }
    }

    fn blocks(&mut self) -> &mut Vec<Block> {
        let book = &mut *self.book;
        let of = |sections: &'_ mut Vec<Section>| -> usize { sections.len().saturating_sub(1) };
        match self.place {
            Spot::Lead => &mut book.lead,
            Spot::Materials => &mut book.materials,
            Spot::Abbreviations => &mut book.abbreviations,
            Spot::Notes => {
                let last = of(&mut book.notes);
                &mut book.notes[last].blocks
            }
            Spot::Piece => {
                let last = of(&mut book.pieces);
                &mut book.pieces[last].blocks
            }
            Spot::Finishing => {
                let last = of(&mut book.finishing);
                &mut book.finishing[last].blocks
            }
        }
    }
}

fn section(title: String) -> Section {
    Section {
        title,
        aside: String::new(),
        blocks: Vec::new(),
    }
}

/// The sections in the order of a booklet; those with nothing in them are left out.
fn sections(
    made: &Made<'_>,
    request: &Request<'_>,
    figures: &mut Figures,
    book: Book,
) -> Vec<Section> {
    let large = request.edition.large;
    let mut all = Vec::new();
    let mut add = |title: &str, blocks: Vec<Block>| {
        if !blocks.is_empty() {
            all.push(Section {
                blocks,
                ..section(title.to_owned())
            });
        }
    };
    let mut need = facts::needs(made);
    need.extend(book.materials);
    add("What you need", need);
    let mut about = vec![Block::Facts {
        rows: facts::about(made),
    }];
    if !large {
        about.extend(figures.whole(made).map(Block::figure));
    }
    add("Size, gauge and level", about);
    let mut short = match book.abbreviations.is_empty() {
        true => facts::abbreviations(made),
        false => book.abbreviations,
    };
    match large {
        true => add("Abbreviations", short),
        false => {
            short.extend(figures.key(made).map(Block::figure));
            add("Abbreviations and key", short);
        }
    }
    all.extend(book.notes);
    all.extend(book.pieces);
    let mut finishing = book.finishing;
    let placement = facts::placement(made, figures, large);
    if !placement.is_empty() {
        finishing.push(Section {
            blocks: placement,
            ..section("Where things sit".to_owned())
        });
    }
    all.extend(finishing);
    let mut add = |title: &str, blocks: Vec<Block>| {
        if !blocks.is_empty() {
            all.push(Section {
                blocks,
                ..section(title.to_owned())
            });
        }
    };
    let texts = cautions::cautions(made.source, made.pattern, made.fabric);
    if !texts.is_empty() {
        let title = "Read this before you give the toy away".to_owned();
        add("Cautions", vec![Block::Caution { title, texts }]);
    }
    add("Terms used", terms(made));
    let credits: Vec<Fact> = facts::credits(made);
    if !credits.is_empty() {
        add("Credits and licence", vec![Block::Facts { rows: credits }]);
    }
    all
}

/// The custom in which stitches are named, with both names of each that is used.
fn terms(made: &Made<'_>) -> Vec<Block> {
    let custom = match made.fabric.terms {
        Terms::Us => "US",
        Terms::Uk => "UK",
    };
    let rows = facts::both_terms(made.fabric);
    if rows.is_empty() {
        return Vec::new();
    }
    let header = ["US terms", "short", "UK terms", "short"]
        .map(str::to_owned)
        .to_vec();
    vec![
        Block::text(format!("Stitches are named in {custom} terms throughout.")),
        Block::Table { header, rows },
    ]
}
