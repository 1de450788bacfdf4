//! The yarns by name.

use std::collections::BTreeMap;

use crate::fabric::model::{Yarn, YarnId};
use crate::pattern::Pattern;
use crate::source::{Problem, Span, limits, quoted};

/// The yarns by name, and those that turn up undeclared.
pub(super) struct Yarns<'p> {
    pub pattern: &'p Pattern,
    pub list: Vec<Yarn>,
    pub missing: BTreeMap<String, YarnId>,
    pub problems: Vec<Problem>,
}

impl Yarns<'_> {
    pub fn named(&mut self, name: &str, span: Span) -> Option<YarnId> {
        let known = self.list.iter().position(|yarn| {
            yarn.letter == name
                || !yarn.name.is_empty() && yarn.name.to_lowercase() == name.to_lowercase()
        });
        if let Some(place) = known {
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
        if !self.pattern.header.yarns.is_empty() {
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
