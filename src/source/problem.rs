use super::Span;

/// How much a problem matters to somebody who makes the toy.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Level {
    /// Worth knowing: a custom that was assumed, a less usual reading that was taken.
    Note,
    /// Works as written, but is likely not what was meant.
    Warning,
    /// A maker can't follow this.
    Error,
}

impl Level {
    /// The word that reports use.
    pub fn name(self) -> &'static str {
        match self {
            Level::Note => "note",
            Level::Warning => "warning",
            Level::Error => "error",
        }
    }
}

/// Something that does not add up, at the words that it is about.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// How much it matters.
    pub level: Level,
    /// Stable short name of the kind of problem, in kebab case.
    pub code: &'static str,
    /// What was expected and what was found, in one sentence without a full stop.
    pub message: String,
    /// What would mend it, where that is known.
    pub help: Option<String>,
    /// The words it is about.
    pub span: Span,
    /// The smallest change to the text that would mend it, where arithmetic knows it.
    pub mend: Option<Mend>,
}

/// A change to the text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mend {
    /// The words to replace; empty to put words in.
    pub span: Span,
    /// What stands there afterwards.
    pub text: String,
}

impl Problem {
    /// A problem without help.
    pub fn new(
        level: Level,
        code: &'static str,
        span: Span,
        message: impl Into<String>,
    ) -> Problem {
        Problem {
            level,
            code,
            message: message.into(),
            help: None,
            span,
            mend: None,
        }
    }

    /// A maker can't follow this.
    pub fn error(code: &'static str, span: Span, message: impl Into<String>) -> Problem {
        Problem::new(Level::Error, code, span, message)
    }

    /// Works as written, but is likely not what was meant.
    pub fn warning(code: &'static str, span: Span, message: impl Into<String>) -> Problem {
        Problem::new(Level::Warning, code, span, message)
    }

    /// Worth knowing.
    pub fn note(code: &'static str, span: Span, message: impl Into<String>) -> Problem {
        Problem::new(Level::Note, code, span, message)
    }

    /// The same problem with what would mend it.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Problem {
        self.help = Some(help.into());
        self
    }

    /// The same problem with the change to the text that would mend it.
    #[must_use]
    pub fn mend(mut self, span: Span, text: impl Into<String>) -> Problem {
        self.mend = Some(Mend {
            span,
            text: text.into(),
        });
        self
    }
}
