use std::process::ExitCode;

/// How a run ended; the worst of its patterns counts. The numbers are a promise to scripts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Status {
    /// No errors; there may be warnings and notes. Exit status 0.
    Fine = 0,
    /// A pattern has errors. Exit status 1.
    Errors = 1,
    /// Something could not be read, written or understood. Exit status 2.
    CouldNotRun = 2,
}

impl From<Status> for ExitCode {
    fn from(status: Status) -> ExitCode {
        ExitCode::from(status as u8)
    }
}
