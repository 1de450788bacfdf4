use std::sync::{Arc, LazyLock};

use fontdb::{Database, Family, ID, Query, Source};
use ttf_parser::Face;

/// How heavy the letters are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Weight {
    /// For captions and tables.
    #[default]
    Regular,
    /// For titles and round numbers.
    Bold,
}

const FAMILY: &str = "Atkinson Hyperlegible Next";
const REGULAR: &[u8] = include_bytes!("../../fonts/AtkinsonHyperlegibleNext-Regular.ttf");
const BOLD: &[u8] = include_bytes!("../../fonts/AtkinsonHyperlegibleNext-Bold.ttf");

static FONTS: LazyLock<Fonts> = LazyLock::new(Fonts::embedded);

struct Fonts {
    database: Database,
    regular: ID,
    bold: ID,
}

impl Fonts {
    fn embedded() -> Fonts {
        let mut database = Database::new();
        for data in [REGULAR, BOLD] {
            database.load_font_source(Source::Binary(Arc::new(data)));
        }
        let find = |weight| {
            let query = Query {
                families: &[Family::Name(FAMILY)],
                weight,
                ..Query::default()
            };
            database
                .query(&query)
                .expect("both faces are in the program")
        };
        Fonts {
            regular: find(fontdb::Weight::NORMAL),
            bold: find(fontdb::Weight::BOLD),
            database,
        }
    }
}

/// Lends the face of a weight.
pub(super) fn with<T>(weight: Weight, work: impl FnOnce(&Face) -> T) -> T {
    let id = match weight {
        Weight::Regular => FONTS.regular,
        Weight::Bold => FONTS.bold,
    };
    FONTS
        .database
        .with_face_data(id, |data, index| {
            work(&Face::parse(data, index).expect("the faces in the program are sound"))
        })
        .expect("the faces are held in memory")
}
