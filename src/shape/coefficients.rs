//! Every number that the shape depends on, with where it comes from.
//!
//! Lengths are in stitch widths and energies in units of a yarn spring (½ × (length − rest length)² has coefficient 1). The
//! relative strengths are those of the project's design notes, found with a prototype; they stand for single crochet in
//! usual toy yarn and have not been measured on cloth.

/// How much stiffer than nothing the four-sided cells are against shear: × ⅛ (d₁² − d₂² − sheared)². Design notes.
pub const SHEAR: f64 = 0.2;
/// Stiffness against bending between two neighbouring cells: × (1 − cos of the angle between their normals). Design notes: 0.1 in each of the
/// two ways of cutting four-sided cells into triangles.
pub const BENDING: f64 = 0.2;
/// Stiffness against the warping of one cell: × (its corners' height above and below their mean plane, summed)². It is the
/// bending across the cell's two diagonals to second order. Geometry.
pub const WARPING: f64 = BENDING;
/// What keeps a four-sided cell from folding onto itself: × (what its sides' squares have over its diagonals' squares, beyond [`FOLDED_FROM`])².
/// 0 for any cell near a parallelogram. Own estimate, no source: it only has to bar the way.
pub const FOLDING: f64 = 0.1;
/// In square widths; 4 for a cell of stitches folded together completely.
pub const FOLDED_FROM: f64 = 0.5;
/// Pressure of firm stuffing: −this × stitches × log(volume). Design notes.
pub const STUFFING: f64 = 0.005;
/// How much of it light stuffing or a pinch has. Own estimate, no source.
pub const LIGHT: f64 = 0.3;
/// How strongly a part that is pressed flat is pressed: ½ × this × (distance from its layer)². As strong as the yarn's own springs, so that
/// folds do not open. Own estimate, no source.
pub const PRESSING: f64 = 1.0;
/// Half of the thickness of a part pressed flat, in widths: each layer's middle lies so far from the part's. Own estimate, no source.
pub const LAYER: f64 = 0.25;
/// How much stiffness against bending is left where a row is worked into one loop, which is where fabric folds. Own estimate, no source.
pub const FOLD: f64 = 0.3;
/// Width of a stitch, in widths: by definition.
pub const WIDTH: f64 = 1.0;
/// How far stitches side by side give, wider or narrower, before they resist, as a share of their width: in a piece that [lies flat](AS_FLAT),
/// where nothing draws the cloth taut. Discs of treble lie flat with 16 to 18 more a round, 6 in the hundred about their mean; squares of double crochet with 16, where a height of 1.91
/// leaves room for 15.3; squares of single crochet with 8, where 0.95 leaves room for 7.6 (common practice, no source; own estimate from these).
pub const EASE: f64 = 0.08;
/// How much nearer or further than its height a stitch of such a piece stands from a chain space, or from a stitch that has three or more, in widths: they fan
/// out over a corner. The outer of two double crochet beside the corner of a square stands 2.4 from its chain, and the middle one of three single
/// crochet 1.3 from its foot, 0.5 and 0.4 more than they are high (geometry).
pub const FAN_GIVES: f64 = 0.5;
/// How much of a spring's strength is left while it gives. Own estimate, no source: enough to make the shape a definite one, and so little that squares of
/// 16 rounds are not pushed out of their plane by it.
pub const EASED: f64 = 0.005;
/// From which share of a flat disc's length on a round counts as flat. Own estimate, no source: discs of single crochet that grow by 5 a round, not
/// by 4.
pub const AS_FLAT: f64 = 0.75;
/// Width of a chain that bridges a gap, in widths: three stand as high as a double crochet of 1.91 (common practice, no source).
pub const CHAIN_WIDTH: f64 = 0.64;
/// How much of a spring's strength such a chain has against being pushed together: it is a slack loop then, which the corners of squares stand out
/// by. Own estimate, no source.
pub const SLACK: f64 = 0.2;
/// How near to the feet of the stitches beside it such a loop comes, as a share of their height. Own estimate, no source: it only has to keep it from
/// folding in.
pub const STANDS_OUT: f64 = 0.8;
/// How much taller a stitch into one loop stands, for the loop gives. Own estimate, no source.
pub const LOOP_GIVES: f64 = 0.1;
/// The least height of any stitch. Keeps stitches round the posts of tall ones from vanishing. Own estimate, no source.
pub const LEAST_HEIGHT: f64 = 0.3;
/// From the middle of a hole that is drawn shut to each head round it. Own estimate, no source.
pub const DRAWN_SHUT: f64 = 0.4;
/// How far to the right of its foot a right-hander's plain stitch has its head, in widths a round. 0.15–0.5 has been seen (common practice, no
/// source); worked yarn under they stand nearly straight (blog.irarott.com).
pub const LEAN: f64 = 0.2;
/// Size of the fixed disturbance of the starting shape, in widths, so that what is unstable leaves the balance it starts in.
pub const DISTURBANCE: f64 = 0.02;
