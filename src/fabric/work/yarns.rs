//! The yarns by name.

use std::collections::BTreeMap;

use crate::fabric::model::{Yarn, YarnId};
use crate::pattern::Pattern;
use crate::source::{Problem, Span, limits, quoted};
use crate::terms::colours;

/// The yarns by name, and those that turn up undeclared.
pub(super) struct Yarns<'p> {
    pub pattern: &'p Pattern,
    pub list: Vec<Yarn>,
    pub missing: BTreeMap<String, YarnId>,
    pub problems: Vec<Problem>,
}

impl Yarns<'_> {
    /// The only listed yarn whose name has these words in it: `dark blue` of `dark blue DK`.
    fn of_colour(&self, name: &str) -> Option<usize> {
        let listed = self.list.iter().take(self.pattern.header.yarns.len());
        let mut of_it = listed
            .enumerate()
            .filter(|(_, yarn)| name.chars().count() > 2 && colours::stands_in(name, &yarn.name));
        let (place, _) = of_it.next()?;
        of_it.next().is_none().then_some(place)
    }

    /// True if the list of yarns says a colour: `Yarn: DK cotton, 50 g` leaves it open.
    fn lists_colours(&self) -> bool {
        let yarns = &self.pattern.header.yarns;
        let has_colour = |yarn: &crate::pattern::Yarn| {
            let mut words = yarn.name.split_whitespace();
            yarn.colour.is_some() || words.any(|word| colours::is_part(&word.to_lowercase()))
        };
        yarns.len() > 1 || yarns.iter().any(has_colour)
    }

    pub fn named(&mut self, name: &str, span: Span) -> Option<YarnId> {
        let known = self.list.iter().position(|yarn| {
            yarn.letter == name || !yarn.name.is_empty() && colours::alike(&yarn.name, name)
        });
        if let Some(place) = known.or_else(|| self.of_colour(name)) {
            return Some(YarnId(place as u16));
        }
        if let Some(&id) = self.missing.get(name) {
            return Some(id);
        }
        if self.list.len() >= 2 * limits::YARNS {
            return None;
        }
        let id = YarnId(self.list.len() as u16);
        let is_letter = name.chars().count() <= 2;
        let letter = if is_letter {
            name.to_owned()
        } else {
            name.chars().take(1).flat_map(char::to_uppercase).collect()
        };
        let name_of = if is_letter {
            String::new()
        } else {
            name.to_owned()
        };
        self.list.push(Yarn {
            letter,
            name: name_of,
            colour: None,
        });
        self.missing.insert(name.to_owned(), id);
        if self.lists_colours() {
            self.problems.push(
                Problem::error(
                    "yarn-unknown",
                    span,
                    format!("no yarn {} is listed", quoted(name)),
                )
                .help(format!("list it above the first piece: `Yarn {name}: …`")),
            );
        }
        Some(id)
    }
}
