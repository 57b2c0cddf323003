//! What is said about radio links: antennas on stations that there are, figures that can be.

use crate::text::unknown_name;
use craft::air::{AntennaPattern, GroundAntenna, GroundStation};
use craft::airframe::{Airframe, Harness};
use craft::part::Named;
use craft::sheet::{Definite, Figure};
use craft::{Diagnostic, Part, Place, Stated};
use quantity::{Decibels, Dimension};

/// A directional antenna has more gain than this: no pattern that looks one way has less \[dBi\].
const LEAST_GAIN_DBI: f64 = 3.01;

/// The antenna of a sheet.
pub fn sheet(part: &Part) -> Vec<Diagnostic> {
    let antenna = part.antenna.as_ref();
    let found =
        antenna.and_then(|it| gain(it.pattern.map(|it| it.value), it.gain.as_ref(), it.place));
    found.into_iter().collect()
}

/// The stations and antennas written in one file, against those that there are in the end.
pub fn airframe(airframe: &Airframe, harness: &Harness) -> Vec<Diagnostic> {
    let stations = &airframe.harness.ground_stations;
    let known: Vec<&str> = stations.iter().map(|it| it.name.value.as_str()).collect();
    let mut found = Vec::new();
    for antenna in &harness.ground_antennas {
        let unknown = |of: &&Stated<String>| !known.contains(&of.value.as_str());
        let station = antenna.facet.station.as_ref().filter(unknown);
        found.extend(
            station.map(|of| unknown_name("unknown-station", "ground station", of, known.clone())),
        );
        found.extend(of_antenna(antenna));
    }
    found.extend(harness.ground_stations.iter().flat_map(of_station));
    found
}

fn of_antenna(antenna: &Named<GroundAntenna>) -> Option<Diagnostic> {
    let facet = &antenna.facet;
    gain(
        facet.pattern.map(|it| it.value),
        facet.gain.as_ref(),
        antenna.name.place,
    )
}

fn gain(
    pattern: Option<AntennaPattern>,
    gain: Option<&Stated<Figure<Decibels>>>,
    place: Place,
) -> Option<Diagnostic> {
    if pattern? != AntennaPattern::Directional {
        return None;
    }
    let Some(gain) = gain else {
        let message = "a directional antenna needs its `gain`";
        return Some(
            Diagnostic::error("missing-key", place, message)
                .hint("it is printed on it or in its sheet: `gain = \"8 dBi\"`"),
        );
    };
    let dbi = gain.quantity.value.in_decibels();
    (dbi <= LEAST_GAIN_DBI).then(|| {
        let message =
            format!("a directional antenna with {dbi} dBi looks nowhere: it has more than 3 dBi");
        Diagnostic::error("impossible-value", gain.place, message)
            .hint("if it is an upright wire or a ring of lobes, name that pattern")
    })
}

fn of_station(station: &Named<GroundStation>) -> Vec<Diagnostic> {
    let facet = &station.facet;
    let lengths = [&facet.distance, &facet.height, &facet.flying_height];
    let mut found: Vec<Diagnostic> = lengths
        .into_iter()
        .filter_map(|it| above_zero(it.as_ref()?))
        .collect();
    found.extend(facet.frequency.as_ref().and_then(above_zero));
    found.extend(facet.bandwidth.as_ref().and_then(above_zero));
    found.extend(facet.radiated_limit.as_ref().and_then(above_zero));
    let never = |it: &&Stated<Definite<quantity::Ratio>>| {
        !(it.value.0.in_ones() > 0.0 && it.value.0.in_ones() < 1.0)
    };
    found.extend(facet.outage.as_ref().filter(never).map(|outage| {
        let message = "a link fails some of the time: more than 0 %, less than 100 %";
        Diagnostic::error("impossible-value", outage.place, message).hint("1 % is usual")
    }));
    found
}

fn above_zero<D: Dimension>(stated: &Stated<Definite<D>>) -> Option<Diagnostic> {
    let is_wrong = stated.value.0.si().is_nan() || stated.value.0.si() <= 0.0;
    is_wrong.then(|| {
        Diagnostic::error(
            "impossible-value",
            stated.place,
            format!("this {} is above zero", D::NOUN),
        )
    })
}
