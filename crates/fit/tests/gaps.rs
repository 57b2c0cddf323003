//! Distances of random solids against planes that separate them.
//!
//! Two points, one on each convex solid, bound their distance from above. A plane across the line between them, pushed against each solid,
//! bounds it from below. Where the two bounds meet, the distance is proved, whoever found the points. The projections and reaches here are
//! written out in this file and share nothing with the library.

use std::f64::consts::PI;
use std::sync::Arc;

use fit::{Gap, Mesh, Pose, Solid, Turn, Unit, air_within_m, distance, distance_m};

/// How far apart the bounds may be \[mm\]. The plane's tilt follows the points' error times the size over the distance, so that points good
/// to 1e-9 mm on solids of 40 mm that are 0.01 mm apart leave 4e-6; the worst of these pairs is 1.5e-7.
const BOUNDS_MM: f64 = 1e-5;
/// How far outside its solid a point may lie \[mm\]: rounding of turns and back.
const ON_MM: f64 = 1e-9;
const PAIRS: usize = 10_000;

#[test]
fn checked_ten_thousand_pairs_separating_planes() {
    let mut random = Random(1);
    let (mut apart, mut deep, mut shallow) = (0, 0, 0);
    let mut worst = 0.0_f64;
    for pair in 0..PAIRS {
        let (a, b) = (Convex::any(&mut random), Convex::any(&mut random));
        let found = distance(&a.solid(), &b.solid());
        let told = format!("pair {pair}: {a:?} {b:?} {found:?}");
        let alone_m = distance_m(&a.solid(), &b.solid());
        assert!(
            (alone_m - found.distance_m).abs() < 1e-6,
            "{alone_m} {told}"
        );
        let [p, q] = found.nearest_m.map(|point| point.map(|x| 1e3 * x));
        if found.distance_m > 0.0 {
            apart += 1;
            let d = 1e3 * found.distance_m;
            assert!(a.outside(p) < ON_MM && b.outside(q) < ON_MM, "{told}");
            assert!((length(sub(q, p)) - d).abs() < 1e-9, "{told}");
            let between = d - at_least(&a, &b, p, q);
            worst = worst.max(between);
            assert!(between < BOUNDS_MM, "{between} {told}");
        } else {
            // One point of both: the projections walk into the overlap from between the two points.
            let meet = walk(&a, &b, scaled(add(p, q), 0.5));
            assert!(meet < 1e-4, "{meet} {told}");
            if found.distance_m < 0.0 {
                deep += 1;
                no_shorter_way_out(&a, &b, &found, &mut random, &told);
            } else {
                shallow += 1;
            }
        }
    }
    println!("apart {apart}, with depth {deep}, without {shallow}; worst bound {worst:.1e} mm");
    assert!(apart > PAIRS / 2 && deep > PAIRS / 20);
    // A depth that cannot be stood by is told as zero; that must stay rare.
    assert!(shallow < deep / 50, "{shallow} of {deep}");
}

#[test]
fn checked_boxes_along_the_axes_closed_form() {
    let mut random = Random(2);
    for _ in 0..2_000 {
        let mut boxes = [Convex::any(&mut random), Convex::any(&mut random)];
        for one in &mut boxes {
            one.round = false;
            one.turn = Turn::NONE;
        }
        let [a, b] = boxes;
        let mut air = [0.0; 3];
        let mut least = f64::INFINITY;
        for (axis, air) in air.iter_mut().enumerate() {
            let off = (a.centre[axis] - b.centre[axis]).abs() - a.half[axis] - b.half[axis];
            *air = off.max(0.0);
            least = least.min(-off);
        }
        let expected = if least > 0.0 { -least } else { length(air) };
        let found = 1e3 * distance(&a.solid(), &b.solid()).distance_m;
        assert!(
            (found - expected).abs() < 1e-6,
            "{found} {expected} {a:?} {b:?}"
        );
    }
}

/// A box as twelve triangles is as far from anything as the box, and full.
#[test]
fn checked_a_mesh_of_a_box_is_as_far_as_the_box() {
    let mut random = Random(3);
    let mut contacts = 0;
    for pair in 0..3_000 {
        let (mut a, b) = (Convex::any(&mut random), Convex::any(&mut random));
        a.round = false;
        let (block, other) = (a.solid(), b.solid());
        let mesh = a.mesh();
        let expected = distance(&block, &other);
        for found in [distance(&mesh, &other), distance(&other, &mesh)] {
            let miss = (expected.air_m() - found.air_m()).abs();
            // Corners of a mesh are single-precision numbers: 1e-6 mm at 20 mm.
            assert!(miss < 5e-9, "{pair} {expected:?} {found:?} {a:?} {b:?}");
            assert!(found.distance_m >= 0.0);
        }
        contacts += usize::from(expected.is_contact());
        if !b.round {
            let meshes = distance(&mesh, &b.mesh());
            let miss = (expected.air_m() - meshes.air_m()).abs();
            assert!(miss < 1e-8, "{pair} {expected:?} {meshes:?} {a:?} {b:?}");
        }
    }
    assert!(contacts > 100);
}

/// A cube of 40 mm with a hollow of 20 mm: closed, and air in the middle. Without its top it is a sheet.
#[test]
fn checked_the_hollow_of_a_mesh_is_air() {
    let cube = Convex {
        round: false,
        half: [20.0; 3],
        centre: [0.0; 3],
        turn: Turn::NONE,
    };
    let both = [cube.triangles(1.0), cube.triangles(-0.5)].concat();
    let shell = Arc::new(read(&both));
    let hollow = 1e9 * shell.properties().unwrap().volume_m3;
    assert!((hollow - 56_000.0).abs() < 1e-6, "{hollow}");
    let inside_out = [cube.triangles(-1.0), cube.triangles(0.5)].concat();
    let inside_out = Arc::new(read(&inside_out));
    assert!(inside_out.properties().unwrap().inside_out);
    let open = Arc::new(read(&both[1..]));
    assert!(open.properties().is_err());
    let ball = |x: f64| Solid::cylinder(1e-3, 2e-3, Pose::at([1e-3 * x, 0.0, 0.0])).unwrap();
    for mesh in [shell, inside_out] {
        let mesh = Solid::mesh(mesh, Pose::default()).unwrap();
        // In the hollow, in the wall, cutting a face, outside.
        for (x, air) in [(6.0, 3.0), (15.0, 0.0), (20.5, 0.0), (30.0, 9.0)] {
            let found = 1e3 * distance(&mesh, &ball(x)).distance_m;
            assert!((found - air).abs() < 1e-6, "{x} {found}");
        }
    }
    let open = Solid::mesh(open, Pose::default()).unwrap();
    let found = 1e3 * distance(&open, &ball(15.0)).distance_m;
    assert!((found - 4.0).abs() < 1e-6, "{found}");
}

#[test]
fn checked_order_changes_no_distance() {
    let mut random = Random(4);
    for _ in 0..2_000 {
        let (a, b) = (Convex::any(&mut random), Convex::any(&mut random));
        let (one, other) = (a.solid(), b.solid());
        let (there, back) = (distance(&one, &other), distance(&other, &one));
        let miss = (there.distance_m - back.distance_m).abs();
        assert!(miss < 2e-8, "{there:?} {back:?} {a:?} {b:?}");
    }
}

/// Boxes, cylinders and meshes of both; the points that [`distance`] found are 1e-6 mm from the truth, the air alone 3e-6 mm.
#[test]
fn checked_the_air_alone_is_the_air_of_the_distance() {
    const AIR_M: f64 = 5e-9;
    let mut random = Random(5);
    let (mut apart, mut less) = (0, 0);
    for pair in 0..6_000 {
        let (a, b) = (Convex::any(&mut random), Convex::any(&mut random));
        let form = |one: &Convex, is_mesh: bool| match is_mesh && !one.round {
            true => one.mesh(),
            false => one.solid(),
        };
        let (one, other) = (form(&a, pair % 2 == 1), form(&b, pair % 4 > 1));
        let expected = distance(&one, &other).air_m();
        let told = format!("pair {pair}: {a:?} {b:?} {expected}");
        let found = distance_m(&one, &other).max(0.0);
        assert!((found - expected).abs() < AIR_M, "{found} {told}");
        let most = 1e-3 * random.within(0.0, 40.0);
        let within = air_within_m(&one, &other, most);
        assert!(
            (within - expected.min(most)).abs() < AIR_M,
            "{within} {told}"
        );
        assert!(within <= most, "{within} {told}");
        apart += usize::from(expected > 0.0);
        less += usize::from(expected > 0.0 && expected < most);
        let not_asked = air_within_m(&one, &other, f64::NAN);
        assert!((not_asked - expected).abs() < AIR_M, "{not_asked} {told}");
    }
    assert!(apart > 3_000 && less > 1_000, "{apart} {less}");
}

/// Turned about a point and then moved: every point goes where the turn written out by hand takes it.
#[test]
fn checked_a_moved_solid_is_where_its_points_go() {
    let mut random = Random(6);
    for _ in 0..1_000 {
        let a = Convex::any(&mut random);
        let [by, about] = [0; 2].map(|_| [0; 3].map(|_| random.within(-20.0, 20.0)));
        let turn = Convex {
            turn: Turn::degrees(
                random.within(-180.0, 180.0),
                random.within(-90.0, 90.0),
                random.within(-180.0, 180.0),
            ),
            centre: about,
            ..a.clone()
        };
        let goes = |point: [f64; 3]| add(by, turn.outwards(sub(point, about)));
        let (by_m, about_m) = (scaled(by, 1e-3), scaled(about, 1e-3));
        let forms = match a.round {
            true => vec![a.solid()],
            false => vec![a.solid(), a.mesh()],
        };
        for solid in forms {
            let moved = solid.moved(by_m, turn.turn, about_m);
            let [x, y, z] = a.half.map(|half| 0.9 * half);
            for corner in [[x, 0.0, z], [-x, 0.0, -z], [0.0, y, -z]] {
                // A pin of 2 µm that sits inside near the edge goes along; one 1.2 radii out stays as far away.
                let inside = a.outwards(corner);
                let outside = a.outwards(scaled(corner, 3.0));
                for (point, is_in) in [(inside, true), (outside, false)] {
                    let pin =
                        |at: [f64; 3]| Solid::block([2e-6; 3], Pose::at(scaled(at, 1e-3))).unwrap();
                    let (before, after) = (
                        distance(&solid, &pin(point)),
                        distance(&moved, &pin(goes(point))),
                    );
                    assert_eq!(before.is_contact(), is_in, "{a:?}");
                    assert_eq!(after.is_contact(), is_in, "{a:?}");
                    // The pin itself does not turn: its corners reach 1.8 µm out.
                    assert!((before.air_m() - after.air_m()).abs() < 4e-6, "{a:?}");
                }
            }
        }
    }
}

#[test]
fn checked_extreme_solids_have_a_distance() {
    let sizes = [1e-6, 1e-3, 1.0, 10.0];
    let places = [0.0, 1e-9, 1e-3, -10.0, 10.0];
    let mut seen = 0;
    for size in sizes {
        for other in sizes {
            for place in places {
                let turn = Turn::degrees(7.0, 0.0, 1e-9);
                let a = Solid::block([size, other, size], Pose::default()).unwrap();
                let b =
                    Solid::cylinder(other, size, Pose::turned([place, 0.0, place], turn)).unwrap();
                let found = distance(&a, &b);
                assert!(found.distance_m.is_finite(), "{size} {other} {place}");
                assert!(found.nearest_m.iter().flatten().all(|x| x.is_finite()));
                seen += 1;
            }
        }
    }
    assert_eq!(seen, 80);
    for wrong in [0.0, -1.0, f64::NAN, f64::INFINITY, 11.0] {
        assert!(Solid::block([wrong, 1.0, 1.0], Pose::default()).is_err());
        assert!(Solid::cylinder(1.0, wrong, Pose::default()).is_err());
    }
    for wrong in [f64::NAN, f64::INFINITY, -11.0] {
        assert!(Solid::cylinder(1.0, 1.0, Pose::at([0.0, wrong, 0.0])).is_err());
    }
}

/// Below which the distance of two solids cannot be: a plane pushed against each, turned with better points until it helps no more.
fn at_least(a: &Convex, b: &Convex, p: [f64; 3], q: [f64; 3]) -> f64 {
    let (mut p, mut q) = (p, q);
    let mut best = f64::NEG_INFINITY;
    for _ in 0..20_000 {
        let d = length(sub(q, p));
        let way = scaled(sub(q, p), 1.0 / d);
        let below = -(a.reach(way) + b.reach(scaled(way, -1.0)));
        best = best.max(below);
        if d - best < 1e-9 {
            break;
        }
        p = a.nearest(q);
        q = b.nearest(p);
    }
    best
}

/// The least distance that alternating projections come to.
fn walk(a: &Convex, b: &Convex, start: [f64; 3]) -> f64 {
    let mut q = start;
    let mut left = f64::INFINITY;
    for _ in 0..20_000 {
        let p = a.nearest(q);
        q = b.nearest(p);
        left = length(sub(q, p));
        if left < 1e-5 {
            break;
        }
    }
    left
}

/// The depth is a way out, and none of five hundred others is shorter.
fn no_shorter_way_out(a: &Convex, b: &Convex, found: &Gap, random: &mut Random, told: &str) {
    let [p, q] = found.nearest_m.map(|point| point.map(|x| 1e3 * x));
    let depth = -1e3 * found.distance_m;
    assert!((length(sub(p, q)) - depth).abs() < 1e-4, "{told}");
    let out = scaled(sub(p, q), 1.0 / length(sub(p, q)));
    // Deeper than this the direction between the two points is good to its digits.
    if depth > 1e-2 {
        let way = a.reach(out) + b.reach(scaled(out, -1.0));
        assert!((way - depth).abs() < 1e-3, "{way} {told}");
    }
    for _ in 0..500 {
        let way = random.direction();
        let far = a.reach(way) + b.reach(scaled(way, -1.0));
        assert!(far > depth - 1e-4, "{far} {told}");
    }
}

/// A box or a cylinder, in millimetres.
#[derive(Debug, Clone)]
struct Convex {
    round: bool,
    /// Half edges, or radius twice and half the height.
    half: [f64; 3],
    centre: [f64; 3],
    turn: Turn,
}

impl Convex {
    fn any(random: &mut Random) -> Self {
        let round = random.within(0.0, 1.0) < 0.5;
        let mut half = [0; 3].map(|_| random.within(0.5, 20.0));
        if round {
            half[1] = half[0];
        }
        // A third along the axes, as most parts of a craft are.
        let turn = match random.within(0.0, 3.0) < 1.0 {
            true => Turn::NONE,
            false => Turn {
                roll: random.within(-PI, PI),
                pitch: random.within(-PI, PI),
                yaw: random.within(-PI, PI),
            },
        };
        Self {
            round,
            half,
            centre: [0; 3].map(|_| random.within(-30.0, 30.0)),
            turn,
        }
    }

    fn pose(&self) -> Pose {
        Pose::turned(scaled(self.centre, 1e-3), self.turn)
    }

    fn solid(&self) -> Solid {
        let [x, y, z] = scaled(self.half, 1e-3);
        match self.round {
            true => Solid::cylinder(x, 2.0 * z, self.pose()).unwrap(),
            false => Solid::block([2.0 * x, 2.0 * y, 2.0 * z], self.pose()).unwrap(),
        }
    }

    /// The box as a mesh of twelve triangles.
    fn mesh(&self) -> Solid {
        let mesh = read(&self.triangles(1.0));
        assert!(!mesh.properties().unwrap().inside_out);
        Solid::mesh(Arc::new(mesh), self.pose()).unwrap()
    }

    /// Six faces about the origin, of this share of the box; below zero they face inwards.
    fn triangles(&self, share: f64) -> Vec<[[f64; 3]; 3]> {
        let mut triangles = Vec::new();
        for axis in 0..3 {
            for side in [-1.0, 1.0] {
                let corner = |u: f64, v: f64| {
                    let mut at = [0.0; 3];
                    at[axis] = side * share.abs() * self.half[axis];
                    at[(axis + 1) % 3] = side * share * u * self.half[(axis + 1) % 3];
                    at[(axis + 2) % 3] = share.abs() * v * self.half[(axis + 2) % 3];
                    at
                };
                let [a, b, c, d] = [
                    corner(-1.0, -1.0),
                    corner(1.0, -1.0),
                    corner(1.0, 1.0),
                    corner(-1.0, 1.0),
                ];
                triangles.extend([[a, b, c], [a, c, d]]);
            }
        }
        triangles
    }

    /// Columns of Rz·Ry·Rx, written out.
    fn axes(&self) -> [[f64; 3]; 3] {
        let (sr, cr) = self.turn.roll.sin_cos();
        let (sp, cp) = self.turn.pitch.sin_cos();
        let (sy, cy) = self.turn.yaw.sin_cos();
        [
            [cy * cp, sy * cp, -sp],
            [cy * sp * sr - sy * cr, sy * sp * sr + cy * cr, cp * sr],
            [cy * sp * cr + sy * sr, sy * sp * cr - cy * sr, cp * cr],
        ]
    }

    fn inwards(&self, point: [f64; 3]) -> [f64; 3] {
        let off = sub(point, self.centre);
        self.axes().map(|axis| dot(axis, off))
    }

    fn outwards(&self, [x, y, z]: [f64; 3]) -> [f64; 3] {
        let [a, b, c] = self.axes();
        let turned = add(add(scaled(a, x), scaled(b, y)), scaled(c, z));
        add(self.centre, turned)
    }

    fn nearest(&self, point: [f64; 3]) -> [f64; 3] {
        let [mut x, mut y, z] = self.inwards(point);
        let [a, b, c] = self.half;
        if self.round {
            let out = x.hypot(y);
            if out > a {
                (x, y) = (x * a / out, y * a / out);
            }
        } else {
            (x, y) = (x.clamp(-a, a), y.clamp(-b, b));
        }
        self.outwards([x, y, z.clamp(-c, c)])
    }

    fn outside(&self, point: [f64; 3]) -> f64 {
        length(sub(point, self.nearest(point)))
    }

    /// Farthest along a direction, from the origin of the axes.
    fn reach(&self, way: [f64; 3]) -> f64 {
        let [x, y, z] = self.axes().map(|axis| dot(axis, way));
        let [a, b, c] = self.half;
        let across = match self.round {
            true => a * x.hypot(y),
            false => a * x.abs() + b * y.abs(),
        };
        dot(self.centre, way) + across + c * z.abs()
    }
}

fn read(triangles: &[[[f64; 3]; 3]]) -> Mesh {
    let mut stl = vec![0; 80];
    stl.extend((triangles.len() as u32).to_le_bytes());
    for triangle in triangles {
        stl.extend([0; 12]);
        for x in triangle.iter().flatten() {
            stl.extend((*x as f32).to_le_bytes());
        }
        stl.extend([0; 2]);
    }
    Mesh::read(&stl, Unit::Millimetre).unwrap()
}

/// The same numbers every time: Steele, Lea and Flood's SplitMix64.
struct Random(u64);

impl Random {
    fn within(&mut self, low: f64, high: f64) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        let share = ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64;
        low + share * (high - low)
    }

    fn direction(&mut self) -> [f64; 3] {
        loop {
            let way = [0; 3].map(|_| self.within(-1.0, 1.0));
            let long = length(way);
            if long > 0.1 && long < 1.0 {
                return scaled(way, 1.0 / long);
            }
        }
    }
}

fn add(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

fn sub(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    add(a, scaled(b, -1.0))
}

fn scaled(a: [f64; 3], by: f64) -> [f64; 3] {
    a.map(|x| by * x)
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn length(a: [f64; 3]) -> f64 {
    dot(a, a).sqrt()
}
