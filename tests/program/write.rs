//! `roundwright write` from outside.

use std::fs;

use crate::run::{Run, program};

const FLOAT: &str = "# Float\n\n## Float\nR1: MR, 6sc [6]\nR2: 6 inc [12]\n";
const WRITTEN: &str = "\
# Float

Terms: US

## Abbreviations

- rnd: round
- st, sts: stitch, stitches
- sc: single crochet
- inc: increase, 2 stitches in the same st

## Float
Rnd 1: 6 sc in magic ring (6)
Rnd 2: inc x 6 (12)
";
