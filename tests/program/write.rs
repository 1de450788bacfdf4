use crate::check::readme_example;
use crate::run::{BALL, Bench, WRONG_BALL};

#[test]
fn the_readme_s_example_is_what_is_written() {
    let bench = Bench::new();
    let outcome = bench
        .file("float.md", readme_example("<!-- write before -->"))
        .run(&["write", "float.md"]);
    outcome.ended_with(0);
    assert_eq!(outcome.out, readme_example("<!-- write after -->"));
}

#[test]
fn a_file_changes_only_when_asked() {
    let bench = Bench::new();
    let outcome = bench.file("float.md", BALL).run(&["write", "float.md"]);
    assert_eq!(bench.read("float.md"), BALL.as_bytes());
    let in_place = bench.run(&["write", "--in-place", "float.md"]);
    in_place.ended_with(0);
    assert_eq!((in_place.out.as_str(), in_place.err.as_str()), ("", ""));
    assert_eq!(bench.read("float.md"), outcome.out.as_bytes());
    assert_eq!(bench.files("."), ["float.md"]);
    bench
        .run_with(&["write", "--in-place", "-"], BALL)
        .ended_with(2);
}

#[test]
fn a_wrong_total_is_left_for_the_designer() {
    let bench = Bench::new();
    let outcome = bench
        .file("float.md", WRONG_BALL)
        .run(&["write", "float.md"]);
    outcome.ended_with(1).says("Rnd 2: inc x 6 (13)");
    assert!(outcome.err.contains("error[count]"), "{}", outcome.err);
}

#[test]
fn the_style_is_the_pattern_s_own_else_that_of_the_house() {
    let bench = Bench::new();
    bench
        .file("float.md", BALL)
        .file("house-style.md", "Style: R, [18], sc 6, loudly\n");
    let house = bench.run(&["write", "float.md"]);
    house.says("R1: sc 6 in magic ring [6]");
    assert!(house.err.contains("warning[bad-style]"), "{}", house.err);
    bench.file("own.md", format!("Style: Round, = 18\n\n{BALL}"));
    let own = bench.run(&["write", "own.md"]);
    own.says("Round 1: 6 sc in magic ring = 6");
    assert_eq!(own.err, "");
}

#[test]
fn other_terms_are_written_and_those_in_prose_pointed_out() {
    let bench = Bench::new();
    let outcome = bench
        .file(
            "float.md",
            format!("{BALL}\nSew it on with 3 sc of tail.\n"),
        )
        .run(&["write", "--terms", "uk", "float.md"]);
    outcome
        .ended_with(0)
        .says("Terms: UK")
        .says("Rnd 1: 6 dc in magic ring (6)")
        .says("- dc: double crochet")
        .says("with 3 sc of tail");
    outcome
        .complains("note[terms-left]")
        .complains("in UK terms it is `dc`");
}

#[test]
fn a_round_that_was_not_read_keeps_its_words() {
    let bench = Bench::new();
    bench.file("float.md", format!("{BALL}Rnd 9: (sc, glimp) x 3\n"));
    bench
        .run(&["write", "float.md"])
        .ended_with(1)
        .says("Rnd 9: (sc, glimp) x 3")
        .complains("note[kept-words]");
    bench
        .run(&["write", "--terms", "uk", "float.md"])
        .says("Rnd 9: (dc, glimp) x 3")
        .complains("warning[kept-words]");
}

#[test]
fn a_round_that_points_nowhere_keeps_its_words() {
    let text = "1. Sew the wings on, rep Rnd 5.\n";
    let bench = Bench::new();
    let outcome = bench.file("wings.md", text).run(&["write", "wings.md"]);
    outcome
        .ended_with(1)
        .complains("note[kept-words]")
        .says(text);
}

#[test]
fn a_yarn_that_is_not_listed_gets_a_line() {
    let bench = Bench::new();
    bench
        .file(
            "float.md",
            "Terms: US\nYarn A: charcoal\n\n## Float\nRnd 1: with A, 6 sc in magic ring (6)\nRnd 2: with B, inc x 6 (12)\n",
        )
        .run(&["write", "float.md"])
        .says("Yarn A: charcoal\nYarn B: colour and weight\n")
        .complains("note[yarn-added]");
}

/// What is used and not listed goes into the list, in the form that the list has.
#[test]
fn the_list_of_materials_is_made_whole() {
    let rounds = "\n## Float\nRnd 1: 6 sc in magic ring (6)\nRnd 2: inc x 6, place marker (12)\nStuff.\nRnd 3: dec x 6 (6)\n";
    let bench = Bench::new();
    for (list, made) in [
        (
            "## Materials\n\n* grey yarn\n* a 3 mm hook\n",
            "* a 3 mm hook\n* toy stuffing\n* a stitch marker\n",
        ),
        (
            "Materials: grey yarn, a 3 mm hook\n",
            "a 3 mm hook, toy stuffing, a stitch marker\n",
        ),
        (
            "You will need\n\nGrey yarn and a 3 mm hook.\n",
            "a 3 mm hook. Also toy stuffing, a stitch marker.\n",
        ),
        (
            "Hook: 3 mm\nYarn A: grey\n",
            "Yarn A: grey\nMaterials: toy stuffing, a stitch marker\n",
        ),
    ] {
        let text = format!("# Float\n\nTerms: US\n{list}{rounds}");
        bench
            .file("float.md", &text)
            .run(&["write", "float.md"])
            .says(made)
            .complains("note[material-added]");
    }
    // A few rounds that somebody jotted down say nothing of what they need.
    let outcome = bench.file("float.md", rounds).run(&["write", "float.md"]);
    assert!(!outcome.out.contains("stuffing"), "{}", outcome.out);
}

#[test]
fn yarns_that_the_words_name_go_into_the_list() {
    let bench = Bench::new();
    bench
        .file(
            "float.md",
            "# Float\n\nTerms: US\n\n## Materials\n\n- grey yarn\n\n## Float\nRnd 1: 6 sc in magic ring, change to red in the last st (6)\nRnd 2: inc x 6 (12)\n",
        )
        .run(&["write", "float.md"])
        .says("- grey yarn\n- red yarn\n");
}

#[test]
fn a_text_without_headings_gets_its_list_above_the_first_round() {
    let bench = Bench::new();
    bench
        .file("float.md", "Rnd 1: 6 sc in magic ring (6)\n")
        .run(&["write", "float.md"])
        .ended_with(0)
        .says("Terms: US\n\nAbbreviations: rnd = round; ")
        .says("\n\nRnd 1: 6 sc in magic ring (6)\n");
}

const SNAKE: &str = "\
# Mooring rope

Terms: US
Gauge: 20 sts and 25 rnds = 10 cm

## Rope
R1: 6 sc in MR (6)
R2: sc around (6)
Repeat R2 until the rope is as long as you like.
Next rnd: (sc, dec) x 2 (4)
Fasten off.
";

#[test]
fn a_length_that_is_open_stays_open_or_is_written_as_chosen() {
    let bench = Bench::new();
    bench.file("rope.md", SNAKE);
    let open = bench.run(&["write", "rope.md"]);
    open.ended_with(0)
        .says("Repeat Rnd 2 until the rope is as long as you like.\nNext rnd: (sc, dec) x 2 (4)\n")
        .complains("read as again once");
    let chosen = bench.run(&["write", "--length", "rope=4cm", "rope.md"]);
    chosen
        .ended_with(0)
        .says("Repeat Rnd 2 eight more times.\nRnd 11: (sc, dec) x 2 (4)\n");
    bench
        .run(&["write", "--length", "wing=8", "rope.md"])
        .ended_with(2)
        .complains("no length is named 'wing'; to choose there is 'Rope, Rnd 2'");
}

#[test]
fn own_stitches_keep_their_names_and_their_line_in_the_list() {
    let bench = Bench::new();
    let pattern = "\
# Barnacles

Terms: US

## Abbreviations

- mini picot = ch 2, sl st in first ch
- Mussel (mu) = 5 dc together in one stitch
- pc = popcorn

## Rock
Rnd 1: 12 sc in magic ring (12)
Rnd 2: (2 sc, mini picot) 6 times (12)
Rnd 3: *mussel in next st, 3 sc; rep from * around (12)
Rep rnds 2 and 3 twice.
";
    let outcome = bench
        .file("rock.md", pattern)
        .run(&["write", "--terms", "uk", "rock.md"]);
    outcome
        .ended_with(0)
        .says("- mini picot = ch 2, ss in first ch\n- Mussel (mu) = 5 tr together in one stitch\n")
        .says("Rnd 2: (2 dc, mini picot) x 6 (12)\nRnd 3: (mu, 3 dc) around (12)\n")
        .says("Rep Rnds 2-3 twice.\n");
    assert!(!outcome.out.contains("popcorn"), "{}", outcome.out);
}

#[test]
fn what_is_worked_after_a_total_stays_there() {
    let bench = Bench::new();
    bench
        .file(
            "float.md",
            format!("{BALL}Rnd 6: (sc, dec) x 2 (4). Sl st in next sc, fasten off.\n"),
        )
        .run(&["write", "--terms", "uk", "float.md"])
        .ended_with(0)
        .says("Rnd 6: (dc, dec) x 2 (4). Ss in next dc, fasten off.");
}

#[test]
fn a_list_on_one_line_is_written_anew_and_a_title_stays_with_its_lines() {
    let bench = Bench::new();
    let outcome = bench
        .file(
            "buoy.md",
            "Harbour buoy\nby a keeper of lights\n\nAbbreviations: mr magic ring, sc single crochet, inc increase\n\n\
             BUOY\nR1: 6sc in MR [6]\nR2: inc x6 [12]\n",
        )
        .run(&["write", "buoy.md"]);
    outcome
        .ended_with(0)
        .says("by a keeper of lights\n\nTerms: US\n\nAbbreviations: rnd = round; ");
    assert_eq!(outcome.out.matches("Abbreviations").count(), 1);
}

#[test]
fn words_that_name_the_terms_change_with_them() {
    let bench = Bench::new();
    let outcome = bench
        .file(
            "float.md",
            BALL.replace("# Net float\n", "# Net float\n\nUS terms.\n"),
        )
        .run(&["write", "--terms", "uk", "float.md"]);
    outcome.ended_with(0).says("UK terms.\n");
    assert!(!outcome.out.contains("Terms:"), "{}", outcome.out);
}

/// `trtr` is a word of UK terms alone: where it stands in a US text, no UK text reads the same.
#[test]
fn a_text_that_would_read_otherwise_is_left_as_it_stands() {
    let bench = Bench::new();
    let text = format!("{BALL}Rnd 6: 6 trtr (6)\n");
    bench.file("float.md", &text);
    let outcome = bench.run(&["write", "--terms", "uk", "float.md"]);
    outcome.ended_with(1).complains("warning[not-rewritten]");
    assert_eq!(outcome.out, text);
}
