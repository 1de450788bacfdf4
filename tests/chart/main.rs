//! Charts, laid out from fabrics that are worked by hand.

mod anything;
mod fabrics;
mod layout;
mod measure;
