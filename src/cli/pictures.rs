//! Drawings turned into PNG pictures, two at a time.

use std::sync::Mutex;
use std::thread;

use crate::raster;

/// Pictures that are made at a time: each holds its pixels in memory while it is made.
const AT_A_TIME: usize = 2;

/// A finished SVG and the name of its files, without ending.
pub struct Drawing {
    pub name: String,
    pub svg: String,
}

/// A finished PNG.
pub struct Picture {
    pub png: Vec<u8>,
    /// Its pixels to the inch: fewer than were asked for where that would have been too many pixels.
    pub dpi: u32,
}

/// The picture of every drawing, in the order of the drawings.
pub fn render(drawings: &[Drawing], dpi: u32) -> Vec<Result<Picture, String>> {
    let next = Mutex::new(drawings.iter().enumerate());
    let take = || next.lock().ok().and_then(|mut next| next.next());
    let work = || {
        let mut done = Vec::new();
        while let Some((place, drawing)) = take() {
            done.push((place, picture(&drawing.svg, dpi)));
        }
        done
    };
    let mut done: Vec<_> = thread::scope(|scope| {
        let helpers: Vec<_> = (1..AT_A_TIME.min(drawings.len()))
            .map(|_| scope.spawn(work))
            .collect();
        let mut done = work();
        for helper in helpers {
            // A thread can only fail by a panic, which goes on here.
            done.extend(
                helper
                    .join()
                    .unwrap_or_else(|panic| std::panic::resume_unwind(panic)),
            );
        }
        done
    });
    done.sort_by_key(|(place, _)| *place);
    done.into_iter().map(|(_, picture)| picture).collect()
}

fn picture(svg: &str, dpi: u32) -> Result<Picture, String> {
    raster::png(svg, dpi)
        .map(|png| Picture { png, dpi })
        .map_err(|e| e.to_string())
}
