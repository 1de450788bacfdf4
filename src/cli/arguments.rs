//! What may be typed: every command and flag with its help, and nothing else.

use std::ops::RangeInclusive;
use std::path::PathBuf;

use super::lengths::{LengthChoice, choice};
use crate::queries::Choice;
use crate::review::{self, pages};
use crate::terms::Terms;
use clap::{Args, Parser, Subcommand, ValueEnum, value_parser};

/// Reads written patterns for crocheted toys, checks their arithmetic stitch by stitch, and draws round charts.
#[derive(Debug, Parser)]
#[command(version, after_help = EXIT_STATUSES)]
pub struct Arguments {
    #[command(subcommand)]
    pub command: Command,
}

const EXIT_STATUSES: &str = "\
Exit status:
  0  no errors; there may be warnings and notes
  1  a pattern has errors
  2  something could not be read, written or understood";

#[derive(Debug, Subcommand)]
pub enum Command {
    /// Check patterns and list their pieces and rounds
    Check(Check),
    /// Draw the charts of patterns
    Chart(Chart),
    /// Draw one picture for each round of patterns
    Steps(Steps),
    /// Say where attached parts and features sit, and how level
    Place(Place),
    /// Draw the shapes that pieces take, and the whole toy, or print them as numbers
    Shape(Shape),
    /// Draw the key to a pattern's charts, or the sheet of all symbols
    Key(Key),
    /// Write the query sheet of a pattern: what does not add up, with the sums and the mends
    Queries(Queries),
    /// List the corrections from one version of a pattern to another, by what is worked
    Errata(Errata),
    /// Write a pattern again in one consistent notation
    Write(Write),
    /// Explain what a problem's code means, with an example and the mend
    Explain(Explain),
}

#[derive(Debug, Args)]
#[command(after_help = EXIT_STATUSES)]
pub struct Queries {
    /// File with a written pattern; - is standard input
    #[arg(value_name = "PATTERN")]
    pub pattern: PathBuf,
    /// How to write the sheet: as Markdown, or as one JSON object
    #[arg(long, value_enum, default_value_t = Report::Text)]
    pub format: Report,
    /// Put the mends of these queries into the pattern, such as 3,5-8 or 4b, and write it to a new file
    #[arg(long, value_name = "NUMBERS", value_parser = choices, conflicts_with = "format")]
    pub accept: Option<Choices>,
    /// The new file [default: <pattern>-mended beside the pattern]
    #[arg(long, value_name = "FILE", requires = "accept")]
    pub out: Option<PathBuf>,
    /// Write the mends into the pattern itself
    #[arg(long, requires = "accept", conflicts_with = "out")]
    pub in_place: bool,
}

/// The queries whose mends are accepted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Choices(pub Vec<Choice>);

#[derive(Debug, Args)]
#[command(after_help = EXIT_STATUSES)]
pub struct Errata {
    /// The version that buyers have; - is standard input
    #[arg(value_name = "OLD")]
    pub old: PathBuf,
    /// The version that is right
    #[arg(value_name = "NEW")]
    pub new: PathBuf,
}

#[derive(Debug, Args)]
#[command(after_help = EXIT_STATUSES)]
pub struct Check {
    /// Files with written patterns; - is standard input
    #[arg(value_name = "PATTERN", required = true)]
    pub patterns: Vec<PathBuf>,
    /// How to report: for people, or one JSON object a pattern, each on its line
    #[arg(long, value_enum, default_value_t = Report::Text)]
    pub format: Report,
    /// Do not report problems with this code; may be given several times
    #[arg(long, value_name = "CODE", value_parser = code)]
    pub allow: Vec<&'static str>,
    /// Report problems with this code too, which is silent otherwise
    #[arg(long, value_name = "CODE", value_parser = silent_code)]
    pub also: Vec<&'static str>,
    #[command(flatten)]
    pub lengths: Chosen,
}

#[derive(Debug, Args)]
pub struct Explain {
    /// The code that a problem shows in brackets, such as count; all codes in one line each if there is none
    #[arg(value_name = "CODE", value_parser = code)]
    pub code: Option<&'static str>,
}

/// The forms of a report.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Report {
    Text,
    Json,
}

#[derive(Debug, Args)]
#[command(after_help = EXIT_STATUSES)]
pub struct Chart {
    /// Files with written patterns; - is standard input
    #[arg(value_name = "PATTERN", required = true)]
    pub patterns: Vec<PathBuf>,
    /// Folder for the charts, with a folder in it for each of several patterns [default: charts-out/<pattern>]
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// What to write, with commas between
    #[arg(long, value_enum, value_delimiter = ',', default_value = "svg,png")]
    pub format: Vec<Format>,
    /// Chart this piece alone
    #[arg(long, value_name = "NAME")]
    pub piece: Option<String>,
    /// Chart these rounds alone, such as 1-8 or 5
    #[arg(long, value_name = "FIRST-LAST", value_parser = rounds)]
    pub rounds: Option<RangeInclusive<u32>>,
    /// How rounds lie: as rings, or as a strip with the first one lowest [default: what suits]
    #[arg(long, value_enum)]
    pub layout: Option<Layout>,
    /// Pixels to the inch of paper in PNG files
    #[arg(long, default_value_t = 300, value_parser = value_parser!(u32).range(36..=1200))]
    pub dpi: u32,
    #[command(flatten)]
    pub lengths: Chosen,
    #[command(flatten)]
    pub maker: Maker,
}

#[derive(Debug, Args)]
#[command(after_help = EXIT_STATUSES)]
pub struct Steps {
    /// Files with written patterns; - is standard input
    #[arg(value_name = "PATTERN", required = true)]
    pub patterns: Vec<PathBuf>,
    /// Folder for the pictures, with a folder in it for each of several patterns [default: charts-out/<pattern>/steps]
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Where the pictures will be seen: a card of A6 or A5 to print, a phone held upright, or a video of 1920 × 1080
    #[arg(long, value_enum, default_value_t = Size::Page)]
    pub size: Size,
    /// What is under the drawing: white paper, or nothing
    #[arg(long, value_enum, default_value_t = Ground::White)]
    pub ground: Ground,
    /// Draw this piece alone
    #[arg(long, value_name = "NAME")]
    pub piece: Option<String>,
    #[command(flatten)]
    pub lengths: Chosen,
    #[command(flatten)]
    pub maker: Maker,
}

#[derive(Debug, Args)]
#[command(after_help = EXIT_STATUSES)]
pub struct Place {
    /// File with a written pattern; - is standard input
    #[arg(value_name = "PATTERN")]
    pub pattern: PathBuf,
    /// What to make, with commas between: words or one JSON object on standard output, pictures as files
    #[arg(long, value_enum, value_delimiter = ',', default_value = "text")]
    pub format: Vec<PlaceFormat>,
    /// Folder for the pictures [default: charts-out/<pattern>/place]
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// The hand that holds the hook [default: the pattern's]
    #[arg(long, value_enum)]
    pub hand: Option<HandName>,
}

/// The forms in which a placement is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum PlaceFormat {
    Text,
    Json,
    Svg,
    Png,
}

#[derive(Debug, Args)]
#[command(after_help = EXIT_STATUSES)]
pub struct Shape {
    /// Files with written patterns; - is standard input
    #[arg(value_name = "PATTERN", required = true)]
    pub patterns: Vec<PathBuf>,
    /// Folder for the drawings, with a folder in it for each of several patterns [default: charts-out/<pattern>/shape]
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Drawings to write, with commas between; or text, json or obj alone, which are printed
    #[arg(long, value_enum, value_delimiter = ',', default_value = "svg,png")]
    pub format: Vec<ShapeFormat>,
    /// Draw or print this piece alone
    #[arg(long, value_name = "NAME")]
    pub piece: Option<String>,
    /// The hand that holds the hook [default: the pattern's]
    #[arg(long, value_enum)]
    pub hand: Option<HandName>,
}

/// The forms of a shape.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ShapeFormat {
    /// Drawings as SVG files
    Svg,
    /// Drawings as PNG files
    Png,
    /// The sizes of every piece in words, and how far round each of its rounds is
    Text,
    /// One JSON object a pattern, each on its line
    Json,
    /// The surface as a Wavefront OBJ mesh, in cm
    Obj,
}

#[derive(Debug, Args)]
#[command(after_help = EXIT_STATUSES)]
pub struct Key {
    /// File with a written pattern; - is standard input. Without it, all symbols are drawn
    #[arg(value_name = "PATTERN")]
    pub pattern: Option<PathBuf>,
    /// Folder for the key [default: charts-out/<pattern>, or charts-out/key]
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    #[command(flatten)]
    pub maker: Maker,
}

/// Lengths that the maker chooses.
#[derive(Debug, Clone, Args)]
pub struct Chosen {
    /// How long to make what the pattern leaves open, by its piece, its rounds or its words: tail=12cm for the whole length by
    /// the gauge, or "Rnd 20=8" to work those rounds 8 times more; may be given several times
    #[arg(long = "length", value_name = "NAME=LENGTH", value_parser = choice)]
    pub lengths: Vec<LengthChoice>,
}

/// For whom pictures are drawn.
#[derive(Debug, Clone, Copy, Args)]
pub struct Maker {
    /// The hand that holds the hook [default: the pattern's]
    #[arg(long, value_enum)]
    pub hand: Option<HandName>,
    /// The custom in which stitches are named [default: the pattern's]
    #[arg(long, value_enum)]
    pub terms: Option<TermsName>,
    /// How much ink to use: low leaves out all tints and draws thinner lines
    #[arg(long, value_enum, default_value_t = InkName::Full)]
    pub ink: InkName,
    /// How large symbols are: large is half as large again
    #[arg(long, value_enum, default_value_t = SymbolsName::Usual)]
    pub symbols: SymbolsName,
}

/// Hands, as they are typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum HandName {
    Left,
    Right,
}

/// Customs of naming stitches, as they are typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum TermsName {
    Us,
    Uk,
}

impl From<TermsName> for Terms {
    fn from(name: TermsName) -> Terms {
        match name {
            TermsName::Us => Terms::Us,
            TermsName::Uk => Terms::Uk,
        }
    }
}

/// Amounts of ink, as they are typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum InkName {
    Full,
    Low,
}

/// Sizes of symbols, as they are typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum SymbolsName {
    Usual,
    Large,
}

/// Where step pictures are seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Size {
    Page,
    Phone,
    Video,
}

/// What is under a step picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Ground {
    White,
    Clear,
}

#[derive(Debug, Args)]
#[command(after_help = EXIT_STATUSES)]
pub struct Write {
    /// A file with a written pattern; - is standard input
    #[arg(value_name = "PATTERN")]
    pub pattern: PathBuf,
    /// Names of stitches to write with [default: those of the pattern]
    #[arg(long, value_enum, value_name = "TERMS")]
    pub terms: Option<TermsName>,
    /// Put the new text in the place of the file instead of printing it
    #[arg(long)]
    pub in_place: bool,
    #[command(flatten)]
    pub lengths: Chosen,
}

/// How the rounds of a chart lie.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Layout {
    Rings,
    Strip,
}

/// The kinds of file that a chart is written to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, ValueEnum)]
pub enum Format {
    Svg,
    Png,
    Json,
}

impl Format {
    /// The ending of its files.
    pub fn ending(self) -> &'static str {
        match self {
            Format::Svg => "svg",
            Format::Png => "png",
            Format::Json => "json",
        }
    }
}

fn code(typed: &str) -> Result<&'static str, String> {
    pages::find(typed)
        .map(|page| page.code)
        .ok_or_else(|| "there is no such code; `roundwright explain` lists them".to_owned())
}

fn silent_code(typed: &str) -> Result<&'static str, String> {
    let silent: Vec<&str> = review::on_request().collect();
    review::on_request()
        .find(|code| *code == typed)
        .ok_or_else(|| format!("only these have to be asked for: {}", silent.join(", ")))
}

fn rounds(typed: &str) -> Result<RangeInclusive<u32>, String> {
    let (first, last) = typed.split_once(['-', '–']).unwrap_or((typed, typed));
    let number = |digits: &str| {
        let digits = digits.trim();
        digits
            .parse()
            .map_err(|_| format!("'{digits}' is not the number of a round"))
    };
    let (first, last) = (number(first)?, number(last)?);
    if first > last {
        return Err(format!("round {first} comes after round {last}"));
    }
    Ok(first..=last)
}

/// `3,5-8,9b`
fn choices(typed: &str) -> Result<Choices, String> {
    const MOST: usize = crate::source::limits::PROBLEMS;
    let mut choices = Vec::new();
    for part in typed.split(',') {
        let part = part.trim();
        let letter = part.chars().next_back().filter(char::is_ascii_lowercase);
        if let Some(letter) = letter {
            let digits = &part[..part.len() - 1];
            choices.push(Choice {
                number: digits
                    .parse()
                    .map_err(|_| format!("'{part}' is not the number of a query"))?,
                offer: Some(letter as usize - 'a' as usize),
            });
            continue;
        }
        let (first, last) = part.split_once(['-', '–']).unwrap_or((part, part));
        let number = |digits: &str| match digits.trim().parse::<usize>() {
            Ok(number) if number <= MOST => Ok(number),
            _ => Err(format!("'{}' is not the number of a query", digits.trim())),
        };
        let (first, last) = (number(first)?, number(last)?);
        if first > last {
            return Err(format!("query {first} comes after query {last}"));
        }
        choices.extend((first..=last).map(|number| Choice {
            number,
            offer: None,
        }));
    }
    choices.sort();
    choices.dedup();
    Ok(Choices(choices))
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_arguments_do_not_contradict_each_other() {
        Arguments::command().debug_assert();
    }

    #[test]
    fn queries_are_numbers_ranges_and_letters() {
        let number = |number| Choice {
            number,
            offer: None,
        };
        let b = Choice {
            number: 9,
            offer: Some(1),
        };
        let expected = Choices(vec![number(3), number(5), number(6), b]);
        assert_eq!(choices("9b, 5-6,3,5"), Ok(expected));
        for bad in ["", "x", "3,", "8-5", "b", "1-999999999999", "é", "-"] {
            assert!(choices(bad).is_err(), "{bad}");
        }
    }

    #[test]
    fn rounds_are_one_number_or_two_in_order() {
        assert_eq!(rounds("1-8"), Ok(1..=8));
        assert_eq!(rounds("5"), Ok(5..=5));
        for bad in ["", "-", "8-1", "one", "1-", "1-2-3", "99999999999"] {
            assert!(rounds(bad).is_err(), "{bad}");
        }
    }
}
