//! The files of a pattern's charts, in the formats that were asked for.

use crate::draw::Ground;

use super::arguments::Format;
use super::console::{Console, clean};
use super::files::{Failure, Folder};
use super::pictures::{self, Drawing, Picture};

/// The files of one pattern on their way into its folder.
pub struct Output<'a> {
    /// What is written.
    pub formats: &'a [Format],
    /// Pixels to the inch of paper.
    pub dpi: u32,
    /// What is under the drawings in pictures.
    pub ground: Ground,
    /// Where it goes.
    pub folder: Folder,
    /// Where each file is listed.
    pub console: &'a mut Console,
}

impl Output<'_> {
    /// True if files of this kind were asked for.
    pub fn makes(&self, format: Format) -> bool {
        self.formats.contains(&format)
    }

    /// Says before anything is written which drawings there will be, and for which pieces.
    pub fn plan<'a>(
        &mut self,
        drawings: &[String],
        pieces: impl Iterator<Item = &'a str>,
    ) -> Result<(), Failure> {
        let mut files = Vec::new();
        for format in [Format::Svg, Format::Png] {
            if self.makes(format) {
                files.extend(drawings.iter().map(|name| file_name(name, format)));
            }
        }
        if self.makes(Format::Json) {
            files.extend(pieces.map(|name| file_name(name, Format::Json)));
        }
        self.folder.plan(files)
    }

    /// Writes all drawings that there will be, and clears away what earlier runs wrote in their place.
    pub fn write_all(
        mut self,
        drawings: &[Drawing],
        is_concerned: impl Fn(&str) -> bool,
    ) -> Result<(), Failure> {
        let names: Vec<String> = drawings
            .iter()
            .map(|drawing| drawing.name.clone())
            .collect();
        self.plan(&names, std::iter::empty())?;
        self.write_drawings(drawings)?;
        self.finish(is_concerned)
    }

    /// Writes drawings in the formats that were asked for.
    pub fn write_drawings(&mut self, drawings: &[Drawing]) -> Result<(), Failure> {
        if self.makes(Format::Svg) {
            for drawing in drawings {
                self.write(&drawing.name, Format::Svg, drawing.svg.as_bytes())?;
            }
        }
        if self.makes(Format::Png) {
            for (drawing, picture) in
                drawings
                    .iter()
                    .zip(pictures::render(drawings, self.dpi, self.ground))
            {
                self.write_picture(&drawing.name, picture)?;
            }
        }
        Ok(())
    }

    fn write_picture(
        &mut self,
        name: &str,
        picture: Result<Picture, String>,
    ) -> Result<(), Failure> {
        let picture = picture.map_err(|reason| Failure {
            path: self.folder.path_of(&file_name(name, Format::Png)),
            reason,
        })?;
        if picture.dpi < self.dpi {
            let reason = format!(
                "at {} dpi this would be too large, so it has {} dpi",
                self.dpi, picture.dpi
            );
            self.console
                .complain(&file_name(name, Format::Png), &reason);
        }
        self.write(name, Format::Png, &picture.png)
    }

    /// Writes one file and lists it on standard output.
    pub fn write(&mut self, name: &str, format: Format, bytes: &[u8]) -> Result<(), Failure> {
        let name = file_name(name, format);
        self.folder.write(&name, bytes)?;
        let path = self.folder.path_of(&name);
        self.console
            .print(&format!("{}\n", clean(&path.to_string_lossy())));
        Ok(())
    }

    /// Clears away what earlier runs wrote in the formats of this one and is no longer made.
    pub fn finish(self, is_concerned: impl Fn(&str) -> bool) -> Result<(), Failure> {
        let formats = self.formats;
        self.folder.finish(|file| {
            let is_of = |format: &Format| file.ends_with(&format!(".{}", format.ending()));
            formats.iter().any(is_of) && is_concerned(file)
        })
    }
}

fn file_name(name: &str, format: Format) -> String {
    format!("{name}.{}", format.ending())
}
