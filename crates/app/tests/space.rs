//! `fitout space` from outside, on the demo benches and on a bench with a mesh.

#![expect(
    clippy::disallowed_methods,
    reason = "a test makes and removes its own files"
)]

use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn fitout(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_fitout"))
        .args(arguments)
        .output()
        .expect("the program runs")
}

fn demo(name: &str) -> String {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"))
        .ancestors()
        .nth(2)
        .expect("the checkout");
    root.join("benches").join(name).display().to_string()
}

/// A folder that goes with the test.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("fitout-space-{name}-{}", std::process::id()));
        std::fs::create_dir_all(path.join("parts")).expect("a folder");
        Self(path)
    }

    fn write(&self, file: &str, bytes: impl AsRef<[u8]>) {
        std::fs::write(self.0.join(file), bytes).expect("a file");
    }

    fn file(&self, name: &str) -> String {
        self.0.join(name).display().to_string()
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _gone = std::fs::remove_dir_all(&self.0);
    }
}

fn json(arguments: &[&str]) -> (Option<i32>, Value) {
    let output = fitout(&[&["space", "--json"], arguments].concat());
    let value = serde_json::from_slice(&output.stdout).expect("JSON");
    (output.status.code(), value)
}

#[test]
fn checked_a_demo_tells_its_gap_its_balance_and_draws_itself() {
    let folder = Folder::new("demo");
    let (views, stack) = (folder.file("views.svg"), folder.file("stack.png"));
    let output = fitout(&[
        "space",
        &demo("hull-85"),
        "--drawing",
        &views,
        "--stack",
        &stack,
    ]);
    let text = String::from_utf8_lossy(&output.stdout);
    assert_eq!(output.status.code(), Some(0), "{text}");
    for words in [
        "Air between solids",
        "canopy and digital",
        "Balance",
        "to keep the crossover",
        "cover off",
    ] {
        assert!(text.contains(words), "{words}: {text}");
    }
    let drawn = std::fs::read_to_string(&views).expect("the views");
    assert!(drawn.starts_with("<svg") && drawn.contains("from the front"));
    let png = std::fs::read(&stack).expect("the stack");
    assert!(png.starts_with(b"\x89PNG"));
    let refused = fitout(&[
        "space",
        &demo("hull-85"),
        "--drawing",
        &folder.file("views.pdf"),
    ]);
    assert_eq!(refused.status.code(), Some(2));
}

#[test]
fn checked_json_gives_places_pairs_axes_and_offers() {
    let (code, value) = json(&[&demo("hedge-3")]);
    assert_eq!(code, Some(0));
    assert_eq!(value["without_place"], serde_json::json!(["gps"]));
    assert!(
        value["clearances"]
            .as_array()
            .is_some_and(|pairs| pairs.len() > 20)
    );
    let factor = &value["axes"][1]["factor"];
    let [low, high] = ["p05", "p95"].map(|key| factor[key].as_f64().unwrap_or(f64::NAN));
    assert!(low < high && low > 0.7 && high < 1.5, "{factor}");
    assert!(
        value["offers"][0]["places"]
            .as_array()
            .is_some_and(|places| !places.is_empty())
    );
    assert_eq!(
        value["findings"]
            .as_array()
            .map(|all| all.iter().any(|it| it["id"] == "place-missing.gps")),
        Some(true)
    );
}

/// Written into the file, each offered place gives the part all the air it wants and the balance that was told.
#[test]
fn checked_an_offered_place_keeps_what_it_promises() {
    let (_, value) = json(&[&demo("hedge-3")]);
    let places = value["offers"][0]["places"].as_array().expect("places");
    assert!(places.len() > 4, "{}", places.len());
    for (at, place) in places.iter().enumerate() {
        let folder = Folder::new(&format!("offered-{at}"));
        for file in std::fs::read_dir(demo("hedge-3")).expect("a bench") {
            let file = file.expect("a file").path();
            if file.is_file() {
                let text = std::fs::read_to_string(&file).expect("text");
                let written = format!(
                    "[places]\ngps = {}\n",
                    place["write"].as_str().expect("words")
                );
                let name = file.file_name().expect("a name").to_string_lossy();
                let text = match name.ends_with(".refit.toml") {
                    true => text.replace("[places]\n", &written),
                    false => text,
                };
                folder.write(&name, text);
            }
        }
        for file in std::fs::read_dir(format!("{}/parts", demo("hedge-3"))).expect("sheets") {
            let file = file.expect("a file").path();
            let name = file.file_name().expect("a name").to_string_lossy();
            folder.write(
                &format!("parts/{name}"),
                std::fs::read(&file).expect("text"),
            );
        }
        let (_, value) = json(&[&folder.file("")]);
        assert_eq!(value["without_place"], serde_json::json!([]), "{place}");
        let pairs = value["clearances"].as_array().expect("pairs");
        let own = pairs.iter().filter(|pair| {
            let names = pair["between"].as_array().expect("two");
            names
                .iter()
                .any(|name| name.as_str().is_some_and(|name| name.ends_with("gps")))
        });
        let short: Vec<&Value> = own
            .filter(|pair| {
                let [air, wanted] =
                    ["air_mm", "wanted_mm"].map(|key| pair[key].as_f64().expect("mm"));
                air < wanted - 1e-6
            })
            .collect();
        assert!(short.is_empty(), "{place} {short:?}");
        let cg = ["cg.x_mm", "cg.y_mm"].map(|key| value["outcomes"][key]["after"]["p50"].as_f64());
        for (axis, cg) in cg.into_iter().enumerate() {
            let told = place["balance_mm"][axis].as_f64().expect("mm");
            assert!((cg.expect("mm") - told).abs() < 0.3, "{place} {cg:?}");
        }
    }
}

/// A box of 20 mm as an STL file with text, its last facet left out where `is_open`.
fn cube(is_open: bool) -> String {
    let corner = |at: usize| [0, 1, 2].map(|axis| if at >> axis & 1 == 0 { -10.0 } else { 10.0 });
    let faces = [
        [0, 2, 3, 1],
        [4, 5, 7, 6],
        [0, 1, 5, 4],
        [2, 6, 7, 3],
        [0, 4, 6, 2],
        [1, 3, 7, 5],
    ];
    let mut triangles: Vec<[usize; 3]> = faces
        .iter()
        .flat_map(|[a, b, c, d]| [[*a, *b, *c], [*a, *c, *d]])
        .collect();
    if is_open {
        triangles.pop();
    }
    let mut text = "solid cube\n".to_owned();
    for triangle in triangles {
        text.push_str("facet normal 0 0 0\nouter loop\n");
        for at in triangle {
            let [x, y, z]: [f64; 3] = corner(at);
            text.push_str(&format!("vertex {x} {y} {z}\n"));
        }
        text.push_str("endloop\nendfacet\n");
    }
    text + "endsolid cube\n"
}

fn bench_with_mesh(name: &str, stl: &[u8]) -> Folder {
    let folder = Folder::new(name);
    folder.write("parts/frame.toml", "[body]\nmass = \"20 g\"\n[frame]\nrotors = 4\ndiagonal = \"150 mm\"\n[solid.plate]\nshape = \"box\"\nlength = \"60 mm\"\nwidth = \"40 mm\"\nheight = \"2 mm\"\nz = \"-1 mm\"\n");
    folder.write(
        "parts/lump.toml",
        "[body]\nmass = \"10 g\"\n[solid.lump]\nshape = \"mesh\"\nmesh = \"lump.stl\"\n",
    );
    folder.write("x.craft.toml", "[parts]\nframe = \"frame\"\nlump = \"lump\"\n[places]\nlump = { x = \"0 mm\", y = \"0 mm\", z = \"15 mm\" }\n");
    folder.write("lump.stl", stl);
    folder
}

#[test]
fn checked_a_mesh_is_a_solid_among_others() {
    let folder = bench_with_mesh("mesh", cube(false).as_bytes());
    let (_, value) = json(&[&folder.file("x.craft.toml")]);
    assert_eq!(value["diagnostics"], serde_json::json!([]));
    let pair = &value["clearances"][0];
    // From 15 − 10 mm down to the top of the plate.
    assert!(
        (pair["air_mm"].as_f64().unwrap_or(f64::NAN) - 5.0).abs() < 1e-6,
        "{pair}"
    );
}

#[test]
fn checked_meshes_that_are_none_are_told_at_their_place() {
    let told = |name: &str, stl: &[u8]| {
        let folder = bench_with_mesh(name, stl);
        let (_, value) = json(&[&folder.file("x.craft.toml")]);
        value["diagnostics"][0]["id"].as_str().map(str::to_owned)
    };
    assert_eq!(told("empty", b"").as_deref(), Some("mesh-unreadable"));
    assert_eq!(
        told("broken", b"solid x\nfacet normal 0 0\n").as_deref(),
        Some("mesh-unreadable")
    );
    assert_eq!(told("noise", &[7; 300]).as_deref(), Some("mesh-unreadable"));
    assert_eq!(
        told("open", cube(true).as_bytes()).as_deref(),
        Some("mesh-open")
    );
    let inside_out = cube(false).replace("vertex", "v");
    assert_eq!(
        told("words", inside_out.as_bytes()).as_deref(),
        Some("mesh-unreadable")
    );
}
