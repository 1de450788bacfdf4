//! What the commands that make files have in common: the patterns in turn, a folder for each, and how a run ends.

use std::path::{Path, PathBuf};

use super::console::Console;
use super::files::Failure;
use super::worked::Worked;
use super::{Status, input, names};

/// Where files go when nobody says otherwise.
pub const CHARTS: &str = "charts-out";

/// The patterns that a command was given, and where what it makes of them goes.
pub struct Patterns<'a> {
    pub paths: &'a [PathBuf],
    /// The folder that was asked for.
    pub out: Option<&'a Path>,
    /// The folder in a pattern's own that such files go to if nobody asked for one.
    pub inner: Option<&'a str>,
}

impl Patterns<'_> {
    /// Makes the files of every pattern; one that can't be read or written does not keep the others from it.
    pub fn each(
        &self,
        console: &mut Console,
        mut make: impl FnMut(&Path, PathBuf, &mut Console) -> Result<Status, Failure>,
    ) -> Status {
        let mut status = Status::Fine;
        for (path, folder) in self.paths.iter().zip(self.folders()) {
            let made = make(path, folder, console);
            status = status.max(told(made, console));
        }
        status
    }

    /// The folder of each pattern: `out` itself for one, a folder in it for each of several. Without `out`, the pattern's own folder
    /// among the charts, or the one named `inner` in that.
    fn folders(&self) -> Vec<PathBuf> {
        let names = names::folder_names(self.paths.iter().map(PathBuf::as_path));
        match self.out {
            Some(out) if names.len() == 1 => vec![out.to_owned()],
            Some(out) => names.iter().map(|name| out.join(name)).collect(),
            None => {
                let own = names.iter().map(|name| Path::new(CHARTS).join(name));
                own.map(|own| self.inner.map_or(own.clone(), |inner| own.join(inner)))
                    .collect()
            }
        }
    }
}

/// The status that a command ends with; a failure is told.
pub fn told(made: Result<Status, Failure>, console: &mut Console) -> Status {
    made.unwrap_or_else(|Failure { path, reason }| {
        console.complain(&path.to_string_lossy(), &reason);
        Status::CouldNotRun
    })
}

/// A failure that is about the pattern itself.
pub fn about(path: &Path) -> impl Fn(String) -> Failure {
    let path: PathBuf = input::name(path).into();
    move |reason| Failure {
        path: path.clone(),
        reason,
    }
}

/// What a run over a pattern ends with, told where the pattern has errors.
pub struct Outcome<'a> {
    /// True if anything was made.
    pub is_made: bool,
    /// What is said where nothing could be: `there is nothing to chart`.
    pub nothing: &'a str,
    /// What the files of a pattern with errors are worth: `the charts show what could be worked`.
    pub partial: &'a str,
}

impl Outcome<'_> {
    /// The status of the run.
    ///
    /// # Errors
    /// That nothing was made, though the pattern has no errors.
    pub fn tell(
        &self,
        path: &Path,
        worked: &Worked,
        console: &mut Console,
    ) -> Result<Status, Failure> {
        if worked.status == Status::Errors {
            let what = match self.is_made {
                true => self.partial,
                false => self.nothing,
            };
            console.complain(&input::name(path), &format!("{}; {what}", worked.tally()));
        } else if !self.is_made {
            return Err(about(path)(self.nothing.to_owned()));
        }
        Ok(worked.status)
    }
}
