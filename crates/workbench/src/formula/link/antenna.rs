//! Antennas: what they radiate where, how a turned craft is seen, what polarisations and impedances lose.

use super::super::lists::exactly;
use super::super::{
    Answer, Fault, Formula, Key, Outputs, Standing, Values, key, number, output, refuse, word,
    words,
};
use super::decibels;
use ::link::antenna::{
    Attitude, Mounted, Pattern, Sight, between, directional_beamwidth_rad, directional_exponent,
    mismatch_loss_db, return_loss_db,
};
use ::link::polarisation::{Hand, Hands, Loss, loss_db, over_all_tilts};
use quantity::{Angle, Ratio};

const PATTERN: &str = "`dipole`, `short-dipole`, `crossed-dipole:HAND`, `ring:HAND`, `patch:GAIN:linear`, `patch:GAIN:HAND:AXIAL RATIO` or \
                       `isotropic`; HAND is right or left, of a crossed dipole the one along its axis";

const fn antenna(name: &'static str, what: &'static str) -> Key {
    words(name, PATTERN, what)
}

const fn turn(name: &'static str, what: &'static str) -> Key {
    key::<Angle>(name, "°", what).or("0 °")
}

const fn axial_ratio(name: &'static str, what: &'static str) -> Key {
    words(name, "`2 dB`, or `linear`", what)
}

pub(in super::super) const FORMULAS: &[Formula] = &[
    Formula {
        name: "antenna-pattern",
        purpose: "gain, axial ratio and hand of an antenna in a direction",
        keys: &[
            antenna("antenna", "the antenna"),
            key::<Angle>(
                "angle",
                "°",
                "from its axis; of a patch from the way it looks",
            )
            .between(0.0, 180.0),
        ],
        source: "half-wave dipole 2.151 + 20·log10|cos(π/2·cos θ)/sin θ|, patch G₀ + 10·n·log10 cos θ with G₀ = 2(n + 1), Balanis, Antenna \
                 Theory; crossed dipoles and ring of four 40° tilted wires: method of moments at 5.8 GHz",
        range: "free space, even around the axis; frame, battery and camera come on top; no less than −30 dBi, 15 dB below the peak behind a patch",
        standing: Standing::Outside(
            "a method-of-moments program, dipole within 0.1 dB from 15° of its axis on",
        ),
        example: "antenna-pattern antenna=patch:8dBi:right:2dB angle=60°",
        compute: antenna_pattern,
    },
    Formula {
        name: "antenna-attitude",
        purpose: "what a turned craft's antenna and one on the ground have for each other",
        keys: &[
            turn("yaw", "nose to the right of north"),
            turn("pitch", "nose up; nose down is below zero"),
            turn("roll", "right side down"),
            words(
                "axis",
                "`forward,right,down`",
                "axis of the craft's antenna; 0,0,-1 is up",
            )
            .or("0,0,-1"),
            words(
                "position",
                "`north,east,down` in m",
                "where the craft is; up is below zero",
            ),
            words(
                "ground",
                "`north,east,down` in m",
                "where the ground antenna is",
            )
            .or("0,0,-1.5"),
            words(
                "ground_axis",
                "`north,east,down`",
                "axis of the ground antenna",
            )
            .or("0,0,-1"),
            antenna("antenna", "on the craft").or("dipole"),
            antenna("ground_antenna", "on the ground").or("dipole"),
        ],
        source: "R = Rz(yaw)·Ry(pitch)·Rx(roll); axes seen along the ray; polarisation ellipses as in polarisation-loss",
        range: "free space, no frame in the way; loss_db is of the power averaged over the tilts that can be where a tilt is not known; nulls are \
                filled to −30 dBi and 30 dB",
        standing: Standing::Equation("twelve attitudes worked out elsewhere, within 0.001 dB"),
        example: "antenna-attitude yaw=30° pitch=-20° roll=40° position=80,60,-25",
        compute: antenna_attitude,
    },
    Formula {
        name: "polarisation-loss",
        purpose: "what is lost between two polarisations",
        keys: &[
            axial_ratio("ar1", "axial ratio of one antenna"),
            axial_ratio("ar2", "axial ratio of the other"),
            word(
                "hand",
                &[&["same"], &["opposite", "other"]],
                "whether both turn the same way; of lines it means nothing",
            )
            .or("same"),
            key::<Angle>(
                "tilt",
                "°",
                "between the long axes; all tilts where it is left out",
            )
            .optional(),
        ],
        source: "η = ½ + [4R₁R₂ + (R₁² − 1)(R₂² − 1)·cos 2δ]/[2(R₁² + 1)(R₂² + 1)]; IEEE Std 145; Balanis, Antenna Theory",
        range: "one direct ray; each bounce from metal or steep ground changes the hand, and echoes fill what is lost beyond 20 to 30 dB",
        standing: Standing::Equation(
            "eighty pairs worked out elsewhere, within the printed digits",
        ),
        example: "polarisation-loss ar1=3dB ar2=3dB hand=opposite tilt=0°",
        compute: polarisation_loss,
    },
    Formula {
        name: "mismatch-loss",
        purpose: "what an antenna that is not matched sends back",
        keys: &[key::<Ratio>("vswr", "", "voltage standing wave ratio").between(1.0, 1e4)],
        source: "|Γ| = (S − 1)/(S + 1), loss −10·log10(1 − |Γ|²)",
        range: "a matched source; losses of the antenna itself come on top",
        standing: Standing::Equation("ten ratios worked out elsewhere, within the printed digits"),
        example: "mismatch-loss vswr=2",
        compute: mismatch_loss,
    },
];

fn antenna_pattern(values: &Values, notes: &mut Vec<String>) -> Outputs {
    let pattern = pattern(values, "antenna", notes)?;
    let ray = pattern.toward(values.get::<Angle>("angle").in_radians());
    let mut outputs = vec![
        number("gain_dbi", ray.gain_dbi, "dBi"),
        number("peak_dbi", pattern.peak_dbi(), "dBi"),
    ];
    if ray.axial_ratio_db.is_finite() {
        outputs.push(number("axial_ratio_db", ray.axial_ratio_db, "dB"));
        outputs.push(output("hand", Answer::Word(spelled(ray.hand)), ""));
    } else {
        outputs.push(output("polarisation", Answer::Word("linear"), ""));
    }
    if let Pattern::Directional { gain_dbi, .. } = pattern {
        let beamwidth = directional_beamwidth_rad(gain_dbi).to_degrees();
        outputs.push(number("exponent", directional_exponent(gain_dbi), ""));
        outputs.push(number("beamwidth_deg", beamwidth, "°"));
    }
    Ok(outputs)
}

fn spelled(hand: Hand) -> &'static str {
    match hand {
        Hand::Right => "right",
        Hand::Left => "left",
    }
}

fn antenna_attitude(values: &Values, notes: &mut Vec<String>) -> Outputs {
    let mounted = |antenna: &str, axis: &str, notes: &mut Vec<String>| {
        Ok::<_, Vec<Fault>>(Mounted {
            pattern: pattern(values, antenna, notes)?,
            axis: vector(values, axis)?,
            field: None,
        })
    };
    let craft = mounted("antenna", "axis", notes)?;
    let ground = mounted("ground_antenna", "ground_axis", notes)?;
    let radians = |key: &str| values.get::<Angle>(key).in_radians();
    let attitude = Attitude {
        roll_rad: radians("roll"),
        pitch_rad: radians("pitch"),
        yaw_rad: radians("yaw"),
    };
    let (position, station) = (vector(values, "position")?, vector(values, "ground")?);
    let seen = between(&craft, attitude, position, &ground, station).ok_or_else(|| {
        refuse("both antennas are in one place, too far to tell, or an axis has no length")
    })?;
    Ok(sight(&seen, notes))
}

fn sight(seen: &Sight, notes: &mut Vec<String>) -> Vec<super::super::Output> {
    let mut outputs = vec![
        number("range_m", seen.range_m, "m"),
        number("theta_craft_deg", seen.theta_craft_rad.to_degrees(), "°"),
        number("theta_ground_deg", seen.theta_ground_rad.to_degrees(), "°"),
        number("gain_craft_dbi", seen.craft.gain_dbi, "dBi"),
        number("gain_ground_dbi", seen.ground.gain_dbi, "dBi"),
    ];
    outputs.extend(
        seen.chi_rad
            .map(|chi| number("chi_deg", chi.to_degrees(), "°")),
    );
    let Loss {
        best_db,
        mean_db,
        worst_db,
    } = seen.polarisation;
    outputs.push(number("loss_db", mean_db, "dB"));
    if best_db < worst_db {
        notes.push(
            "a tilt is not known: loss_db is of the power averaged over all of them".to_owned(),
        );
        outputs.push(number("best_loss_db", best_db, "dB"));
        outputs.push(number("worst_loss_db", worst_db, "dB"));
    }
    outputs.push(number("total_db", seen.gain_db(), "dB"));
    outputs
}

fn polarisation_loss(values: &Values, notes: &mut Vec<String>) -> Outputs {
    let (one, other) = (
        ellipse(values, "ar1", notes)?,
        ellipse(values, "ar2", notes)?,
    );
    let hands = match values.word("hand") {
        Some("opposite") => Hands::Opposite,
        _ => Hands::Same,
    };
    let all = over_all_tilts(one, other, hands);
    let loss = match values.find::<Angle>("tilt") {
        Some(tilt) => loss_db(one, other, hands, tilt.in_radians()),
        None => {
            notes.push(
                "no tilt is given: loss_db is of the power averaged over all of them".to_owned(),
            );
            all.mean_db
        }
    };
    if loss.is_infinite() {
        return Err(refuse(
            "nothing gets across between these two; only echoes would",
        ));
    }
    let mut outputs = vec![
        number("loss_db", loss, "dB"),
        number("best_db", all.best_db, "dB"),
        number("mean_db", all.mean_db, "dB"),
    ];
    if all.worst_db.is_finite() {
        outputs.push(number("worst_db", all.worst_db, "dB"));
    } else {
        notes.push("at the worst tilt nothing gets across: worst_db has no end".to_owned());
    }
    Ok(outputs)
}

fn mismatch_loss(values: &Values, _: &mut Vec<String>) -> Outputs {
    let ratio = values.plain("vswr");
    let mut outputs = vec![number("loss_db", mismatch_loss_db(ratio), "dB")];
    let return_loss_db = return_loss_db(ratio);
    if return_loss_db.is_finite() {
        outputs.push(number("return_loss_db", return_loss_db, "dB"));
    }
    Ok(outputs)
}

/// An axial ratio, infinite for a line.
fn ellipse(values: &Values, key: &str, notes: &mut Vec<String>) -> Result<f64, Vec<Fault>> {
    axial_ratio_db(key, values.text(key).unwrap_or_default(), notes)
}

fn axial_ratio_db(key: &str, text: &str, notes: &mut Vec<String>) -> Result<f64, Vec<Fault>> {
    match text.to_lowercase().as_str() {
        "linear" | "inf" => return Ok(f64::INFINITY),
        "circular" => return Ok(0.0),
        _ => (),
    }
    let ratio_db = decibels(key, text, notes)?;
    if ratio_db < 0.0 {
        return Err(refuse(format!(
            "`{key}`: an axial ratio is zero or more; the hand is said apart"
        )));
    }
    Ok(ratio_db)
}

/// How far a patch's back is below its front where nothing else is known; common practice.
const BACK_DB: f64 = 15.0;

fn pattern(values: &Values, key: &str, notes: &mut Vec<String>) -> Result<Pattern, Vec<Fault>> {
    let text = values.text(key).unwrap_or_default();
    let pieces: Vec<&str> = text.split(':').map(str::trim).collect();
    let unknown = || refuse(format!("`{key}={text}`: write {PATTERN}"));
    let hand = |word: &str| match word {
        "right" => Ok(Hand::Right),
        "left" => Ok(Hand::Left),
        _ => Err(unknown()),
    };
    Ok(match pieces[..] {
        ["dipole"] => Pattern::Dipole,
        ["short-dipole"] => Pattern::ShortDipole,
        ["isotropic"] => Pattern::Isotropic {
            axial_ratio_db: 0.0,
            hand: Hand::Right,
        },
        ["crossed-dipole", front] => Pattern::CrossedDipole {
            front: hand(front)?,
        },
        ["ring", turning] => Pattern::Ring {
            hand: hand(turning)?,
        },
        ["patch", gain, "linear"] => patch(key, gain, f64::INFINITY, Hand::Right, notes)?,
        ["patch", gain, turning] => patch(key, gain, 0.0, hand(turning)?, notes)?,
        ["patch", gain, turning, ratio] => {
            let ratio_db = axial_ratio_db(key, ratio, notes)?;
            patch(key, gain, ratio_db, hand(turning)?, notes)?
        }
        _ => return Err(unknown()),
    })
}

fn patch(
    key: &str,
    gain: &str,
    axial_ratio_db: f64,
    hand: Hand,
    notes: &mut Vec<String>,
) -> Result<Pattern, Vec<Fault>> {
    let gain_dbi = decibels(key, gain, notes)?;
    if !(3.02..=40.0).contains(&gain_dbi) {
        return Err(refuse(format!(
            "`{key}`: a patch that looks one way has more than 3 dBi and less than 40"
        )));
    }
    Ok(Pattern::Directional {
        gain_dbi,
        floor_below_db: BACK_DB,
        axial_ratio_db,
        hand,
    })
}

fn vector(values: &Values, key: &str) -> Result<[f64; 3], Vec<Fault>> {
    exactly::<3>(
        key,
        values.text(key).unwrap_or_default(),
        "three numbers with commas",
    )
}
