//! Handling against numbers worked out by others, against a second way, and on any input.
//!
//! The single cases with their numbers are in the book's list too; here the same models are held
//! against each other, against a simplex solver and against a simulation in time.

mod handling {
    mod any_input;
    mod cases;
    mod second_way;
}
