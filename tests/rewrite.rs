//! Every text of the corpus written again: read anew it is worked as before, in every style and in both terms, and written twice it
//! stays as it is. The demo patterns are written in every style; of the others each takes every ninth, so that together they take all.

#[path = "support/alike.rs"]
mod alike;
mod support;
#[path = "support/texts.rs"]
mod texts;

use std::fs;
use std::path::Path;

use libtest_mimic::{Arguments, Failed, Trial};
use roundwright::fabric::{self, Fabric};
use roundwright::pattern::{self, Pattern};
use roundwright::rewrite::{self, Style, Written};
use roundwright::source::{Level, Source};
use roundwright::terms::Terms;

fn main() {
    let arguments = Arguments::from_args();
    let mut trials = Vec::new();
    for folder in [
        "patterns",
        "tests/notation",
        "tests/golden",
        "tests/mistakes",
    ] {
        for (place, path) in texts::of(folder).into_iter().enumerate() {
            let name = format!(
                "{folder}/{}",
                path.file_name().unwrap_or_default().to_string_lossy()
            );
            trials.push(Trial::test(name, move || check(folder, place, &path)));
        }
    }
    libtest_mimic::run(&arguments, trials).exit();
}

/// A text read and worked.
struct Made {
    source: Source,
    pattern: Pattern,
    fabric: Fabric,
}

impl Made {
    fn of(text: &str) -> Made {
        let source = Source::new("t", text);
        let (pattern, _) = pattern::read(&source);
        let (fabric, _) = fabric::work(&pattern);
        Made {
            source,
            pattern,
            fabric,
        }
    }

    fn written(&self, style: &Style, terms: Terms) -> Written {
        rewrite::write(&self.source, &self.pattern, &self.fabric, style, terms)
    }
}

fn check(folder: &str, place: usize, path: &Path) -> Result<(), Failed> {
    let text = fs::read_to_string(path)?;
    // Expectations of the corpus are no part of its texts.
    let lines: Vec<&str> = text
        .lines()
        .map(|line| line.split(" ==> ").next().unwrap_or(line))
        .collect();
    let made = Made::of(&(lines.join("\n") + "\n"));
    let (_, problems) = support::check(&made.source);
    let is_right = problems.iter().all(|p| p.level < Level::Error);
    let every = if folder == "patterns" { 1 } else { 9 };
    for style in Style::all().skip(place % every).step_by(every) {
        for terms in [Terms::Us, Terms::Uk] {
            let at = |what: &str, text: &str| -> Failed {
                format!("{what}, in {} terms, {style:?}:\n{text}", terms.name()).into()
            };
            let written = made.written(&style, terms);
            let again = Made::of(&written.text);
            if let Some(why) = alike::difference(&made.fabric, &again.fabric) {
                return Err(at(&why, &written.text));
            }
            let twice = again.written(&style, terms);
            if twice.text != written.text {
                return Err(at(
                    "written twice it changes",
                    &format!("{}\n----\n{}", written.text, twice.text),
                ));
            }
            let kept = written
                .problems
                .iter()
                .find(|p| matches!(p.code, "kept-words" | "not-rewritten"));
            if let Some(kept) = kept.filter(|_| is_right && folder != "tests/mistakes") {
                return Err(at("kept", made.source.slice(kept.span)));
            }
        }
    }
    Ok(())
}
