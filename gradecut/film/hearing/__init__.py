"""The sound of films, and how two sounds lie against each other."""
