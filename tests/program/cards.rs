use crate::pixels::decode;
use crate::run::{BALL, Bench};

/// Full HD video, and the square and upright sheets of shops and feeds (common practice, no source).
#[test]
fn there_is_a_picture_for_each_screen() {
    let bench = Bench::new();
    bench.file("float.md", BALL);
    bench
        .run(&["cards", "float.md", "--out", "x"])
        .ended_with(0);
    assert_eq!(
        bench.files("x"),
        [
            "chart-square-1.png",
            "chart-upright-1.png",
            "cover.png",
            "roundwright-files.txt",
            "step-float-1.png",
            "step-float-2.png",
            "step-float-3-4.png",
            "step-float-5.png",
        ]
    );
    for (file, size) in [
        ("cover", (1920, 1080)),
        ("chart-square-1", (1080, 1080)),
        ("chart-upright-1", (1080, 1350)),
        ("step-float-3-4", (1920, 1080)),
    ] {
        let picture = decode(&bench.read(&format!("x/{file}.png")));
        assert_eq!((picture.width, picture.height), size, "{file}");
    }
}

#[test]
fn a_cover_is_drawn_whatever_its_title() {
    let bench = Bench::new();
    for title in [
        "Herring ".repeat(500),
        "<svg onload=x> & ]]>".to_owned(),
        "דג 🐟".to_owned(),
    ] {
        bench.file("t.md", BALL.replace("Net float", title.trim()));
        bench.run(&["cards", "t.md", "--out", "x"]).ended_with(0);
        assert_eq!(decode(&bench.read("x/cover.png")).width, 1920);
    }
}
