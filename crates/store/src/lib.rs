//! Bench folders read from text, with every fault at its place.
