//! Radio connectors: which antenna is on which radio, whether the two halves make contact, what the coax
//! loses, and whether both ends of a link turn the same way.

use craft::air::GroundStation;
use craft::airframe::Airframe;
use craft::pads::{Coax, Hand, Jack, JackFamily, JackHalf, JackRole};
use craft::part::Named;
use craft::{Place, Stated};

/// A jack by where it stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct JackAt {
    /// Position of its part.
    pub part: usize,
    /// Position on the part.
    pub jack: usize,
}

/// A radio and the antenna on it.
#[derive(Debug, Clone, PartialEq)]
pub struct Joint {
    /// The radio's jack.
    pub radio: JackAt,
    /// The antenna's.
    pub antenna: JackAt,
    /// Where the builder says so; nowhere when the band leaves only one choice.
    pub place: Option<Place>,
}

/// Radios with their antennas, and radios without.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Aerials {
    /// Pairs.
    pub joints: Vec<Joint>,
    /// Radios without an antenna.
    pub bare: Vec<JackAt>,
}

/// What two halves of connectors make of one another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Contact {
    /// They mate.
    Mates,
    /// They do not go together.
    DoesNotMate,
    /// They screw together and the centre makes no contact: the transmitter works into nothing.
    NoCentre,
    /// They screw together and two pins meet.
    TwoPins,
    /// A sheet does not say.
    Unknown,
}

/// Loss of a connector \[dB\]: 0.1 to 0.3, from memory.
pub const CONNECTOR_DB: (f64, f64) = (0.1, 0.3);
/// Frequency at which [`coax_db_per_m`] is meant \[Hz\].
const COAX_AT_HZ: f64 = 5.8e9;
/// What opposite hands cost in practice \[dB\]: 20 to 30 in one reflection-free path, about 20 met.
/// A published hobby table; common practice.
pub const OPPOSITE_HAND_DB: f64 = 20.0;
/// What a circular and a linear antenna cost one another \[dB\]: half the power, whatever the angle.
pub const CIRCULAR_LINEAR_DB: f64 = 3.0;

/// Loss of thin coax at 5.8 GHz \[dB/m\], from and to; from memory. Not validated.
pub fn coax_db_per_m(coax: Coax) -> (f64, f64) {
    match coax {
        Coax::Thin => (4.5, 6.0),
        Coax::Middle => (3.5, 4.3),
    }
}

/// Loss of a jack's coax \[dB\], from and to, without connectors; skin effect makes it go with the root of the
/// frequency. Not validated.
pub fn coax_loss_db(jack: &Jack) -> Option<(f64, f64)> {
    let (low, high) = coax_db_per_m(jack.coax?.value);
    let metres = jack.coax_length?.value.0.in_metres();
    let hertz = jack
        .frequency
        .map_or(COAX_AT_HZ, |it| it.value.0.in_hertz());
    let scale = metres * (hertz / COAX_AT_HZ).sqrt();
    Some((low * scale, high * scale))
}

impl Aerials {
    /// The builder's links first, then what the bands leave no doubt about.
    pub fn of(airframe: &Airframe) -> Self {
        let jacks = |role: JackRole| -> Vec<JackAt> {
            all(airframe)
                .filter(|(_, named)| named.facet.role.is_some_and(|it| it.value == role))
                .map(|(at, _)| at)
                .collect()
        };
        let (radios, antennas) = (jacks(JackRole::Radio), jacks(JackRole::Antenna));
        let mut aerials = Self::default();
        for &antenna in &antennas {
            let said = said(airframe, antenna);
            aerials.joints.extend(said.map(|(radio, place)| Joint {
                radio,
                antenna,
                place: Some(place),
            }));
        }
        for &radio in &radios {
            if aerials.joints.iter().any(|joint| joint.radio == radio) {
                continue;
            }
            let free = |antenna: &&JackAt| {
                !aerials
                    .joints
                    .iter()
                    .any(|joint| joint.antenna == **antenna)
                    && same_band(airframe, radio, **antenna)
            };
            match antennas.iter().find(free) {
                Some(&antenna) => aerials.joints.push(Joint {
                    radio,
                    antenna,
                    place: None,
                }),
                None => aerials.bare.push(radio),
            }
        }
        aerials
    }
}

/// Every jack on the craft.
pub fn all(airframe: &Airframe) -> impl Iterator<Item = (JackAt, &Named<Jack>)> {
    airframe.found().flat_map(|(part, _, sheet)| {
        let jacks = sheet.jacks.iter().enumerate();
        jacks.map(move |(jack, named)| (JackAt { part, jack }, named))
    })
}

/// A jack by where it stands.
pub fn jack(airframe: &Airframe, at: JackAt) -> Option<&Named<Jack>> {
    airframe.parts[at.part].part.as_deref()?.jacks.get(at.jack)
}

/// As the builder would name it: "transmitter.video".
pub fn name(airframe: &Airframe, at: JackAt) -> String {
    let part = &airframe.parts[at.part].id.value;
    jack(airframe, at).map_or_else(
        || part.clone(),
        |jack| format!("{part}.{}", jack.name.value),
    )
}

/// The radio that `[links]` names for an antenna.
fn said(airframe: &Airframe, antenna: JackAt) -> Option<(JackAt, Place)> {
    let feed = &jack(airframe, antenna)?.name.value;
    let link = airframe
        .harness
        .link(&airframe.parts[antenna.part].id, feed)?;
    let to = link.table.to.as_ref()?;
    let (radio, _) = all(airframe).find(|(at, _)| name(airframe, *at) == to.value)?;
    Some((radio, link.table.place))
}

/// Whether two jacks are for one band: within a tenth, or one of them does not say.
fn same_band(airframe: &Airframe, one: JackAt, other: JackAt) -> bool {
    let hertz = |at| Some(jack(airframe, at)?.facet.frequency?.value.0.in_hertz());
    match (hertz(one), hertz(other)) {
        (Some(one), Some(other)) => (one / other - 1.0).abs() < SAME_BAND,
        _ => true,
    }
}

/// Bands of one use differ by less than this share.
const SAME_BAND: f64 = 0.1;

/// Whether two connectors make contact.
pub fn contact(
    one: (Option<JackFamily>, Option<JackHalf>),
    other: (Option<JackFamily>, Option<JackHalf>),
) -> Contact {
    use JackFamily::{ReverseSma, Sma, Soldered};
    let (Some(first), Some(second)) = (one.0, other.0) else {
        return Contact::Unknown;
    };
    if first == Soldered && second == Soldered {
        return Contact::Mates;
    }
    let screws = |family| matches!(family, Sma | ReverseSma);
    let threads_match = first == second || (screws(first) && screws(second));
    if !threads_match {
        return Contact::DoesNotMate;
    }
    let (Some(half), Some(other_half)) = (one.1, other.1) else {
        return Contact::Unknown;
    };
    if half == other_half {
        return Contact::DoesNotMate;
    }
    // The pin is on the half with the nut, reversed on the other family.
    let has_pin = |family, half| (family == Sma) == (half == JackHalf::Plug);
    if !screws(first) {
        return Contact::Mates;
    }
    match (has_pin(first, half), has_pin(second, other_half)) {
        (true, true) => Contact::TwoPins,
        (false, false) => Contact::NoCentre,
        _ => Contact::Mates,
    }
}

/// Family and half of a jack, for [`contact`].
pub fn halves(jack: &Jack) -> (Option<JackFamily>, Option<JackHalf>) {
    (word(&jack.family), word(&jack.half))
}

/// The same for a ground station and for the antenna on it.
pub fn station_halves(station: &GroundStation) -> [(Option<JackFamily>, Option<JackHalf>); 2] {
    let family = word(&station.family);
    let antenna = word(&station.antenna_family).or(family);
    [
        (family, word(&station.half)),
        (antenna, word(&station.antenna_half)),
    ]
}

/// What two antennas of a link lose by how their fields turn \[dB\]; none where they turn alike.
pub fn hand_loss_db(one: Hand, other: Hand) -> Option<f64> {
    match (one, other) {
        (one, other) if one == other => None,
        (Hand::Linear, _) | (_, Hand::Linear) => Some(CIRCULAR_LINEAR_DB),
        _ => Some(OPPOSITE_HAND_DB),
    }
}

fn word<T: Copy>(stated: &Option<Stated<T>>) -> Option<T> {
    stated.as_ref().map(|stated| stated.value)
}

#[cfg(test)]
mod tests {
    use super::*;
    use JackFamily::{Mmcx, ReverseSma, Sma, Snap};
    use JackHalf::{Plug, Socket};

    // IEC 61169-15 (SMA): the pin is in the plug, which has the nut. The reverse family swaps the pin and
    // keeps the threads; practice notes say that an unlike pair screws together with no centre contact.
    #[test]
    fn checked_unlike_screw_families_mate_without_contact() {
        let of = |one, other| contact((Some(one), Some(Plug)), (Some(other), Some(Socket)));
        assert_eq!(of(Sma, Sma), Contact::Mates);
        assert_eq!(of(ReverseSma, ReverseSma), Contact::Mates);
        assert_eq!(of(ReverseSma, Sma), Contact::NoCentre);
        assert_eq!(of(Sma, ReverseSma), Contact::TwoPins);
        assert_eq!(of(Mmcx, Snap), Contact::DoesNotMate);
        let plugs = contact((Some(Sma), Some(Plug)), (Some(Sma), Some(Plug)));
        assert_eq!(plugs, Contact::DoesNotMate);
        assert_eq!(
            contact((Some(Sma), None), (Some(Sma), Some(Plug))),
            Contact::Unknown
        );
    }

    // A linear field is the sum of two circular ones of half its power each: 10·log10(2) = 3.01 dB.
    #[test]
    fn validated_circular_to_linear_loses_half() {
        let loss = hand_loss_db(Hand::Left, Hand::Linear).unwrap();
        assert!((loss - 10.0 * 2f64.log10()).abs() < 0.02);
        assert_eq!(hand_loss_db(Hand::Left, Hand::Right), Some(20.0));
        assert_eq!(hand_loss_db(Hand::Left, Hand::Left), None);
    }
}
