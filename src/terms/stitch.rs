use super::Terms;

/// How tall a stitch is, shortest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Height {
    /// Chain.
    Chain,
    /// Slip stitch.
    Slip,
    /// US single crochet, UK double crochet.
    Single,
    /// US half double crochet, UK half treble.
    HalfDouble,
    /// US double crochet, UK treble.
    Double,
    /// US treble crochet, UK double treble.
    Treble,
    /// US double treble crochet, UK triple treble.
    DoubleTreble,
}

impl Height {
    /// Every height, shortest first.
    pub const ALL: [Height; 7] = [
        Height::Chain,
        Height::Slip,
        Height::Single,
        Height::HalfDouble,
        Height::Double,
        Height::Treble,
        Height::DoubleTreble,
    ];

    /// Name and abbreviation: US and UK as in the table of terms (okeydokeys.com, "How to read crochet
    /// abbreviations"; double treble from memory).
    fn words(self, terms: Terms) -> (&'static str, &'static str) {
        use Height::*;
        match (terms, self) {
            (_, Chain) => ("chain", "ch"),
            (Terms::Us, Slip) => ("slip stitch", "sl st"),
            (Terms::Uk, Slip) => ("slip stitch", "ss"),
            (Terms::Us, Single) => ("single crochet", "sc"),
            (Terms::Uk, Single) => ("double crochet", "dc"),
            (Terms::Us, HalfDouble) => ("half double crochet", "hdc"),
            (Terms::Uk, HalfDouble) => ("half treble", "htr"),
            (Terms::Us, Double) => ("double crochet", "dc"),
            (Terms::Uk, Double) => ("treble", "tr"),
            (Terms::Us, Treble) => ("treble crochet", "tr"),
            (Terms::Uk, Treble) => ("double treble", "dtr"),
            (Terms::Us, DoubleTreble) => ("double treble crochet", "dtr"),
            (Terms::Uk, DoubleTreble) => ("triple treble", "trtr"),
        }
    }

    /// Height of a plain stitch in stitch widths, from the usual growth of flat discs: 6 a round for sc,
    /// 8 for hdc, 12 for dc, 16–18 for tr, each divided by 2π (common practice, no source). Slip stitch,
    /// chain and double treble are from memory.
    pub fn in_widths(self) -> f64 {
        match self {
            Height::Chain => 0.5,
            Height::Slip => 0.35,
            Height::Single => 0.95,
            Height::HalfDouble => 1.27,
            Height::Double => 1.91,
            Height::Treble => 2.7,
            Height::DoubleTreble => 3.5,
        }
    }

    /// Chains that lift the hook to this height at the start of a row or round: sc 1, hdc 2, dc 3, tr 4
    /// (common practice, no source; tr and dtr from memory).
    pub fn turning_chains(self) -> u32 {
        match self {
            Height::Chain | Height::Slip => 0,
            Height::Single => 1,
            Height::HalfDouble => 2,
            Height::Double => 3,
            Height::Treble => 4,
            Height::DoubleTreble => 5,
        }
    }

    /// Bars across the stem of the symbol: one for dc, two for tr, three for dtr.
    pub fn bars(self) -> u32 {
        match self {
            Height::Double => 1,
            Height::Treble => 2,
            Height::DoubleTreble => 3,
            _ => 0,
        }
    }
}

/// How a stitch is made at its height.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Form {
    /// As it comes.
    Plain,
    /// With one more chain at its foot.
    Extended,
    /// This many stitches finished as one: one head, a foot in each of as many places.
    Together(u8),
    /// This many barred stems in one place, joined at the head.
    Bobble(u8),
    /// This many stitches in one place, drawn together by the hook through the first.
    Popcorn(u8),
    /// This many loops drawn up in one place, joined at the head.
    Puff(u8),
    /// With a long loop of yarn left at its back.
    Loop,
    /// Worked backwards, from left to right for a right-hander.
    Reverse,
    /// Down into a round below the last, its yarn drawn up over the stitches between.
    Spike,
}

/// One stitch of the model: what leaves one head, whatever it is worked into.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Stitch {
    /// How tall it is.
    pub height: Height,
    /// How it is made.
    pub form: Form,
}

impl Stitch {
    /// A plain stitch of a height.
    pub const fn plain(height: Height) -> Stitch {
        Stitch {
            height,
            form: Form::Plain,
        }
    }

    /// `count` stitches of a height worked together; plain for a count of one.
    pub const fn together(height: Height, count: u8) -> Stitch {
        let form = if count < 2 {
            Form::Plain
        } else {
            Form::Together(count)
        };
        Stitch { height, form }
    }

    /// How many places of the round below it is worked into.
    pub fn feet(self) -> u32 {
        match self.form {
            Form::Together(n) => u32::from(n),
            _ => 1,
        }
    }

    /// The trade's abbreviation, such as `sc`, `dc3tog`, `bobble`.
    pub fn abbreviation(self, terms: Terms) -> String {
        let base = self.height.words(terms).1;
        match self.form {
            Form::Plain => base.to_owned(),
            Form::Extended => format!("e{base}"),
            Form::Together(n) => format!("{base}{n}tog"),
            Form::Bobble(_) => "bobble".to_owned(),
            Form::Popcorn(_) => "pc".to_owned(),
            Form::Puff(_) => "puff".to_owned(),
            Form::Loop => "loop st".to_owned(),
            Form::Reverse => format!("rev {base}"),
            Form::Spike => "spike st".to_owned(),
        }
    }

    /// The full name, such as `single crochet 2 together`.
    pub fn name(self, terms: Terms) -> String {
        let base = self.height.words(terms).0;
        match self.form {
            Form::Plain => base.to_owned(),
            Form::Extended => format!("extended {base}"),
            Form::Together(n) => format!("{base} {n} together"),
            Form::Bobble(n) => format!("bobble of {n} {base}"),
            Form::Popcorn(n) => format!("popcorn of {n} {base}"),
            Form::Puff(n) => format!("puff stitch of {n} loops"),
            Form::Loop => "loop stitch".to_owned(),
            Form::Reverse => format!("reverse {base}"),
            Form::Spike => "spike stitch".to_owned(),
        }
    }

    /// Height in stitch widths.
    pub fn in_widths(self) -> f64 {
        let base = self.height.in_widths();
        match self.form {
            Form::Extended => base + 0.5,
            _ => base,
        }
    }
}
