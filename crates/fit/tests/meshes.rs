//! STL bytes of every kind: faults by their names, and never a panic.

use fit::{Mesh, MeshFault, MeshProperties, Unit, VolumeFault};
use proptest::prelude::*;

/// Corners of a tetrahedron with legs of 6 mm: volume 6³/6 = 36 mm³.
const CORNERS: [[f32; 3]; 4] = [[0.0; 3], [6.0, 0.0, 0.0], [0.0, 6.0, 0.0], [0.0, 0.0, 6.0]];
const OUTWARDS: [[usize; 3]; 4] = [[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]];

#[test]
fn checked_a_tetrahedron_by_hand_in_both_formats() {
    for stl in [binary(&OUTWARDS), text(&OUTWARDS)] {
        let found = properties(&stl).unwrap();
        assert!((1e9 * found.volume_m3 - 36.0).abs() < 1e-9);
        assert!(!found.inside_out);
        for x in found.centre_m {
            assert!((1e3 * x - 1.5).abs() < 1e-12);
        }
        // ∫x² over the unit one is 1/60, so for each kilogram x̄² = 6·36/60 = 3.6 mm²; I_xx = 2·(3.6 − 1.5²) = 2.7, and
        // ∫xy is 1/120: I_xy = −(1.8 − 2.25) = 0.45.
        let i = found.inertia_per_kg_m2;
        assert!((1e6 * i[0][0] - 2.7).abs() < 1e-9);
        assert!((1e6 * i[0][1] - 0.45).abs() < 1e-9);
    }
}

#[test]
fn checked_units_scale_a_mesh() {
    let volume = |unit| {
        let mesh = Mesh::read(&binary(&OUTWARDS), unit).unwrap();
        mesh.properties().unwrap().volume_m3
    };
    let inches = volume(Unit::Inch) / volume(Unit::Millimetre);
    assert!((inches / 25.4_f64.powi(3) - 1.0).abs() < 1e-12);
    assert!((volume(Unit::Metre) - 36.0).abs() < 1e-9);
}

#[test]
fn checked_faults_of_a_volume_have_names() {
    let inwards = OUTWARDS.map(|[a, b, c]| [a, c, b]);
    assert!(properties(&binary(&inwards)).unwrap().inside_out);
    assert_eq!(
        properties(&binary(&OUTWARDS[..3])),
        Err(VolumeFault::Open { edges: 3 })
    );
    let mut one_turned = OUTWARDS;
    one_turned[0].swap(1, 2);
    assert_eq!(
        properties(&binary(&one_turned)),
        Err(VolumeFault::WoundBothWays { edges: 3 })
    );
    // Front and back of one triangle: closed, and nothing inside.
    assert_eq!(
        properties(&binary(&[[0, 1, 2], [0, 2, 1]])),
        Err(VolumeFault::None)
    );
}

#[test]
fn checked_a_triangle_without_area_is_left_out_and_counted() {
    let mut stl = OUTWARDS.to_vec();
    stl.push([2, 2, 3]);
    let mesh = read(&binary(&stl)).unwrap();
    assert_eq!((mesh.triangles(), mesh.without_area()), (4, 1));
    assert!(mesh.properties().is_ok());
    assert_eq!(read(&binary(&[[1, 1, 2]])).unwrap_err(), MeshFault::Flat);
}

#[test]
fn checked_faults_of_a_file_have_names() {
    let fault = |bytes: &[u8]| read(bytes).unwrap_err();
    let whole = binary(&OUTWARDS);
    assert_eq!(fault(b""), MeshFault::Empty);
    assert_eq!(fault(b" \r\n\t"), MeshFault::Empty);
    assert_eq!(fault(b"solid nothing\nendsolid\n"), MeshFault::Empty);
    assert_eq!(fault(&binary(&[])), MeshFault::Empty);
    assert_eq!(fault(b"PK\x03\x04"), MeshFault::TooShort { bytes: 4 });
    let cut = MeshFault::Length {
        claimed: 4,
        room: 3,
    };
    assert_eq!(fault(&whole[..whole.len() - 1]), cut);
    let mut huge = whole.clone();
    huge[80..84].copy_from_slice(&u32::MAX.to_le_bytes());
    let claimed = u32::MAX;
    assert_eq!(fault(&huge), MeshFault::Length { claimed, room: 4 });
    let mut not_a_number = whole.clone();
    not_a_number[84 + 12..84 + 16].copy_from_slice(&f32::NAN.to_le_bytes());
    assert_eq!(fault(&not_a_number), MeshFault::NotANumber { line: None });
    let mut far = whole;
    far[84 + 12..84 + 16].copy_from_slice(&1e9_f32.to_le_bytes());
    assert_eq!(fault(&far), MeshFault::Far);
}

#[test]
fn checked_faults_of_a_text_have_names() {
    let fault = |text: &str| read(text.as_bytes()).unwrap_err();
    let whole = String::from_utf8(text(&OUTWARDS)).unwrap();
    assert_eq!(fault(&whole.replace("endsolid", "")), MeshFault::NoEnd);
    // The fourth line is the first corner.
    let line = Some(4);
    assert_eq!(
        fault(&whole.replacen("vertex 0", "vertex zero", 1)),
        MeshFault::NotANumber { line }
    );
    assert_eq!(
        fault(&whole.replacen("vertex 0", "vertex inf", 1)),
        MeshFault::NotANumber { line }
    );
    assert!(matches!(
        fault(&whole.replacen("outer loop", "inner loop", 1)),
        MeshFault::Garbled { .. }
    ));
}

#[test]
fn checked_what_programs_write_is_read() {
    let whole = String::from_utf8(text(&OUTWARDS)).unwrap();
    for variant in [
        whole.to_uppercase(),
        whole.replace('\n', "\r\n"),
        whole.replacen("solid tetra", "solid", 1),
        format!("\n  {whole}\n"),
    ] {
        assert!(properties(variant.as_bytes()).is_ok(), "{variant}");
    }
    // Two solids in one text are one mesh: the second does not vanish.
    let second = whole.replace("vertex 0 0 0", "vertex -9 -9 -9");
    let mesh = read(format!("{whole}{second}").as_bytes()).unwrap();
    assert_eq!(mesh.triangles(), 8);
    // A binary file may begin with the word of a text.
    let mut binary = binary(&OUTWARDS);
    binary[..6].copy_from_slice(b"solid ");
    assert!(properties(&binary).is_ok());
}

#[test]
fn checked_too_many_triangles_are_refused_before_they_are_read() {
    let many = vec![OUTWARDS[0]; fit::mesh::MOST_TRIANGLES + 1];
    assert_eq!(read(&binary(&many)).unwrap_err(), MeshFault::TooMany);
    assert_eq!(read(&text(&many)).unwrap_err(), MeshFault::TooMany);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2_000))]

    #[test]
    fn checked_no_bytes_make_it_panic(bytes in proptest::collection::vec(any::<u8>(), 0..600)) {
        let _ = read(&bytes);
    }

    #[test]
    fn checked_no_triangles_make_it_panic(
        numbers in proptest::collection::vec(any::<u32>(), 0..180),
        small in any::<bool>(),
    ) {
        // Any bits as numbers, or corners on a coarse grid that meet, fold and double each other.
        let number = |bits: u32| if small { (bits % 3) as f32 } else { f32::from_bits(bits) };
        let corners: Vec<[f32; 3]> =
            numbers.chunks_exact(3).map(|c| [number(c[0]), number(c[1]), number(c[2])]).collect();
        let triangles: Vec<[[f32; 3]; 3]> =
            corners.chunks_exact(3).map(|c| [c[0], c[1], c[2]]).collect();
        if let Ok(mesh) = read(&binary_of(&triangles)) {
            use_it(mesh);
        }
    }

    #[test]
    fn checked_no_damaged_text_makes_it_panic(
        at in any::<prop::sample::Index>(),
        with in proptest::collection::vec(any::<u8>(), 0..12),
        cut in any::<prop::sample::Index>(),
    ) {
        let mut stl = text(&OUTWARDS);
        let at = at.index(stl.len());
        stl.splice(at..at, with);
        stl.truncate(cut.index(stl.len()) + 1);
        if let Ok(mesh) = read(&stl) {
            use_it(mesh);
        }
    }
}

/// Distances to it, from without and within, are numbers.
fn use_it(mesh: Mesh) {
    let mesh = std::sync::Arc::new(mesh);
    let whole = fit::Solid::mesh(mesh.clone(), fit::Pose::at([1e-3, 0.0, 0.0])).unwrap();
    let other = fit::Solid::mesh(mesh, fit::Pose::default()).unwrap();
    let block = fit::Solid::block([1e-3; 3], fit::Pose::at([5e-3, 1e-3, 1e-3])).unwrap();
    for found in [
        fit::distance(&whole, &block),
        fit::distance(&block, &whole),
        fit::distance(&whole, &other),
    ] {
        assert!(found.distance_m.is_finite() && found.distance_m >= 0.0);
        assert!(found.nearest_m.iter().flatten().all(|x| x.is_finite()));
    }
}

fn read(stl: &[u8]) -> Result<Mesh, MeshFault> {
    Mesh::read(stl, Unit::Millimetre)
}

fn properties(stl: &[u8]) -> Result<MeshProperties, VolumeFault> {
    read(stl).unwrap().properties()
}

fn binary(triangles: &[[usize; 3]]) -> Vec<u8> {
    let triangles: Vec<_> = triangles.iter().map(|t| t.map(|i| CORNERS[i])).collect();
    binary_of(&triangles)
}

fn binary_of(triangles: &[[[f32; 3]; 3]]) -> Vec<u8> {
    let mut stl = vec![0; 80];
    stl.extend((triangles.len() as u32).to_le_bytes());
    for triangle in triangles {
        stl.extend([0; 12]);
        stl.extend(triangle.iter().flatten().flat_map(|x| x.to_le_bytes()));
        stl.extend([0; 2]);
    }
    stl
}

fn text(triangles: &[[usize; 3]]) -> Vec<u8> {
    let mut stl = String::from("solid tetra\n");
    for triangle in triangles {
        stl += "facet normal 0 0 0\nouter loop\n";
        for [x, y, z] in triangle.map(|index| CORNERS[index]) {
            stl += &format!("vertex {x} {y} {z}\n");
        }
        stl += "endloop\nendfacet\n";
    }
    (stl + "endsolid tetra\n").into_bytes()
}
