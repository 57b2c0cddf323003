//! What goes where on a craft's boards.
//!
//! Pure kernels over small inputs of their own: no files, no clock, no seeds, no idea of a part.

pub mod allot;
