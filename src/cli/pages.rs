//! `roundwright pages`: patterns as finished pages, every edition its own file.

use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::thread;

use indicatif::{ProgressBar, ProgressStyle};

use crate::pages::{self, Edition, Paper, Photo, Request};
use crate::source::limits;
use crate::terms::{Hand, Terms};
use crate::text;

use super::arguments::{EditionName, InkName, Pages, PaperName};
use super::chart::CHARTS;
use super::console::{Console, clean};
use super::files::{Failure, Folder};
use super::worked::Worked;
use super::{Status, input, names, photo};

/// The folder of the pages, in that of the charts.
const PAGES: &str = "pages";

/// Sets every pattern; one that can't be read or written does not keep the others from it.
pub fn run(arguments: &Pages, console: &mut Console) -> Status {
    let mut status = Status::Fine;
    for (path, folder) in arguments.patterns.iter().zip(folders(arguments)) {
        status = status.max(match set(arguments, path, folder, console) {
            Ok(status) => status,
            Err(Failure { path, reason }) => {
                console.complain(&path.to_string_lossy(), &reason);
                Status::CouldNotRun
            }
        });
    }
    status
}

/// The folder of each pattern: `--out` itself for one, a folder in it for each of several.
fn folders(arguments: &Pages) -> Vec<PathBuf> {
    let names = names::folder_names(arguments.patterns.iter().map(PathBuf::as_path));
    let single = names.len() == 1;
    let folder = |name: &std::ffi::OsString| match &arguments.out {
        Some(out) if single => out.clone(),
        Some(out) => out.join(name),
        None => Path::new(CHARTS).join(name).join(PAGES),
    };
    names.iter().map(folder).collect()
}

/// The files of an edition.
struct Made {
    pdf: Vec<u8>,
    /// Its pages as PNG, if they were asked for.
    pages: Vec<Vec<u8>>,
}

fn set(
    arguments: &Pages,
    path: &Path,
    folder: PathBuf,
    console: &mut Console,
) -> Result<Status, Failure> {
    let name = input::name(path);
    let about = |reason| Failure {
        path: name.clone().into(),
        reason,
    };
    let worked = Worked::told(path, &arguments.lengths.lengths, console).map_err(about)?;
    let tally = worked.tally();
    let mut status = worked.status;
    if worked
        .fabric
        .pieces
        .iter()
        .all(|piece| piece.rounds.is_empty())
    {
        let nothing = "there are no rounds to set";
        if status == Status::Errors {
            console.complain(&name, &format!("{tally}; {nothing}"));
            return Ok(status);
        }
        return Err(about(nothing.to_owned()));
    }
    let lacking = text::lacking(worked.source.text());
    if lacking > 0 {
        let characters = if lacking == 1 {
            "1 character".to_owned()
        } else {
            format!("{lacking} characters")
        };
        console.complain(
            &name,
            &format!(
                "the fonts lack {characters} of this text, which are shown as {}",
                text::STAND_IN
            ),
        );
    }
    let mut picture = None;
    match photo::photo(&worked.source, &worked.pattern, path) {
        Ok(found) => picture = found,
        Err(Failure { path, reason }) => {
            console.complain(
                &path.to_string_lossy(),
                &format!("{reason}; the first page has a drawing instead"),
            );
            status = Status::CouldNotRun;
        }
    }
    let editions = editions(arguments, &worked);
    if editions.len() > limits::EDITIONS {
        return Err(about(format!(
            "these are too many editions for one run (the limit is {})",
            limits::EDITIONS
        )));
    }
    let mut folder = Folder::open(folder)?;
    let stem = stem(path);
    let bar = bar(editions.len());
    let made = in_order(editions.len(), |place| {
        let made = make(arguments, &worked, editions[place], picture.as_ref());
        bar.inc(1);
        made
    });
    bar.finish_and_clear();
    let made: Vec<Made> = made
        .into_iter()
        .collect::<Result<_, String>>()
        .map_err(about)?;
    let files: Vec<(String, &[u8])> = editions
        .iter()
        .zip(&made)
        .flat_map(|(edition, made)| {
            let name = format!("{stem}{}", suffix(*edition));
            let count = made.pages.len();
            let pages = made.pages.iter().enumerate();
            let pages =
                pages.map(|(place, page)| (page_name(&name, place, count), page.as_slice()));
            let pages: Vec<_> = pages.collect();
            std::iter::once((format!("{name}.pdf"), made.pdf.as_slice())).chain(pages)
        })
        .collect();
    folder.plan(files.iter().map(|(name, _)| name.clone()))?;
    for (name, bytes) in &files {
        folder.write(name, bytes)?;
        console.print(&format!(
            "{}\n",
            clean(&folder.path_of(name).to_string_lossy())
        ));
    }
    let own: Vec<String> = editions
        .iter()
        .map(|edition| format!("{stem}{}", suffix(*edition)))
        .collect();
    // The pages of an edition that has fewer now, and no other edition's.
    folder.finish(|file| arguments.png && own.iter().any(|name| is_page_of(file, name)))?;
    if worked.status == Status::Errors {
        console.complain(
            &name,
            &format!("{tally}; the pages show what could be worked"),
        );
    }
    Ok(status)
}

/// One edition's files. A picture that can't be shown is left out.
fn make(
    arguments: &Pages,
    worked: &Worked,
    edition: Edition,
    photo: Option<&Photo>,
) -> Result<Made, String> {
    let request = Request {
        edition,
        paper: match arguments.paper {
            PaperName::A4 => Paper::A4,
            PaperName::Letter => Paper::Letter,
        },
        photo,
    };
    let pages = pages::pages(&worked.source, &worked.pattern, &worked.fabric, &request);
    let typeset = match pages::typeset(&pages) {
        Err(_) if photo.is_some() => return make(arguments, worked, edition, None),
        typeset => typeset.map_err(|error| error.to_string())?,
    };
    let pdf = match typeset.pdf() {
        Err(_) if photo.is_some() => return make(arguments, worked, edition, None),
        pdf => pdf.map_err(|error| error.to_string())?,
    };
    let pictures = match arguments.png {
        true => (0..typeset.len())
            .filter_map(|page| typeset.png(page, arguments.dpi))
            .collect(),
        false => Ok(Vec::new()),
    };
    Ok(Made {
        pdf,
        pages: pictures.map_err(|error: crate::raster::RasterError| error.to_string())?,
    })
}

/// The editions that were asked for, each once, in that order.
fn editions(arguments: &Pages, worked: &Worked) -> Vec<Edition> {
    let base = Edition {
        large: false,
        hand: arguments.hand.map(Hand::from),
        terms: arguments.terms.map(Terms::from),
        low_ink: arguments.ink == InkName::Low,
    };
    let mut editions = Vec::new();
    for name in &arguments.editions {
        match *name {
            EditionName::One {
                low_vision,
                hand,
                terms,
                low_ink,
            } => editions.push(Edition {
                large: low_vision,
                hand: hand.map(Hand::from).or(base.hand),
                terms: terms.map(Terms::from).or(base.terms),
                low_ink: low_ink || base.low_ink,
            }),
            EditionName::All => {
                let other_hand = match base.hand.unwrap_or(worked.fabric.hand) {
                    Hand::Right => Hand::Left,
                    Hand::Left => Hand::Right,
                };
                let other_terms = match base.terms.unwrap_or(worked.fabric.terms) {
                    Terms::Us => Terms::Uk,
                    Terms::Uk => Terms::Us,
                };
                editions.extend([
                    base,
                    Edition {
                        large: true,
                        ..base
                    },
                    Edition {
                        hand: Some(other_hand),
                        ..base
                    },
                    Edition {
                        terms: Some(other_terms),
                        ..base
                    },
                    Edition {
                        low_ink: true,
                        ..base
                    },
                ]);
            }
        }
    }
    let mut once: Vec<Edition> = Vec::new();
    for edition in editions {
        if !once.contains(&edition) {
            once.push(edition);
        }
    }
    once
}

/// What the name of an edition's files ends in: `-low-vision-uk`; nothing for the standard one.
fn suffix(edition: Edition) -> String {
    let mut words = String::new();
    if edition.large {
        words += "-low-vision";
    }
    words += match edition.hand {
        Some(Hand::Left) => "-left-handed",
        Some(Hand::Right) => "-right-handed",
        None => "",
    };
    words += match edition.terms {
        Some(Terms::Us) => "-us",
        Some(Terms::Uk) => "-uk",
        None => "",
    };
    if edition.low_ink {
        words += "-low-ink";
    }
    words
}

/// What the files of a pattern start with.
fn stem(path: &Path) -> String {
    let name = path
        .file_stem()
        .map(|stem| stem.to_string_lossy().into_owned())
        .unwrap_or_default();
    names::file_names([name.as_str()]).remove(0)
}

/// `puffin-page-03.png`: as many digits as the last page has, so that files sort as the pages lie.
fn page_name(name: &str, place: usize, count: usize) -> String {
    let digits = count.to_string().len();
    format!("{name}-page-{:0digits$}.png", place + 1)
}

fn is_page_of(file: &str, name: &str) -> bool {
    let number = file
        .strip_prefix(name)
        .and_then(|rest| rest.strip_prefix("-page-"));
    let number = number.and_then(|rest| rest.strip_suffix(".png"));
    number.is_some_and(|number| !number.is_empty() && number.bytes().all(|b| b.is_ascii_digit()))
}

/// A bar on standard error, where that is a terminal and there is something to wait for.
fn bar(editions: usize) -> ProgressBar {
    if editions < 2 {
        return ProgressBar::hidden();
    }
    let bar = ProgressBar::new(editions as u64);
    if let Ok(style) = ProgressStyle::with_template("{bar:30} {pos} of {len} editions") {
        bar.set_style(style);
    }
    bar.tick();
    bar
}

/// Makes something for each number below `count`, as many at a time as there are processors, and lists it in order.
fn in_order<T: Send>(count: usize, one: impl Fn(usize) -> T + Sync) -> Vec<T> {
    let next = Mutex::new(0..count);
    let work = || {
        let mut done = Vec::new();
        while let Some(place) = next.lock().ok().and_then(|mut next| next.next()) {
            done.push((place, one(place)));
        }
        done
    };
    let at_a_time = thread::available_parallelism().map_or(1, usize::from);
    let mut done = thread::scope(|scope| {
        let helpers: Vec<_> = (1..at_a_time.min(count))
            .map(|_| scope.spawn(work))
            .collect();
        let mut done = work();
        for helper in helpers {
            // A thread can only fail by a panic, which goes on here.
            done.extend(
                helper
                    .join()
                    .unwrap_or_else(|panic| std::panic::resume_unwind(panic)),
            );
        }
        done
    });
    done.sort_by_key(|(place, _)| *place);
    done.into_iter().map(|(_, made)| made).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pages_are_known_by_their_edition() {
        assert_eq!(page_name("float-uk", 2, 12), "float-uk-page-03.png");
        assert!(is_page_of("float-uk-page-03.png", "float-uk"));
        assert!(!is_page_of("float-uk-page-03.png", "float"));
        assert!(!is_page_of("float-uk.pdf", "float-uk"));
    }
}
