//! What is measured on.

mod texts;

use roundwright::chart::{self, Panel};
use roundwright::draw;
use roundwright::fabric::{self, Fabric};
use roundwright::pattern;
use roundwright::review;
use roundwright::source::{Problem, Source};

/// A pattern of a known size.
#[derive(Debug, Clone, Copy)]
pub enum Sample {
    /// A toy's body of 1,000 stitches.
    Toy,
    /// So many stitches in 47 rounds that grow in proportion.
    Growing(u32),
}

/// The size of the largest published piece worked in rounds (25,511 stitches in 47 rounds; Osinga and Krauskopf, "Crocheting
/// the Lorenz manifold", 2004).
pub const LARGEST: u32 = 25_511;

/// A usual pattern and a large one.
pub const SAMPLES: [Sample; 2] = [Sample::Toy, Sample::Growing(LARGEST)];

impl std::fmt::Display for Sample {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Sample::Toy => f.write_str("1000 stitches"),
            Sample::Growing(stitches) => write!(f, "{stitches} in 47 rounds"),
        }
    }
}

impl Sample {
    pub fn text(self) -> String {
        match self {
            Sample::Toy => texts::toy(),
            Sample::Growing(stitches) => texts::growing(stitches),
        }
    }

    /// The worked fabric, once it is certain that all of the text was understood.
    pub fn fabric(self) -> Fabric {
        let (fabric, problems) = check(&self.text());
        assert!(problems.is_empty(), "{self}: {:?}", problems.first());
        let expected = match self {
            Sample::Toy => 1_000,
            Sample::Growing(stitches) => stitches as usize,
        };
        assert_eq!(fabric.pieces[0].stitches.len(), expected);
        fabric
    }

    pub fn panels(self) -> (Fabric, Vec<Panel>) {
        let fabric = self.fabric();
        let panels = lay_out(&fabric);
        (fabric, panels)
    }
}

pub fn check(text: &str) -> (Fabric, Vec<Problem>) {
    let source = Source::new("bench.md", text);
    let (pattern, mut problems) = pattern::read(&source);
    let (fabric, found) = fabric::work(&pattern);
    problems.extend(found);
    problems.extend(review::review(&source, &pattern, &fabric));
    (fabric, problems)
}

pub fn lay_out(fabric: &Fabric) -> Vec<Panel> {
    chart::lay_out(fabric, 0, &chart::Options::default())
}

pub fn svgs(fabric: &Fabric, panels: &[Panel]) -> Vec<String> {
    let svg = |panel| draw::panel_svg(panel, fabric);
    panels.iter().map(svg).collect()
}
