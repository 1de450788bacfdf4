//! The folder that a pattern's charts are written to.
//!
//! A file is written beside its target and renamed into place, so that a run that is killed or runs out of disk leaves
//! the old file whole. A list in the folder names the files that are ours: a later run removes those that it no longer makes, and no
//! others. A name is on the list before its file is there, unless somebody else's file has the name already.

use std::collections::BTreeSet;
use std::fs::{self, File, TryLockError};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;

use super::input::reason;
use super::names::is_ours;

/// The list of our files, one name a line.
pub const LIST: &str = "roundwright-files.txt";
/// How the names of files start and end that are still being written.
const UNFINISHED: (&str, &str) = (".roundwright-", ".part");
/// A longer list is none of ours.
const LIST_BYTES: u64 = 4_000_000;
const ENDINGS: [&str; 4] = ["svg", "png", "json", "pdf"];

/// What could not be written, and why.
#[derive(Debug, PartialEq, Eq)]
pub struct Failure {
    /// The file or folder.
    pub path: PathBuf,
    /// Why, in a few words.
    pub reason: String,
}

/// A folder of charts that this run writes to.
pub struct Folder {
    path: PathBuf,
    /// Files that are ours, of this run and of earlier ones.
    listed: BTreeSet<String>,
    /// Files that this run wrote.
    written: BTreeSet<String>,
    /// Keeps other runs out of the folder, where the system can do that.
    _lock: Option<File>,
}

impl Folder {
    /// Opens the folder, making it if need be. What a killed run left unfinished is cleared away.
    ///
    /// # Errors
    /// If it can't be made or looked into, or if another run is writing to it.
    pub fn open(path: PathBuf) -> Result<Folder, Failure> {
        let failed = |error| failure(&path, &error);
        fs::create_dir_all(&path).map_err(failed)?;
        let lock = lock(&path)?;
        for entry in fs::read_dir(&path).map_err(failed)? {
            let entry = entry.map_err(failed)?;
            let name = entry.file_name();
            let name = name.to_string_lossy();
            if name.starts_with(UNFINISHED.0) && name.ends_with(UNFINISHED.1) {
                remove(&entry.path())?;
            }
        }
        Ok(Folder {
            listed: read_list(&path.join(LIST)),
            path,
            written: BTreeSet::new(),
            _lock: lock,
        })
    }

    /// Where a file of the folder is.
    pub fn path_of(&self, name: &str) -> PathBuf {
        self.path.join(name)
    }

    /// Puts the names of files that will be written on the list, but those that somebody else's file has: such a file
    /// becomes ours when it has been replaced.
    ///
    /// # Errors
    /// If the list can't be written.
    pub fn plan(&mut self, names: impl IntoIterator<Item = String>) -> Result<(), Failure> {
        let is_free = |name: &String| fs::symlink_metadata(self.path.join(name)).is_err();
        self.listed.extend(names.into_iter().filter(is_free));
        self.write_list()
    }

    /// Writes a file in place of what had its name.
    ///
    /// # Errors
    /// If it could not be written; what had its name is whole then.
    pub fn write(&mut self, name: &str, bytes: &[u8]) -> Result<(), Failure> {
        self.replace(name, bytes)?;
        self.written.insert(name.to_owned());
        Ok(())
    }

    /// Removes files of earlier runs that this one would have written again if they were still made, and brings the list up to date.
    ///
    /// # Errors
    /// If one can't be removed or the list can't be written.
    pub fn finish(mut self, is_concerned: impl Fn(&str) -> bool) -> Result<(), Failure> {
        let stale = |name: &&String| !self.written.contains(*name) && is_concerned(name);
        let stale: Vec<String> = self.listed.iter().filter(stale).cloned().collect();
        for name in stale {
            remove(&self.path_of(&name))?;
            self.listed.remove(&name);
        }
        self.listed.append(&mut self.written);
        self.write_list()
    }

    fn write_list(&self) -> Result<(), Failure> {
        let list: String = self.listed.iter().map(|name| format!("{name}\n")).collect();
        self.replace(LIST, list.as_bytes())
    }

    fn replace(&self, name: &str, bytes: &[u8]) -> Result<(), Failure> {
        let target = self.path_of(name);
        let write = || {
            let mut file = unfinished(&self.path)?;
            file.write_all(bytes)?;
            file.persist(&target).map_err(|error| error.error)
        };
        match write() {
            Ok(_) => Ok(()),
            Err(error) => Err(failure(&target, &error)),
        }
    }
}

/// Puts new bytes in the place of a file, which keeps its permissions. Where the path is a link, what it leads to is replaced.
///
/// # Errors
/// If it could not be written; the file is whole and as it was then.
pub fn replace_file(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let write = || {
        let target = fs::canonicalize(path)?;
        let permissions = fs::metadata(&target)?.permissions();
        let mut file = unfinished(target.parent().unwrap_or(Path::new(".")))?;
        file.write_all(bytes)?;
        file.as_file().set_permissions(permissions)?;
        file.as_file().sync_all()?;
        file.persist(&target).map_err(|error| error.error)
    };
    match write() {
        Ok(_) => Ok(()),
        Err(error) => Err(failure(path, &error)),
    }
}

/// Keeps other runs out of a folder for as long as the file is open. Nothing where the system has no such locks.
fn lock(path: &Path) -> Result<Option<File>, Failure> {
    let Ok(folder) = File::open(path) else {
        return Ok(None);
    };
    match folder.try_lock() {
        Ok(()) => Ok(Some(folder)),
        Err(TryLockError::WouldBlock) => Err(Failure {
            path: path.to_owned(),
            reason: "another run is writing to this folder".to_owned(),
        }),
        Err(TryLockError::Error(_)) => Ok(None),
    }
}

/// A new file in the folder, with the permissions that any other new file would have.
fn unfinished(folder: &Path) -> io::Result<NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(UNFINISHED.0).suffix(UNFINISHED.1);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    builder.tempfile_in(folder)
}

/// The names on the list that could be ours. The list may have been edited: nothing in it is trusted.
fn read_list(path: &Path) -> BTreeSet<String> {
    let is_file = fs::symlink_metadata(path).is_ok_and(|data| data.is_file());
    let mut list = String::new();
    let read = File::open(path).and_then(|file| file.take(LIST_BYTES).read_to_string(&mut list));
    if !is_file || read.is_err() {
        return BTreeSet::new();
    }
    let ours = list.lines().filter(|name| is_ours(name, &ENDINGS));
    ours.map(str::to_owned).collect()
}

/// Removes a file or a link; anything else by that name is not ours and stays.
fn remove(path: &Path) -> Result<(), Failure> {
    match fs::symlink_metadata(path) {
        Ok(data) if !data.is_dir() => fs::remove_file(path).map_err(|error| failure(path, &error)),
        _ => Ok(()),
    }
}

fn failure(path: &Path, error: &io::Error) -> Failure {
    Failure {
        path: path.to_owned(),
        reason: reason(error),
    }
}
