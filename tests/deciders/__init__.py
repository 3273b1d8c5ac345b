"""Deciders of the path proof that share no code with the validator or the simulator.

`tree.py` makes small jobs and keeps them as trees; `meaning.py` is the meaning of each step on two small rigs, typed by
hand from grammar/semantics.md, item by item; `automaton.py` turns tree and meaning into a finite automaton. Three
public programs decide it: networkx (shortest paths on the product of automaton and facts), clingo (a positive logic
program, evaluated to its fixedpoint) and z3 (its finite-domain fixedpoint engine). `promela/` holds models of fixed
cases written by hand for the model checker spin. Neither parser, resolver, verb table nor simulator takes part.
"""
