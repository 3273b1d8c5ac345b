"""Rules of the family torque."""
