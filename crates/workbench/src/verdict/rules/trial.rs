//! A bench on which every rule passes, and edits of it on which one does not.

use crate::assess::{Assessment, Options, assess};
use crate::verdict::Level;
use craft::SourceFile;
use craft::bench::Job;

/// The files of the bench: an open 3-inch craft, everything measured, nothing near a limit.
const FILES: &[(&str, &str)] = &[
    (
        "parts/frame.toml",
        "source = \"measured\"\n[body]\nmass = \"22 g\"\n[frame]\nrotors = 4\nsurround = \"open\"\n\
         diagonal = \"155 mm\"\narm_thickness = \"2.5 mm\"\n\
         [solid.plate]\nshape = \"box\"\nlength = \"110 mm\"\nwidth = \"40 mm\"\nheight = \"2 mm\"\nz = \"-1 mm\"\nmaterial = \"carbon\"\n\
         [holes.boards]\nsquare = \"20 mm\"\nthread = \"M2\"\n[holes.motors]\ncircle = \"12 mm\"\nthread = \"M2\"\n\
         [seat.stack]\nkind = \"posts\"\nz = \"4 mm\"\nheight = \"24 mm\"\nholes = \"boards\"\n\
         [seat.top]\nkind = \"tray\"\nz = \"30 mm\"\n[seat.rear]\nkind = \"flat\"\nx = \"-45 mm\"\n\
         [seat.nose]\nkind = \"cheeks\"\nx = \"50 mm\"\nz = \"16 mm\"\nwidth = \"19 mm\" # cheeks\ntilt = \"0..50 °\"\n",
    ),
    (
        "parts/motor.toml",
        "source = \"measured\"\n[body]\nmass = \"9.3 g\"\n[motor]\ncode = \"1404\"\nkv = \"3200 rpm/V\"\nresistance = \"260 mΩ\"\n\
         no_load_current = \"0.5 A\"\nno_load_volts = \"10 V\"\npeak_current = \"22 A\"\n\
         [holes.base]\ncircle = \"12 mm\"\nthread = \"M2\"\ndepth = \"3.5 mm\"\n",
    ),
    (
        "parts/propeller.toml",
        "source = \"measured\"\n[body]\nmass = \"1.3 g\"\n[propeller]\ndiameter = \"76.2 mm\"\npitch = \"50 mm\"\nblades = 3\n\
         thrust_coefficient = \"0.15\"\npower_coefficient = \"0.092\"\n",
    ),
    (
        "parts/pack.toml",
        "source = \"measured\"\n[body]\nmass = \"78 g\"\n[cells]\nchemistry = \"lipo\"\nseries = 4\ncapacity = \"650 mAh\"\n\
         resistance = \"8.5 mΩ\"\nrate = \"75 C\"\n[plug]\nsize = \"xt60\"\n\
         [solid.pack]\nshape = \"box\"\nlength = \"70 mm\"\nwidth = \"30 mm\"\nheight = \"26 mm\"\nmaterial = \"soft\"\n",
    ),
    (
        "parts/board.toml",
        "source = \"measured\"\n[body]\nmass = \"10 g\"\n[esc]\ncontinuous = \"20 A\"\nburst = \"30 A\"\n[board]\npath_resistance = \"4 mΩ\"\n\
         [lead]\ngauge = \"14 AWG\"\nlength = \"50 mm\"\n[rail.5v]\nkind = \"buck\"\noutput = \"5 V\"\ncontinuous = \"2 A\"\npeak = \"3 A\"\n\
         [input.core]\nvolts = \"4..5.5 V\"\npower = \"0.8 W\"\nloss = \"control\"\nfed_by = \"5v\"\n\
         [port.1]\nhighest_rate = \"1 Mbit/s\"\n[port.2]\nhighest_rate = \"1 Mbit/s\"\n\
         [pad.BAT]\nrole = \"power\"\nof = \"pack\"\n[pad.G0]\nrole = \"ground\"\nof = \"pack\"\n[pad.5V]\nrole = \"power\"\nof = \"5v\"\n\
         [pad.G1]\nrole = \"ground\"\n[pad.T1]\nrole = \"serial-out\"\nof = \"1\"\n[pad.R1]\nrole = \"serial-in\"\nof = \"1\"\n\
         [pad.T2]\nrole = \"serial-out\"\nof = \"2\"\n[pad.R2]\nrole = \"serial-in\"\nof = \"2\"\n\
         [port.m1]\nkind = \"motor-phases\"\n[pad.P1]\nrole = \"phase\"\nof = \"m1\"\n\
         [solid.board]\nshape = \"board\"\nlength = \"30 mm\"\nwidth = \"30 mm\"\nthickness = \"1 mm\"\nabove = \"3 mm\"\nbelow = \"2 mm\"\n\
         [holes.board]\nsquare = \"20 mm\"\nthread = \"M2\"\n\
         [opening.usb]\nkind = \"usb\"\ny = \"15 mm\"\nz = \"1.5 mm\"\nfaces = \"left\" # usb\n",
    ),
    (
        "parts/video.toml",
        "source = \"measured\"\n[body]\nmass = \"14 g\"\n[input.main]\nvolts = \"7..26 V\"\nlock_out = \"6.8 V\"\npower = \"7 W\"\nloss = \"digital-video\"\n\
         [signal.overlay]\nrate = \"115200 bit/s\"\n[pad.V]\nrole = \"power\"\nof = \"main\"\n[pad.G]\nrole = \"ground\"\n\
         [pad.G2]\nrole = \"ground\"\n[pad.TX]\nrole = \"serial-out\"\nof = \"overlay\"\n[pad.RX]\nrole = \"serial-in\"\nof = \"overlay\"\n\
         [jack.air]\nrole = \"radio\"\nfamily = \"sma\"\nhalf = \"socket\"\nfrequency = \"5.8 GHz\"\n\
         [solid.board]\nshape = \"board\"\nlength = \"26 mm\"\nwidth = \"26 mm\"\nabove = \"2.5 mm\"\nbelow = \"1 mm\"\n\
         [holes.board]\nsquare = \"20 mm\"\nthread = \"M2\"\n",
    ),
    (
        "parts/aerial.toml",
        "source = \"measured\"\n[body]\nmass = \"1 g\"\n[jack.feed]\nrole = \"antenna\"\nfamily = \"sma\"\nhalf = \"plug\"\n\
         frequency = \"5.8 GHz\"\nhand = \"right\"\ncoax = \"1.13-mm\"\ncoax_length = \"60 mm\"\n\
         [solid.aerial]\nshape = \"cylinder\"\ndiameter = \"6 mm\"\nheight = \"40 mm\"\nmaterial = \"aerial\"\n",
    ),
    (
        "parts/bulk.toml",
        "source = \"measured\"\n[body]\nmass = \"1 g\"\n[capacitor]\ncapacitance = \"330 µF\"\nvolts = \"35 V\"\nlegs = \"4 mm\"\n\
         [solid.can]\nshape = \"cylinder\"\ndiameter = \"8 mm\"\nheight = \"12 mm\"\n",
    ),
    (
        "parts/receiver.toml",
        "source = \"measured\"\n[body]\nmass = \"1.5 g\"\n[input.power]\nvolts = \"3.5..5.5 V\"\npower = \"0.3 W\"\nloss = \"control\"\n\
         [signal.data]\nrate = \"420 kbit/s\"\nspeaks_first = true\n[pad.V]\nrole = \"power\"\nof = \"power\"\n\
         [pad.G]\nrole = \"ground\"\n[pad.TX]\nrole = \"serial-out\"\nof = \"data\"\n[pad.RX]\nrole = \"serial-in\"\nof = \"data\"\n\
         [solid.board]\nshape = \"box\"\nlength = \"12 mm\"\nwidth = \"10 mm\"\nheight = \"3 mm\"\n",
    ),
    (
        "parts/camera.toml",
        "source = \"measured\"\n[body]\nmass = \"6 g\"\n[view]\nhorizontal = \"120 °\"\nvertical = \"90 °\"\nx = \"12 mm\"\nwidth = \"19 mm\"\n\
         [solid.body]\nshape = \"box\"\nlength = \"19 mm\"\nwidth = \"19 mm\"\nheight = \"19 mm\"\nz = \"0 mm\"\n",
    ),
    (
        "trial.craft.toml",
        "class = \"open-3-inch\"\nweighed = \"180 g\"\n[parts]\nframe = \"frame\"\nmotors = { sheet = \"motor\", count = 4 }\n\
         propellers = { sheet = \"propeller\", count = 4 }\nbattery = \"pack\"\nboard = \"board\"\nvideo = \"video\"\n\
         aerial = \"aerial\"\nbulk = \"bulk\"\nreceiver = \"receiver\"\ncamera = \"camera\"\n\
         [places]\nmotors = { screw = \"M2\", screw_length = \"5 mm\" }\nboard = \"frame.stack\"\nvideo = { above = \"board\", standoff = \"6 mm\" }\n\
         battery = { seat = \"frame.top\", x = \"0 mm\" }\nreceiver = { seat = \"frame.rear\", x = \"-3 mm\", y = \"-8 mm\" }\n\
         bulk = { seat = \"frame.rear\", x = \"9 mm\", y = \"10 mm\" }\naerial = { x = \"-75 mm\", z = \"8 mm\" }\n\
         camera = { seat = \"frame.nose\", tilt = \"25 °\" }\n\
         [rate_loop]\ndelay = \"1.0 ms\"\n[gains.roll]\np = \"0.03\"\ni = \"0.1\"\nd = \"0.0003\"\n\
         [filter.gyro]\nkind = \"butterworth-2\"\nfrequency = \"250 Hz\"\n\
         [filter.d]\nkind = \"first-order\"\nfrequency = \"120 Hz\"\npath = \"derivative\"\n\
         [links]\nreceiver.data = \"board.1\"\n[ground_station.video]\nfrequency = \"5.8 GHz\"\nhand = \"right\"\n\
         [feeds]\nreceiver.power = \"board.5v\"\nvideo.main = { from = \"pack\", gauge = \"26 AWG\", length = \"80 mm\" }\n\
         [needs]\nstyle = \"filming\"\n[conditions]\nair_temperature = \"20 °C\"\npack_temperature = \"28 °C\"\ncold_pack_temperature = \"15 °C\"\n",
    ),
];

/// Edits that give the bench a whole video link: a radio, an antenna with a pattern, a receiver with an antenna.
pub const LINK: [(&str, &str); 3] = [
    (
        "[jack.feed]\nrole = \"antenna\"",
        "[antenna]\npattern = \"ring\"\n[jack.feed]\nrole = \"antenna\"",
    ),
    (
        "[jack.air]",
        "[radio.video]\nway = \"sends\"\nfrequency = \"5.8 GHz\"\npower = \"200 mW\"\n[jack.air]",
    ),
    (
        "[ground_station.video]\nfrequency = \"5.8 GHz\"\nhand = \"right\"\n",
        "[ground_station.video]\nfrequency = \"5.8 GHz\"\nbandwidth = \"18 MHz\"\nnoise_figure = \"6 dB\"\nsnr_needed = \"10 dB\"\n\
         distance = \"100 m\"\nhand = \"right\"\n[ground_antenna.patch]\nstation = \"video\"\npattern = \"directional\"\ngain = \"8 dBi\"\n",
    ),
];

/// The bench with pieces of text replaced.
pub fn assessment(edits: &[(&str, &str)]) -> Assessment {
    let mut files: Vec<SourceFile> = FILES
        .iter()
        .map(|(path, text)| SourceFile {
            path: (*path).to_owned(),
            text: (*text).to_owned(),
        })
        .collect();
    for (from, to) in edits {
        let file = files
            .iter_mut()
            .find(|file| file.text.contains(from))
            .expect("an edit changes the bench");
        file.text = file.text.replacen(from, to, 1);
    }
    let (bench, _) = store::text::read(files);
    assess(
        &Job {
            craft: &bench.craft[0],
            refit: None,
        },
        Options::default(),
    )
}

/// Asserts the level of one finding on the edited bench.
#[track_caller]
pub fn check(edits: &[(&str, &str)], id: &str, level: Level) {
    let assessment = assessment(edits);
    let found = assessment.findings.iter().find(|finding| finding.id == id);
    let found = found.unwrap_or_else(|| panic!("no finding {id} among {:?}", ids(&assessment)));
    assert_eq!(found.level, level, "{id}: {:?}", found.claim);
}

fn ids(assessment: &Assessment) -> Vec<String> {
    assessment
        .findings
        .iter()
        .map(|finding| finding.id.clone())
        .collect()
}

#[test]
fn checked_every_rule_passes_on_the_trial_bench() {
    let assessment = assessment(&[]);
    let failing: Vec<_> = assessment
        .findings
        .iter()
        .filter(|finding| finding.level != Level::Pass)
        .map(|finding| (&finding.id, finding.level, &finding.claim))
        .collect();
    assert!(failing.is_empty(), "{failing:#?}");
}
