pub mod chart;
pub mod draw;
pub mod fabric;
pub mod source;
pub mod symbol;
pub mod terms;
pub mod text;
