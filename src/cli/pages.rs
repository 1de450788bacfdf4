//! `roundwright pages`: patterns as finished pages, every edition its own file.

use std::path::{Path, PathBuf};
use std::thread;

use indicatif::{ProgressBar, ProgressStyle};

use crate::at_once::in_order;
use crate::pages::{self, Edition, Paper, Photo, Request};
use crate::place;
use crate::shape;
use crate::source::limits;
use crate::terms::{Hand, Terms};
use crate::text;
use crate::toy::Kit;

use super::arguments::{EditionName, InkName, Pages, PagesWanted, PaperName};
use super::console::{Console, clean};
use super::each::{Outcome, Patterns, about};
use super::files::{Failure, Folder};
use super::shape::tell_size;
use super::worked::Worked;
use super::{Status, input, names, photo};

/// The folder of the pages, in that of the charts.
const PAGES: &str = "pages";

/// Sets every pattern.
pub fn run(arguments: &Pages, console: &mut Console) -> Status {
    let patterns = Patterns {
        paths: &arguments.patterns,
        out: arguments.out.as_deref(),
        inner: Some(PAGES),
    };
    patterns.each(console, |path, folder, console| {
        set(arguments, path, folder, console)
    })
}

/// The files of an edition.
struct Made {
    pdf: Vec<u8>,
    /// How many pages it has.
    count: usize,
    /// Those that were asked for as PNG, with their places from 0.
    pages: Vec<(usize, Vec<u8>)>,
}

fn set(
    arguments: &Pages,
    path: &Path,
    folder: PathBuf,
    console: &mut Console,
) -> Result<Status, Failure> {
    let about = about(path);
    let worked = Worked::told(path, &arguments.lengths.lengths, console).map_err(&about)?;
    let is_made = worked
        .fabric
        .pieces
        .iter()
        .any(|piece| !piece.rounds.is_empty());
    let mut photo_status = Status::Fine;
    if is_made {
        let lacking = text::lacking(worked.source.text());
        if lacking > 0 {
            console.complain(&input::name(path), &stand_ins(lacking));
        }
        let photo = match photo::photo(&worked.source, &worked.pattern, path) {
            Ok(photo) => photo,
            Err(Failure { path, reason }) => {
                let instead = "the first page has a drawing instead";
                console.complain(&path.to_string_lossy(), &format!("{reason}; {instead}"));
                photo_status = Status::CouldNotRun;
                None
            }
        };
        let editions = editions(arguments, &worked).map_err(&about)?;
        let shapes = shape::relax(&worked.source, &worked.pattern, &worked.fabric);
        let placement = place::place(&worked.source, &worked.pattern, &worked.fabric);
        let kit = Kit::new(
            &worked.source,
            &worked.pattern,
            &worked.fabric,
            &shapes,
            &placement,
        );
        tell_size(&worked, &shapes, &kit, kit.whole().as_ref(), console);
        // A folder that can't be written is known before the work is done.
        let folder = Folder::open(folder)?;
        let bar = bar(editions.len());
        let processors = thread::available_parallelism().map_or(1, usize::from);
        let made = in_order(editions.len(), processors, |place| {
            let made = make(arguments, &worked, editions[place], photo.as_ref());
            bar.inc(1);
            made
        });
        bar.finish_and_clear();
        pages::forget();
        let made: Result<Vec<Made>, String> = made.into_iter().collect();
        write(
            arguments,
            &stem(path),
            &editions,
            &made.map_err(&about)?,
            folder,
            console,
        )?;
    }
    let outcome = Outcome {
        is_made,
        nothing: "there are no rounds to set",
        partial: "the pages show what could be worked",
    };
    Ok(outcome.tell(path, &worked, console)?.max(photo_status))
}

fn stand_ins(lacking: usize) -> String {
    let characters = match lacking {
        1 => "1 character".to_owned(),
        count => format!("{count} characters"),
    };
    format!(
        "the fonts lack {characters} of this text, shown as {}",
        text::STAND_IN
    )
}

fn write(
    arguments: &Pages,
    stem: &str,
    editions: &[Edition],
    made: &[Made],
    mut folder: Folder,
    console: &mut Console,
) -> Result<(), Failure> {
    let names: Vec<String> = editions
        .iter()
        .map(|edition| format!("{stem}{}", suffix(*edition)))
        .collect();
    let mut files: Vec<(String, &[u8])> = Vec::new();
    for (name, made) in names.iter().zip(made) {
        files.push((format!("{name}.pdf"), &made.pdf));
        let pages = made.pages.iter();
        files.extend(pages.map(|(page, png)| (page_name(name, *page, made.count), png.as_slice())));
    }
    folder.plan(files.iter().map(|(name, _)| name.clone()))?;
    for (name, bytes) in &files {
        folder.write(name, bytes)?;
        console.print(&format!(
            "{}\n",
            clean(&folder.path_of(name).to_string_lossy())
        ));
    }
    // Pages that an edition of this run no longer has; other editions stay.
    folder.finish(|file| arguments.png.is_some() && names.iter().any(|name| is_page_of(file, name)))
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
    let wanted = |page: &usize| match &arguments.png {
        None => false,
        Some(PagesWanted(wanted)) => wanted.is_empty() || wanted.contains(&(page + 1)),
    };
    let mut pictures = Vec::new();
    for page in (0..typeset.len()).filter(wanted) {
        if let Some(png) = typeset.png(page, arguments.dpi) {
            pictures.push((page, png.map_err(|error| error.to_string())?));
        }
    }
    Ok(Made {
        pdf,
        count: typeset.len(),
        pages: pictures,
    })
}

/// The editions that were asked for, each once, in that order.
fn editions(arguments: &Pages, worked: &Worked) -> Result<Vec<Edition>, String> {
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
    if once.len() > limits::EDITIONS {
        return Err(format!(
            "these are too many editions for one run (the limit is {})",
            limits::EDITIONS
        ));
    }
    Ok(once)
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
