pub mod fabric;
pub mod pattern;
pub mod review;
pub mod source;
pub mod terms;
