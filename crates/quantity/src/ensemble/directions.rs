//! Direction numbers of the Sobol' sequence, from the table of Joe & Kuo (2008).

/// Dimensions in the table, the first one (which needs no row) included.
pub(super) const MOST_DIMENSIONS: usize = 1_024;

/// Licence and citation are in the head of the file.
const TABLE: &str = include_str!("../../data/sobol-directions.txt");

/// Direction numbers of the first dimensions, each as 32 binary fractions, the longest first.
pub(super) fn first(dimensions: usize) -> impl Iterator<Item = [u32; 32]> {
    assert!(
        dimensions <= MOST_DIMENSIONS,
        "{dimensions} uncertain inputs; the table of Sobol' directions ends at {MOST_DIMENSIONS}"
    );
    let rows = TABLE.lines().filter(|line| !line.starts_with('#'));
    std::iter::once(van_der_corput())
        .chain(rows.map(from_row))
        .take(dimensions)
}

/// The first dimension: the bits of the counter, mirrored.
fn van_der_corput() -> [u32; 32] {
    std::array::from_fn(|bit| 1 << (31 - bit))
}

/// One row `dimension s a m_1 … m_s`, extended by the recurrence of the polynomial
/// (Bratley & Fox 1988, cited from memory): v_j = v_{j−s} ⊕ v_{j−s}/2^s ⊕ those v_{j−i} whose coefficient is one.
fn from_row(row: &str) -> [u32; 32] {
    let mut numbers = row
        .split(' ')
        .skip(1)
        .map(|word| word.parse::<u32>().expect("the table holds integers"));
    let mut next = || numbers.next().expect("the table has full rows");
    let (degree, coefficients) = (next() as usize, next());
    let mut v = [0_u32; 32];
    for (j, direction) in v.iter_mut().take(degree).enumerate() {
        *direction = next() << (31 - j);
    }
    for j in degree..32 {
        v[j] = v[j - degree] ^ (v[j - degree] >> degree);
        for i in 1..degree {
            if (coefficients >> (degree - 1 - i)) & 1 == 1 {
                v[j] ^= v[j - i];
            }
        }
    }
    v
}
