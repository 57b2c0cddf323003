//! What must hold whatever the numbers are.

use proptest::prelude::*;
use radio::edges::{self, Edge, Path};
use radio::ground::{self, Bounce, Ground, Polarisation};
use radio::wall::{self, Layer, Material};
use radio::{cover, free_space, sum_paths_db};
use std::f64::consts::{FRAC_PI_2, PI};

/// A few units in the last place of numbers up to a hundred.
const ROUNDING: f64 = 1e-9;

fn any_path() -> impl Strategy<Value = Path> {
    (
        20.0..800.0_f64,
        0.3..30.0_f64,
        0.3..30.0_f64,
        0.4e9..9e9_f64,
    )
        .prop_map(|(distance_m, one, other, frequency_hz)| Path {
            distance_m,
            heights_m: [one, other],
            frequency_hz,
        })
}

fn any_edges(most: usize) -> impl Strategy<Value = Vec<Edge>> {
    prop::collection::vec((0.01..0.99_f64, -5.0..40.0_f64), 0..=most).prop_map(|tops| {
        tops.into_iter()
            .map(|(along_m, height_m)| Edge { along_m, height_m })
            .collect()
    })
}

/// Edges drawn as shares of the way, set on a path.
fn on(path: &Path, shares: &[Edge]) -> Vec<Edge> {
    let set = shares.iter().map(|edge| Edge {
        along_m: edge.along_m * path.distance_m,
        ..*edge
    });
    set.collect()
}

fn any_bounce() -> impl Strategy<Value = Bounce> {
    (
        1.0..80.0_f64,
        0.0..40.0_f64,
        prop::sample::select(vec![
            Polarisation::Vertical,
            Polarisation::Horizontal,
            Polarisation::Circular,
        ]),
        0.0..0.1_f64,
        0.0..2.0_f64,
    )
        .prop_map(|(real, loss, polarisation, roughness_m, pattern)| Bounce {
            permittivity: num_complex::Complex64::new(real, -loss),
            polarisation,
            roughness_m,
            pattern,
        })
}

fn any_pile() -> impl Strategy<Value = Vec<Layer>> {
    let materials: Vec<_> = Material::all().filter(|one| !one.is_opaque()).collect();
    let layer = (prop::sample::select(materials), 0.0..0.3_f64);
    let layer = layer.prop_map(|(material, thickness_m)| Layer {
        material,
        thickness_m,
    });
    prop::collection::vec(layer, 0..6)
}

const SWINGS: [wall::Polarisation; 3] = [
    wall::Polarisation::Te,
    wall::Polarisation::Tm,
    wall::Polarisation::Circular,
];

proptest! {
    #![proptest_config(ProptestConfig { cases: 1024, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn checked_edges_cost_the_same_from_both_ends(path in any_path(), shares in any_edges(7)) {
        let there = on(&path, &shares);
        let back: Vec<_> = there.iter().rev().map(|edge| Edge { along_m: path.distance_m - edge.along_m, ..*edge }).collect();
        let turned = path.reversed();
        prop_assert!((edges::loss_db(&path, &there) - edges::loss_db(&turned, &back)).abs() < ROUNDING);
        prop_assert!((edges::corrected_db(&path, &there) - edges::corrected_db(&turned, &back)).abs() < ROUNDING);
        prop_assert!((edges::deygout_db(&path, &there) - edges::deygout_db(&turned, &back)).abs() < ROUNDING);
        prop_assert!((edges::epstein_peterson_db(&path, &there) - edges::epstein_peterson_db(&turned, &back)).abs() < ROUNDING);
        let lc = [edges::epstein_peterson_lc_db(&path, &there), edges::epstein_peterson_lc_db(&turned, &back)];
        match lc {
            [Some(one), Some(other)] => prop_assert!((one - other).abs() < ROUNDING),
            [one, other] => prop_assert_eq!(one, other),
        }
    }

    #[test]
    fn checked_the_order_of_edges_does_not_matter(path in any_path(), shares in any_edges(7), by in 0_usize..7) {
        let tops = on(&path, &shares);
        let mut turned = tops.clone();
        if !turned.is_empty() {
            let by = by % turned.len();
            turned.rotate_left(by);
        }
        prop_assert!((edges::loss_db(&path, &tops) - edges::loss_db(&path, &turned)).abs() < ROUNDING);
    }

    #[test]
    fn checked_an_edge_far_below_changes_nothing(path in any_path(), shares in any_edges(6), at in 0.01..0.99_f64) {
        let mut tops = on(&path, &shares);
        let before = edges::loss_db(&path, &tops);
        // Four zones below the lowest thing there is.
        tops.push(Edge { along_m: at * path.distance_m, height_m: -5.0 - 4.0 * free_space::fresnel_radius_m(0.5 * path.distance_m, 0.5 * path.distance_m, path.frequency_hz) });
        prop_assert_eq!(before, edges::loss_db(&path, &tops));
    }

    #[test]
    fn checked_edges_take_at_least_what_the_main_one_takes(path in any_path(), shares in any_edges(7)) {
        let tops = on(&path, &shares);
        let loss = edges::loss_db(&path, &tops);
        let alone = tops.iter().map(|edge| edges::loss_db(&path, std::slice::from_ref(edge))).fold(0.0, f64::max);
        let corrected = edges::corrected_db(&path, &tops);
        prop_assert!(alone - ROUNDING <= corrected && corrected <= loss + ROUNDING && loss <= edges::deygout_db(&path, &tops) + ROUNDING);
        prop_assert!(edges::optimistic_db(&path, &tops) <= loss);
    }

    #[test]
    fn checked_no_number_makes_edges_panic_or_no_number(
        path in (any::<f64>(), any::<f64>(), any::<f64>(), any::<f64>()),
        tops in prop::collection::vec((any::<f64>(), any::<f64>()), 0..10),
    ) {
        let (distance_m, one, other, frequency_hz) = path;
        let path = Path { distance_m, heights_m: [one, other], frequency_hz };
        let tops: Vec<_> = tops.into_iter().map(|(along_m, height_m)| Edge { along_m, height_m }).collect();
        prop_assert!(!edges::loss_db(&path, &tops).is_nan());
        prop_assert!(!edges::corrected_db(&path, &tops).is_nan());
        prop_assert!(!edges::optimistic_db(&path, &tops).is_nan());
    }

    #[test]
    fn checked_a_higher_edge_takes_more(nu in -0.78..30.0_f64, more in 1e-6..5.0_f64) {
        prop_assert!(edges::knife_edge_db(nu + more) > edges::knife_edge_db(nu));
    }

    #[test]
    fn checked_a_strip_seen_from_both_sides_is_one(left in -2.0..2.0_f64, width in 0.0..2.0_f64, d1 in 1.0..80.0_f64, d2 in 1.0..80.0_f64, frequency in 1e9..9e9_f64) {
        let one = edges::strip_db(left, left + width, d1, d2, frequency);
        for other in [
            edges::strip_db(-left - width, -left, d1, d2, frequency),
            edges::strip_db(left, left + width, d2, d1, frequency),
        ] {
            prop_assert!((one - other).abs() < 1e-6);
        }
        // Without width there is nothing in the way; of boundless width one side is a knife edge.
        prop_assert!(edges::strip_db(left, left, d1, d2, frequency).abs() < ROUNDING);
    }

    #[test]
    fn checked_two_rays_are_the_same_from_both_ends(path in any_path(), bounce in any_bounce()) {
        let (there, back) = (ground::two_ray_db(&path, &bounce), ground::two_ray_db(&path.reversed(), &bounce));
        prop_assert!((there - back).abs() < 1e-6, "{there} {back}");
    }

    #[test]
    fn checked_two_rays_lie_in_their_band(path in any_path(), bounce in any_bounce()) {
        let loss = ground::two_ray_db(&path, &bounce);
        let [least, most] = ground::two_ray_band_db(&path, &bounce);
        prop_assert!(least <= loss + ROUNDING && loss <= most + ROUNDING, "{least} {loss} {most}");
    }

    #[test]
    fn checked_two_rays_far_out_fall_with_the_fourth_power(h1 in 0.5..3.0_f64, h2 in 0.5..30.0_f64, frequency_hz in 1e9..7e9_f64) {
        // Twenty breakpoints away; 40·lg d − 20·lg(h₁h₂), with R so near −1 that a tenth of a decibel is left.
        let path = Path { distance_m: 20.0 * ground::breakpoint_m([h1, h2], frequency_hz), heights_m: [h1, h2], frequency_hz };
        prop_assume!((h1 + h2) / path.distance_m < 1e-3);
        let bounce = Bounce::smooth(Ground::MediumDry.permittivity(frequency_hz), Polarisation::Horizontal);
        let plane = 40.0 * path.distance_m.log10() - 20.0 * (h1 * h2).log10();
        prop_assert!((ground::two_ray_db(&path, &bounce) - plane).abs() < 0.1);
    }

    #[test]
    fn checked_a_ground_throws_back_no_more_than_it_gets(grazing in 0.0..FRAC_PI_2, real in 1.0..80.0_f64, loss in 0.0..60.0_f64) {
        let back = ground::reflection(grazing, num_complex::Complex64::new(real, -loss));
        prop_assert!(back.h.norm() <= 1.0 + ROUNDING && back.v.norm() <= 1.0 + ROUNDING);
        let circular = back.same_hand.norm_sqr() + back.cross_hand.norm_sqr();
        prop_assert!((circular - 0.5 * (back.h.norm_sqr() + back.v.norm_sqr())).abs() < ROUNDING);
    }

    #[test]
    fn checked_a_wall_gives_back_no_more_than_it_gets(pile in any_pile(), angle in 0.0..1.5_f64, frequency in 1e9..9e9_f64) {
        for swing in [wall::Polarisation::Te, wall::Polarisation::Tm] {
            let found = wall::layers(&pile, frequency, angle, swing);
            let both = found.passes + found.reflected.norm_sqr();
            let only_air = pile.iter().all(|layer| layer.material == Material::Air || layer.thickness_m == 0.0);
            if only_air {
                prop_assert!((both - 1.0).abs() < ROUNDING && found.loss_db.abs() < ROUNDING);
            } else {
                prop_assert!(both < 1.0 + ROUNDING, "{both}");
            }
        }
    }

    #[test]
    fn checked_a_pile_of_one_material_is_one_layer(
        material in prop::sample::select(Material::all().filter(|one| !one.is_opaque()).collect::<Vec<_>>()),
        parts in prop::collection::vec(0.0..0.05_f64, 1..6),
        angle in 0.0..1.5_f64,
        frequency in 1e9..9e9_f64,
    ) {
        let pile: Vec<_> = parts.iter().map(|thickness_m| Layer { material, thickness_m: *thickness_m }).collect();
        let whole = Layer { material, thickness_m: parts.iter().sum() };
        for swing in SWINGS {
            let (one, other) = (wall::layers_db(&pile, frequency, angle, swing), wall::slab(whole, frequency, angle, swing).loss_db);
            prop_assert!((one - other).abs() < 1e-7, "{one} {other}");
        }
    }

    #[test]
    fn checked_a_wall_is_the_same_from_both_sides(pile in any_pile(), angle in 0.0..1.5_f64, frequency in 1e9..9e9_f64) {
        let back: Vec<_> = pile.iter().rev().copied().collect();
        for swing in SWINGS {
            let (one, other) = (wall::layers_db(&pile, frequency, angle, swing), wall::layers_db(&back, frequency, angle, swing));
            prop_assert!((one - other).abs() < 1e-7, "{one} {other}");
        }
    }

    #[test]
    fn checked_no_number_makes_a_wall_no_number(
        pile in prop::collection::vec((prop::sample::select(Material::all().collect::<Vec<_>>()), prop_oneof![0.0..1e4_f64, any::<f64>()]), 0..5),
        frequency in 1e6..1e11_f64,
        angle in any::<f64>(),
    ) {
        let pile: Vec<_> = pile.into_iter().map(|(material, thickness_m)| Layer { material, thickness_m }).collect();
        for swing in SWINGS {
            prop_assert!(!wall::layers_db(&pile, frequency, angle, swing).is_nan());
            prop_assert!(!wall::loss_in_practice_db(&pile, frequency, 2e7, angle, swing).is_nan());
        }
    }

    #[test]
    fn checked_ways_together_lose_no_more_than_the_best(losses in prop::collection::vec(prop_oneof![9 => 0.0..200.0_f64, 1 => Just(f64::INFINITY)], 1..6)) {
        let best = losses.iter().copied().fold(f64::INFINITY, f64::min);
        let together = sum_paths_db(&losses);
        prop_assert!(together <= best + ROUNDING);
        prop_assert!(best == f64::INFINITY || together >= best - 10.0 * (losses.len() as f64).log10() - ROUNDING);
    }

    #[test]
    fn checked_leaves_take_no_more_than_their_most(depth in 0.0..1e4_f64, frequency in 1e8..1e10_f64) {
        let foliage = cover::Foliage::at(frequency);
        let [least, likely, most] = foliage.loss_db(depth);
        prop_assert!(0.0 <= least && least <= likely && likely <= most && most <= foliage.maximum_db);
    }
}

#[test]
fn checked_a_thick_wall_is_hardly_more_than_a_thin_one() {
    let path = Path {
        distance_m: 100.0,
        heights_m: [1.0, 1.0],
        frequency_hz: 5.8e9,
    };
    let wall = |along_m| Edge {
        along_m,
        height_m: 3.0,
    };
    let thin = edges::loss_db(&path, &[wall(30.0)]);
    let thick = edges::loss_db(&path, &[wall(29.85), wall(30.15)]);
    assert!((thick - thin).abs() < 1.5, "{thick} {thin}");
    // Uncorrected, the second edge of its top counts as one that is grazed: 6 dB.
    let uncorrected = edges::deygout_db(&path, &[wall(29.85), wall(30.15)]);
    assert!(uncorrected - thin > 5.0, "{uncorrected} {thin}");
}

#[test]
fn checked_twice_the_distance_is_six_decibels() {
    let near = free_space::loss_db(100.0, 5.8e9);
    let far = free_space::loss_db(200.0, 5.8e9);
    assert!((far - near - 20.0 * 2_f64.log10()).abs() < ROUNDING);
    assert_eq!(free_space::loss_db(0.0, 5.8e9), 0.0);
    assert_eq!(free_space::fresnel_radius_m(0.0, 10.0, 5.8e9), 0.0);
}

#[test]
fn checked_lossless_glass_loses_nothing_it_does_not_throw_back() {
    // Air is the only layer of the table without loss; grazing glass at 1 MHz comes near: 4 mm of it hardly delay the wave.
    let thin = Layer {
        material: Material::Glass,
        thickness_m: 1e-3,
    };
    let found = wall::slab(thin, 1e6, 0.3, wall::Polarisation::Te);
    let both = found.passes + found.reflected.norm_sqr();
    assert!((both - 1.0).abs() < 1e-4, "{both}");
}

#[test]
fn checked_metal_lets_nothing_pass_and_throws_all_back() {
    let foil = Layer {
        material: Material::Metal,
        thickness_m: 1e-5,
    };
    let wood = Layer {
        material: Material::Wood,
        thickness_m: 0.02,
    };
    for swing in SWINGS {
        assert_eq!(
            wall::layers_db(&[wood, foil], 5.8e9, 0.2, swing),
            f64::INFINITY
        );
        assert_eq!(
            wall::loss_in_practice_db(&[wood, foil], 5.8e9, 2e7, 0.2, swing),
            f64::INFINITY
        );
    }
    let back = wall::slab(foil, 5.8e9, 0.2, wall::Polarisation::Te).reflected;
    assert!(back.norm() > 0.999, "{back}");
}

#[test]
fn checked_the_mean_of_a_resonance_lies_between_its_ends() {
    // 4/16/4 glazing stands near a resonance at 5.8 GHz.
    let glazing = glazing();
    let least = [0.9, 0.95, 1.0, 1.05, 1.1].map(|scale| {
        let scaled: Vec<_> = glazing
            .iter()
            .map(|layer| Layer {
                thickness_m: scale * layer.thickness_m,
                ..*layer
            })
            .collect();
        wall::layers_db(&scaled, 5.8e9, 0.0, wall::Polarisation::Te)
    });
    let mean = wall::loss_in_practice_db(&glazing, 5.8e9, 2e7, 0.0, wall::Polarisation::Te);
    let low = least.iter().copied().fold(f64::INFINITY, f64::min);
    let high = least.iter().copied().fold(0.0, f64::max);
    assert!(low < mean && mean < high, "{low} {mean} {high}");
    // The same mean by brute force: 2001 thicknesses, 41 frequencies.
    let mut power = 0.0;
    for thicker in -1000..=1000 {
        for shift in -20..=20 {
            let scaled: Vec<_> = glazing
                .iter()
                .map(|layer| Layer {
                    thickness_m: (1.0 + 1e-4 * f64::from(thicker)) * layer.thickness_m,
                    ..*layer
                })
                .collect();
            let frequency = 5.8e9 + 5e5 * f64::from(shift);
            let loss = wall::layers_db(&scaled, frequency, 0.0, wall::Polarisation::Te);
            power += 10_f64.powf(-0.1 * loss) / (2001.0 * 41.0);
        }
    }
    // The sum's own ends weigh twice what they should: a thousandth.
    assert!(
        (mean + 10.0 * power.log10()).abs() < 3e-3,
        "{mean} {}",
        -10.0 * power.log10()
    );
}

fn glazing() -> [Layer; 3] {
    let glass = Layer {
        material: Material::Glass,
        thickness_m: 0.004,
    };
    let air = Layer {
        material: Material::Air,
        thickness_m: 0.016,
    };
    [glass, air, glass]
}

#[test]
fn checked_reflection_at_its_two_ends() {
    let ground = Ground::MediumDry.permittivity(5.8e9);
    let grazing = ground::reflection(1e-9, ground);
    assert!((grazing.h + 1.0).norm() < 1e-6 && (grazing.v + 1.0).norm() < 1e-6);
    let straight = ground::reflection(0.5 * PI, ground);
    assert!((straight.h + straight.v).norm() < ROUNDING && straight.same_hand.norm() < ROUNDING);
}

#[test]
fn checked_every_named_ground_is_lossy_and_dense() {
    for name in Ground::names() {
        let ground = Ground::named(name).expect("its own name");
        for frequency in [2.44e9, 5.8e9] {
            let found = ground.permittivity(frequency);
            assert!(found.re >= 1.0 && found.im <= 0.0, "{name}: {found}");
        }
    }
    assert_eq!(Ground::named("Medium dry"), Some(Ground::MediumDry));
    assert_eq!(Ground::named("lava"), None);
}

#[test]
fn checked_twenty_thousand_edges_do_not_exhaust_the_stack() {
    // A round hill of edges: every part of it has its own main edge.
    let tops: Vec<_> = (1..20_000)
        .map(|step| {
            let x = f64::from(step) / 20_000.0;
            Edge {
                along_m: 1000.0 * x,
                height_m: 200.0 * x * (1.0 - x),
            }
        })
        .collect();
    let path = Path {
        distance_m: 1000.0,
        heights_m: [1.0, 1.0],
        frequency_hz: 5.8e9,
    };
    assert!(edges::loss_db(&path, &tops).is_finite());
}
