//! Up to three edges exactly: the repeated Fresnel integral of absorbing knife edges.
//!
//! L. E. Vogler, NTIA Report 81-86 (1981). The integrals over the first and the last edge are complementary error functions, so that one
//! integral is left, over the edge between them; it is summed by Gauss and Legendre's rule. Held against the printed values of a quadrature
//! of all dimensions.

use errorfunctions::ComplexErrorFunctions;
use num_complex::Complex64;
use radio::{Edge, Path};
use std::f64::consts::{FRAC_PI_4, PI};

/// Loss \[dB\] of one to three edges in order. None where an edge lies so deep that the sum loses its digits, or for more edges.
pub fn loss_db(path: &Path, edges: &[Edge], panels: u32) -> Option<f64> {
    let spans = Spans::of(path, edges);
    let bends = spans.bends();
    let too_deep = |bend: &Complex64| bend.re < 0.0 && bend.norm() > DEEPEST;
    if bends.iter().any(too_deep) {
        return None;
    }
    let ties = spans.ties();
    let root = PI.sqrt();
    let field = match (bends.as_slice(), ties.as_slice()) {
        ([only], []) => 0.5 * only.erfcx(),
        ([first, last], [tie]) => {
            integral(*first, &[(*last, *tie)], panels) * (0.5 * spans.spread() / root)
        }
        ([first, middle, last], [one, other]) => {
            let sides = [(*first, *one), (*last, *other)];
            integral(*middle, &sides, panels) * (0.25 * spans.spread() / root)
        }
        _ => return None,
    };
    Some(-20.0 * field.norm().log10())
}

/// |β| of an edge below its neighbours past which the integrand cancels.
const DEEPEST: f64 = 4.0;

/// Places and heights from end to end.
struct Spans {
    lengths: Vec<f64>,
    heights: Vec<f64>,
    wave_number: f64,
}

impl Spans {
    fn of(path: &Path, edges: &[Edge]) -> Self {
        let [first, last] = path.heights_m;
        let along = edges.iter().map(|edge| edge.along_m);
        let places: Vec<f64> = [0.0]
            .into_iter()
            .chain(along)
            .chain([path.distance_m])
            .collect();
        let tops = edges.iter().map(|edge| edge.height_m);
        Self {
            lengths: places.windows(2).map(|two| two[1] - two[0]).collect(),
            heights: [first].into_iter().chain(tops).chain([last]).collect(),
            wave_number: 2.0 * PI / radio::free_space::wavelength_m(path.frequency_hz),
        }
    }

    /// β_m = θ_m·√(jk·r_m·r_{m+1}/(2(r_m + r_{m+1}))), θ the angle by which the wave bends.
    fn bends(&self) -> Vec<Complex64> {
        let lengths = self.lengths.windows(2);
        lengths
            .zip(self.heights.windows(3))
            .map(|(r, h)| {
                let angle = (h[1] - h[0]) / r[0] + (h[1] - h[2]) / r[1];
                let scale = (self.wave_number * r[0] * r[1] / (2.0 * (r[0] + r[1]))).sqrt();
                Complex64::cis(FRAC_PI_4) * (angle * scale)
            })
            .collect()
    }

    /// α_m = √(r_m·r_{m+2}/((r_m + r_{m+1})(r_{m+1} + r_{m+2}))).
    fn ties(&self) -> Vec<f64> {
        let lengths = self.lengths.windows(3);
        lengths
            .map(|r| (r[0] * r[2] / ((r[0] + r[1]) * (r[1] + r[2]))).sqrt())
            .collect()
    }

    /// C_N = √(r_2 … r_N·r_T/Π(r_m + r_{m+1})).
    fn spread(&self) -> f64 {
        let total: f64 = self.lengths.iter().sum();
        let inner: f64 = self.lengths[1..self.lengths.len() - 1].iter().product();
        let pairs: f64 = self.lengths.windows(2).map(|two| two[0] + two[1]).product();
        (inner * total / pairs).sqrt()
    }
}

/// Five points of Gauss and Legendre on −1 … 1 and their weights.
const POINTS: [(f64, f64); 5] = [
    (-0.906_179_845_938_664, 0.236_926_885_056_189_1),
    (-0.538_469_310_105_683, 0.478_628_670_499_366_5),
    (0.0, 0.568_888_888_888_888_9),
    (0.538_469_310_105_683, 0.478_628_670_499_366_5),
    (0.906_179_845_938_664, 0.236_926_885_056_189_1),
];

/// `∫₀^∞ e^{−(t² + 2βt)}·Π erfcx(β_i − α_i·t) dt`.
fn integral(bend: Complex64, sides: &[(Complex64, f64)], panels: u32) -> Complex64 {
    let falls = 1.0 - sides.iter().map(|side| side.1 * side.1).sum::<f64>();
    let reach = (60.0 / falls).sqrt() + 2.0 * bend.norm() + 6.0;
    let width = reach / f64::from(panels);
    let mut sum = Complex64::ZERO;
    for panel in 0..panels {
        for (place, weight) in POINTS {
            let t = (f64::from(panel) + 0.5 + 0.5 * place) * width;
            sum += integrand(t, bend, sides) * (0.5 * width * weight);
        }
    }
    sum
}

fn integrand(t: f64, bend: Complex64, sides: &[(Complex64, f64)]) -> Complex64 {
    let mut exponent = -t * (t + 2.0 * bend);
    let mut factor = Complex64::ONE;
    for (bend, tie) in sides {
        let z = bend - *tie * t;
        let square = z * z;
        factor *= match (z.re < 0.0, square.re > 0.0) {
            (false, _) => z.erfcx(),
            // erfcx(z) = 2·e^{z²} − erfcx(−z), its growth kept in the exponent.
            (true, true) => {
                exponent += square;
                2.0 - (-z).erfcx() * (-square).exp()
            }
            (true, false) => 2.0 * square.exp() - (-z).erfcx(),
        };
    }
    factor * exponent.exp()
}
