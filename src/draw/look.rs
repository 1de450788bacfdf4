use super::number::number;
use crate::chart::sizes::LARGE;
use crate::symbol::PEN_MM;

/// How much ink a picture takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum InkUse {
    /// Soft beds and bands, and the full pen.
    #[default]
    Full,
    /// Lines alone, of a thinner pen: for a printer that should not use much.
    Low,
}

/// How large symbols come out on paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum SymbolSize {
    /// As the trade prints them.
    #[default]
    Usual,
    /// Half as large again, words and all.
    Large,
}

/// What is under a drawing in its picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Ground {
    /// White paper.
    #[default]
    White,
    /// Nothing: whatever the picture is laid on shows through.
    Clear,
}

/// What a maker's eyes or printer ask of a picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Look {
    /// How much ink it takes.
    pub ink: InkUse,
    /// How large its symbols are.
    pub symbols: SymbolSize,
}

/// The pen of low ink, in mm: the least width that still prints (see the theme).
const THIN_PEN_MM: f64 = 0.25;

impl Look {
    /// Width of the pen, in mm before any enlarging.
    pub fn pen_mm(self) -> f64 {
        match self.ink {
            InkUse::Full => PEN_MM,
            InkUse::Low => THIN_PEN_MM,
        }
    }

    /// True if soft beds and bands are drawn.
    pub fn has_beds(self) -> bool {
        self.ink == InkUse::Full
    }

    /// How much larger than its own measure a sheet comes out.
    pub fn enlarged(self) -> f64 {
        match self.symbols {
            SymbolSize::Usual => 1.0,
            SymbolSize::Large => LARGE,
        }
    }

    /// A side of a sheet, in mm of its own measure, as the width or height of its document.
    pub fn side(self, mm: f64) -> String {
        format!("{}mm", number(mm * self.enlarged()))
    }
}
