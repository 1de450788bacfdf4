//! The patterns whose charts are judged: the demos, those of `tests/notation`, and generated ones.

use std::fs;
use std::path::Path;

use roundwright::fabric::{self, Fabric};
use roundwright::pattern;
use roundwright::source::Source;

/// A worked pattern with a name for reports.
pub struct Charted {
    pub name: String,
    pub fabric: Fabric,
}

/// All of them, in a fixed order.
pub fn charted() -> Vec<Charted> {
    let home = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut texts = Vec::new();
    for folder in ["patterns", "tests/notation"] {
        let entries = fs::read_dir(home.join(folder)).expect("a folder of patterns");
        let mut paths: Vec<_> = entries
            .map(|entry| entry.expect("an entry").path())
            .collect();
        paths.sort();
        for path in paths {
            let name = path.file_stem().unwrap_or_default().to_string_lossy();
            let text = fs::read_to_string(&path).expect("a pattern");
            texts.push((name.into_owned(), without_expectations(&text)));
        }
    }
    texts.extend(generated());
    texts
        .into_iter()
        .map(|(name, text)| {
            let (pattern, _) = pattern::read(&Source::new(&name, &text));
            let (fabric, _) = fabric::work(&pattern);
            Charted { name, fabric }
        })
        .collect()
}

/// A pattern without what `corpus.rs` expects of its lines.
fn without_expectations(text: &str) -> String {
    let words = |line: &str| line.split(" ==> ").next().unwrap_or_default().to_owned();
    text.lines().map(words).collect::<Vec<_>>().join("\n") + "\n"
}

fn generated() -> Vec<(String, String)> {
    let mut texts = Vec::new();
    let mut add = |name: String, text: String| texts.push((name, text));
    for n in [4, 5, 6, 7, 8, 10] {
        for rounds in [3, 6, 10] {
            add(format!("made-ball-{n}-{rounds}"), ball(n, rounds));
        }
        add(format!("made-tube-{n}"), tube(n));
    }
    for (name, per, add_, height) in [
        ("sc", 6, 12, "sc"),
        ("hdc", 8, 8, "hdc"),
        ("dc", 12, 7, "dc"),
        ("tr", 18, 5, "tr"),
    ] {
        add(format!("made-disc-{name}"), disc(per, add_, height));
        add(
            format!("made-joined-disc-{name}"),
            joined_disc(per, add_.min(5), height),
        );
    }
    add("made-staggered-disc".into(), staggered());
    for chain in [5, 9, 16] {
        add(format!("made-oval-{chain}"), oval(chain));
    }
    add("made-lace".into(), lace());
    add("made-square".into(), square());
    add("made-hexagon".into(), hexagon());
    for width in [4, 12, 30] {
        add(format!("made-rows-{width}"), rows(width));
    }
    add("made-bobbles".into(), bobbles());
    add("made-ribs".into(), ribs());
    add("made-tube-with-fins".into(), tube_with_fins());
    add("made-wide".into(), wide());
    add("made-wide-rows".into(), rows(120));
    add("made-wide-disc".into(), disc(6, 44, "sc"));
    add("made-wide-disc-of-trebles".into(), disc(18, 14, "tr"));
    add("made-wide-oval".into(), oval(120));
    add("made-wide-square".into(), square_of(13));
    add("made-ruffle".into(), ruffle());
    add("made-many-rounds".into(), many_rounds());
    texts
}

/// A third more a round and a few stitches over, until it ruffles too much for rings.
fn ruffle() -> String {
    let mut text = String::from("## Ruffle\nRnd 1: 7 sc in magic ring (7)\n");
    let mut count = 7;
    for number in 2..=16 {
        let (times, over) = (count / 3, count % 3);
        count += times;
        let over = match over {
            0 => String::new(),
            over => format!(", {over} sc"),
        };
        text += &format!("Rnd {number}: (2 sc, inc) x {times}{over} ({count})\n");
    }
    text
}

/// `n` more a round, as many even rounds, and `n` fewer a round.
fn ball(n: u32, rounds: u32) -> String {
    let mut text = format!("## Ball\nRnd 1: {n} sc in magic ring ({n})\n");
    let mut number = 1;
    let mut push = |words: String, count: u32| {
        number += 1;
        text += &format!("Rnd {number}: {words} ({count})\n");
    };
    for k in 1..rounds {
        push(group(k - 1, "inc", n), n * (k + 1));
    }
    for _ in 0..rounds {
        push("sc in each st around".into(), n * rounds);
    }
    for k in (1..rounds).rev() {
        push(group(k - 1, "dec", n), n * k);
    }
    text
}

fn group(plain: u32, last: &str, times: u32) -> String {
    match plain {
        0 => format!("{last} x {times}"),
        plain => format!("({plain} sc, {last}) x {times}"),
    }
}

/// A narrow tube with a change in the middle.
fn tube(n: u32) -> String {
    let mut text = format!(
        "Yarn A: white\nYarn B: navy\n\n## Tube\nRnd 1: with A, {n} sc in magic ring ({n})\n"
    );
    text += &format!("Rnds 2-5: sc in each st around ({n})\n");
    text += &format!("Rnd 6: sc in each st around, change to B in the last st ({n})\n");
    text +=
        &format!("Rnd 7 (BLO): sc in each st around ({n})\nRnd 8: FPsc in each st around ({n})\n");
    text += &format!("Rnd 9: 2 sc, inc, {} sc ({})\n", n - 3, n + 1);
    text + &format!("Rnds 10-12: sc in each st around ({})\n", n + 1)
}

/// Even rounds that two parts are caught in.
fn tube_with_fins() -> String {
    let mut text = "## Fin (make 2)\nRnd 1: 6 sc in magic ring (6)\n".to_owned();
    text += "Rnds 2-3: sc in each st around (6)\n\n";
    text += "## Float\nRnd 1: 6 sc in magic ring (6)\nRnd 2: inc x 6 (12)\n";
    text += "Rnd 3: (sc, inc) x 6 (18)\nRnds 4-6: sc in each st around (18)\n";
    text += "Rnd 7: 3 sc, 3 sc through both layers of the first fin, 6 sc, ";
    text += "3 sc through both layers of the second fin, 3 sc (18)\n";
    text += "Rnds 8-9: sc in each st around (18)\nRnd 10: (sc, dec) x 6 (12)\n";
    text + "Rnd 11: dec x 6 (6)\n"
}

fn disc(n: u32, rounds: u32, stitch: &str) -> String {
    let mut text = format!("## Disc\nRnd 1: {n} {stitch} in magic ring ({n})\n");
    for k in 1..rounds {
        let words = match k {
            1 => format!("2 {stitch} in each st"),
            _ => format!("({} {stitch}, 2 {stitch} in next st) x {n}", k - 1),
        };
        text += &format!("Rnd {}: {words} ({})\n", k + 1, n * (k + 1));
    }
    text
}

fn joined_disc(n: u32, rounds: u32, stitch: &str) -> String {
    let (chain, counts) = match stitch {
        "sc" => (1, false),
        "hdc" => (2, true),
        "dc" => (3, true),
        _ => (4, true),
    };
    let opening = match counts {
        true => format!("ch {chain} (counts as {stitch})"),
        false => format!("ch {chain}"),
    };
    let own = u32::from(counts);
    let join = match counts {
        true => "join with sl st to top of beg ch".to_owned(),
        false => format!("join with sl st to first {stitch}"),
    };
    let mut text = format!(
        "## Coaster\nRnd 1: {opening}, {} {stitch} in magic ring, {join} ({n})\n",
        n - own
    );
    for k in 1..rounds {
        let mut words = Vec::new();
        if own == 1 {
            if k == 1 {
                words.push(format!("{stitch} in same st"));
            } else {
                words.push(format!("{} {stitch}", k - 2).replace("0 ", ""));
                if k == 2 {
                    words.pop();
                }
                words.push(format!("2 {stitch} in next st"));
            }
            let unit = match k {
                1 => format!("2 {stitch} in each of next {} sts", n - 1),
                _ => format!("({} {stitch}, 2 {stitch} in next st) x {}", k - 1, n - 1),
            };
            words.push(unit);
        } else {
            words.push(match k {
                1 => format!("2 {stitch} in each st around"),
                _ => format!("({} {stitch}, 2 {stitch} in next st) x {n}", k - 1),
            });
        }
        text += &format!(
            "Rnd {}: {opening}, {}, {join} ({})\n",
            k + 1,
            words.join(", "),
            n * (k + 1)
        );
    }
    text
}

/// Increases set off by half a group in every other round.
fn staggered() -> String {
    let mut text = "## Disc\nRnd 1: 6 sc in magic ring (6)\nRnd 2: inc x 6 (12)\n".to_owned();
    for k in 2..11 {
        let plain = k - 1;
        let words = if k % 2 == 0 {
            format!("({plain} sc, inc) x 6")
        } else {
            let (a, b) = (plain / 2, plain - plain / 2);
            format!("{a} sc, inc, ({plain} sc, inc) x 5, {b} sc")
        };
        text += &format!("Rnd {}: {words} ({})\n", k + 1, 6 * (k + 1));
    }
    text
}

fn oval(chain: u32) -> String {
    let side = chain - 2;
    let mut text = format!(
        "## Foot\nRnd 1: ch {chain}, sc in 2nd ch from hook, sc in next {} ch, 3 sc in last ch; along the other side of the chain, sc in next {} ch, 2 sc in last ch ({})\n",
        side - 1,
        side - 1,
        2 * side + 4 - 1
    );
    let count = 2 * side + 3;
    text += &format!(
        "Rnd 2: inc, {} sc, inc x 3, {} sc, inc x 2 ({})\n",
        side - 1,
        side - 1,
        count + 6
    );
    text += &format!(
        "Rnd 3: sc, inc, {} sc, (sc, inc) x 3, {} sc, (sc, inc) x 2 ({})\n",
        side - 1,
        side - 1,
        count + 12
    );
    text + &format!("Rnds 4-6: sc in each st around ({})\n", count + 12)
}

fn lace() -> String {
    "## Net
Rnd 1: ch 3 (counts as dc), 11 dc in magic ring, join with sl st to top of beg ch-3 (12)
Rnd 2: ch 1, (sc in next st, ch 3, skip 1 st) x 6, join with sl st to first sc (6 sc, 6 ch-3 sps)
Rnd 3: sl st in ch-3 sp, ch 3 (counts as dc), 4 dc in same sp, ch 2, (5 dc in next ch-3 sp, ch 2) x 5, join with sl st to top of beg ch-3 (30 dc, 6 ch-2 sps)
Rnd 4: ch 1, (5 sc, 2 sc in ch-2 sp) x 6, join with sl st to first sc (42)
Rnd 5: ch 1, (sc, ch 3, sl st in first ch, 2 sc) x 14, join with sl st to first sc (42)
"
    .into()
}

fn square() -> String {
    "## Sail
Rnd 1: ch 3 (counts as dc), 2 dc in magic ring, ch 2, (3 dc in ring, ch 2) x 3, join with sl st to top of beg ch-3 (12 dc, 4 ch-2 sps)
Rnd 2: ch 3 (counts as dc), 2 dc, (2 dc, ch 2, 2 dc) in ch-2 sp, *3 dc, (2 dc, ch 2, 2 dc) in ch-2 sp; rep from * 2 more times, join with sl st to top of beg ch-3 (28 dc, 4 ch-2 sps)
Rnd 3: ch 3 (counts as dc), 4 dc, (2 dc, ch 2, 2 dc) in ch-2 sp, *7 dc, (2 dc, ch 2, 2 dc) in ch-2 sp; rep from * 2 more times, 2 dc, join with sl st to top of beg ch-3 (44 dc, 4 ch-2 sps)
"
    .into()
}

/// As [`square`], in so many rounds of single crochet with three in each corner.
fn square_of(rounds: u32) -> String {
    let mut text =
        "## Deck\nRnd 1: 8 sc in magic ring (8)\nRnd 2: (sc, 3 sc in next st) x 4 (16)\n"
            .to_owned();
    for k in 3..=rounds * 2 {
        let (before, after) = (k - 1, k - 2);
        let count = 8 * k;
        text += &format!("Rnd {k}: ({before} sc, 3 sc in next st, {after} sc) x 4 ({count})\n");
    }
    text
}

/// More rounds than a table beside the work has room for, none like the one before.
fn many_rounds() -> String {
    let mut text = "## Rope\nRnd 1: 9 sc in magic ring (9)\n".to_owned();
    for k in 2..80 {
        let words = if k % 2 == 0 { "hdc" } else { "sc" };
        text += &format!("Rnd {k}: {words} in each st around (9)\n");
    }
    text
}

fn hexagon() -> String {
    "## Cell
Rnd 1: ch 3 (counts as dc), dc in magic ring, ch 2, (2 dc in ring, ch 2) x 5, join with sl st to top of beg ch-3 (12 dc, 6 ch-2 sps)
Rnd 2: ch 3 (counts as dc), dc, (dc, ch 2, dc) in ch-2 sp, *2 dc, (dc, ch 2, dc) in ch-2 sp; rep from * 4 more times, join with sl st to top of beg ch-3 (24 dc, 6 ch-2 sps)
Rnd 3: ch 3 (counts as dc), 2 dc, (dc, ch 2, dc) in ch-2 sp, *4 dc, (dc, ch 2, dc) in ch-2 sp; rep from * 4 more times, dc, join with sl st to top of beg ch-3 (36 dc, 6 ch-2 sps)
"
    .into()
}

fn rows(width: u32) -> String {
    format!(
        "## Flap\nRow 1: ch {}, sc in 2nd ch from hook and in each ch across, turn ({width})
Row 2: ch 1, sc in each st across, turn ({width})
Row 3: ch 1, 2 sc in first st, {} sc, turn ({})
Row 4: ch 1, sc2tog, {} sc, turn ({width})
Row 5: ch 3 (counts as dc), {} dc, turn ({width})
Row 6: ch 1, sc in each st across ({width})\n",
        width + 1,
        width - 1,
        width + 1,
        width - 1,
        width - 1
    )
}

fn bobbles() -> String {
    "## Anemone
Rnd 1: 6 sc in magic ring (6)
Rnd 2: inc x 6 (12)
Rnd 3: (sc, bobble in next st) x 6 (12)
Rnd 4: (sc, inc) x 6 (18)
Rnd 5: (2 sc, popcorn in next st) x 6 (18)
Rnd 6: (puff in next st, 2 sc) x 6 (18)
Rnd 7: bobble in each st around (18)
Rnd 8: dec x 9 (9)
"
    .into()
}

fn ribs() -> String {
    "## Basket
Rnd 1: 12 dc in magic ring (12)
Rnd 2: 2 dc in each st (24)
Rnd 3: (FPdc around next st, BPdc around next st) x 12 (24)
Rnd 4: (FPdc around next st, BPdc around next st) x 12 (24)
Rnd 5: (dc, 2 dc in next st) x 12 (36)
Rnd 6: (FPdc around next st, dc2tog) x 12 (24)
"
    .into()
}

/// More than 200 stitches round.
fn wide() -> String {
    let mut text =
        "## Shade\nRnd 1: ch 220, join with sl st (220)\nRnds 2-4: sc in each st around (220)\n"
            .to_owned();
    text += "Rnd 5: (9 sc, dec) x 20 (200)\nRnds 6-7: sc in each st around (200)\n";
    text
}
