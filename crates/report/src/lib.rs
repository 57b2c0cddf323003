//! Verdicts as terminal text and JSON; the only place that rounds.
