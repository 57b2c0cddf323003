//! The bytes of an STL file to triangles, each fault by its name.
//!
//! The library reads the numbers; whether the bytes can be an STL file at all is asked before, so that it never sees a header that promises
//! more than there is, nor a text that goes on after its first solid.

use std::io::Cursor;

use crate::mesh::{MOST_TRIANGLES, MeshFault};

const HEADER: usize = 80;
const BEFORE_TRIANGLES: usize = HEADER + 4;
const ONE_TRIANGLE: usize = 50;

/// Three corners for each triangle, in the file's unit.
pub type Corners = [[f32; 3]; 3];

/// All triangles of a binary or a text file.
pub fn triangles(bytes: &[u8]) -> Result<Vec<Corners>, MeshFault> {
    if bytes.iter().all(u8::is_ascii_whitespace) {
        return Err(MeshFault::Empty);
    }
    // Some programs begin binary files with the word that marks a text: the length decides.
    let found = if is_whole_binary(bytes) || !begins_as_text(bytes) {
        parse(binary(bytes)?)?
    } else {
        parse(text(bytes)?)?
    };
    match found.len() {
        0 => Err(MeshFault::Empty),
        _ => Ok(found),
    }
}

fn is_whole_binary(bytes: &[u8]) -> bool {
    claimed(bytes).is_some_and(|claimed| {
        claimed as usize * ONE_TRIANGLE == bytes.len() - BEFORE_TRIANGLES && claimed > 0
    })
}

fn begins_as_text(bytes: &[u8]) -> bool {
    bytes
        .trim_ascii_start()
        .get(..5)
        .is_some_and(|word| word.eq_ignore_ascii_case(b"solid"))
}

/// How many triangles the header promises.
fn claimed(bytes: &[u8]) -> Option<u32> {
    let count = bytes.get(HEADER..BEFORE_TRIANGLES)?;
    Some(u32::from_le_bytes(count.try_into().ok()?))
}

/// The bytes with an empty header, if they are as long as the header says.
fn binary(bytes: &[u8]) -> Result<Vec<u8>, MeshFault> {
    let claimed = claimed(bytes).ok_or(MeshFault::TooShort { bytes: bytes.len() })?;
    let body = &bytes[BEFORE_TRIANGLES..];
    if claimed as usize > MOST_TRIANGLES && body.len() / ONE_TRIANGLE > MOST_TRIANGLES {
        return Err(MeshFault::TooMany);
    }
    if claimed as usize * ONE_TRIANGLE != body.len() {
        return Err(MeshFault::Length {
            claimed,
            room: body.len() / ONE_TRIANGLE,
        });
    }
    Ok([&[0; HEADER], &bytes[HEADER..]].concat())
}

/// The text in small letters, as one solid, if it is whole.
fn text(bytes: &[u8]) -> Result<Vec<u8>, MeshFault> {
    let mut one_solid = b"solid of_all\n".to_vec();
    let (mut facets, mut closed) = (0, false);
    for (index, line) in bytes.split(|byte| *byte == b'\n').enumerate() {
        let line = line.trim_ascii().to_ascii_lowercase();
        let mut words = line
            .split(u8::is_ascii_whitespace)
            .filter(|word| !word.is_empty());
        let numbers = match words.next() {
            None => continue,
            Some(b"solid") => {
                closed = false;
                continue;
            }
            Some(b"endsolid") => {
                closed = true;
                continue;
            }
            Some(b"vertex") => words.collect::<Vec<_>>(),
            Some(b"facet") => {
                facets += 1;
                words.skip(1).collect()
            }
            Some(_) => Vec::new(),
        };
        if !numbers.into_iter().all(is_number) {
            return Err(MeshFault::NotANumber {
                line: Some(index + 1),
            });
        }
        if facets > MOST_TRIANGLES {
            return Err(MeshFault::TooMany);
        }
        one_solid.extend_from_slice(&line);
        one_solid.push(b'\n');
    }
    if !closed {
        return Err(MeshFault::NoEnd);
    }
    one_solid.extend_from_slice(b"endsolid\n");
    Ok(one_solid)
}

fn is_number(word: &[u8]) -> bool {
    std::str::from_utf8(word)
        .ok()
        .and_then(|word| word.parse::<f32>().ok())
        .is_some_and(f32::is_finite)
}

fn parse(bytes: Vec<u8>) -> Result<Vec<Corners>, MeshFault> {
    let garbled = |error: std::io::Error| MeshFault::Garbled {
        why: error.to_string(),
    };
    let mut cursor = Cursor::new(bytes);
    let reader = stl_io::create_stl_reader(&mut cursor).map_err(garbled)?;
    reader
        .map(|triangle| {
            let corners = triangle.map_err(garbled)?.vertices.map(|corner| corner.0);
            match corners.iter().flatten().all(|x| x.is_finite()) {
                true => Ok(corners),
                false => Err(MeshFault::NotANumber { line: None }),
            }
        })
        .collect()
}
