//! The shapes that come out, held to the world: formulas, facts with their sources, and a general optimisation library.

mod anything;
mod bends;
mod made;
mod mirror;
mod rounds;
mod solver;
mod toy;
