pub mod draw;
pub mod fabric;
pub mod pattern;
pub mod review;
pub mod source;
pub mod symbol;
pub mod terms;
pub mod text;
