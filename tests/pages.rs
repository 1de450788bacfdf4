//! Every code that the program can give has a help page, and every page a code.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use roundwright::review::{on_request, pages};

fn home() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// All code under a folder, tests of their files aside.
fn code_below(folder: &Path) -> String {
    let mut paths: Vec<_> = fs::read_dir(folder)
        .expect("a folder")
        .map(|entry| entry.expect("an entry").path())
        .collect();
    paths.sort();
    let mut code = String::new();
    for path in paths {
        if path.is_dir() {
            code += &code_below(&path);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            let text = fs::read_to_string(&path).expect("code");
            code += text.split("#[cfg(test)]").next().unwrap_or_default();
        }
    }
    code
}

/// The codes that stand first (or second, after a level) where a problem is made.
fn codes(code: &str) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    for opening in [
        "Problem::error(",
        "Problem::warning(",
        "Problem::note(",
        "Problem::new(",
        ".missing(",
    ] {
        for (at, words) in code.match_indices(opening) {
            let rest = &code[at + words.len()..];
            let first: String = rest.chars().take(120).collect();
            let before_code = first.split('"').next().unwrap_or_default();
            let is_literal = before_code.trim().is_empty()
                || opening == "Problem::new(" && !before_code.contains(';');
            if is_literal && let Some(literal) = first.split('"').nth(1) {
                found.insert(literal.to_owned());
            }
        }
    }
    found
}

#[test]
fn every_code_has_a_page_and_every_page_a_code() {
    let codes = codes(&code_below(&home().join("src")));
    let listed: BTreeSet<String> = pages::PAGES.iter().map(|p| p.code.to_owned()).collect();
    assert_eq!(codes, listed);
    assert_eq!(listed.len(), pages::PAGES.len(), "a page stands twice");
}

#[test]
fn every_file_of_a_page_is_listed() {
    let files: BTreeSet<String> = fs::read_dir(home().join("src/review/pages"))
        .expect("the pages")
        .filter_map(|entry| {
            let path = entry.expect("an entry").path();
            Some(path.file_stem()?.to_str()?.to_owned())
        })
        .collect();
    let listed: BTreeSet<String> = pages::PAGES.iter().map(|p| p.code.to_owned()).collect();
    assert_eq!(files, listed);
}

#[test]
fn every_page_says_what_it_means_and_shows_an_example_and_the_mend() {
    for page in pages::PAGES {
        let code = page.code;
        assert!(page.text.starts_with(&format!("# {code}\n\n")), "{code}");
        assert!(page.summary().ends_with('.'), "{code}: {}", page.summary());
        assert!(page.summary().chars().count() <= 110, "{code}");
        assert!(page.text.contains("\n## Example\n\n```text\n"), "{code}");
        assert!(page.text.contains("\n## Mend\n\n"), "{code}");
    }
}

#[test]
fn codes_stand_in_order_and_those_on_request_have_pages_that_say_so() {
    assert!(pages::PAGES.is_sorted_by_key(|page| page.code));
    for code in on_request() {
        let page = pages::find(code).expect("a page");
        assert!(page.text.contains(&format!("--also {code}")), "{code}");
    }
}

/// Codes that only writing a pattern gives; tests of the program show each.
const OF_WRITING: [&str; 6] = [
    "bad-style",
    "kept-words",
    "material-added",
    "not-rewritten",
    "terms-left",
    "yarn-added",
];

/// Codes that only shaping a pattern gives; a test of the program shows each.
const OF_SHAPING: [&str; 1] = ["size-contradicted"];

#[test]
fn every_code_of_shaping_is_shown_by_a_run_of_the_program() {
    let runs = fs::read_to_string(home().join("tests/program/shape.rs")).expect("the tests");
    for code in OF_SHAPING {
        assert!(runs.contains(&format!("[{code}]")), "{code}");
        let page = pages::find(code).expect("a page");
        assert!(
            page.text
                .contains("given when pages are set or a shape is drawn"),
            "{code}"
        );
    }
}

#[test]
fn every_code_of_writing_is_shown_by_a_run_of_the_program() {
    let runs = fs::read_to_string(home().join("tests/program/write.rs")).expect("the tests");
    for code in OF_WRITING {
        assert!(runs.contains(&format!("[{code}]")), "{code}");
        let page = pages::find(code).expect("a page");
        assert!(
            page.text.contains("given when a pattern is written"),
            "{code}"
        );
    }
}

/// A slip of every other code is kept among the mistakes, but for those that take a text too large to keep.
#[test]
fn every_code_is_shown_by_a_mistake() {
    let mut texts = String::new();
    for folder in ["tests/mistakes", "tests/notation"] {
        let Ok(entries) = fs::read_dir(home().join(folder)) else {
            continue;
        };
        for entry in entries {
            texts += &fs::read_to_string(entry.expect("an entry").path()).unwrap_or_default();
        }
    }
    let expected: BTreeSet<&str> = texts
        .lines()
        .filter_map(|line| line.split_once(" ==> "))
        .flat_map(|(_, expected)| expected.split(&[' ', ','][..]))
        .collect();
    let never: Vec<&str> = pages::PAGES
        .iter()
        .map(|page| page.code)
        .filter(|code| {
            !expected.contains(code) && !OF_WRITING.contains(code) && !OF_SHAPING.contains(code)
        })
        .collect();
    assert_eq!(never, ["increases-stacked", "too-many-pieces"]);
}
