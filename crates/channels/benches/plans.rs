//! How long the best plan takes, and the proof that there is none.

use channels::{Answer, Band, Craft, Question, Tuning, plan};
use divan::{Bencher, black_box};

fn main() {
    divan::main();
}

/// Forty channels in five runs of eight, as receivers have them.
const FORTY: [u32; 40] = [
    5865, 5845, 5825, 5805, 5785, 5765, 5745, 5725, 5733, 5752, 5771, 5790, 5809, 5828, 5847, 5866,
    5705, 5685, 5665, 5645, 5885, 5905, 5925, 5945, 5740, 5760, 5780, 5800, 5820, 5840, 5860, 5880,
    5658, 5695, 5732, 5769, 5806, 5843, 5881, 5917,
];

fn forty(count: usize, spacing: u32) -> Question {
    let channels = FORTY.map(|mhz| 1000 * mhz);
    Question {
        crafts: vec![Craft::tuning(Tuning::channels(&channels)); count],
        spacing_khz: 1000 * spacing,
        ..Question::default()
    }
}

/// Eight of forty, at the spacing that leaves many choices and at the one that leaves few.
#[divan::bench(args = [10, 20, 30, 37])]
fn eight_of_forty(bencher: Bencher, spacing: u32) {
    proved(bencher, &forty(8, spacing));
}

/// On a dial of 5 MHz that reaches over 300 MHz.
#[divan::bench(args = [4, 5, 6, 7])]
fn on_a_dial(bencher: Bencher, count: usize) {
    let question = Question {
        crafts: vec![Craft::tuning(Tuning::dial(5_645_000, 5_945_000, 5_000)); count],
        ..forty(count, 20)
    };
    proved(bencher, &question);
}

/// Two on the air already.
#[divan::bench]
fn six_beside_two(bencher: Bencher) {
    let question = Question {
        taken_khz: vec![5_732_000, 5_843_000],
        ..forty(6, 20)
    };
    proved(bencher, &question);
}

/// Eight craft of four sorts, none of which can tune what the others can.
#[divan::bench(args = [20, 30])]
fn eight_that_differ(bencher: Bencher, spacing: u32) {
    let mut question = forty(8, spacing);
    for (at, craft) in question.crafts.iter_mut().enumerate() {
        let run = at % 4;
        let channels: Vec<u32> = FORTY[8 * run..8 * run + 16]
            .iter()
            .map(|mhz| 1000 * mhz)
            .collect();
        *craft = Craft::tuning(Tuning::channels(&channels));
    }
    proved(bencher, &question);
}

/// One more than fit: by counting, and by trying everything.
#[divan::bench(args = [0, 1])]
fn impossible(bencher: Bencher, kind: usize) {
    let mut question = forty(8, 37);
    question.bands = vec![Band {
        from_khz: 5_650_000,
        to_khz: 5_925_000,
    }];
    if kind == 1 {
        // Every company of craft has channels enough, but never at once.
        for (at, craft) in question.crafts.iter_mut().enumerate() {
            let channels: Vec<u32> = FORTY
                .iter()
                .skip(at)
                .step_by(2)
                .map(|mhz| 1000 * mhz)
                .collect();
            *craft = Craft::tuning(Tuning::channels(&channels));
        }
    }
    bencher.bench(|| plan(black_box(&question)));
}

fn proved(bencher: Bencher, question: &Question) {
    let answer = plan(question);
    assert!(
        matches!(&answer, Ok(Answer::Plan(plan)) if plan.proved_best),
        "{answer:?}"
    );
    bencher.bench(|| plan(black_box(question)));
}
