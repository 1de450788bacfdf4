//! Holds the code to the table of folders in DEVELOPERS.md.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

/// The folders that each folder may import from.
type Table = BTreeMap<String, BTreeSet<String>>;

fn home() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Reads the table. A folder may import from what the table says, and from whatever those folders may import from.
fn table() -> Table {
    let text = fs::read_to_string(home().join("DEVELOPERS.md")).expect("DEVELOPERS.md");
    let mut table = Table::new();
    for line in text.lines().filter(|line| line.starts_with("| `")) {
        let cells: Vec<&str> = line.trim_matches('|').split('|').map(str::trim).collect();
        let [folder, _, imports] = cells[..] else {
            continue;
        };
        let before: BTreeSet<String> = table.keys().cloned().collect();
        let imports = match imports {
            "all" => before,
            some => quoted(some)
                .flat_map(|name| {
                    let upstream = table
                        .get(&name)
                        .unwrap_or_else(|| panic!("{name} stands below {folder}"))
                        .clone();
                    upstream.into_iter().chain([name])
                })
                .collect(),
        };
        for name in quoted(folder) {
            table.insert(name, imports.clone());
        }
    }
    table
}

/// The words in backticks.
fn quoted(cell: &str) -> impl Iterator<Item = String> {
    cell.split('`').skip(1).step_by(2).map(str::to_owned)
}

fn rust_files(folder: &Path) -> Vec<PathBuf> {
    let mut files = Vec::new();
    for entry in fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            files.extend(rust_files(&path));
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            files.push(path);
        }
    }
    files.sort();
    files
}

/// The folders that a file's `crate::` paths lead to, comments aside.
fn imported(code: &str) -> BTreeSet<String> {
    let code: Vec<&str> = code
        .lines()
        .map(|line| line.split("//").next().unwrap_or_default())
        .collect();
    let code = code.join("\n");
    let mut names = BTreeSet::new();
    for (at, path) in code.match_indices("crate::") {
        if code[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_' || c == '$') {
            continue;
        }
        let rest = &code[at + path.len()..];
        match rest.strip_prefix('{') {
            Some(group) => names.extend(first_names(group)),
            None => names.extend(first_word(rest)),
        }
    }
    names
}

/// The first name of each path in a group, up to the group's closing brace.
fn first_names(group: &str) -> Vec<String> {
    let mut names = Vec::new();
    let mut depth = 0;
    let mut path = String::new();
    for c in group.chars() {
        match c {
            '}' if depth == 0 => break,
            ',' if depth == 0 => names.extend(first_word(&std::mem::take(&mut path))),
            _ => path.push(c),
        }
        depth += i32::from(c == '{') - i32::from(c == '}');
    }
    names.extend(first_word(&path));
    names
}

fn first_word(path: &str) -> Option<String> {
    let word: String = path
        .trim_start()
        .chars()
        .take_while(|c| c.is_alphanumeric() || *c == '_')
        .collect();
    (!word.is_empty()).then_some(word)
}

#[test]
fn every_folder_imports_only_what_the_table_allows() {
    let table = table();
    for (folder, allowed) in &table {
        for file in rust_files(&home().join("src").join(folder)) {
            let code = fs::read_to_string(&file).expect("code");
            for name in imported(&code) {
                let is_allowed = name == *folder || allowed.contains(&name);
                assert!(
                    is_allowed,
                    "{} imports {name}, which the table does not allow",
                    file.display()
                );
            }
        }
    }
}

#[test]
fn the_table_has_the_folders_that_there_are() {
    let entries = fs::read_dir(home().join("src"))
        .expect("src")
        .map(|entry| entry.expect("an entry"));
    let folders: BTreeSet<String> = entries
        .filter(|entry| entry.path().is_dir())
        .map(|entry| entry.file_name().to_string_lossy().into_owned())
        .collect();
    assert_eq!(folders, table().into_keys().collect());
}

#[test]
fn imports_are_found_in_every_way_of_writing_them() {
    let code = "
        use crate::source::{Span, limits};
        use crate::{\n    fabric::{Piece, Round},\n    terms,\n};
        // crate::comment
        let x = crate::text::Font::new(); // crate::comment
        pub(crate) fn f() { mycrate::other() }
    ";
    let expected = ["fabric", "source", "terms", "text"].map(str::to_owned);
    assert_eq!(imported(code), BTreeSet::from(expected));
}
