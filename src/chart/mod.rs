//! Where each symbol and label of a chart goes, in millimetres on paper.
pub mod spacing;
pub mod track;
