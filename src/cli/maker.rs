//! What a maker asks of pictures, put to work on a fabric.

use crate::draw::{InkUse, Look, SymbolSize};
use crate::fabric::Fabric;
use crate::terms::{Hand, Terms};

use super::arguments::{HandName, InkName, Maker, SymbolsName};

impl Maker {
    /// The hand that was asked for.
    pub fn hand(self) -> Option<Hand> {
        self.hand.map(Hand::from)
    }

    /// The custom that was asked for.
    pub fn terms(self) -> Option<Terms> {
        self.terms.map(Terms::from)
    }

    /// The look that was asked for.
    pub fn look(self) -> Look {
        Look {
            ink: match self.ink {
                InkName::Full => InkUse::Full,
                InkName::Low => InkUse::Low,
            },
            symbols: match self.symbols {
                SymbolsName::Usual => SymbolSize::Usual,
                SymbolsName::Large => SymbolSize::Large,
            },
        }
    }

    /// The fabric for this maker's hand and words: made by the other hand it is its own mirror image, so that names
    /// of pieces swap left and right.
    pub fn fabric(self, fabric: Fabric) -> Fabric {
        let mut fabric = for_hand(fabric, self.hand);
        fabric.terms = self.terms().unwrap_or(fabric.terms);
        fabric
    }
}

impl From<HandName> for Hand {
    fn from(name: HandName) -> Hand {
        match name {
            HandName::Left => Hand::Left,
            HandName::Right => Hand::Right,
        }
    }
}

/// The fabric as made by the hand that was asked for.
pub fn for_hand(fabric: Fabric, hand: Option<HandName>) -> Fabric {
    let hand = hand.map_or(fabric.hand, Hand::from);
    fabric.made_by(hand)
}
