//! Patterns as moves of the hook, with an arithmetic of their own: what each stitch is, and what it stands on.

/// A plain stitch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    Sc,
    Hdc,
    Dc,
}

impl Kind {
    pub fn us(self) -> &'static str {
        match self {
            Kind::Sc => "sc",
            Kind::Hdc => "hdc",
            Kind::Dc => "dc",
        }
    }
}

/// Something that the hook does. Numbers are never 0.
#[derive(Debug, Clone, PartialEq)]
pub enum Move {
    /// One in each of `n` stitches.
    Plain { kind: Kind, n: u32 },
    /// `size` in one stitch, `n` times.
    Inc { kind: Kind, size: u32, n: u32 },
    /// `size` worked as one, `n` times.
    Dec { kind: Kind, size: u32, n: u32 },
    /// Round the posts of `n` stitches.
    Post { front: bool, kind: Kind, n: u32 },
    /// A stitch, chains, and stitches left out below them.
    Net { kind: Kind, chains: u32, skip: u32 },
    /// So many in the next chain space.
    InSpace { kind: Kind, each: u32, chains: u32 },
    /// One in each stitch and chain that is left.
    EachAndChains { kind: Kind },
    /// The moves again and again.
    Repeat { moves: Vec<Move>, times: u32 },
    /// Another yarn from here on.
    Yarn(char),
    /// `n` stitches through both layers of a copy of a part as well.
    Join { copy: u32, n: u32 },
}

/// The loops that a round goes into.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Loops {
    Both,
    Back,
    Front,
}

/// How a round starts and ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lift {
    /// A spiral.
    None,
    /// Chains that are no stitch.
    Apart(u32),
    /// Three chains in place of the first stitch, a dc.
    Counts,
}

/// What the first round goes into.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Start {
    MagicRing,
    /// The second of two chains.
    TwoChains,
    /// The first round is a ring of chains itself.
    Tube,
    /// A chain to work back along.
    Row,
}

/// Rounds worked alike.
#[derive(Debug, Clone)]
pub struct Round {
    pub moves: Vec<Move>,
    pub loops: Loops,
    pub lift: Lift,
    /// How many of them.
    pub times: u32,
    /// What each leaves, as worked by this model.
    pub made: Vec<Made>,
    /// The stated total counts the bridging chains as well.
    pub counts_chains: bool,
}

impl Round {
    /// The total by the custom of the round's words.
    pub fn count(&self) -> u32 {
        let chains = self.made.iter().filter(|made| made.bridge).count();
        let all = self.made.len() as u32;
        if self.counts_chains {
            all
        } else {
            all - chains as u32
        }
    }

    pub fn spaces(&self) -> u32 {
        spaces(&self.made)
    }

    pub fn has_chains(&self) -> bool {
        self.made.iter().any(|made| made.bridge)
    }
}

/// How many runs of bridging chains there are.
fn spaces(made: &[Made]) -> u32 {
    let opens = |at: usize| made[at].bridge && (at == 0 || !made[at - 1].bridge);
    (0..made.len()).filter(|&at| opens(at)).count() as u32
}

#[derive(Debug, Clone)]
pub struct Piece {
    pub name: &'static str,
    pub make: u32,
    pub start: Start,
    pub joined: bool,
    pub rounds: Vec<Round>,
}

#[derive(Debug, Clone)]
pub struct Toy {
    /// Yarns A to D.
    pub yarns: usize,
    pub pieces: Vec<Piece>,
}

/// A stitch that the next round can stand on.
#[derive(Debug, Clone, PartialEq)]
pub struct Made {
    /// Its abbreviation in US terms.
    pub kind: String,
    /// What it is worked into; `None` where customs of saying so differ.
    pub into: Option<&'static str>,
    /// Places among what the round below leaves, in the order in which that was made; `None` like `into`.
    pub feet: Option<Vec<usize>>,
    pub yarn: char,
    pub bridge: bool,
    /// Goes through this copy of the part.
    pub joins: Option<u32>,
}

/// What working a round comes to.
pub struct Worked {
    pub made: Vec<Made>,
    /// It uses up the round below, no more and no less.
    pub fits: bool,
}

/// The work of one round onto what the round below left, `below` in the order in which the hook meets it.
pub struct Hook<'b> {
    below: &'b [Made],
    /// For each of `below`, its place in the order in which it was made.
    order: Vec<usize>,
    at: usize,
    into: &'static str,
    short: bool,
    pub yarn: char,
    made: Vec<Made>,
}

impl<'b> Hook<'b> {
    /// Onto a round, or back along a row.
    pub fn new(below: &'b [Made], turned: bool, loops: Loops, yarn: char) -> Hook<'b> {
        let mut order: Vec<usize> = (0..below.len()).collect();
        if turned {
            order.reverse();
        }
        let into = match loops {
            Loops::Both => "stitch",
            Loops::Back => "back loop",
            Loops::Front => "front loop",
        };
        Hook {
            below,
            order,
            at: 0,
            into,
            short: false,
            yarn,
            made: Vec::new(),
        }
    }

    pub fn run(mut self, moves: &[Move], lift: Lift) -> (Worked, char) {
        self.moves(moves);
        if lift == Lift::Counts
            && let Some(first) = self.made.first_mut()
        {
            first.kind = "ch".to_owned();
            first.into = None;
            first.feet = None;
        }
        let left = self.order[self.at.min(self.order.len())..]
            .iter()
            .any(|&place| !self.below[place].bridge);
        let worked = Worked {
            made: self.made,
            fits: !left && !self.short,
        };
        (worked, self.yarn)
    }

    fn moves(&mut self, moves: &[Move]) {
        for one in moves {
            match one {
                &Move::Plain { kind, n } => {
                    for _ in 0..n {
                        self.stand(kind.us(), 1);
                    }
                }
                &Move::Inc { kind, size, n } => {
                    for _ in 0..n {
                        self.stand(kind.us(), 1);
                        self.again(size - 1);
                    }
                }
                &Move::Dec { kind, size, n } => {
                    for _ in 0..n {
                        self.stand(&format!("{}{size}tog", kind.us()), size);
                    }
                }
                &Move::Post { front, kind, n } => {
                    for _ in 0..n {
                        self.stand(kind.us(), 1);
                        if let Some(last) = self.made.last_mut() {
                            last.into = Some(if front { "front post" } else { "back post" });
                        }
                    }
                }
                &Move::Net { kind, chains, skip } => {
                    self.stand(kind.us(), 1);
                    for _ in 0..chains {
                        self.make("ch", None, None, true);
                    }
                    for _ in 0..skip {
                        self.next();
                    }
                }
                &Move::InSpace { kind, each, .. } => self.in_space(kind, each),
                &Move::EachAndChains { kind } => {
                    while let Some(&place) = self.order.get(self.at) {
                        self.at += 1;
                        let into = (!self.below[place].bridge).then_some(self.into);
                        self.make(kind.us(), into, Some(vec![place]), false);
                    }
                }
                Move::Repeat { moves, times } => {
                    for _ in 0..*times {
                        self.moves(moves);
                    }
                }
                &Move::Yarn(letter) => self.yarn = letter,
                &Move::Join { copy, n } => {
                    for _ in 0..n {
                        self.stand("sc", 1);
                        if let Some(last) = self.made.last_mut() {
                            last.joins = Some(copy);
                        }
                    }
                }
            }
        }
    }

    fn make(
        &mut self,
        kind: &str,
        into: Option<&'static str>,
        feet: Option<Vec<usize>>,
        bridge: bool,
    ) {
        self.made.push(Made {
            kind: kind.to_owned(),
            into,
            feet,
            yarn: self.yarn,
            bridge,
            joins: None,
        });
    }

    /// The next stitch below; chains are passed over.
    fn next(&mut self) -> Option<usize> {
        while let Some(&place) = self.order.get(self.at) {
            self.at += 1;
            if !self.below[place].bridge {
                return Some(place);
            }
        }
        self.short = true;
        None
    }

    fn stand(&mut self, kind: &str, on: u32) {
        let feet: Vec<usize> = (0..on).filter_map(|_| self.next()).collect();
        // Into the loops of a chain: customs of saying so differ.
        let on_chain = feet.iter().any(|&place| self.below[place].kind == "ch");
        let into = (!on_chain).then_some(self.into);
        self.make(kind, into, Some(feet), false);
    }

    fn again(&mut self, more: u32) {
        if let Some(last) = self.made.last().cloned() {
            self.made.extend((0..more).map(|_| last.clone()));
        }
    }

    fn in_space(&mut self, kind: Kind, each: u32) {
        let is_chain = |hook: &Hook, at: usize| {
            hook.order
                .get(at)
                .is_some_and(|&place| hook.below[place].bridge)
        };
        while self.at < self.order.len() && !is_chain(self, self.at) {
            self.at += 1;
        }
        let mut feet = Vec::new();
        while is_chain(self, self.at) {
            feet.push(self.order[self.at]);
            self.at += 1;
        }
        self.short |= feet.is_empty();
        for _ in 0..each {
            self.make(kind.us(), Some("space"), Some(feet.clone()), false);
        }
    }
}

/// A first round of `n` into a ring or a single chain.
pub fn first_round(start: Start, kind: Kind, n: u32, lift: Lift, yarn: char) -> Vec<Made> {
    let (kind, into) = match start {
        Start::MagicRing => (kind.us(), Some("ring")),
        Start::Tube => ("ch", None),
        Start::TwoChains | Start::Row => (kind.us(), None),
    };
    let made = |at| Made {
        kind: if at == 0 && lift == Lift::Counts {
            "ch"
        } else {
            kind
        }
        .to_owned(),
        into: into.filter(|_| at > 0 || lift != Lift::Counts),
        feet: (start == Start::MagicRing && (at > 0 || lift != Lift::Counts)).then(Vec::new),
        yarn,
        bridge: false,
        joins: None,
    };
    (0..n).map(made).collect()
}
