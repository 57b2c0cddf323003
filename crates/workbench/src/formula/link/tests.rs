//! The formulas of a link through their text: check cases worked out elsewhere, and what is said to faulty calls.

use super::super::Answer;
use super::super::asked::answered;

/// Asserts outputs of a call, each within so much of its own unit.
#[track_caller]
fn check(call: &str, expected: &[(&str, f64, f64)]) {
    let found = answered(call).unwrap_or_else(|faults| panic!("{call}: {faults}"));
    for (key, value, most) in expected {
        let ours = found.outputs.iter().find(|output| output.key == *key);
        let Some(Answer::Number(ours)) = ours.map(|output| &output.value) else {
            panic!("{call}: no number `{key}` in {found:?}");
        };
        assert!(
            (ours - value).abs() <= *most,
            "{call}: {key} = {ours}, expected {value}"
        );
    }
}

#[track_caller]
fn refused(call: &str, words: &str) {
    let said = answered(call).expect_err(call);
    assert!(said.contains(words), "{call}: {words:?} is not in {said:?}");
}

#[test]
fn validated_antennas_and_polarisation() {
    check(
        "antenna-attitude yaw=30° pitch=-20° roll=40° axis=0,0,-1 position=80,60,-25 ground=0,0,-1.5",
        &[
            ("theta_craft_deg", 119.521, 1e-3),
            ("theta_ground_deg", 76.775, 1e-3),
            ("gain_craft_dbi", 0.446, 1e-3),
            ("gain_ground_dbi", 1.811, 1e-3),
            ("chi_deg", 44.217, 1e-3),
            ("loss_db", 2.893, 1e-3),
            ("total_db", -0.636, 1e-3),
        ],
    );
    check(
        "antenna-pattern antenna=patch:8dBi:linear angle=60°",
        &[
            ("exponent", 2.1548, 1e-4),
            ("beamwidth_deg", 87.07, 5e-3),
            ("gain_dbi", 1.513, 1e-3),
        ],
    );
    check(
        "polarisation-loss ar1=linear ar2=0dB",
        &[("loss_db", 3.0103, 1e-4)],
    );
    check(
        "polarisation-loss ar1=3dB ar2=3dB hand=opposite tilt=0°",
        &[("loss_db", 9.570, 1e-3), ("best_db", 9.570, 1e-3)],
    );
    check(
        "polarisation-loss ar1=2 ar2=2 hand=same",
        &[("worst_db", 0.2283, 1e-4)],
    );
    check("mismatch-loss vswr=2", &[("loss_db", 0.5115, 1e-4)]);
    check("mismatch-loss vswr=3", &[("loss_db", 1.2494, 1e-4)]);
}

#[test]
fn validated_fading() {
    for (call, expected) in [
        (
            "margin=10dB branches=2 combining=selection k=rayleigh",
            9.0559e-3,
        ),
        (
            "margin=10dB branches=4 combining=maximal-ratio k=rayleigh",
            3.8468e-6,
        ),
        ("margin=10 branches=1 combining=selection k=6dB", 1.6465e-2),
        (
            "margin=10dB branches=2 combining=maximal-ratio k=6",
            9.569e-5,
        ),
        (
            "margin=10dB branches=2 combining=selection k=rayleigh correlation=0.7",
            1.6240e-2,
        ),
    ] {
        check(
            &format!("fade-outage {call}"),
            &[("outage", expected, 1e-3 * expected)],
        );
    }
    check(
        "fade-margin outage=1% k=rayleigh",
        &[("margin_db", 19.978, 1e-3)],
    );
    check(
        "fade-margin outage=0.01 k=10dB",
        &[("margin_db", 6.184, 1e-3)],
    );
    check(
        "fade-rate speed=10m/s frequency=5800MHz margin=10dB k=rayleigh",
        &[
            ("doppler_hz", 193.467, 1e-3),
            ("fades_per_s", 138.76, 1e-2),
            ("fade_ms", 0.6858, 1e-4),
        ],
    );
}

#[test]
fn validated_noise_budget_and_field() {
    check(
        "noise-floor bandwidth=18MHz noise_figure=6dB",
        &[("noise_dbm", -95.422, 1e-3)],
    );
    check(
        "noise-floor bandwidth=812.5kHz noise_figure=6dB",
        &[("noise_dbm", -108.877, 1e-3)],
    );
    check(
        "noise-cascade stages=amplifier:1.5dB:15dB,loss:2dB,receiver:8dB",
        &[("noise_figure_db", 2.297, 1e-3)],
    );
    check(
        "noise-cascade stages=loss:2dB,amplifier:1.5dB:15dB,receiver:8dB",
        &[("noise_figure_db", 3.988, 1e-3)],
    );
    check(
        "link-budget eirp=13.979dBm frequency=5800MHz distance=300m gain=8dBi polarisation=0.5dB misc=0.5dB bandwidth=18MHz \
         noise_figure=6dB snr=10dB k=6dB branches=2",
        &[
            ("received_dbm", -76.280, 1e-3),
            ("margin_db", 9.143, 1e-3),
            ("outage", 4.844e-4, 5e-7),
            ("range_m", 859.5, 0.1),
        ],
    );
    check(
        "field-strength field=50mV/m distance=3m",
        &[("eirp_dbm", -1.249, 1e-3), ("eirp_w", 0.750e-3, 1e-6)],
    );
    check(
        "field-strength eirp=25mW distance=3m",
        &[("field_dbuv_m", 109.208, 1e-3)],
    );
    check(
        "exposure-distance eirp=600mW limit=10W/m2 reflection=1",
        &[("distance_m", 0.0691, 1e-4)],
    );
    check(
        "exposure-distance eirp=600mW limit=1mW/cm2 reflection=2.56",
        &[("distance_m", 0.1106, 1e-4)],
    );
}

#[test]
fn validated_ways_of_sending() {
    check(
        "chirp-error spreading_factor=7 snr=-8dB",
        &[("symbol_error", 1.6107e-3, 1e-7)],
    );
    check(
        "bit-error modulation=qpsk es_n0=12.598dB",
        &[("bit_error", 1e-5, 2e-8)],
    );
    check(
        "bit-error modulation=64-qam es_n0=25.568dB",
        &[("bit_error", 1e-5, 2e-8)],
    );
    check(
        "video-snr cn=20dB bandwidth=18MHz video=5MHz deviation=8MHz",
        &[("snr_without_clicks_db", 31.489, 5e-3)],
    );
    check(
        "ofdm-need modulation=qpsk rate=1/2",
        &[
            ("implied_snr_db", 6.96, 6e-3),
            ("simulated_snr_db", 2.76, 0.0),
        ],
    );
}

#[test]
fn checked_a_sensitivity_stands_for_the_noise() {
    let path = "link-budget eirp=13.979dBm frequency=5800MHz distance=300m gain=8dBi polarisation=0.5dB misc=0.5dB";
    check(
        &format!("{path} sensitivity=-85.4225dBm"),
        &[("margin_db", 9.1427, 1e-4)],
    );
    check(
        &format!("{path} sensitivity=-85.4225dBm path_loss=103.2588"),
        &[("margin_db", 3.1427, 1e-4)],
    );
    refused(
        &format!("{path} sensitivity=-85dBm snr=3dB"),
        "write `sensitivity`, or all of",
    );
    refused(path, "write `sensitivity`, or all of");
}

#[test]
fn checked_faulty_calls_are_told_what_is_missing() {
    refused(
        "polarisation-loss ar1=linear ar2=linear tilt=90°",
        "nothing gets across",
    );
    refused("polarisation-loss ar1=-1dB ar2=0", "zero or more");
    refused("antenna-attitude position=0,0,-1.5", "in one place");
    refused(
        "antenna-attitude position=1,0,-2 antenna=loop",
        "crossed-dipole:HAND",
    );
    refused(
        "antenna-attitude position=1,0,-2 antenna=patch:2:linear",
        "more than 3 dBi",
    );
    refused(
        "fade-outage margin=10dB branches=2 k=6dB correlation=0.5",
        "Rayleigh fading only",
    );
    refused(
        "noise-cascade stages=loss:2dB,mixer:3",
        "`mixer:3` is no stage",
    );
    refused("noise-cascade stages=loss:-2dB", "below zero");
    refused("field-strength distance=3m", "one of `field` and `eirp`");
    refused("exposure-distance eirp=0mW limit=10W/m2", "above zero");
    refused("exposure-distance eirp=3V limit=10W/m2", "unit of voltage");
    refused("ofdm-need modulation=bpsk rate=5/6", "no such mode");
}
