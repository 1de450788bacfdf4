//! Texts of any size that could be hard on the reader and the worker.

/// Makes a text of about so many bytes.
pub type Make = fn(usize) -> String;

const START: &str = "## Buoy\nRnd 1: 6 sc in magic ring (6)\nRnd 2: ";

/// Something again and again.
fn again(what: &str, size: usize) -> String {
    what.repeat(size / what.len())
}

/// The second round of a piece with something in it again and again.
fn round_of(what: &str, size: usize) -> String {
    START.to_owned() + &again(what, size)
}

/// Lines with a number each.
fn lines(size: usize, line: impl Fn(usize) -> String) -> String {
    let mut text = String::new();
    for number in 1.. {
        if text.len() >= size {
            break;
        }
        text += &line(number);
    }
    text
}

/// Each by a name that says what it is.
pub const TEXTS: &[(&str, Make)] = &[
    ("brackets that only open", |size| round_of("(", size)),
    ("brackets in brackets", |size| {
        round_of("(", size / 2) + &again(")", size / 2)
    }),
    ("brackets of every kind, crossed", |size| {
        round_of("([{)]}", size)
    }),
    ("a bracket open over many lines", |size| {
        START.to_owned() + "(\n" + &again("sc\n", size)
    }),
    ("stars alone", |size| round_of("* ", size)),
    ("stars in a row", |size| round_of("*", size)),
    ("`rep from *`", |size| round_of("rep from * ", size)),
    ("`*sc; rep from * 5 times`", |size| {
        round_of("*sc; rep from * 5 times, ", size)
    }),
    ("`rep 2 times`", |size| round_of("sc, rep 2 times, ", size)),
    ("`– 2 (3)`", |size| round_of("sc, sc – 2 (3) ", size)),
    ("chains and dashes", |size| round_of("ch 1 – 2 ", size)),
    ("`or sc`", |size| round_of("sc or sc ", size)),
    ("`6 (8)`", |size| round_of("6 (8) sc ", size)),
    ("`*sc*`", |size| round_of("*sc* ", size)),
    ("`sc, hdc around`", |size| {
        round_of("sc, hdc around, ", size)
    }),
    ("`(sc) 2`", |size| round_of("(sc) 2 ", size)),
    ("rounds that offer a choice", |size| {
        again("Rnd 1: 6 sc (or 7 sc, or 8 sc) in MR\n", size)
    }),
    ("rounds on the surface", |size| {
        "## Buoy\nRnd 1: 6 sc in MR\n".to_owned() + &again("Surface sl st around Rnd 1.\n", size)
    }),
    ("row ends", |size| {
        lines(size, |at| {
            format!("Row {at}: sc in each row end down the side\n")
        })
    }),
    ("`sc,`", |size| round_of("sc, ", size)),
    ("`sc` without commas", |size| round_of("sc ", size)),
    ("`inc 3,`", |size| round_of("inc 3, ", size) + "(5)"),
    ("`(1 sc) foo`", |size| round_of("(1 sc) foo ", size)),
    ("`(6)`", |size| round_of("(6) ", size)),
    ("totals that go on", |size| {
        round_of("(6 sc, 6 ch-1 sps + ", size)
    }),
    ("one number", |size| round_of("9", size)),
    ("numbers", |size| round_of("9 ", size)),
    ("one long word", |size| round_of("a", size)),
    ("unknown words", |size| round_of("foo ", size)),
    ("`through both layers of the`", |size| {
        round_of("2 sc through both layers of the ", size)
    }),
    ("`in the front loops of rnd 1`", |size| {
        round_of("sc in the front loops of rnd 1, ", size)
    }),
    ("`repeat rnd 1`", |size| round_of("repeat rnd 1, ", size)),
    ("empty lines", |size| again("\n", size)),
    ("lines of `Rnd 1`", |size| again("Rnd 1: sc\n", size)),
    ("lines of `Rnds 1-9999`", |size| {
        again("Rnds 1-9999: sc around\n", size)
    }),
    ("a label of many numbers", |size| {
        "Rnds ".to_owned() + &lines(size, |at| format!("{at}, ")) + ": sc"
    }),
    ("rounds that count on", |size| {
        lines(size, |at| format!("Rnd {at}: sc around (6)\n"))
    }),
    ("rounds that count down", |size| {
        lines(size, |at| {
            format!("Rnd {}: 6 sc\n", 99_999 - at.min(99_998))
        })
    }),
    ("rounds with every other number", |size| {
        lines(size, |at| format!("Rnd {}: 6 sc\n", 2 * at))
    }),
    ("rounds as the one before", |size| {
        lines(size, |at| format!("Rnd {}: as Rnd {at}\n", at + 1))
    }),
    ("headings", |size| {
        lines(size, |at| format!("## Fin {at}\nRnd 1: 6 sc in MR\n"))
    }),
    ("short lines alone", |size| {
        lines(size, |at| format!("Fin {at}\n\n"))
    }),
    ("yarns", |size| {
        lines(size, |at| format!("Yarn {at}: red\n"))
    }),
    ("yarns that nobody declared", |size| {
        START.to_owned() + &lines(size, |at| format!("with Q{at}, sc, "))
    }),
    ("pieces that each join a part", |size| {
        lines(size, |at| {
            format!(
                "## Fin {at}\nRnd 1: 8 sc in MR\nRnd 2: 4 sc through both layers of fin {}, 4 sc\n",
                at - 1
            )
        })
    }),
    ("loops of an earlier round behind a name", |size| {
        START.to_owned() + &again("Brim: working in the front loops of R1:\n", size)
    }),
    ("pieces told on one line", |size| {
        lines(size, |at| {
            format!(
                "Fin {at}: 6 sc in MR (6), then inc x 6 (12), then sc around for 2 rounds. Fasten off.\n"
            )
        })
    }),
    ("pieces in loops of the one before", |size| {
        lines(size, |at| {
            format!(
                "## Fin {at}\nJoin the yarn in any front loop of round 1.\nRnd 1: sc in each st around\n"
            )
        })
    }),
    ("lines that close a piece", |size| {
        START.to_owned() + &again("Flatten, 3 sc through both layers. Hold the end.\n", size)
    }),
    ("rounds that join two of what has no name", |size| {
        lines(size, |at| {
            format!(
                "Rnd {}: 6 sc around the first leg{at}, 6 sc around the second leg{at}\n",
                at + 2
            )
        })
    }),
    ("numbers alone", |size| {
        lines(size, |at| format!("{} 6 sc in magic ring\n", at + 1))
    }),
    ("abbreviations with full stops", |size| {
        round_of("sc. in next st., 2 sc. in next ch. sp., ", size)
    }),
    ("rows that turn", |size| {
        format!("Row 1: ch 4, 3 sc (3){}\n", again(", turn; (3)", size))
    }),
    ("corners", |size| {
        START.to_owned() + &again("Rnd 2: sc in each st around, 3 sc in each corner\n", size)
    }),
    ("cords below headings", |size| {
        lines(size, |at| format!("## Fin {at}\nCh 20, fasten off.\n"))
    }),
    ("pieces like the one before", |size| {
        lines(size, |at| {
            format!(
                "## Fin {}\nWork as for fin {at} to end of 2nd round.\n",
                at + 1
            )
        })
    }),
    ("colours in a list", |size| {
        format!(
            "Yarn: aran, {}\n{START}inc x 6 (12)\n",
            again("moss and fern ", size)
        )
    }),
    ("lines of a horn", |size| {
        START.to_owned()
            + &again(
                "ch 6, sl st in 2nd ch from hook, sc, hdc, dc, dc, skip 2\n",
                size,
            )
    }),
    ("ordinals in a row", |size| {
        format!(
            "{START}inc x 6 (12)\nInsert eyes through the {}st.",
            again("1st and the 2nd ", size)
        )
    }),
    ("own abbreviations", |size| {
        lines(size, |at| format!("st{at} = sc in next st\n"))
    }),
    ("lines of prose with stitches", |size| {
        again("Then work 6 sc in the next st.\n", size)
    }),
    ("bullets", |size| again("- * – • ", size)),
    ("bold marks", |size| again("**", size)),
    ("table cells", |size| again("| 1 | sc |", size)),
    ("no-break spaces", |size| round_of("\u{a0}", size)),
];
