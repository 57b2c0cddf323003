//! Air, propellers, motors and the operating points they settle at.
