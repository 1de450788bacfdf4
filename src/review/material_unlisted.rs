//! Materials that the words use and the list does not have.

use super::draft::Draft;
use crate::prose::materials;
use crate::source::{Problem, quoted};

/// A thing that is used from the first piece on, but is neither in the list of materials nor in the header.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    if !draft.is_whole() {
        return Vec::new();
    }
    let problem = |thing: materials::Unlisted<'_>| {
        let name = match thing.word.is("stuff") {
            true => "stuffing".to_owned(),
            false => quoted(thing.word.text),
        };
        Problem::note(
            "material-unlisted",
            thing.word.span,
            format!("{name} is used here, but the materials do not list it"),
        )
        .help("add it to the list of materials")
    };
    let missing = materials::unlisted(&draft.prose);
    missing.into_iter().map(problem).collect()
}
