//! Runs the program in a folder of its own.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Output, Stdio};

use tempfile::TempDir;

/// The program under test.
pub const PROGRAM: &str = env!("CARGO_BIN_EXE_roundwright");

/// A ball that comes out right.
pub const BALL: &str = "\
# Net float

## Float
Rnd 1: 6 sc in a magic ring (6)
Rnd 2: inc x 6 (12)
Rnds 3-4: sc in each st around (12)
Rnd 5: dec x 6 (6)
";

/// The same ball with a round that does not come out.
pub const WRONG_BALL: &str = "\
# Net float

## Float
Rnd 1: 6 sc in a magic ring (6)
Rnd 2: inc x 6 (13)
";

/// A folder that is thrown away, to run the program in.
pub struct Bench {
    folder: TempDir,
}

/// What a run came to.
pub struct Outcome {
    /// The exit status, or none if a signal ended the run.
    pub status: Option<i32>,
    /// What was written to standard output.
    pub out: String,
    /// What was written to standard error.
    pub err: String,
}

impl Bench {
    pub fn new() -> Bench {
        Bench {
            folder: TempDir::new().expect("a temporary folder"),
        }
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// Writes a file, with the folders above it.
    pub fn file(&self, name: &str, bytes: impl AsRef<[u8]>) -> &Bench {
        let path = self.path(name);
        fs::create_dir_all(path.parent().expect("below the folder")).expect("folders");
        fs::write(path, bytes).expect("a file");
        self
    }

    pub fn read(&self, name: &str) -> Vec<u8> {
        fs::read(self.path(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
    }

    /// Names of all files below a folder, in order, with `/` between.
    pub fn files(&self, below: &str) -> Vec<String> {
        files_below(&self.path(below))
    }

    pub fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(PROGRAM);
        self.prepare(&mut command).args(arguments);
        command
    }

    /// A line of shell, in which `$0` is the program.
    #[cfg(unix)]
    pub fn shell(&self, line: &str) -> Outcome {
        let mut command = Command::new("sh");
        self.prepare(&mut command).args(["-c", line, PROGRAM]);
        outcome(command.output().expect("a shell"))
    }

    fn prepare<'a>(&self, command: &'a mut Command) -> &'a mut Command {
        command
            .current_dir(self.folder.path())
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
    }

    pub fn run(&self, arguments: &[&str]) -> Outcome {
        outcome(self.command(arguments).output().expect("the program runs"))
    }

    /// Runs with text on standard input.
    pub fn run_with(&self, arguments: &[&str], input: impl AsRef<[u8]>) -> Outcome {
        let mut command = self.command(arguments);
        let mut child = command
            .stdin(Stdio::piped())
            .spawn()
            .expect("the program runs");
        // A program that needs no more of it closes its end.
        let _ = child
            .stdin
            .take()
            .expect("a pipe")
            .write_all(input.as_ref());
        outcome(child.wait_with_output().expect("the program ends"))
    }

    pub fn start(&self, arguments: &[&str]) -> Child {
        self.command(arguments).spawn().expect("the program runs")
    }
}

impl Outcome {
    /// Fails the test, showing what was said, unless the run ended with this exit status.
    #[track_caller]
    pub fn ended_with(&self, status: i32) -> &Outcome {
        assert_eq!(
            self.status,
            Some(status),
            "standard output:\n{}\nstandard error:\n{}",
            self.out,
            self.err
        );
        self
    }

    /// Fails the test unless standard error has these words.
    #[track_caller]
    pub fn complains(&self, words: &str) -> &Outcome {
        assert!(self.err.contains(words), "no '{words}' in:\n{}", self.err);
        self
    }

    /// Fails the test unless standard output has these words.
    #[track_caller]
    pub fn says(&self, words: &str) -> &Outcome {
        assert!(self.out.contains(words), "no '{words}' in:\n{}", self.out);
        self
    }
}

fn outcome(output: Output) -> Outcome {
    Outcome {
        status: output.status.code(),
        out: String::from_utf8(output.stdout).expect("UTF-8"),
        err: String::from_utf8(output.stderr).expect("UTF-8"),
    }
}

/// Names of all files below a folder, in order, with `/` between.
pub fn files_below(folder: &Path) -> Vec<String> {
    let mut names = Vec::new();
    for entry in fs::read_dir(folder).into_iter().flatten() {
        let path = entry.expect("an entry").path();
        let name = path
            .file_name()
            .expect("a name")
            .to_string_lossy()
            .into_owned();
        if path.is_dir() {
            names.extend(
                files_below(&path)
                    .into_iter()
                    .map(|below| format!("{name}/{below}")),
            );
        } else {
            names.push(name);
        }
    }
    names.sort();
    names
}
