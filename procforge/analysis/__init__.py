"""What a procedure does to a machine: facts, micro-steps, paths, the proof, dependencies. Facts only; words nothing."""
