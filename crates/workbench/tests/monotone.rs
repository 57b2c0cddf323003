//! What must move which way, whatever the craft: heavier needs more command, colder gives fewer volts.

use craft::SourceFile;
use craft::bench::Job;
use proptest::prelude::*;
use workbench::assess::{Assessment, Options, assess};

/// A craft of definite figures, so that the middles move by physics alone.
#[derive(Debug, Clone, Copy)]
struct Figures {
    mass_g: f64,
    cold_c: f64,
    altitude_m: f64,
    cell_milliohm: f64,
    capacity_mah: f64,
    electronics_w: f64,
}

fn figures() -> impl Strategy<Value = Figures> {
    (
        25.0..42.0,
        -5.0..20.0,
        0.0..2_500.0,
        12.0..35.0,
        350.0..650.0,
        1.0..6.0,
    )
        .prop_map(
            |(mass_g, cold_c, altitude_m, cell_milliohm, capacity_mah, electronics_w)| Figures {
                mass_g,
                cold_c,
                altitude_m,
                cell_milliohm,
                capacity_mah,
                electronics_w,
            },
        )
}

fn assessed(figures: Figures) -> Assessment {
    let Figures {
        mass_g,
        cold_c,
        altitude_m,
        cell_milliohm,
        capacity_mah,
        electronics_w,
    } = figures;
    let file = |path: &str, text: String| SourceFile {
        path: path.into(),
        text,
    };
    let files = vec![
        file("parts/frame.toml", "[body]\nmass = \"6 ± 0 g\"\n[frame]\nrotors = 4\nsurround = \"guard\"\n".into()),
        file(
            "parts/motor.toml",
            "[body]\nmass = \"2.4 ± 0 g\"\n[motor]\nkv = \"20000 ± 0 rpm/V\"\nresistance = \"140 ± 0 mΩ\"\n\
             no_load_current = \"0.25 ± 0 A\"\nno_load_volts = \"3.7 V\"\n"
                .into(),
        ),
        file(
            "parts/propeller.toml",
            "[body]\nmass = \"0.4 g\"\n[propeller]\ndiameter = \"40 mm\"\npitch = \"25 mm\"\nblades = 3\n\
             thrust_coefficient = \"0.14 ± 0\"\npower_coefficient = \"0.09 ± 0\"\n"
                .into(),
        ),
        file(
            "parts/pack.toml",
            format!(
                "[body]\nmass = \"12 ± 0 g\"\n[cells]\nchemistry = \"lipo\"\nseries = 1\ncapacity = \"{capacity_mah} ± 0 mAh\"\n\
                 resistance = \"{cell_milliohm} ± 0 mΩ\"\n"
            ),
        ),
        file(
            "parts/board.toml",
            format!("[body]\nmass = \"5 g\"\n[board]\npath_resistance = \"5 ± 0 mΩ\"\n[input.core]\nvolts = \"2.8..5.5 V\"\npower = \"{electronics_w} ± 0 W\"\nfed_by = \"pack\"\n"),
        ),
        file(
            "x.craft.toml",
            format!(
                "weighed = \"{mass_g} ± 0 g\"\n[parts]\nframe = \"frame\"\nmotors = {{ sheet = \"motor\", count = 4 }}\n\
                 propellers = {{ sheet = \"propeller\", count = 4 }}\nbattery = \"pack\"\nboard = \"board\"\n\
                 [conditions]\naltitude = \"{altitude_m} m\"\nair_temperature = \"20 ± 0 °C\"\npack_temperature = \"25 ± 0 °C\"\n\
                 cold_pack_temperature = \"{cold_c} ± 0 °C\"\n"
            ),
        ),
    ];
    let (bench, diagnostics) = store::text::read(files);
    assert!(diagnostics.is_empty(), "{diagnostics:?}");
    assess(
        &Job {
            craft: &bench.craft[0],
            refit: None,
        },
        Options {
            draws: 256,
            seed: 3,
            settle: false,
        },
    )
}

fn middle(assessment: &Assessment, id: &str) -> f64 {
    let outcomes = &assessment.judged.outcomes;
    outcomes
        .summary(outcomes.position(id).expect("an outcome of every craft"))
        .p50
}

/// Asserts that an outcome does not fall when `more` holds one figure higher than `less`.
fn rises(less: &Assessment, more: &Assessment, id: &str) -> Result<(), TestCaseError> {
    let (low, high) = (middle(less, id), middle(more, id));
    prop_assert!(high >= low, "{id}: {low} → {high}");
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn checked_heavier_needs_more_and_flies_shorter(base in figures()) {
        let heavier = assessed(Figures { mass_g: base.mass_g * 1.1, ..base });
        let base = assessed(base);
        rises(&base, &heavier, "hover.command")?;
        rises(&base, &heavier, "hover.power_w")?;
        rises(&base, &heavier, "hover.rpm")?;
        rises(&heavier, &base, "endurance.hover_s")?;
        rises(&heavier, &base, "thrust_to_weight.full")?;
    }

    #[test]
    fn checked_colder_and_weaker_cells_give_fewer_volts(base in figures()) {
        let colder = assessed(Figures { cold_c: base.cold_c - 10.0, ..base });
        let weaker = assessed(Figures { cell_milliohm: base.cell_milliohm * 1.3, ..base });
        let base = assessed(base);
        for worse in [&colder, &weaker] {
            rises(worse, &base, "battery.punch_min_v")?;
            rises(worse, &base, "supply.board.core.min_v")?;
        }
        rises(&weaker, &base, "endurance.active_s")?;
        rises(&weaker, &base, "thrust_to_weight.reserve")?;
    }

    #[test]
    fn checked_higher_sites_need_more_speed(base in figures()) {
        let higher = assessed(Figures { altitude_m: base.altitude_m + 800.0, ..base });
        let base = assessed(base);
        rises(&base, &higher, "hover.rpm")?;
        rises(&base, &higher, "hover.command")?;
    }

    #[test]
    fn checked_more_charge_lasts_longer_and_thirsty_electronics_shorter(base in figures()) {
        let larger = assessed(Figures { capacity_mah: base.capacity_mah * 1.2, ..base });
        let thirstier = assessed(Figures { electronics_w: base.electronics_w + 2.0, ..base });
        let base = assessed(base);
        rises(&base, &larger, "endurance.hover_s")?;
        rises(&thirstier, &base, "endurance.hover_s")?;
        rises(&thirstier, &base, "battery.punch_min_v")?;
    }
}

#[test]
fn checked_one_thread_and_two_give_the_same_bits() {
    let figures = Figures {
        mass_g: 33.0,
        cold_c: 5.0,
        altitude_m: 200.0,
        cell_milliohm: 18.0,
        capacity_mah: 450.0,
        electronics_w: 2.0,
    };
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .expect("a pool");
        pool.install(|| assessed(figures))
    };
    let (one, two) = (on(1), on(2));
    for at in 0..one.judged.outcomes.infos.len() {
        let bits = |assessment: &Assessment| -> Vec<u64> {
            assessment
                .judged
                .outcomes
                .column(at)
                .iter()
                .map(|value| value.to_bits())
                .collect()
        };
        assert_eq!(bits(&one), bits(&two));
    }
}
