//! The words of the trade in one table: phrase → what it means. A new abbreviation is a new row.
//!
//! Phrases are in lower case, their words parted by single spaces. The longest phrase that fits wins.

use std::collections::BTreeMap;
use std::ops::Range;

use super::{Height, Terms};

/// What a word or phrase of the trade means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Word {
    /// A stitch of a height, by the custom of the text.
    Stitch(Height),
    /// `extended`, before a stitch.
    Extended,
    /// A short stitch with a long loop at its back.
    LoopStitch,
    /// A short stitch worked backwards.
    CrabStitch,
    /// Worked backwards; before a stitch.
    Reverse,
    /// Two stitches, the second into the place before the first's; before a stitch.
    Crossed,
    /// Two or more in one place.
    Increase,
    /// Two or more worked as one.
    Decrease,
    /// A decrease through the front loops alone.
    InvisibleDecrease,
    /// `together`, `tog`.
    Together,
    /// Barred stems joined at both ends.
    Bobble,
    /// Stitches drawn together at the top.
    Popcorn,
    /// Slip stitches on the finished fabric.
    Surface,
    /// Loops drawn up and joined.
    Puff,
    /// A loop of three chains closed by a slip stitch.
    Picot,
    /// A stitch round the post from the front; before a stitch.
    FrontPost,
    /// A stitch round the post from the back; before a stitch.
    BackPost,
    /// `post`, as in `around the post of`.
    Post,
    /// The back loops alone.
    BackLoop,
    /// The front loops alone.
    FrontLoop,
    /// Both loops again.
    BothLoops,
    /// The bar behind the two loops.
    ThirdLoop,
    /// Leave a stitch unworked.
    Skip,
    /// The ring that rounds start from.
    MagicRing,
    /// `ring`: of chains, or the magic one.
    Ring,
    /// `hook`, as in `from hook`.
    Hook,
    /// `st`, `sts`: whatever stitch is there.
    AnyStitch,
    /// A chain space.
    Space,
    /// A corner, of a square or of the edge of rows.
    Corner,
    /// `next`, `following`.
    Next,
    /// `each`, `every`.
    Each,
    /// `all`.
    All,
    /// `remaining`.
    Remaining,
    /// `last`, `final`.
    Last,
    /// `first`, `beginning`.
    First,
    /// `same`.
    Same,
    /// `around`, `across`, `to end`: as far as the round goes.
    Around,
    /// `work even`.
    Even,
    /// `evenly`, as in `inc 6 evenly`.
    Evenly,
    /// A stitch into the round under the one below, with its yarn drawn up.
    Spike,
    /// `petals`, `points`: a figure of many stitches, which a total may count.
    Figure,
    /// `times`.
    Times,
    /// `once`, `twice`, `thrice`.
    TimesWord(u32),
    /// `more`, as in `5 more times`.
    More,
    /// `in all`, `in total`, `a total of`.
    Total,
    /// `repeat`, `rep`.
    Repeat,
    /// `alternating around`: what stands before it, again and again.
    Alternating,
    /// `as set`, `in this manner`: on as the rounds before.
    GoOn,
    /// `join`.
    Join,
    /// `turn`.
    Turn,
    /// `change to`, `switch to`.
    Change,
    /// `with`, `using`.
    With,
    /// `in`, `into`, `on`.
    In,
    /// `to`.
    To,
    /// `until`.
    Until,
    /// `of`.
    Of,
    /// `from`.
    From,
    /// `over`, as in `over next 2 sts`.
    Over,
    /// `through`.
    Through,
    /// `layers`.
    Layers,
    /// `both`.
    Both,
    /// `and`, `then`: parts instructions, says nothing.
    And,
    /// `the`, `a`, `make`, `work`: says nothing about the stitches.
    Filler,
    /// The main colour, or a magic circle, by its place.
    MainColour,
    /// The contrast colour.
    ContrastColour,
    /// `colour`, `yarn`.
    Colour,
    /// `fasten off`, `cut yarn`.
    FastenOff,
    /// `stuff`, `fill`.
    Stuff,
    /// `do not stuff`.
    LeaveEmpty,
    /// `flatten`, `fold flat`.
    Flatten,
    /// `place marker`.
    Marker,
    /// `insert eyes`.
    Eyes,
    /// `close the hole`.
    CloseHole,
    /// `sew`.
    Sew,
    /// `the other side of the chain`.
    OtherSide,
    /// `new start of the round`.
    NewStart,
    /// `omitting`, as in `omitting last inc`.
    Omitting,
    /// `ending`, as in `ending last rep at **`.
    Ending,
    /// `leave the rest unworked`.
    LeaveRest,
    /// `counts as`.
    CountsAs,
    /// `does not count`.
    DoesNotCount,
    /// `remove`, `do not join`: opens words that are no work.
    Remark,
    /// `as`, as in `as Rnd 3`.
    As,
    /// `rnd`, `round`.
    Round,
    /// `row`.
    Row,
    /// `foundation`, before a stitch.
    Foundation,
    /// A stitch that the pattern defines, by its place among them. No row of the table means it.
    Own(u16),
    /// A number in words.
    Number(u32),
    /// An ordinal in words.
    Ordinal(u32),
}

impl Word {
    /// True if it names a stitch to be worked, by its own name or as an increase or decrease.
    pub fn names_stitch(self) -> bool {
        matches!(
            self,
            Word::Stitch(_)
                | Word::Increase
                | Word::Decrease
                | Word::InvisibleDecrease
                | Word::Bobble
                | Word::Popcorn
                | Word::Puff
                | Word::Picot
                | Word::Spike
                | Word::LoopStitch
                | Word::CrabStitch
                | Word::Own(_)
        )
    }
}

/// The meaning of the longest phrase at the front of some words, and how many words it takes.
/// Words are in lower case.
pub fn longest<'w>(
    words: impl Fn(usize) -> Option<&'w str>,
    terms: Terms,
) -> Option<(Word, usize)> {
    let first = words(0)?;
    let rows = rows_of(first);
    rows.iter()
        .filter_map(|row| {
            let mut taken = 0;
            for part in row.phrase.split(' ') {
                if words(taken) != Some(part) {
                    return None;
                }
                taken += 1;
            }
            Some((row.meaning.in_terms(terms)?, taken))
        })
        .max_by_key(|&(_, taken)| taken)
}

/// Words that only one of the two customs uses: the custom, if `word` tells it.
/// `miss`, `htr` and `trtr` are UK, `sc` and `hdc` US (okeydokeys.com, "How to read crochet abbreviations").
pub fn tells_terms(word: &str) -> Option<Terms> {
    match word {
        "htr" | "miss" | "trtr" | "yrh" | "yoh" => Some(Terms::Uk),
        "sc" | "hdc" | "scs" | "hdcs" | "invsc" | "fpsc" | "bpsc" | "esc" | "fsc" | "sctog" => {
            Some(Terms::Us)
        }
        _ => None,
    }
}

/// What US terms have for a word of UK terms.
pub fn in_us_terms(word: &str) -> Option<&'static str> {
    match word {
        "htr" => Some("hdc"),
        "miss" => Some("skip"),
        _ => None,
    }
}

/// Every single word that stands in a phrase of the trade, again and again as it does.
pub(super) fn single_words() -> impl Iterator<Item = &'static str> {
    let rows = table().rows.iter();
    rows.flat_map(|row| row.phrase.split(' '))
}

struct Row {
    phrase: &'static str,
    meaning: Meaning,
}

enum Meaning {
    /// The same in both customs.
    Both(Word),
    /// Different stitches by custom; `None` where the custom has no such word.
    ByCustom(Option<Word>, Option<Word>),
}

impl Meaning {
    fn in_terms(&self, terms: Terms) -> Option<Word> {
        match (self, terms) {
            (Meaning::Both(word), _) => Some(*word),
            (Meaning::ByCustom(us, _), Terms::Us) => *us,
            (Meaning::ByCustom(_, uk), Terms::Uk) => *uk,
        }
    }
}

/// The phrases of the trade, sorted, and where those with each first word are among them.
struct Table {
    rows: Vec<Row>,
    by_first: BTreeMap<&'static str, Range<usize>>,
}

fn rows_of(first: &str) -> &'static [Row] {
    let table = table();
    let range = table.by_first.get(first).cloned();
    &table.rows[range.unwrap_or_default()]
}

fn table() -> &'static Table {
    static TABLE: std::sync::OnceLock<Table> = std::sync::OnceLock::new();
    TABLE.get_or_init(|| {
        let mut rows: Vec<Row> = Vec::new();
        for &(phrases, word) in BOTH {
            for phrase in phrases.split(" | ") {
                rows.push(Row {
                    phrase,
                    meaning: Meaning::Both(word),
                });
            }
        }
        for &(phrases, us, uk) in BY_CUSTOM {
            for phrase in phrases.split(" | ") {
                rows.push(Row {
                    phrase,
                    meaning: Meaning::ByCustom(us.map(Word::Stitch), uk.map(Word::Stitch)),
                });
            }
        }
        rows.extend(COMPOUND_NUMBERS.iter().map(|&(phrase, word)| Row {
            phrase,
            meaning: Meaning::Both(word),
        }));
        rows.sort_by(|a, b| a.phrase.split(' ').cmp(b.phrase.split(' ')));
        let mut by_first: BTreeMap<&str, Range<usize>> = BTreeMap::new();
        for (at, row) in rows.iter().enumerate() {
            let first = row.phrase.split(' ').next().unwrap_or_default();
            by_first.entry(first).or_insert(at..at).end = at + 1;
        }
        Table { rows, by_first }
    })
}

/// Names of stitches that mean another stitch in the other custom: phrases, US, UK.
const BY_CUSTOM: &[(&str, Option<Height>, Option<Height>)] = {
    use Height::{Double, DoubleTreble, HalfDouble, Single, Treble};
    &[
        // A UK text has no `sc`; where one stands all the same it can only be the short stitch.
        (
            "sc | scs | sc's | s c | single crochet | single crochets | single",
            Some(Single),
            Some(Single),
        ),
        (
            "hdc | hdcs | hdc's | h d c | half doubles | half double crochet | half double crochets | half double",
            Some(HalfDouble),
            Some(HalfDouble),
        ),
        (
            "dc | dcs | dc's | d c | double crochet | double crochets | doubles",
            Some(Double),
            Some(Single),
        ),
        (
            "htr | htrs | half treble | half treble crochet | half trebles",
            Some(HalfDouble),
            Some(HalfDouble),
        ),
        (
            "tr | trs | treble | treble crochet | trebles | treble crochets | trc",
            Some(Treble),
            Some(Double),
        ),
        (
            "dtr | dtrs | double treble | double treble crochet | double trebles",
            Some(DoubleTreble),
            Some(Treble),
        ),
        (
            "trtr | triple treble | triple treble crochet",
            None,
            Some(DoubleTreble),
        ),
    ]
};

/// Words that mean the same in both customs.
const BOTH: &[(&str, Word)] = {
    use Word::*;
    &[
        (
            "ch | chs | chain | chains | air loop | air loops | al | chain stitch | chain stitches | chain st | chain sts",
            Stitch(Height::Chain),
        ),
        (
            "sl st | sl sts | slst | slsts | ss | sl stitch | slip stitch | slip stitches | slipped stitch | slipped stitches | slip point | slipped point | slip st | slip sts | slp st | sl | slip | s s",
            Stitch(Height::Slip),
        ),
        ("extended | ext", Extended),
        (
            "loop st | loop sts | loop stitch | loop stitches | lp st | lp sts | lp stitch | lp stitches",
            LoopStitch,
        ),
        (
            "crab st | crab sts | crab stitch | crab stitches | rsc | rscs",
            CrabStitch,
        ),
        ("reverse | rev", Reverse),
        ("crossed | cross | cr", Crossed),
        (
            "inc | incs | inc's | increase | increases | increasing | incr",
            Increase,
        ),
        (
            "dec | decs | dec's | decrease | decreases | decreasing | decr",
            Decrease,
        ),
        (
            "invdec | inv dec | invisible decrease | invisible decreases | invisible dec | invisible decs | inv decs | idec | invdecs",
            InvisibleDecrease,
        ),
        ("together | tog", Together),
        (
            "bobble | bobbles | bo | bob | bobble stitch | bobble st | bobble sts | mb | cluster | clusters | cluster st | cl",
            Bobble,
        ),
        (
            "popcorn | popcorns | pc | pop | popcorn stitch | popcorn st",
            Popcorn,
        ),
        (
            "surface slip stitch | surface slip stitches | surface sl st | surface sl sts | surface slst | surface ss | surface crochet | surface stitch | surface stitches | surface chain | surface sl stitch | surface",
            Surface,
        ),
        ("puff | puffs | puff stitch | puff st", Puff),
        ("picot | picots", Picot),
        (
            "spike | spike st | spike sts | spike stitch | spike stitches",
            Spike,
        ),
        (
            "petal | petals | point | points | scallop | scallops | leaf | leaves | star | stars | flower | flowers",
            Figure,
        ),
        ("fp | front post | raised front", FrontPost),
        ("bp | back post | raised back", BackPost),
        ("post | posts | stem", Post),
        (
            "blo | bl | back strand | back strands | back strand only | back strands only | back thread | back threads | back thread only | back threads only | back loop | back loops | back half-loop | back half-loops | back half loop | back half loops | for back half-loop | for back half loop | for the back half-loops | for the back half loops | back loop only | back loops only | bl only | blo only | back lp | back lps | back lp only | back lps only | tbl | back wall | behind the back loop | behind the back loops | behind back loop | for the back loop | for the back loops | on the back loop | on the back loops | behind the back wall | back wall of the loop | behind the back wall of the loop",
            BackLoop,
        ),
        (
            "flo | fl | front strand | front strands | front strand only | front strands only | front thread | front threads | front thread only | front threads only | front loop | front loops | front half-loop | front half-loops | front half loop | front half loops | for front half-loop | for front half loop | for the front half-loops | for the front half loops | front loop only | front loops only | fl only | flo only | front lp | front lps | front lp only | front lps only | tfl | front wall | behind the front loop | behind the front loops | behind front loop | for the front loop | for the front loops | on the front loop | on the front loops | behind the front wall | front wall of the loop | behind the front wall of the loop",
            FrontLoop,
        ),
        ("both loops", BothLoops),
        ("third loop | third loops | 3rd loop", ThirdLoop),
        ("skip | sk | miss | skipping | missing | skp", Skip),
        (
            "magic ring | magic circle | mr | m r | ar | adjustable ring | adjustable loop | magic loop | mring | sliding loop | slip ring | amigurumi ring | thread ring | yarn ring | ml | ka | make a loop | form a loop | make a yarn loop | wind the yarn round the finger | wind the yarn round your finger | wind yarn round finger | wind the yarn around the finger | wind the yarn around your finger | wrap the yarn around your finger | wrap the yarn round your finger | wrap the yarn around the finger",
            MagicRing,
        ),
        ("ring | circle", Ring),
        ("hook", Hook),
        ("st | sts | stitch | stitches | stitched", AnyStitch),
        (
            "sp | sps | space | spaces | loop | loops | lp | lps | gap | gaps | arch | arches",
            Space,
        ),
        ("corner | corners", Corner),
        ("next | following | nxt | foll", Next),
        ("each | every | ea | per", Each),
        ("all", All),
        (
            "remaining | rem | rest | all others | all the others | all other sts | all other stitches | all the other sts | all the other stitches | the other sts | the other stitches | in all others | in all the others | in all other sts | in all other stitches | in all the other sts | in all the other stitches",
            Remaining,
        ),
        ("last | final", Last),
        ("first | beg | beginning", First),
        ("same", Same),
        (
            "around | across | to end | to the end | until end | until the end | to end of round | to end of rnd | to the end of the round | to the end of round | to the end of the rnd | for the whole round | for the whole rnd | for the entire round | the whole round | the whole way round | round the whole | all around | all the way round | all the way around | all the way along | all the way across | all the way back | all the way to the end | all round | to end of row | to the end of the row | to end of ch | to end of chain | to the end of the chain | to the end of the ch | along",
            Around,
        ),
        (
            "work even | even | straight | work straight | no change | no changes | plain round | plain rnd | plain row | round plain | rnd plain",
            Even,
        ),
        ("evenly | evenly spaced", Evenly),
        ("times | time", Times),
        ("once", TimesWord(1)),
        ("twice", TimesWord(2)),
        ("thrice", TimesWord(3)),
        ("more | additional | extra", More),
        (
            "in all | in total | total | a total of | total of | altogether | stitch count | st count | count | each time | every time | per round",
            Total,
        ),
        (
            "repeat | rep | repeating | reps | repeats | rpt | continue like this | do this | do that | do it | do these | work this | repeat this | repeat these | repeat that | repeat it | continue repeating | keep repeating | and so on",
            Repeat,
        ),
        ("alternating | alternately", Alternating),
        (
            "join | joined | joining | attach | attaching | connect | connected | connecting | close to a ring | close into a ring | close in a ring | close to form a ring",
            Join,
        ),
        ("turn | turned | turning", Turn),
        (
            "pick up | picking up | change to | change back to | changing back to | switch back to | switching back to | go back to | going back to | change colour back to | change color back to | changing to | switch to | change colour to | change color to | change colour | change color | change yarn to | changing colour to | changing color to | switching to | color change to | colour change to | cc to",
            Change,
        ),
        ("with | using | w", With),
        ("in | into | on | onto | inside", In),
        ("to", To),
        ("until", Until),
        ("of", Of),
        ("from", From),
        ("over", Over),
        ("through | thru", Through),
        ("layer | layers | thickness | thicknesses", Layers),
        ("both", Both),
        ("and | then | plus", And),
        (
            "the | is | a | an | any | other | its | this | these | set | sequence | section | create | finally | make | plain | put | dial | mount | start | starting | begin | continue | continuing | it | work | working | worked | place | crochet | knit | only | by | now | again | also | go | at | end | for | do | more sts | back | after it | after that | after them | back down | back to the body | back to the base | back to base | back to the start | back to the beginning | back to the head | back towards the body | just | loosely | tightly | firmly | form | forming | you're going to | you’re going to | you are going to | we're going to | we’re going to | we are going to | you'll | you’ll | you will | we'll | we’ll | you want to | you need to | your | so you end up with | you end up with | so you have | so you should have | you now have | you have | we have | there are | there are now | there should be | there will be | you should now have | you should have | you will have | still have | you still have | you will still have | you should still have | there are still | so | we | that's | that’s | thats | that makes | which makes | that gives you | which gives you | this gives you | giving you | to give | always",
            Filler,
        ),
        ("mc | main colour | main color", MainColour),
        (
            "contrast colour | contrast color | contrasting colour | contrasting color",
            ContrastColour,
        ),
        ("colour | color | yarn", Colour),
        (
            "fasten off | fasten | fo | f/o | finish off | end off | cut yarn | cut the yarn | break yarn | break off | cut | f o | bind off",
            FastenOff,
        ),
        (
            "stuff | stuffing | begin stuffing | start stuffing | fill | continue stuffing",
            Stuff,
        ),
        (
            "do not stuff | don't stuff | don’t stuff | dont stuff | no stuffing | unstuffed | leave unstuffed | do not fill | don't fill | don’t fill | dont fill | no filling | unfilled",
            LeaveEmpty,
        ),
        (
            "flatten | fold flat | press flat | flattened | fold in half | pinch flat | fold | press the opening | press the opening together | press together | press the edges together | pinch the opening | pinch the opening together | put the edges together | hold the edges together | place the edges together",
            Flatten,
        ),
        (
            "place marker | place a marker | pm | place stitch marker | place a stitch marker | place st marker | mark | marker | move marker | move the marker",
            Marker,
        ),
        (
            "insert eyes | eyes | insert the eyes | place eyes | attach eyes | insert safety eyes | add eyes | insert the right eye | insert the left eye | insert the first eye | insert one eye | place the right eye | place the left eye | place the first eye | place one eye",
            Eyes,
        ),
        (
            "close | close the hole | close hole | close the opening | close up | close the remaining hole",
            CloseHole,
        ),
        ("sew", Sew),
        (
            "other side of the chain | other side of chain | other side of the ch | other side of ch | opposite side of the ch | opposite side of ch | opposite side of chain | opposite side of the chain | other side of the foundation chain | other side of foundation chain | opposite side of the foundation chain | opposite side of foundation chain | other side | opposite side | opposite edge | opposite edge of the chain | opposite edge of chain | underside of the chain | bottom of the chain | bottom loops | free loops | rotate | rotate the work | rotate work | rotate the piece | rotate piece | turn work around | turn the work around | turn piece around | turn the piece around",
            OtherSide,
        ),
        (
            "move the start | to move the start | shift the start | to shift the start | shift the marker | to shift the marker | move the beginning | to move the beginning | move the start of the round | to move the start of the round | move the start of the rnd | to move the start of the rnd | shift the beginning | new start | new start of the rnd | new start of the round | new beginning | new start of rnd | new start of round | new beginning of the round | new beginning of the rnd",
            NewStart,
        ),
        ("omitting | omit", Omitting),
        ("ending | working the last | working last", Ending),
        (
            "leave the rest unworked | leave rest unworked | leave remaining sts unworked | leave the remaining sts unworked | leave remaining stitches unworked | leave the remaining stitches unworked | leave the rest | leaving the rest unworked | leaving remaining sts unworked | leaving the remaining sts unworked | rest unworked | remaining sts unworked | unworked | unused",
            LeaveRest,
        ),
        ("counts as | count as | counting as | counted as", CountsAs),
        (
            "does not count | doesn't count | doesn’t count | do not count | not counted | don't count | don’t count | dont count | does not count as | doesn't count as | doesn’t count as | not count",
            DoesNotCount,
        ),
        (
            "working behind | work behind | go straight to | going straight to | go directly to | continue directly to | do not fasten off | don't fasten off | do not cut the yarn | do not cut yarn | do not break yarn | do not break off | without fastening off | remove | including | drop | cut to | moving | do not close | don't close | don’t close | do not cut | don't cut | don’t cut | dont cut | do not join | don't join | don’t join | dont join | do not turn | don't turn | don’t turn | dont turn | without joining | without turning | leave a | leaving a | pull | pulling | tighten | weave | weaving | being | keep | keeping | pushing | pushing the | popping | switching | alternating colours | alternating colors | changing colour every | changing color every | changing colours | changing colors | making sure | make sure | taking care | be careful | see | note | remember | leave | leaving | without increase | without decrease | without increase or decrease | without increasing or decreasing | no increase or decrease | without increasing | without decreasing | without any increases | without increases | without decreases | no increase | no increases | no decrease | no decreases | no more increasing | no more decreasing | no more increases | no more decreases",
            Remark,
        ),
        (
            "as | like | as given for | as given in | as given | as described for | as told for | as worked for | as in",
            As,
        ),
        (
            "as set | as established | in this manner | in the same manner | in this way | in the same way | in this fashion | in the same fashion | in pattern | in established pattern | in the same pattern | as before | as you have been",
            GoOn,
        ),
        ("rnd | rnds | round | rounds | rd | rds", Round),
        ("row | rows", Row),
        ("foundation | fdn", Foundation),
        ("one", Number(1)),
        ("two", Number(2)),
        ("three", Number(3)),
        ("four", Number(4)),
        ("five", Number(5)),
        ("six", Number(6)),
        ("seven", Number(7)),
        ("eight", Number(8)),
        ("nine", Number(9)),
        ("ten", Number(10)),
        ("eleven", Number(11)),
        ("twelve", Number(12)),
        ("thirteen", Number(13)),
        ("fourteen", Number(14)),
        ("fifteen", Number(15)),
        ("sixteen", Number(16)),
        ("seventeen", Number(17)),
        ("eighteen", Number(18)),
        ("nineteen", Number(19)),
        ("twenty", Number(20)),
        ("second", Ordinal(2)),
        ("third", Ordinal(3)),
        ("fourth", Ordinal(4)),
        ("fifth", Ordinal(5)),
        ("sixth", Ordinal(6)),
        ("seventh", Ordinal(7)),
        ("eighth", Ordinal(8)),
        ("ninth", Ordinal(9)),
        ("tenth", Ordinal(10)),
    ]
};

/// Numbers above ten in words: ordinals, and what is written with a hyphen.
const COMPOUND_NUMBERS: &[(&str, Word)] = {
    use Word::{Number, Ordinal};
    &[
        ("eleventh", Ordinal(11)),
        ("twelfth", Ordinal(12)),
        ("thirteenth", Ordinal(13)),
        ("fourteenth", Ordinal(14)),
        ("fifteenth", Ordinal(15)),
        ("sixteenth", Ordinal(16)),
        ("seventeenth", Ordinal(17)),
        ("eighteenth", Ordinal(18)),
        ("nineteenth", Ordinal(19)),
        ("twentieth", Ordinal(20)),
        ("thirtieth", Ordinal(30)),
        ("fortieth", Ordinal(40)),
        ("fiftieth", Ordinal(50)),
        ("twenty one", Number(21)),
        ("twenty first", Ordinal(21)),
        ("twenty two", Number(22)),
        ("twenty second", Ordinal(22)),
        ("twenty three", Number(23)),
        ("twenty third", Ordinal(23)),
        ("twenty four", Number(24)),
        ("twenty fourth", Ordinal(24)),
        ("twenty five", Number(25)),
        ("twenty fifth", Ordinal(25)),
        ("twenty six", Number(26)),
        ("twenty sixth", Ordinal(26)),
        ("twenty seven", Number(27)),
        ("twenty seventh", Ordinal(27)),
        ("twenty eight", Number(28)),
        ("twenty eighth", Ordinal(28)),
        ("twenty nine", Number(29)),
        ("twenty ninth", Ordinal(29)),
        ("thirty", Number(30)),
        ("thirty one", Number(31)),
        ("thirty first", Ordinal(31)),
        ("thirty two", Number(32)),
        ("thirty second", Ordinal(32)),
        ("thirty three", Number(33)),
        ("thirty third", Ordinal(33)),
        ("thirty four", Number(34)),
        ("thirty fourth", Ordinal(34)),
        ("thirty five", Number(35)),
        ("thirty fifth", Ordinal(35)),
        ("thirty six", Number(36)),
        ("thirty sixth", Ordinal(36)),
        ("thirty seven", Number(37)),
        ("thirty seventh", Ordinal(37)),
        ("thirty eight", Number(38)),
        ("thirty eighth", Ordinal(38)),
        ("thirty nine", Number(39)),
        ("thirty ninth", Ordinal(39)),
        ("forty", Number(40)),
        ("forty one", Number(41)),
        ("forty first", Ordinal(41)),
        ("forty two", Number(42)),
        ("forty second", Ordinal(42)),
        ("forty three", Number(43)),
        ("forty third", Ordinal(43)),
        ("forty four", Number(44)),
        ("forty fourth", Ordinal(44)),
        ("forty five", Number(45)),
        ("forty fifth", Ordinal(45)),
        ("forty six", Number(46)),
        ("forty sixth", Ordinal(46)),
        ("forty seven", Number(47)),
        ("forty seventh", Ordinal(47)),
        ("forty eight", Number(48)),
        ("forty eighth", Ordinal(48)),
        ("forty nine", Number(49)),
        ("forty ninth", Ordinal(49)),
        ("fifty", Number(50)),
        ("fifty one", Number(51)),
        ("fifty first", Ordinal(51)),
        ("fifty two", Number(52)),
        ("fifty second", Ordinal(52)),
        ("fifty three", Number(53)),
        ("fifty third", Ordinal(53)),
        ("fifty four", Number(54)),
        ("fifty fourth", Ordinal(54)),
        ("fifty five", Number(55)),
        ("fifty fifth", Ordinal(55)),
        ("fifty six", Number(56)),
        ("fifty sixth", Ordinal(56)),
        ("fifty seven", Number(57)),
        ("fifty seventh", Ordinal(57)),
        ("fifty eight", Number(58)),
        ("fifty eighth", Ordinal(58)),
        ("fifty nine", Number(59)),
        ("fifty ninth", Ordinal(59)),
        ("sixty", Number(60)),
        ("sixty one", Number(61)),
        ("sixty two", Number(62)),
        ("sixty three", Number(63)),
        ("sixty four", Number(64)),
        ("sixty five", Number(65)),
        ("sixty six", Number(66)),
        ("sixty seven", Number(67)),
        ("sixty eight", Number(68)),
        ("sixty nine", Number(69)),
        ("seventy", Number(70)),
        ("seventy one", Number(71)),
        ("seventy two", Number(72)),
        ("seventy three", Number(73)),
        ("seventy four", Number(74)),
        ("seventy five", Number(75)),
        ("seventy six", Number(76)),
        ("seventy seven", Number(77)),
        ("seventy eight", Number(78)),
        ("seventy nine", Number(79)),
        ("eighty", Number(80)),
        ("eighty one", Number(81)),
        ("eighty two", Number(82)),
        ("eighty three", Number(83)),
        ("eighty four", Number(84)),
        ("eighty five", Number(85)),
        ("eighty six", Number(86)),
        ("eighty seven", Number(87)),
        ("eighty eight", Number(88)),
        ("eighty nine", Number(89)),
        ("ninety", Number(90)),
        ("ninety one", Number(91)),
        ("ninety two", Number(92)),
        ("ninety three", Number(93)),
        ("ninety four", Number(94)),
        ("ninety five", Number(95)),
        ("ninety six", Number(96)),
        ("ninety seven", Number(97)),
        ("ninety eight", Number(98)),
        ("ninety nine", Number(99)),
    ]
};

#[cfg(test)]
mod tests {
    use super::*;

    fn meaning(phrase: &str, terms: Terms) -> Option<(Word, usize)> {
        let words: Vec<&str> = phrase.split(' ').collect();
        longest(|i| words.get(i).copied(), terms)
    }

    #[test]
    fn the_longest_phrase_wins_and_custom_decides_the_stitch() {
        use Word::*;
        assert_eq!(
            meaning("half double crochet in", Terms::Us),
            Some((Stitch(Height::HalfDouble), 3))
        );
        assert_eq!(
            meaning("dc in", Terms::Us),
            Some((Stitch(Height::Double), 1))
        );
        assert_eq!(
            meaning("dc in", Terms::Uk),
            Some((Stitch(Height::Single), 1))
        );
        assert_eq!(
            meaning("double crochet", Terms::Uk),
            Some((Stitch(Height::Single), 2))
        );
        assert_eq!(
            meaning("back loops only of", Terms::Us),
            Some((BackLoop, 3))
        );
        assert_eq!(meaning("wobble", Terms::Us), None);
    }

    #[test]
    fn no_phrase_stands_twice() {
        for pair in table().rows.windows(2) {
            assert_ne!(pair[0].phrase, pair[1].phrase);
        }
    }
}
