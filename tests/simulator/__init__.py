"""A small-step simulator of procedures, typed by hand from grammar/semantics.md, to hold the validator against.

It shares no code with `procforge.analysis` and does not read the verb table of `procforge.model.verbs`: it takes
the resolved models and walks every explicit state. Clear before fast: it is meant for small procedures.
"""
