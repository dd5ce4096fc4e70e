"""From states of equilibrium to margins, proofs and the verdict. `check` is the spine."""
