//! Radio links: what sends, what listens, and the antennas between.

use super::{Assembler, key};
use crate::input::{Group, Naming, Term};
use crate::model::{AerialModel, LinkLack, LinkModel, ReceiverModel};
use craft::air::{AntennaPattern, GroundAntenna, GroundStation, Radio, RadioWay};
use craft::airframe::Fitted;
use craft::pads::Hand;
use craft::part::Named;
use craft::sheet::{Definite, Figure};
use craft::{Airframe, Part, Stated};
use link::antenna::{Attitude, Mounted, Pattern, Sight};
use quantity::{Basis, Decibels, Doubt, Frequency, Level, Power, Quantity};
use radio::ground::{Bounce, two_ray_band_db};
use radio::{Ground, Path, Polarisation};
use space::Layout;
use std::f64::consts::TAU;
use wiring::aerial::{Aerials, CONNECTOR_DB, coax_loss_db};

/// Bands this much apart are the same one.
const SAME_BAND: f64 = 0.1;
/// Lost behind frame, pack and wires of a craft in level flight: 3 to 15 dB are quoted for the worst direction. From memory.
const SHADOW: Quantity<Decibels> = Quantity {
    value: Decibels::db(3.0),
    doubt: Doubt::Plain(2.0),
    basis: Basis::Typical,
};
/// A patch or helix behind its front; 15 to 20 dB are common practice.
const FLOOR_BELOW_DB: f64 = 17.0;
/// Axial ratio of a directional antenna for circular fields whose sheet says nothing. From memory.
const USUAL_AXIAL_RATIO_DB: f64 = 3.0;
/// Share of the time a link may fail where nobody says.
const USUAL_OUTAGE: f64 = 0.01;

/// A radio on the craft with the antenna on it.
struct Aboard<'a> {
    /// Position of the part.
    at: usize,
    fitted: &'a Fitted,
    part: &'a Part,
    radio: &'a Named<Radio>,
}

/// What both tables of antennas say.
struct Aerial<'a> {
    pattern: Option<AntennaPattern>,
    gain: Option<&'a Stated<Figure<Decibels>>>,
    axial_ratio: Option<&'a Stated<Definite<Decibels>>>,
    hand: Option<Hand>,
}

impl<'a> Assembler<'a> {
    /// A link for each station that a radio on the craft shares a band with, and what keeps the others from being one.
    pub(super) fn links(&mut self, layout: &Layout) -> (Vec<LinkModel>, Vec<LinkLack>) {
        let airframe = self.airframe;
        let (mut links, mut lacks) = (Vec::new(), Vec::new());
        for station in &airframe.harness.ground_stations {
            let Some(aboard) = self.aboard(station) else {
                continue;
            };
            match self.link(station, &aboard, layout) {
                Ok(link) => links.push(link),
                Err(what) => lacks.push(LinkLack {
                    name: station.name.value.clone(),
                    what,
                    place: station.name.place,
                }),
            }
        }
        (links, lacks)
    }

    fn aboard(&self, station: &Named<GroundStation>) -> Option<Aboard<'a>> {
        let band_hz = hertz(station.facet.frequency.as_ref())?;
        let shares = |radio: &&Named<Radio>| {
            hertz(radio.facet.frequency.as_ref())
                .is_some_and(|hz| (hz / band_hz - 1.0).abs() < SAME_BAND)
        };
        self.airframe.found().find_map(|(at, fitted, part)| {
            let radio = part.radios.iter().find(shares)?;
            Some(Aboard {
                at,
                fitted,
                part,
                radio,
            })
        })
    }

    fn link(
        &mut self,
        station: &'a Named<GroundStation>,
        aboard: &Aboard<'a>,
        layout: &Layout,
    ) -> Result<LinkModel, &'static str> {
        let name = station.name.value.as_str();
        let (radio, ground) = (&aboard.radio.facet, &station.facet);
        let to_craft = !radio.way.is_some_and(|way| way.value == RadioWay::Sends);
        let on_craft = |field: &str| {
            key(
                aboard.fitted,
                aboard.part,
                &format!("{}.{field}", aboard.radio.name.value),
            )
        };
        let is_old = |old: &Airframe| old.harness.ground_stations.contains(station);
        let anew = self.anew(is_old);
        let on_ground = |field: &str| format!("ground.{anew}{name}.{field}");
        let (power, power_key) = match to_craft {
            true => (ground.power.as_ref(), on_ground("power")),
            false => (radio.power.as_ref(), on_craft("power")),
        };
        let power = power.ok_or("the power of what sends")?;
        let power = self.power(power_key, name, power);
        let receiver = match to_craft {
            true => self.receiver(
                &on_craft,
                name,
                (
                    radio.bandwidth.as_ref(),
                    radio.noise_figure.as_ref(),
                    radio.snr_needed.as_ref(),
                    radio.sensitivity.as_ref(),
                ),
            ),
            false => self.receiver(
                &on_ground,
                name,
                (
                    ground.bandwidth.as_ref(),
                    ground.noise_figure.as_ref(),
                    ground.snr_needed.as_ref(),
                    ground.sensitivity.as_ref(),
                ),
            ),
        }?;
        let craft = self.on_craft(name, aboard, layout)?;
        let antennas = &self.airframe.harness.ground_antennas;
        let own = antennas
            .iter()
            .filter(|it| it.facet.station.as_ref().is_some_and(|of| of.value == name));
        let mut branches = Vec::new();
        for antenna in own {
            branches.push(self.on_ground(antenna, ground.hand.map(|hand| hand.value))?);
        }
        if branches.is_empty() {
            return Err("a `[ground_antenna]` on the station");
        }
        let shadow = Naming::new(
            "radio.shadow",
            "shadow of frame and pack on the antenna",
            Group::Radio,
            "dB",
        )
        .reading("the level shown on the ground while the craft is turned in the hand at 30 m")
        .class(self.inputs, SHADOW, "usual for small craft, from memory");
        Ok(LinkModel {
            name: name.to_owned(),
            to_craft,
            frequency_hz: hertz(radio.frequency.as_ref()).ok_or("the radio's frequency")?,
            power,
            level: worst_heading(&craft, &branches),
            craft,
            ground: branches,
            receiver,
            shadow,
            near_ground: near_ground(ground, hertz(radio.frequency.as_ref())),
            distance_m: ground.distance.as_ref().map(|it| it.value.0.in_metres()),
            outage: ground
                .outage
                .as_ref()
                .map_or(USUAL_OUTAGE, |it| it.value.0.in_ones()),
            limit_w: ground
                .radiated_limit
                .as_ref()
                .map(|it| it.value.0.in_watts()),
        })
    }

    /// What tells inputs of a refit from those of the craft, which have the same name: nothing where both are the same.
    fn anew(&self, is_old: impl Fn(&Airframe) -> bool) -> &'static str {
        match self.setting.before {
            Some(before) if !is_old(before) => "refit.",
            _ => "",
        }
    }

    fn power(&mut self, key: String, name: &str, figure: &Stated<Figure<Power>>) -> Term {
        Naming::new(
            key,
            format!("transmitter power of link {name}"),
            Group::Radio,
            "mW",
        )
        .reading("a power meter with an attenuator at the connector")
        .stated(self.inputs, figure)
    }

    #[expect(
        clippy::type_complexity,
        reason = "the four keys that both tables share"
    )]
    fn receiver(
        &mut self,
        key: &dyn Fn(&str) -> String,
        name: &str,
        (bandwidth, noise, snr, sensitivity): (
            Option<&Stated<Definite<Frequency>>>,
            Option<&Stated<Figure<Decibels>>>,
            Option<&Stated<Figure<Decibels>>>,
            Option<&Stated<Figure<Level>>>,
        ),
    ) -> Result<ReceiverModel, &'static str> {
        let walk = "walk away until the link breaks, twice, and write the distance down";
        if let Some(sensitivity) = sensitivity {
            let naming = Naming::new(
                key("sensitivity"),
                format!("least level of link {name}"),
                Group::Radio,
                "dBm",
            );
            return Ok(ReceiverModel::Sensitivity(
                naming.reading(walk).stated(self.inputs, sensitivity),
            ));
        }
        let (Some(bandwidth), Some(noise), Some(snr)) = (hertz(bandwidth), noise, snr) else {
            return Err(
                "the receiver's `sensitivity`, or its `bandwidth`, `noise_figure` and `snr_needed`",
            );
        };
        let noise_figure = Naming::new(
            key("noise_figure"),
            format!("noise figure of link {name}"),
            Group::Radio,
            "dB",
        );
        let snr_needed = Naming::new(
            key("snr_needed"),
            format!("signal over noise that link {name} needs"),
            Group::Radio,
            "dB",
        );
        Ok(ReceiverModel::Noise {
            bandwidth_hz: bandwidth,
            noise_figure: noise_figure.reading(walk).stated(self.inputs, noise),
            snr_needed: snr_needed.reading(walk).stated(self.inputs, snr),
        })
    }

    /// The antenna on the craft and what is lost on the way to it.
    fn on_craft(
        &mut self,
        name: &str,
        aboard: &Aboard<'a>,
        layout: &Layout,
    ) -> Result<AerialModel, &'static str> {
        let airframe = self.airframe;
        let aerials = Aerials::of(airframe);
        let on = |part: usize| airframe.parts.get(part);
        let joint = aerials
            .joints
            .iter()
            .find(|joint| joint.radio.part == aboard.at);
        let at = joint.and_then(|joint| {
            let fitted = on(joint.antenna.part)?;
            let part = fitted.part.as_deref()?;
            Some((
                joint.antenna.part,
                fitted,
                part,
                part.jacks.get(joint.antenna.jack),
            ))
        });
        let own = (aboard.at, aboard.fitted, aboard.part, None);
        let (at, fitted, part, jack) = at.unwrap_or(own);
        let antenna = part
            .antenna
            .as_ref()
            .ok_or("an `[antenna]` on the craft's antenna, or on the radio's own sheet")?;
        let aerial = Aerial {
            pattern: antenna.pattern.map(|it| it.value),
            gain: antenna.gain.as_ref(),
            axial_ratio: antenna.axial_ratio.as_ref(),
            hand: antenna
                .hand
                .or(jack.and_then(|jack| jack.facet.hand))
                .map(|it| it.value),
        };
        let (low, high) = jack
            .and_then(|jack| coax_loss_db(&jack.facet))
            .unwrap_or((0.0, 0.0));
        let joints = f64::from(u8::from(joint.is_some()));
        let (low, high) = (
            low + joints * CONNECTOR_DB.0,
            high + joints * CONNECTOR_DB.1,
        );
        let loss = Quantity {
            value: Decibels::db(0.5 * (low + high)),
            // The span from and to as ninety percent.
            doubt: Doubt::Plain((high - low) / 3.29),
            basis: Basis::Typical,
        };
        let naming = Naming::new(
            key(fitted, part, "coax"),
            format!("coax and connector of link {name}"),
            Group::Radio,
            "dB",
        );
        let cable = match high > 0.0 {
            true => naming.class(self.inputs, loss, "thin coax, from memory"),
            false => Term::Known(0.0),
        };
        let gain_key = key(fitted, part, "antenna.gain");
        self.aerial(gain_key, &fitted.id.value, &aerial, axis(layout, at), cable)
    }

    fn on_ground(
        &mut self,
        antenna: &'a Named<GroundAntenna>,
        hand: Option<Hand>,
    ) -> Result<AerialModel, &'static str> {
        let (name, facet) = (&antenna.name.value, &antenna.facet);
        let aerial = Aerial {
            pattern: facet.pattern.map(|it| it.value),
            gain: facet.gain.as_ref(),
            axial_ratio: facet.axial_ratio.as_ref(),
            hand: facet.hand.map(|it| it.value).or(hand),
        };
        let beside = facet
            .beside
            .as_ref()
            .map_or(0.0, |it| it.value.0.in_radians());
        let axis = match aerial.pattern {
            Some(AntennaPattern::Directional) => [beside.cos(), beside.sin(), 0.0],
            _ => [beside.sin(), 0.0, -beside.cos()],
        };
        let anew = self.anew(|old| old.harness.ground_antennas.contains(antenna));
        let cable = facet.cable_loss.as_ref().map_or(Term::Known(0.0), |loss| {
            let key = format!("ground.antenna.{anew}{name}.cable");
            Naming::new(key, format!("cable of {name}"), Group::Radio, "dB")
                .stated(self.inputs, loss)
        });
        let gain_key = format!("ground.antenna.{anew}{name}.gain");
        self.aerial(gain_key, name, &aerial, axis, cable)
    }

    fn aerial(
        &mut self,
        key: String,
        name: &str,
        aerial: &Aerial<'_>,
        axis: [f64; 3],
        cable: Term,
    ) -> Result<AerialModel, &'static str> {
        let kind = aerial.pattern.ok_or("an antenna's `pattern`")?;
        let hand = match aerial.hand {
            Some(Hand::Left) => link::polarisation::Hand::Left,
            _ => link::polarisation::Hand::Right,
        };
        let is_linear = aerial.hand == Some(Hand::Linear);
        let is_round = matches!(kind, AntennaPattern::CrossedDipole | AntennaPattern::Ring);
        if is_round && aerial.hand.is_none() {
            return Err("the `hand` of an antenna whose field turns");
        }
        let axial_ratio_db = aerial.axial_ratio.map(|it| it.value.0.in_decibels());
        let pattern = match kind {
            AntennaPattern::Dipole => Pattern::Dipole,
            AntennaPattern::CrossedDipole => Pattern::CrossedDipole { front: hand },
            AntennaPattern::Ring => Pattern::Ring { hand },
            AntennaPattern::Directional => Pattern::Directional {
                gain_dbi: aerial
                    .gain
                    .ok_or("the `gain` of a directional antenna")?
                    .quantity
                    .value
                    .in_decibels(),
                floor_below_db: FLOOR_BELOW_DB,
                axial_ratio_db: match is_linear {
                    true => f64::INFINITY,
                    false => axial_ratio_db.unwrap_or(USUAL_AXIAL_RATIO_DB),
                },
                hand,
            },
        };
        let peak_dbi = pattern.peak_dbi();
        let over = |quantity: Quantity<Decibels>| Quantity {
            value: Decibels::db(quantity.value.in_decibels() - peak_dbi),
            ..quantity
        };
        let naming = Naming::new(key, format!("gain of {name}"), Group::Radio, "dB")
            .reading("two equal antennas at a known distance, or a sheet with a measured pattern");
        let over_pattern = match aerial.gain {
            Some(gain) => {
                let figure = Figure {
                    written: Decibels::db(gain.written.in_decibels() - peak_dbi),
                    quantity: over(gain.quantity),
                };
                naming.stated(self.inputs, &Stated::new(figure, gain.place))
            }
            None => naming.class(
                self.inputs,
                over(Quantity {
                    value: Decibels::db(peak_dbi),
                    doubt: Doubt::Plain(1.0),
                    basis: Basis::Typical,
                }),
                "the pattern's own gain",
            ),
        };
        // A linear patch stands with its field upright.
        let field = (kind == AntennaPattern::Directional && is_linear).then_some([0.0, 0.0, -1.0]);
        Ok(AerialModel {
            name: name.to_owned(),
            mounted: Mounted {
                pattern,
                axis,
                field,
            },
            over_pattern,
            cable,
        })
    }
}

/// Where the axis of a part's antenna points on the craft: forward, right, down. Upright where it has no place.
fn axis(layout: &Layout, part: usize) -> [f64; 3] {
    let item = layout.items.iter().find(|item| item.part == part);
    let [x, y, z] = item.map_or([0.0, 0.0, 1.0], |item| {
        item.pose.turn.apply([0.0, 0.0, 1.0])
    });
    [x, -y, -z]
}

/// How the antennas see each other far away in level flight, at the heading at which the best of them has least.
fn worst_heading(craft: &AerialModel, ground: &[AerialModel]) -> Vec<Sight> {
    let headings = (0..HEADINGS).map(|step| TAU * f64::from(step) / f64::from(HEADINGS));
    let seen = headings.map(|yaw_rad| {
        let attitude = Attitude {
            yaw_rad,
            ..Attitude::default()
        };
        crate::air::sights(craft, ground, attitude, [FAR_M, 0.0, 0.0])
    });
    let best_db = |sights: &Vec<Sight>| {
        let gains = sights.iter().map(Sight::gain_db);
        gains.fold(f64::NEG_INFINITY, f64::max)
    };
    let worst = seen.min_by(|one, other| best_db(one).total_cmp(&best_db(other)));
    worst.unwrap_or_default()
}

/// Far enough for heights not to matter \[m\].
const FAR_M: f64 = 1e3;
/// What is lost over flat, medium dry ground at many distances, with the ray that the ground throws back.
fn near_ground(station: &GroundStation, frequency_hz: Option<f64>) -> Option<Vec<(f64, [f64; 2])>> {
    let heights = [station.height.as_ref()?, station.flying_height.as_ref()?];
    let heights_m = heights.map(|it| it.value.0.in_metres());
    let frequency_hz = frequency_hz?;
    let is_linear = station.hand.is_some_and(|hand| hand.value == Hand::Linear);
    let bounce = Bounce::smooth(
        Ground::MediumDry.permittivity(frequency_hz),
        match is_linear {
            true => Polarisation::Vertical,
            false => Polarisation::Circular,
        },
    );
    let at = |step: u32| {
        let distance_m = NEAREST_M * 10_f64.powf(f64::from(step) / f64::from(STEPS_PER_DECADE));
        let path = Path {
            distance_m,
            heights_m,
            frequency_hz,
        };
        (distance_m, two_ray_band_db(&path, &bounce))
    };
    Some((0..=DECADES * STEPS_PER_DECADE).map(at).collect())
}

/// The first distance of those \[m\], how far they go and how close they lie: two percent.
const NEAREST_M: f64 = 2.0;
const DECADES: u32 = 4;
const STEPS_PER_DECADE: u32 = 116;

/// Headings that are looked at.
const HEADINGS: u32 = 24;

fn hertz(frequency: Option<&Stated<Definite<Frequency>>>) -> Option<f64> {
    frequency.map(|it| it.value.0.in_hertz())
}
