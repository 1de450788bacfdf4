pub mod chart;
pub mod fabric;
pub mod source;
pub mod terms;
