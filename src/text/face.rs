use std::sync::LazyLock;

use ttf_parser::Face;

use super::letters::Font;

/// How heavy the letters are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Weight {
    /// For captions and tables.
    #[default]
    Regular,
    /// For titles and round numbers.
    Bold,
}

const REGULAR: &[u8] = include_bytes!("../../fonts/AtkinsonHyperlegibleNext-Regular.ttf");
const BOLD: &[u8] = include_bytes!("../../fonts/AtkinsonHyperlegibleNext-Bold.ttf");

/// The files of the faces, regular and bold.
pub(super) const FILES: [&[u8]; 2] = [REGULAR, BOLD];

static FONTS: LazyLock<Fonts> = LazyLock::new(Fonts::embedded);

/// The faces, read once: every word of a chart is measured.
struct Fonts {
    regular: Font,
    bold: Font,
}

impl Fonts {
    fn embedded() -> Fonts {
        let face = |data| Face::parse(data, 0).expect("the faces in the program are sound");
        Fonts {
            regular: Font::new(face(REGULAR)),
            bold: Font::new(face(BOLD)),
        }
    }
}

/// Lends the font of a weight.
pub(super) fn with<T>(weight: Weight, work: impl FnOnce(&Font) -> T) -> T {
    work(match weight {
        Weight::Regular => &FONTS.regular,
        Weight::Bold => &FONTS.bold,
    })
}
