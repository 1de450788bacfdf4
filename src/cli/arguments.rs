//! What may be typed: every command and flag with its help, and nothing else.

use std::ops::RangeInclusive;
use std::path::PathBuf;

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

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_arguments_do_not_contradict_each_other() {
        Arguments::command().debug_assert();
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
