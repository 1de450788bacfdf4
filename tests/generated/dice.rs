//! Choices that shrink: where the rolls run out, the first choice is taken.

/// A row of rolls, used up one after another.
#[derive(Clone)]
pub struct Dice {
    rolls: Vec<u16>,
    at: usize,
}

impl std::fmt::Debug for Dice {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} rolls", self.rolls.len())
    }
}

impl Dice {
    pub fn new(rolls: Vec<u16>) -> Dice {
        Dice { rolls, at: 0 }
    }

    /// A number below `sides`, which must not be 0.
    pub fn roll(&mut self, sides: usize) -> usize {
        let roll = self.rolls.get(self.at).copied().unwrap_or(0);
        self.at += 1;
        usize::from(roll) % sides
    }

    /// A number from `low` to `high`, both among them.
    pub fn between(&mut self, low: u32, high: u32) -> u32 {
        low + self.roll((high - low + 1) as usize) as u32
    }

    /// True once in so many times.
    pub fn once_in(&mut self, times: usize) -> bool {
        self.roll(times) == times - 1
    }

    pub fn pick<T: Copy>(&mut self, from: &[T]) -> T {
        from[self.roll(from.len())]
    }
}
