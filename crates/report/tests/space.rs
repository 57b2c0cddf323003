//! The drawings and the text of the demos' spaces.

use std::path::Path;
use workbench::assess::{Assessment, Options, assess};

const DEMOS: [&str; 4] = ["loft-75", "hedge-3", "hull-85", "reed-gps"];

fn with_demo(demo: &str, look: impl FnOnce(&craft::Bench, &Assessment)) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../benches")
        .join(demo);
    let files = store::disk::read_folder(&folder).expect("the demo is there");
    let (bench, _) = store::text::read(files);
    let job = bench.refit_job(demo).expect("the demo has a refit");
    let options = Options {
        draws: 64,
        settle: false,
        ..Options::default()
    };
    look(&bench, &assess(&job, options));
}

#[test]
fn checked_the_views_are_well_formed_and_name_every_placed_part() {
    for demo in DEMOS {
        with_demo(demo, |_, assessment| {
            let svg = report::space::drawn::views(assessment);
            let tree = roxmltree::Document::parse(&svg).expect("well-formed XML");
            let texts = tree.descendants().filter(|node| node.has_tag_name("text"));
            let words: Vec<&str> = texts.filter_map(|node| node.text()).collect();
            let state = &assessment.judged;
            for item in &state.space.layout.items {
                let id = state.airframe.parts[item.part].id.value.as_str();
                let named = words.iter().filter(|word| **word == id).count();
                // Once in each of the three views.
                assert_eq!(
                    named,
                    if item.pieces.is_empty() { 0 } else { 3 },
                    "{demo} {id}"
                );
            }
            let across = |value: &str| value.split(['-', ' ']).next().map(str::to_owned);
            for node in tree.descendants().filter(|node| node.has_tag_name("text")) {
                let at = |key: &str| {
                    node.attribute(key)
                        .and_then(across)
                        .and_then(|x| x.parse::<f64>().ok())
                };
                assert!(
                    at("x").is_some_and(|x| (0.0..210.0).contains(&x)),
                    "{demo} {node:?}"
                );
                assert!(
                    at("y").is_some_and(|y| (0.0..297.0).contains(&y)),
                    "{demo} {node:?}"
                );
            }
        });
    }
}

#[test]
fn checked_a_craft_without_places_is_drawn_as_far_as_it_is_known() {
    let part = |path: &str, text: &str| craft::SourceFile {
        path: path.into(),
        text: text.into(),
    };
    let (bench, _) = store::text::read(vec![
        part(
            "parts/f.toml",
            "[body]\nmass = \"9 g\"\n[frame]\nrotors = 4\n",
        ),
        part("x.craft.toml", "[parts]\nframe = \"f\"\n"),
    ]);
    let job = craft::bench::Job {
        craft: &bench.craft[0],
        refit: None,
    };
    let assessment = assess(&job, Options::default());
    let svg = report::space::drawn::views(&assessment);
    assert!(roxmltree::Document::parse(&svg).is_ok());
    assert!(report::space::drawn::stack(&assessment).is_none());
    assert!(report::space::text(&bench, &assessment, 80).contains("1 of 1 parts have a place"));
}

#[test]
fn checked_the_text_fits_a_phone_and_the_json_says_the_same() {
    with_demo("hedge-3", |bench, assessment| {
        let text = report::space::text(bench, assessment, 44);
        let value = report::space::value(bench, assessment);
        assert_eq!(value["without_place"][0], "gps");
        assert!(text.contains("Places where gps would fit"));
        let offers = value["offers"][0]["places"].as_array().map_or(0, Vec::len);
        assert!(offers > 0);
        let cg = &value["outcomes"]["cg.x_mm"]["after"]["p50"];
        assert!(cg.as_f64().is_some_and(|x| x.abs() < 10.0), "{cg}");
        assert_eq!(value["axes"][0]["axis"], "roll");
    });
}
