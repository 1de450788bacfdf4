//! Words for a model, in the style of some hand.

use crate::dice::Dice;
use crate::model::{Kind, Lift, Loops, Move, Piece, Round, Start, Toy};
use crate::style::{Letters, Style};

/// A pattern in words, and where its rounds stand.
pub struct Text {
    pub text: String,
    /// For each piece, for each of its rounds as modelled: the line of its label, from 1, and whether a total is stated.
    pub lines: Vec<Vec<(usize, bool)>>,
}

/// A round that is to be wrong: its numbers are all written out.
#[derive(Debug, Clone)]
pub struct Slip {
    pub piece: usize,
    pub round: usize,
    pub moves: Vec<Move>,
    pub stated: u32,
}

pub fn spell(toy: &Toy, slip: Option<&Slip>, dice: &mut Dice) -> Text {
    let mut style = Style::new(dice);
    // The wrong round alone would have no total to hold what follows to.
    style.bare &= slip.is_none();
    let mut speller = Speller {
        style,
        dice,
        text: String::new(),
    };
    speller.head(toy);
    let mut lines = Vec::new();
    for (place, piece) in toy.pieces.iter().enumerate() {
        let slip = slip.filter(|slip| slip.piece == place);
        lines.push(speller.piece(toy, piece, slip));
    }
    Text {
        text: speller.text,
        lines,
    }
}

const NUMBERS: [&str; 13] = [
    "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
    "eleven", "twelve",
];

struct Speller<'d> {
    style: Style,
    dice: &'d mut Dice,
    text: String,
}

/// What is known about the round whose moves are spelled.
#[derive(Clone, Copy)]
struct About<'r> {
    round: &'r Round,
    /// Every number has to be written out.
    exact: bool,
    /// The total is stated, so that doubtful words can be told.
    stated: bool,
    /// All stitches are sc, so that `inc` says enough.
    only_sc: bool,
    is_row: bool,
    /// In brackets.
    depth: usize,
}

impl Speller<'_> {
    fn head(&mut self, toy: &Toy) {
        self.text.push_str("# A thing for the harbour\n\n");
        let terms = if self.style.uk { "UK" } else { "US" };
        self.text.push_str(&format!("Terms: {terms}\n"));
        let colours = ["navy", "white", "cork"];
        for (letter, colour) in ["A", "B", "C"].iter().zip(colours).take(toy.yarns) {
            self.text
                .push_str(&format!("Yarn {letter}: {colour}, DK\n"));
        }
    }

    fn line(&self) -> usize {
        self.text.matches('\n').count() + 1
    }

    fn piece(&mut self, toy: &Toy, piece: &Piece, slip: Option<&Slip>) -> Vec<(usize, bool)> {
        let name = match piece.make {
            1 => piece.name.to_owned(),
            n => format!("{} (make {n})", piece.name),
        };
        let heading = match self.style.heading {
            1 => format!("\n{name}\n\n"),
            2 => format!("\n**{name}**\n\n"),
            3 => format!("\n### {name}\n"),
            _ => format!("\n## {name}\n"),
        };
        self.text.push_str(&heading);
        let mut lines = Vec::new();
        let mut number = 1;
        for (place, round) in piece.rounds.iter().enumerate() {
            lines.push({
                let slip = slip.filter(|slip| slip.round == place);
                let line = self.line();
                let stated = self.round(toy, piece, place, number, slip);
                (line, stated)
            });
            number += round.times;
            if self.dice.once_in(12) {
                self.text
                    .push_str("It should look like a small bowl now; don’t worry.\n");
            }
        }
        self.text.push_str("Fasten off.\n");
        lines
    }

    /// Writes a round's line, and says whether its total is stated.
    fn round(
        &mut self,
        toy: &Toy,
        piece: &Piece,
        place: usize,
        number: u32,
        slip: Option<&Slip>,
    ) -> bool {
        let round = &piece.rounds[place];
        let mut words = String::new();
        // Bridging chains that are counted are known by the total alone, unless the next round works into them.
        let stated =
            slip.is_some() || !self.style.bare || round.counts_chains && round.has_chains();
        let moves = slip.map_or(&round.moves, |slip| &slip.moves);
        let about = About {
            round,
            exact: slip.is_some(),
            stated,
            only_sc: only_sc(moves) && (names_sc(moves) || all_sc(piece, place)),
            is_row: piece.start == Start::Row,
            depth: 0,
        };
        let body = if place == 0 {
            self.first_body(piece, round, moves)
        } else {
            self.body(about, moves)
        };
        words.push_str(&body);
        if round.lift != Lift::None && piece.start != Start::Row {
            let first = match (round.lift, moves.iter().find_map(first_kind)) {
                (Lift::Counts, _) => "top of beg ch-3".to_owned(),
                (_, Some(kind)) => format!("first {}", self.name(kind)),
                (_, None) => "first st".to_owned(),
            };
            words.push_str(&format!(", join with sl st to {first}"));
        } else if piece.start == Start::Row {
            words.push_str(", turn");
        }
        let total = if stated {
            self.total(
                round,
                piece.start == Start::Tube && place == 0,
                slip.map(|slip| slip.stated),
            )
        } else {
            String::new()
        };
        let words = self.lettered(&words, toy.yarns > 0);
        let label = self.label(piece, number, round.times);
        let line = format!("{label}{words}{total}");
        let line = self.spaced(&line);
        self.text.push_str(&line);
        self.text.push('\n');
        stated
    }

    fn lettered(&self, words: &str, has_yarns: bool) -> String {
        match self.style.letters {
            Letters::Upper => words.to_uppercase(),
            Letters::Lower if !has_yarns => words.to_lowercase(),
            Letters::Sentence => {
                let mut letters = words.chars();
                letters.next().map_or(String::new(), |first| {
                    first.to_uppercase().chain(letters).collect()
                })
            }
            _ => words.to_owned(),
        }
    }

    /// No-break spaces and wrapped lines.
    fn spaced(&mut self, line: &str) -> String {
        let mut out = String::new();
        let mut since = 0;
        let words: Vec<&str> = line.split(' ').collect();
        for (at, word) in words.iter().enumerate() {
            if at > 0 {
                // `* 5. 15 sts` at the front of a line is a bullet and a number.
                let may_wrap = self.style.wraps
                    && at > 4
                    && since > 24
                    && !(*word == "*" && matches!(self.style.total, 7 | 8));
                if may_wrap && self.dice.once_in(2) {
                    out.push_str(self.dice.pick(&["\n", "\n    "]));
                    since = 0;
                } else if self.style.no_break_spaces && self.dice.once_in(3) {
                    out.push('\u{a0}');
                } else {
                    out.push(' ');
                }
            }
            out.push_str(word);
            since += word.len() + 1;
        }
        out
    }

    fn label(&mut self, piece: &Piece, number: u32, times: u32) -> String {
        let last = number + times - 1;
        let is_row = piece.start == Start::Row;
        let (short, long) = if is_row {
            ("Row", "Row")
        } else {
            ("Rnd", "Round")
        };
        let label = if times > 1 {
            match self.style.ranges {
                1 => format!("{short}s {number}–{last}:"),
                2 => format!("{long}s {number} to {last}:"),
                3 => format!("{short} {number} to {short} {last}:"),
                4 if times == 2 => format!("{short}s {number} & {last}:"),
                5 if !is_row => format!("R{number}-R{last}:"),
                _ => format!("{short}s {number}-{last}:"),
            }
        } else {
            match self.style.label {
                1 => format!("{long} {number}:"),
                2 if !is_row => format!("R{number}:"),
                3 => format!("{short}. {number})"),
                4 if !is_row => format!("R {number}."),
                5 if !is_row => format!("Rd {number}:"),
                6 if !is_row => format!("{number}."),
                7 if !is_row => format!("{number})"),
                8 => format!("{number}{} {}:", ordinal(number), short.to_lowercase()),
                9 => format!("{} {number}:", short.to_uppercase()),
                10 => format!("{short} {number} -"),
                11 => format!("{number} {}:", short.to_lowercase()),
                _ => format!("{short} {number}:"),
            }
        };
        let bullet = self.style.bullet;
        if self.style.bold {
            format!("{bullet}**{label}** ")
        } else {
            format!("{bullet}{label} ")
        }
    }

    fn total(&mut self, round: &Round, is_tube: bool, slip: Option<u32>) -> String {
        let count = slip.unwrap_or(round.count());
        let spaces = round.spaces();
        if slip.is_none() && spaces > 0 && !round.counts_chains && self.dice.once_in(2) {
            let chains = round.made.iter().filter(|made| made.bridge).count() as u32 / spaces;
            return format!(" ({count} sts, {spaces} ch-{chains} sps)");
        }
        let open = [("(", ")"), ("[", "]"), ("{", "}")][self.dice.roll(3)];
        let total = match self.style.total {
            1 => format!(" [{count}]"),
            2 => format!(" {{{count} sts}}"),
            3 => format!(" ({count} sts)"),
            4 => format!(" = {count}"),
            5 if round.lift == Lift::None && !is_tube => format!(" – {count} sts"),
            6 => format!(" → {count}"),
            7 => format!(". {count} sts."),
            8 => format!(". {}{count} sts in all{}", open.0, open.1),
            9 => format!(" ({count} stitches)"),
            _ => format!(" ({count})"),
        };
        let bracketed = total.ends_with([')', ']', '}']);
        match self.dice.roll(10) {
            9 if bracketed => total + ", place a marker",
            8 if bracketed => total + ". Stuff lightly.",
            7 if bracketed => total + ".",
            _ => total,
        }
    }

    fn name(&self, kind: Kind) -> &'static str {
        match (self.style.uk, self.style.full_names, kind) {
            (false, false, kind) => kind.us(),
            (false, true, Kind::Sc) => "single crochet",
            (false, true, Kind::Hdc) => "half double crochet",
            (false, true, Kind::Dc) => "double crochet",
            (true, false, Kind::Sc) => "dc",
            (true, false, Kind::Hdc) => "htr",
            (true, false, Kind::Dc) => "tr",
            (true, true, Kind::Sc) => "double crochet",
            (true, true, Kind::Hdc) => "half treble",
            (true, true, Kind::Dc) => "treble",
        }
    }

    /// The abbreviation, for forms that have no long one.
    fn short(&self, kind: Kind) -> &'static str {
        match (self.style.uk, kind) {
            (false, kind) => kind.us(),
            (true, Kind::Sc) => "dc",
            (true, Kind::Hdc) => "htr",
            (true, Kind::Dc) => "tr",
        }
    }

    /// A star after a word would be a repeat.
    fn sign(&self) -> &'static str {
        match self.style.times_sign {
            "*" => "x",
            sign => sign,
        }
    }

    fn skip(&self) -> &'static str {
        if self.style.uk { "miss" } else { "skip" }
    }

    fn first_body(&mut self, piece: &Piece, round: &Round, moves: &[Move]) -> String {
        let Some(&Move::Plain { kind, n }) = moves.first() else {
            return String::new();
        };
        let name = self.name(kind);
        match (piece.start, round.lift) {
            (Start::MagicRing, Lift::Counts) => {
                let ring = self.dice.pick(&["magic ring", "MR"]);
                format!(
                    "ch 3 (counts as {}), {} {name} in {ring}",
                    self.short(kind),
                    n - 1
                )
            }
            (Start::MagicRing, Lift::Apart(chains)) => {
                let says = if kind == Kind::Hdc {
                    " (does not count as a st)"
                } else {
                    ""
                };
                format!("ch {chains}{says}, {n} {name} in magic ring")
            }
            (Start::MagicRing, Lift::None) => match self.dice.roll(6) {
                1 => format!("{n} {name} in MR"),
                2 => format!("{name} {n} in magic circle"),
                3 => format!("make a magic ring, {n} {name} in ring"),
                4 => format!("{n} {name} into an adjustable ring"),
                5 if n < 13 => format!("{} {name} in magic ring", NUMBERS[n as usize]),
                _ => format!("{n} {name} in magic ring"),
            },
            (Start::TwoChains, _) => format!("ch 2, {n} {name} in 2nd ch from hook"),
            (Start::Tube, _) => match self.dice.roll(2) {
                1 => format!("ch {n}, join with sl st to first ch"),
                _ => format!("ch {n}, join with sl st to form a ring"),
            },
            (Start::Row, _) => format!(
                "ch {}, {name} in 2nd ch from hook and in each ch across",
                n + 1
            ),
        }
    }

    fn body(&mut self, about: About<'_>, moves: &[Move]) -> String {
        let mut words = String::new();
        match about.round.lift {
            Lift::None => {}
            Lift::Apart(1) => words.push_str("ch 1, "),
            Lift::Apart(chains) => {
                words.push_str(&format!("ch {chains} (does not count as a st), "));
            }
            Lift::Counts => {
                let name = self.short(Kind::Dc);
                words.push_str(&format!("ch 3 (counts as {name}), "));
            }
        }
        let mut moves = moves.to_vec();
        let mut about = about;
        if about.round.lift == Lift::Counts
            && let Some(Move::Plain { n, .. }) = moves.first_mut()
        {
            *n -= 1;
            if *n == 0 {
                moves.remove(0);
            }
            about.stated = false;
        }
        let loops = match about.round.loops {
            Loops::Both => "",
            Loops::Back => self.dice.pick(&[
                "BLO, ",
                "in back loops only, ",
                "in BLO: ",
                "working in back loops only, ",
            ]),
            Loops::Front => self
                .dice
                .pick(&["FLO, ", "in front loops only, ", "in FLO: "]),
        };
        words.push_str(loops);
        words.push_str(&self.list(about, &moves));
        words
    }

    fn list(&mut self, about: About<'_>, moves: &[Move]) -> String {
        let mut words: Vec<String> = Vec::new();
        let mut at = 0;
        while let Some(one) = moves.get(at) {
            let is_last = at + 1 == moves.len() && about.depth == 0;
            let is_alone = is_last
                && !moves[..at].iter().any(|one| !matches!(one, Move::Yarn(_)))
                && about.round.lift != Lift::Counts;
            if let (&Move::Yarn(letter), Some(&Move::Plain { kind, n })) = (one, moves.get(at + 1))
            {
                let work = self.plain(about, kind, n, false, false);
                words.push(match self.dice.roll(4) {
                    1 => format!("({letter}) {work}"),
                    2 => format!("using {letter}, {work}"),
                    3 => format!("{n} {} in {letter}", self.name(kind)),
                    _ => format!("with {letter}, {work}"),
                });
                at += 2;
                continue;
            }
            words.push(match *one {
                Move::Yarn(letter) => format!("with {letter}"),
                Move::Plain { kind, n } => self.plain(about, kind, n, is_last, is_alone),
                Move::Inc { kind, size, n } => self.inc(about, kind, size, n, is_alone),
                Move::Dec { kind, size, n } => self.dec(about, kind, size, n, is_alone),
                Move::Post { front, kind, n } => self.post(about, front, kind, n, is_alone),
                Move::Net { kind, chains, skip } => self.net(kind, chains, skip),
                Move::InSpace { kind, each, chains } => {
                    format!("{each} {} in next ch-{chains} sp", self.name(kind))
                }
                Move::EachAndChains { kind } => {
                    let name = self.name(kind);
                    match self.dice.roll(2) {
                        1 => format!("{name} in each st and ch around"),
                        _ => format!("{name} in each st and in each ch around"),
                    }
                }
                Move::Join { copy, n } => {
                    let copy = if copy == 1 { "first" } else { "second" };
                    format!(
                        "{n} {} through both layers of the {copy} fin",
                        self.name(Kind::Sc)
                    )
                }
                Move::Repeat { ref moves, times } => {
                    self.repeat(about, moves, times, is_last, is_alone)
                }
            });
            at += 1;
        }
        let joins = moves.iter().any(|one| matches!(one, Move::Join { .. }));
        let separator = match self.style.separator {
            " and " if words.len() != 2 || joins => ", ",
            _ if about.depth > 0 => ", ",
            usual => usual,
        };
        words.join(separator)
    }

    /// How far it goes where it goes all the way.
    fn all_the_way(&self, about: About<'_>) -> &'static str {
        if about.is_row { "across" } else { "around" }
    }

    fn plain(&mut self, about: About<'_>, kind: Kind, n: u32, last: bool, alone: bool) -> String {
        let name = self.name(kind);
        let way = self.all_the_way(about);
        if alone && !about.exact {
            match self.dice.roll(6) {
                0 => return format!("{name} in each st {way}"),
                1 => return format!("{name} {way}"),
                2 => return format!("1 {name} in each st {way}"),
                3 => return format!("{name} in all {n} sts"),
                _ => {}
            }
        } else if last && !about.exact && self.dice.once_in(3) {
            return match self.dice.roll(3) {
                1 => format!("{name} to end"),
                2 => format!("{name} in each remaining st"),
                _ => format!("{name} in each st to end"),
            };
        }
        let habit = if self.dice.once_in(4) {
            self.dice.roll(9)
        } else {
            self.style.number
        };
        match (habit, n) {
            (1, 1) => format!("1 {name}"),
            (2 | 3, 1) => format!("{name} in next st"),
            (4, 1) => format!("{name} in the next st"),
            (_, 1) => name.to_owned(),
            (1, n) => format!("{name} {n}"),
            (2, n) => format!("{name} in next {n} sts"),
            (3, n) => format!("{name} in each of the next {n} sts"),
            (4, n) => format!("1 {name} in each of next {n} sts"),
            (5, n) if !self.style.full_names => format!("{n}{name}"),
            (6, n) if n < 13 => format!("{} {name}", NUMBERS[n as usize]),
            (7, n) => format!("{name} into each of next {n} stitches"),
            (_, n) => format!("{n} {name}"),
        }
    }

    fn inc(&mut self, about: About<'_>, kind: Kind, size: u32, n: u32, alone: bool) -> String {
        let name = self.name(kind);
        let way = self.all_the_way(about);
        let plain_inc = size == 2 && about.only_sc;
        if alone && !about.exact {
            match self.dice.roll(4) {
                0 if plain_inc => return format!("inc {way}"),
                1 if plain_inc => return format!("inc in each st {way}"),
                2 => return format!("{size} {name} in each st {way}"),
                _ => {}
            }
        }
        let sign = self.sign();
        match (self.dice.roll(7), n) {
            (0..=2, 1) if plain_inc => "inc".to_owned(),
            (3, 1) if plain_inc => "inc in next st".to_owned(),
            (4, 1) if plain_inc && about.depth == 0 => "1 inc".to_owned(),
            (5, 1) if size == 3 && about.only_sc => "inc3".to_owned(),
            (6, 1) if size == 2 && !self.style.full_names => format!("{name}-inc in next st"),
            (_, 1) => format!("{size} {name} in next st"),
            (0 | 1, n) if plain_inc => format!("{n} inc"),
            (2, n) if plain_inc && about.depth == 0 => format!("inc {sign} {n}"),
            (3, n) if plain_inc && about.stated && !about.exact => format!("inc {n}"),
            (4, n) if plain_inc => format!("inc in each of next {n} sts"),
            (5, n) if about.depth == 0 => format!("({size} {name} in next st) {sign} {n}"),
            (_, n) => format!("{size} {name} in each of next {n} sts"),
        }
    }

    fn dec(&mut self, about: About<'_>, kind: Kind, size: u32, n: u32, alone: bool) -> String {
        let short = self.short(kind);
        let way = self.all_the_way(about);
        let plain_dec = size == 2 && about.only_sc;
        if alone && !about.exact {
            match self.dice.roll(3) {
                0 if plain_dec => return format!("dec {way}"),
                1 => return format!("{short}{size}tog {way}"),
                _ => {}
            }
        }
        let sign = self.sign();
        match (self.dice.roll(6), n) {
            (0 | 1, 1) if plain_dec => "dec".to_owned(),
            (2, 1) if plain_dec && about.depth == 0 => "1 dec".to_owned(),
            (3, 1) if plain_dec => "dec over next 2 sts".to_owned(),
            (4, 1) => format!("{short}{size}tog over next {size} sts"),
            (_, 1) => format!("{short}{size}tog"),
            (0 | 1, n) if plain_dec => format!("{n} dec"),
            (2, n) if plain_dec && about.depth == 0 => format!("dec {sign} {n}"),
            (3, n) if plain_dec && about.stated && !about.exact => format!("dec {n}"),
            (4, n) => format!("{n} {short}{size}tog"),
            (_, n) => format!("{short}{size}tog {n} times"),
        }
    }

    fn post(&mut self, about: About<'_>, front: bool, kind: Kind, n: u32, alone: bool) -> String {
        let name = format!("{}{}", if front { "FP" } else { "BP" }, self.short(kind));
        match n {
            _ if alone && !about.exact && self.dice.roll(2) == 0 => {
                format!("{name} around each st around")
            }
            1 => format!("{name} around next st"),
            n => format!("({name} around next st) x {n}"),
        }
    }

    fn net(&mut self, kind: Kind, chains: u32, skip: u32) -> String {
        let name = self.name(kind);
        let work = if self.dice.once_in(2) {
            format!("{name} in next st")
        } else {
            name.to_owned()
        };
        let over = self.skip();
        match (skip, self.dice.roll(2)) {
            (0, _) => format!("{work}, ch {chains}"),
            (1, 0) => format!("{work}, ch {chains}, {over} 1 st"),
            (1, _) => format!("{work}, ch {chains}, {over} next st"),
            (n, 0) => format!("{work}, ch {chains}, {over} {n} sts"),
            (n, _) => format!("{work}, ch {chains}, {over} next {n} sts"),
        }
    }

    fn repeat(
        &mut self,
        about: About<'_>,
        moves: &[Move],
        times: u32,
        last: bool,
        alone: bool,
    ) -> String {
        if let (&[Move::InSpace { kind, each, chains }], false) = (moves, about.exact)
            && self.dice.roll(3) > 0
        {
            let name = self.name(kind);
            let space = self.dice.pick(&["sp", "space"]);
            return format!("{each} {name} in each ch-{chains} {space} around");
        }
        let inner = About {
            depth: about.depth + 1,
            ..about
        };
        let list = self.list(inner, moves);
        let (open, close) = self.style.brackets;
        let sign = self.style.times_sign;
        let way = self.all_the_way(about);
        if about.depth > 0 {
            // The outer repeat may be in brackets of this kind, or between stars.
            return match self.style.repeat % 3 {
                0 => format!("({list}) x {times}"),
                1 => format!("({list}) {times} times"),
                _ => format!("({list}) {}", times_word(times)),
            };
        }
        if last && !about.exact {
            match self.style.repeat {
                9 => return format!("*{list}; rep from * {way}"),
                10 => return format!("*{list}* {way}"),
                11 => return format!("{open}{list}{close} {way}"),
                12 => return format!("*{list}; repeat from * to end"),
                13 if alone && !moves.iter().any(|one| matches!(one, Move::Repeat { .. })) => {
                    return format!("{list}, repeat {way}");
                }
                _ => {}
            }
        }
        match self.style.repeat {
            1 => format!("{open}{list}{close} {times} times"),
            2 => format!("{open}{list}{close} {}", times_word(times)),
            3 if self.style.label != 10 => format!("{times} {sign} {open}{list}{close}"),
            4 if self.style.label != 10 && open != "{" => format!("{times}{open}{list}{close}"),
            5 => match times - 1 {
                1 => format!("*{list}; rep from * once more"),
                more => format!("*{list}; rep from * {more} more times"),
            },
            6 => format!("*{list}* {times} times"),
            7 => format!("*{list}*; repeat from * to * {} more times", times - 1),
            8 => format!("*{list}*, work from * to * a total of {times} times"),
            9 if about.stated && !about.exact => format!("*{list}; rep from * {times} times"),
            _ => format!("{open}{list}{close} {sign} {times}"),
        }
    }
}

fn times_word(times: u32) -> String {
    match times {
        2 => "twice".to_owned(),
        n if n < 13 => format!("{} times", NUMBERS[n as usize]),
        n => format!("{n} times"),
    }
}

fn ordinal(number: u32) -> &'static str {
    match (number % 10, number % 100) {
        (_, 11..=13) => "th",
        (1, _) => "st",
        (2, _) => "nd",
        (3, _) => "rd",
        _ => "th",
    }
}

/// The kind of the first stitch.
fn first_kind(one: &Move) -> Option<Kind> {
    match one {
        Move::Plain { kind, .. }
        | Move::Inc { kind, .. }
        | Move::Net { kind, .. }
        | Move::InSpace { kind, .. }
        | Move::EachAndChains { kind } => Some(*kind),
        Move::Repeat { moves, .. } => moves.iter().find_map(first_kind),
        Move::Dec { .. } | Move::Post { .. } | Move::Yarn(_) | Move::Join { .. } => None,
    }
}

/// Says `sc` somewhere, so that `inc` and `dec` can be of no other kind.
fn names_sc(moves: &[Move]) -> bool {
    moves.iter().any(|one| match one {
        Move::Plain { kind, .. } => *kind == Kind::Sc,
        Move::Repeat { moves, .. } => names_sc(moves),
        _ => false,
    })
}

/// The round below has nothing but short stitches.
fn all_sc(piece: &Piece, place: usize) -> bool {
    place > 0
        && piece.rounds[place - 1]
            .made
            .iter()
            .all(|made| made.kind.starts_with("sc"))
}

fn only_sc(moves: &[Move]) -> bool {
    moves.iter().all(|one| match one {
        Move::Plain { kind, .. } | Move::Inc { kind, .. } | Move::Dec { kind, .. } => {
            *kind == Kind::Sc
        }
        Move::Repeat { moves, .. } => only_sc(moves),
        _ => true,
    })
}
