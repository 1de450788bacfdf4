//! Writing a pattern: whole beside its place, then moved there, so that a run that is stopped leaves only whole files.

use std::fs;
use std::io::{self, Write};
use std::path::Path;

use tempfile::NamedTempFile;

use super::input::reason;

/// Writes a new file.
///
/// # Errors
/// Why not, in a few words; also if there is a file of that name, which stays as it is.
pub fn create(path: &Path, bytes: &[u8]) -> Result<(), String> {
    let exists = "there is a file of that name already";
    if fs::symlink_metadata(path).is_ok() {
        return Err(exists.to_owned());
    }
    let file = unfinished(path, bytes, None).map_err(|error| reason(&error))?;
    match file.persist_noclobber(path) {
        Ok(_) => Ok(()),
        Err(error) if error.error.kind() == io::ErrorKind::AlreadyExists => Err(exists.to_owned()),
        Err(error) => Err(reason(&error.error)),
    }
}

/// Writes a file in place of one that holds `old`, with its permissions. A link goes on pointing to the file.
///
/// # Errors
/// Why not, in a few words; also if the file is another than it was by now. It stays as it is then.
pub fn replace(path: &Path, old: &[u8], new: &[u8]) -> Result<(), String> {
    let write = || {
        let path = fs::canonicalize(path)?;
        if fs::read(&path)? != old {
            return Ok(false);
        }
        let permissions = fs::metadata(&path)?.permissions();
        let file = unfinished(&path, new, Some(permissions))?;
        file.persist(&path).map_err(|error| error.error)?;
        Ok(true)
    };
    match write() {
        Ok(true) => Ok(()),
        Ok(false) => Err("the file was changed in the meantime".to_owned()),
        Err(error) => Err(reason(&error)),
    }
}

/// The bytes in a file beside `path`, with the permissions given, else with those of any new file.
fn unfinished(
    path: &Path,
    bytes: &[u8],
    permissions: Option<fs::Permissions>,
) -> io::Result<NamedTempFile> {
    let folder = match path.parent() {
        Some(folder) if folder != Path::new("") => folder,
        _ => Path::new("."),
    };
    let mut builder = tempfile::Builder::new();
    builder.prefix(".roundwright-").suffix(".part");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    let mut file = builder.tempfile_in(folder)?;
    file.write_all(bytes)?;
    if let Some(permissions) = permissions {
        file.as_file().set_permissions(permissions)?;
    }
    file.as_file().sync_all()?;
    Ok(file)
}
