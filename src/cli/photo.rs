//! The designer's own picture, which the pattern's header names: `Photo: puffin.jpg`.

use std::fs::File;
use std::io::Read;
use std::path::{Component, Path, PathBuf};

use crate::pages::Photo;
use crate::pattern::Pattern;
use crate::source::{Source, limits};

use super::files::Failure;
use super::input::reason;

/// Reads the picture that a pattern names, in the pattern's own folder or one below it. Nothing if it names none.
///
/// # Errors
/// Why it can't be used, in a few words.
pub fn photo(source: &Source, pattern: &Pattern, file: &Path) -> Result<Option<Photo>, Failure> {
    let entries = &pattern.header.entries;
    let Some(entry) = entries
        .iter()
        .find(|entry| ["photo", "picture"].contains(&entry.key.as_str()))
    else {
        return Ok(None);
    };
    let name = source.slice(entry.value).trim();
    if name.is_empty() {
        return Ok(None);
    }
    let failed = |reason: String| Failure {
        path: PathBuf::from(name),
        reason,
    };
    let path = Path::new(name);
    let stays = path
        .components()
        .all(|part| matches!(part, Component::Normal(_) | Component::CurDir));
    if !stays {
        return Err(failed(
            "a photo has to be in the pattern's folder or below it".to_owned(),
        ));
    }
    let folder = file.parent().unwrap_or(Path::new(""));
    let bytes = read(&folder.join(path)).map_err(failed)?;
    let ending = match imagesize::image_type(&bytes) {
        Ok(imagesize::ImageType::Png) => "png",
        Ok(imagesize::ImageType::Jpeg) => "jpg",
        _ => {
            return Err(failed(
                "this is neither a PNG nor a JPEG picture".to_owned(),
            ));
        }
    };
    let size =
        imagesize::blob_size(&bytes).map_err(|_| failed("this picture is broken".to_owned()))?;
    let pixels = (size.width as u64).saturating_mul(size.height as u64);
    if pixels > limits::PHOTO_PIXELS {
        return Err(failed(format!(
            "{} × {} pixels are more than a photo can have (the limit is {} million)",
            size.width,
            size.height,
            limits::PHOTO_PIXELS / 1_000_000
        )));
    }
    Ok(Some(Photo { bytes, ending }))
}

fn read(path: &Path) -> Result<Vec<u8>, String> {
    let mut bytes = Vec::new();
    let file = File::open(path).map_err(|error| reason(&error))?;
    file.take(limits::PHOTO_BYTES + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| reason(&error))?;
    if bytes.len() as u64 > limits::PHOTO_BYTES {
        return Err(format!(
            "this is larger than a photo can be (the limit is {} MB)",
            limits::PHOTO_BYTES / 1_000_000
        ));
    }
    Ok(bytes)
}
