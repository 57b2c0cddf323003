//! What walls are made of.

use crate::ground::table_row;
use num_complex::Complex64;

/// A layer of a wall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layer {
    /// What it is made of.
    pub material: Material,
    /// How thick it is \[m\].
    pub thickness_m: f64,
}

/// A building material. Rec. ITU-R P.2040-3 (2023), Table 3.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Material {
    /// The gap in a double wall or window.
    Air,
    /// Concrete, without bars in it.
    Concrete,
    /// Brick.
    Brick,
    /// Plasterboard.
    Plasterboard,
    /// Wood.
    Wood,
    /// Glass, uncoated.
    Glass,
    /// Board of a ceiling.
    CeilingBoard,
    /// Chipboard.
    Chipboard,
    /// Plywood.
    Plywood,
    /// Marble.
    Marble,
    /// Metal, and what is as tight as metal: foil, a mesh of bars, coated glass. Nothing passes; only openings and edges let a wave by.
    Metal,
}

/// Names, coefficients a, b, c, d and the frequencies they hold for \[GHz\].
struct Row(
    Material,
    &'static [&'static str],
    [f64; 4],
    std::ops::RangeInclusive<f64>,
);

const TABLE: &[Row] = &[
    Row(
        Material::Air,
        &["air", "gap", "cavity"],
        [1.0, 0.0, 0.0, 0.0],
        0.001..=100.0,
    ),
    Row(
        Material::Concrete,
        &["concrete"],
        [5.24, 0.0, 0.0462, 0.7822],
        1.0..=100.0,
    ),
    Row(
        Material::Brick,
        &["brick"],
        [3.91, 0.0, 0.0238, 0.16],
        1.0..=40.0,
    ),
    Row(
        Material::Plasterboard,
        &["plasterboard", "drywall"],
        [2.73, 0.0, 0.0085, 0.9395],
        1.0..=100.0,
    ),
    Row(
        Material::Wood,
        &["wood", "timber"],
        [1.99, 0.0, 0.0047, 1.0718],
        0.001..=100.0,
    ),
    Row(
        Material::Glass,
        &["glass"],
        [6.31, 0.0, 0.0036, 1.3394],
        0.1..=100.0,
    ),
    Row(
        Material::CeilingBoard,
        &["ceiling-board"],
        [1.48, 0.0, 0.0011, 1.0750],
        1.0..=100.0,
    ),
    Row(
        Material::Chipboard,
        &["chipboard"],
        [2.58, 0.0, 0.0217, 0.7800],
        1.0..=100.0,
    ),
    Row(
        Material::Plywood,
        &["plywood"],
        [2.71, 0.0, 0.33, 0.0],
        1.0..=40.0,
    ),
    Row(
        Material::Marble,
        &["marble", "stone"],
        [7.074, 0.0, 0.0055, 0.9262],
        1.0..=60.0,
    ),
    Row(
        Material::Metal,
        &["metal", "foil", "rebar-mesh", "mesh", "coated-glass"],
        [1.0, 0.0, 1e7, 0.0],
        1.0..=100.0,
    ),
];

impl Material {
    /// Every material.
    pub fn all() -> impl Iterator<Item = Self> {
        TABLE.iter().map(|row| row.0)
    }

    /// The material of a name; hyphens and capitals do not matter.
    pub fn named(name: &str) -> Option<Self> {
        let mut rows = TABLE.iter();
        let found = rows.find(|row| row.1.iter().any(|one| crate::same_name(one, name)));
        found.map(|row| row.0)
    }

    /// Its name.
    pub fn name(self) -> &'static str {
        self.row().1[0]
    }

    /// Relative permittivity ε′ − jε″: ε′ = a·f^b, σ = c·f^d. Rec. ITU-R P.2040-3 (2023), section 3 and Table 3.
    ///
    /// Validated: 20 rows for 2.44 and 5.8 GHz, within their printed digits.
    pub fn permittivity(self, frequency_hz: f64) -> Complex64 {
        table_row(1e-9 * frequency_hz, self.row().2)
    }

    /// Whether the table's coefficients were fitted at this frequency.
    pub fn holds_at(self, frequency_hz: f64) -> bool {
        self.row().3.contains(&(1e-9 * frequency_hz))
    }

    /// Whether nothing passes it.
    pub fn is_opaque(self) -> bool {
        self == Self::Metal
    }

    fn row(self) -> &'static Row {
        let row = TABLE.iter().find(|row| row.0 == self);
        row.unwrap_or(&TABLE[0])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn checked_every_material_has_a_row_under_each_of_its_names() {
        for row in TABLE {
            assert_eq!(row.0.row().0, row.0);
            for name in row.1 {
                assert_eq!(Material::named(&name.to_uppercase()), Some(row.0));
            }
        }
        assert_eq!(Material::named("Coated Glass"), Some(Material::Metal));
        assert_eq!(Material::named("cardboard"), None);
    }
}
