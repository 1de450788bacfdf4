//! The reports for machines: held to their schemas, and some of them to the byte.

use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::run::{BALL, Bench, WRONG_BALL};

const CHECK: &str = include_str!("../../src/cli/schema/check.schema.json");
const CHART: &str = include_str!("../../src/cli/schema/chart.schema.json");

/// Reads a report, which must be as its schema says.
#[track_caller]
pub fn hold_to(schema: &str, report: &str) -> Value {
    let schema = serde_json::from_str(schema).expect("JSON");
    let schema = jsonschema::draft202012::new(&schema).expect("a schema");
    let report = serde_json::from_str(report).expect("JSON");
    let faults: Vec<String> = schema
        .iter_errors(&report)
        .map(|fault| format!("{} at {}", fault, fault.instance_path()))
        .collect();
    assert!(faults.is_empty(), "{faults:#?}\n{report:#}");
    report
}

#[test]
fn check_reports_one_object_a_pattern_each_on_its_line() {
    let bench = Bench::new();
    bench.file("a.md", BALL).file("b.md", WRONG_BALL);
    let outcome = bench.run(&["check", "--format", "json", "a.md", "none.md", "b.md"]);
    outcome.ended_with(2).complains("none.md");
    let lines: Vec<&str> = outcome.out.lines().collect();
    assert_eq!(lines.len(), 2);
    let expected = r#"{"format":1,"file":"a.md","title":"Net float","terms":"US","pieces":[{"name":"Float","make":1,"line":3,"stitches":48,"rounds":[{"kind":"round","first":1,"last":1,"line":4,"stitches":6,"spaces":0,"stated":{"stitches":6,"spaces":null}},{"kind":"round","first":2,"last":2,"line":5,"stitches":12,"spaces":0,"stated":{"stitches":12,"spaces":null}},{"kind":"round","first":3,"last":4,"line":6,"stitches":12,"spaces":0,"stated":{"stitches":12,"spaces":null}},{"kind":"round","first":5,"last":5,"line":7,"stitches":6,"spaces":0,"stated":{"stitches":6,"spaces":null}}]}],"problems":[]}"#;
    assert_eq!(lines[0], expected);
    hold_to(CHECK, lines[0]);
    let report = hold_to(CHECK, lines[1]);
    assert_eq!(report["problems"][0]["level"], "error");
    assert_eq!(report["problems"][0]["line"], 5);
}

#[test]
fn a_chart_places_every_stitch() {
    let bench = Bench::new();
    bench.file("float.md", BALL);
    bench
        .run(&["chart", "float.md", "--format", "json", "--out", "out"])
        .ended_with(0);
    let report = String::from_utf8(bench.read("out/float.json")).expect("UTF-8");
    let fields = r#""stitches":[{"id":0,"round":1,"index":1,"stitch":"sc","yarn":null,"x_mm":"#;
    assert!(report.contains(fields), "{report}");
    let report = hold_to(CHART, &report);
    let stitches: Vec<&Value> = report["panels"]
        .as_array()
        .into_iter()
        .flatten()
        .flat_map(|panel| panel["stitches"].as_array().into_iter().flatten())
        .collect();
    let ids: Vec<u64> = stitches
        .iter()
        .filter_map(|stitch| stitch["id"].as_u64())
        .collect();
    assert_eq!(ids, (0..48).collect::<Vec<_>>());
    // Round 3 is sc in each: stitch 18 stands on stitch 6, the first of round 2.
    assert_eq!(stitches[18]["worked_into"], serde_json::json!([6]));
    assert_eq!(stitches[18]["round"], 3);
}

#[test]
fn a_chart_in_parts_says_which_part_each_panel_is() {
    let bench = Bench::new();
    bench.file(
        "wide.md",
        "# Net\n\n## Net\nRnd 1: 240 sc in magic ring (240)\n",
    );
    bench
        .run(&["chart", "wide.md", "--format", "json", "--out", "out"])
        .ended_with(0);
    let report = String::from_utf8(bench.read("out/net.json")).expect("UTF-8");
    let report = hold_to(CHART, &report);
    let panels = report["panels"].as_array().expect("panels");
    assert!(panels.len() > 1);
    for (i, panel) in panels.iter().enumerate() {
        let expected = serde_json::json!({"number": i + 1, "of": panels.len()});
        assert_eq!(panel["part"], expected);
    }
}

#[test]
fn the_readme_shows_the_reports() {
    let readme = include_str!("../../README.md");
    let blocks = readme.split("```json\n").skip(1);
    let examples: Vec<&str> = blocks
        .filter_map(|block| block.split("```").next())
        .collect();
    let [check, chart] = examples[..] else {
        panic!("two examples");
    };
    let bench = Bench::new();
    bench.file("float.md", WRONG_BALL);
    let outcome = bench.run(&["check", "--format", "json", "float.md"]);
    assert_eq!(hold_to(CHECK, check), hold_to(CHECK, &outcome.out));
    hold_to(CHART, chart);
}

/// Each `tests/golden/NAME.md` has the report beside it that `check` must give, to the byte. Run with `WRITE_GOLDEN=1`
/// to write them anew, and read the difference before keeping it.
#[test]
fn reports_stay_as_they_are() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden");
    let patterns = crate::run::files_below(&folder)
        .into_iter()
        .filter(|name| name.ends_with(".md"));
    let mut seen = 0;
    for pattern in patterns {
        let bench = Bench::new();
        bench.file(
            &pattern,
            fs::read(folder.join(&pattern)).expect("a pattern"),
        );
        let report = bench.run(&["check", "--format", "json", &pattern]).out;
        hold_to(CHECK, &report);
        let golden = folder.join(&pattern).with_extension("check.json");
        if std::env::var_os("WRITE_GOLDEN").is_some() {
            fs::write(&golden, &report).expect("a golden file");
        }
        let kept = fs::read_to_string(&golden).unwrap_or_default();
        assert!(report == kept, "{pattern} gives\n{report}\nand not\n{kept}");
        seen += 1;
    }
    assert!(seen > 0, "no patterns in tests/golden");
}
