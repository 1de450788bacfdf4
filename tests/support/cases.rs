//! How property tests draw their cases.

use proptest::test_runner::{Config, RngSeed};

/// So many cases, the same on every run, so that what is kept never depends on luck. `PROPTEST_CASES` asks for more and
/// `PROPTEST_RNG_SEED` for others.
pub fn cases(count: u32) -> Config {
    let asked = Config::default();
    let is_asked = asked.cases != 256;
    Config {
        cases: if is_asked { asked.cases } else { count },
        rng_seed: match asked.rng_seed {
            RngSeed::Random => RngSeed::Fixed(20_261_125),
            seed => seed,
        },
        failure_persistence: None,
        ..asked
    }
}
