//! Three numbers as a direction.

pub(super) type Vector = [f64; 3];

pub(super) fn dot(a: Vector, b: Vector) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub(super) fn cross(a: Vector, b: Vector) -> Vector {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

pub(super) fn difference(to: Vector, from: Vector) -> Vector {
    [to[0] - from[0], to[1] - from[1], to[2] - from[2]]
}

pub(super) fn length(a: Vector) -> f64 {
    dot(a, a).sqrt()
}

/// Of length one; `None` for no length, or none that is a number.
pub(super) fn unit(a: Vector) -> Option<Vector> {
    let length = length(a);
    (length > 0.0 && length.is_finite()).then(|| a.map(|part| part / length))
}

/// Angle between two directions of length one, from 0 to π.
pub(super) fn angle(a: Vector, b: Vector) -> f64 {
    // By both sine and cosine: the arc cosine alone loses half its digits near the ends.
    length(cross(a, b)).atan2(dot(a, b))
}

/// What of a direction is across another one, of length one again; `None` where next to nothing is.
pub(super) fn across(a: Vector, along: Vector) -> Option<Vector> {
    let share = dot(a, along);
    let rest = [
        a[0] - share * along[0],
        a[1] - share * along[1],
        a[2] - share * along[2],
    ];
    (length(rest) > 1e-9).then(|| unit(rest)).flatten()
}
