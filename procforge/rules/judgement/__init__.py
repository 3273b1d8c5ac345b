"""Rules of the family judgement."""
